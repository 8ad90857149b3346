#include "command.h"

#include <fmt/format.h>
#include <CLI/CLI.hpp>

#include "platemark/act/act.h"
#include "platemark/catalogue/catalogue.h"

namespace platemark::cli {
namespace {

std::string actsHelp() {
  std::string text = "Acts:\n";
  for (const act::Kind& kind : act::kinds())
    text += fmt::format("  {:<18} {}{}\n", kind.name, kind.words,
                        kind.must_be_signed ? " (signed)" : "");
  return text +
         "\nThe input is one JSON object; platemark acts 'lot receive' shows its "
         "members.\nExample:\n  platemark do lot receive --input "
         "'{\"lot\":\"R-2291\",\"material\":\"phenolic-resin\",\"supplier\":\"Oldmere "
         "Resins\",\"supplier_lot\":\"7741\",\"quantity\":\"500 kg\"}'\n";
}

std::string methodsHelp() {
  std::string text = "Methods:\n";
  for (const catalogue::Entry& entry : catalogue::entries())
    text += fmt::format("  {:<26} {}\n", entry.id, entry.title);
  return text + "\nExample:\n  platemark method bench.shear force='27400 N' bond_area='47.2 cm2'\n";
}

/// What was asked; each command stores what to run and it runs after parsing.
struct Asked {
  Common common;
  std::string subject, verb, input_file, input_text, token, at, late_because;
  std::string what, id, anchor, from, to, name, login, duty, operations, until, kind, file, part;
  service::ServiceOptions serving;
  std::string format = "json";
  PersonNumber number = 0;
  bool dry = false;
  service::PlantCard card{"", "", "Etc/UTC"};
  service::Founder founder;
  std::vector<std::string> assignments;
  std::function<int()> run;
};

void addServing(CLI::App& app, Asked& a) {
  auto* found = app.add_subcommand("found", "make a new plant with its first person");
  found->add_option("--plant", a.card.plant, "short name that stands in every key, e.g. marrowfen")
      ->required();
  found->add_option("--name", a.card.name, "the plant's name, e.g. 'Marrowfen Friction Works'")
      ->required();
  found->add_option("--zone", a.card.zone, "IANA time zone, e.g. Europe/Berlin")->required();
  found->add_option("--person", a.founder.name, "name of the first person")->required();
  found->add_option("--as", a.founder.login, "what the first person signs in with")->required();
  found->callback([&] { a.run = [&] { return runFound(a.common, a.card, a.founder); }; });

  auto* serve = app.add_subcommand("serve", "serve the pages and the interface on a local port");
  serve->add_option("--address", a.serving.address, "numeric address to listen on")
      ->capture_default_str();
  serve->add_option("--port", a.serving.port, "0 takes any free one")->capture_default_str();
  serve->add_option("--host", a.serving.hosts,
                    "a name that others call this machine by; give each once");
  serve->add_flag("--behind-tls", a.serving.behind_tls,
                  "a proxy in front does TLS: cookies travel over TLS only");
  serve->add_option("--web-dir", a.serving.web_folder,
                    "pages from this folder instead of the built-in ones");
  serve->callback([&] { a.run = [&] { return runServe(a.common, a.serving); }; });

  auto* person =
      app.add_subcommand("person-add", "make a person who can sign in, and issue their permits");
  person->add_option("--name", a.name, "name, kept outside the record")->required();
  person->add_option("--login", a.login, "what they sign in with")->required();
  person->add_option("--duty", a.duty, "e.g. 'laboratory technician 1'")->required();
  person->add_option("--may", a.operations, "operations, comma between, e.g. 'laboratory,sampling'")
      ->required();
  person->add_option("--until", a.until, "last day of the permits")->required();
  person->callback([&] {
    a.run = [&] { return runPersonAdd(a.common, a.name, a.login, a.duty, a.operations, a.until); };
  });

  auto* people = app.add_subcommand("people", "what the plant knows of its people");
  people->require_subcommand(1);
  auto* erase = people->add_subcommand(
      "erase", "take a person's name, sign-in name and key out; the record keeps the number");
  erase->add_option("number", a.number, "the person's number on record")->required();
  erase->callback([&] { a.run = [&] { return runPeopleErase(a.common, a.number); }; });
}

void addActing(CLI::App& app, Asked& a) {
  auto* act = app.add_subcommand("do", "do an act: the verbs of the trade");
  act->footer(actsHelp());
  act->add_option("subject", a.subject, "first word of the act, e.g. lot")->required();
  act->add_option("verb", a.verb, "second word, e.g. receive")->required();
  act->add_option("--input", a.input_text, "the input as JSON");
  act->add_option("--file", a.input_file, "file with the input as JSON; - for standard input");
  act->add_option("--token", a.token, "makes the act safe to repeat; new when not given");
  act->add_option("--at", a.at, "when it happened, with offset, e.g. 2026-11-24T06:35:00+01:00");
  act->add_option("--late-because", a.late_because, "why it is entered late");
  act->callback([&] {
    a.run = [&] {
      return runAct(a.common, a.subject + " " + a.verb, a.input_file, a.input_text, a.token, a.at,
                    a.late_because);
    };
  });

  auto* attach = app.add_subcommand("attach", "keep a file as an attachment; prints its hash");
  attach->add_option("file", a.file)->required();
  attach->callback([&] { a.run = [&] { return runAttach(a.common, a.file); }; });

  auto* taking = app.add_subcommand("import", "issue nouns from a CSV or JSON file, all or none");
  taking->add_option("kind", a.kind, "material, gauge, part, …; lot; all: a folder of them")
      ->required();
  taking->add_option("file", a.file, "ends in .csv or .json; for all the folder")->required();
  taking->add_flag("--dry", a.dry, "say what would be issued, keep nothing");
  taking->callback([&] { a.run = [&] { return runImport(a.common, a.kind, a.file, a.dry); }; });

  auto* giving = app.add_subcommand(
      "export", "write what is in force of a kind, or of all, as an import takes it");
  giving->add_option("kind", a.kind, "material, gauge, part, …; lot; all")->required();
  giving->add_option("--format", a.format, "json or csv")->capture_default_str();
  giving->add_option("--to", a.to, "file; for all a folder, or a file that ends in .zip");
  giving->footer("\nExample:\n  platemark export all --format csv --to nouns\n");
  giving->callback([&] { a.run = [&] { return runExport(a.common, a.kind, a.format, a.to); }; });
}

void addAsking(CLI::App& app, Asked& a) {
  auto* acts = app.add_subcommand("acts", "list the acts, or the members that one of them takes");
  acts->add_option("act", a.id, "one act, e.g. 'lot receive'");
  acts->callback(
      [&] { a.run = [&] { return runShow(a.common, a.id.empty() ? "acts" : "act", a.id); }; });
  auto* label = app.add_subcommand("label", "draw a label or a sheet for the floor as PDF");
  label
      ->add_option(
          "what", a.what,
          "lot, container, mix, sample, clamp, box, carton, charge-sheet, load-sheet, traveller")
      ->required();
  label->add_option("id", a.id, "its number; of a sample its batch, of a clamp its load")
      ->required();
  label->add_option("of", a.part, "which sample of the batch, which clamp of the load");
  label->add_option("--out", a.file, "file to write; standard output when not given");
  label->footer(
      "\nExamples:\n  platemark label traveller K7M4J-7 --out traveller.pdf\n  platemark label "
      "sample K7M4J-7 1 | lp\n");
  label->callback(
      [&] { a.run = [&] { return runLabel(a.common, a.what, a.id, a.part, a.file); }; });
  auto* show = app.add_subcommand("show",
                                  "show today, what the bench owes, the shift's hand-over, a "
                                  "batch, lot, load, mix, fact, or whatever a code names");
  show->add_option("what", a.what,
                   "today, bench, shift, yield, batch, lot, load, mix, part, machine, approval, "
                   "gauge, characteristic, fact, judgement, formula, or a code alone")
      ->required();
  show->add_option("id", a.id,
                   "its number; for judgement 'cure/batch/K7M4J-7', for characteristic "
                   "'plan/characteristic', for yield the first day, for formula 'heron-3/1/2', its "
                   "two issues");
  show->footer(
      "Exit status: 0 released or conforms, 1 does not conform, 2 cannot decide.\nExample:\n  "
      "platemark show batch K7M4J-7\n  platemark show K7M4J-7\n");
  show->callback([&] { a.run = [&] { return runShow(a.common, a.what, a.id); }; });
  auto* method = app.add_subcommand(
      "method", "compute with a method of the catalogue, without keeping anything");
  method->footer(methodsHelp());
  method->add_option("id", a.id)->required();
  method->add_option("inputs", a.assignments,
                     "name='value unit'; several values with ' ; ' between");
  method->callback([&] { a.run = [&] { return runMethod(a.common, a.id, a.assignments); }; });
}

void addKeeping(CLI::App& app, Asked& a) {
  auto* verify = app.add_subcommand("verify", "check every fact, link, signature and attachment");
  verify->add_option("--anchor", a.anchor,
                     "sequence:head, as 'platemark anchor' or a certificate gave it");
  verify->callback([&] { a.run = [&] { return runVerify(a.common, a.anchor); }; });
  auto* anchor = app.add_subcommand(
      "anchor", "print the head of the record; keep it outside, it finds a cut tail");
  anchor->callback([&] { a.run = [&] { return runAnchor(a.common); }; });
  auto* backup = app.add_subcommand("backup", "copy the record while it is in use");
  backup->add_option("to", a.to, "empty folder")->required();
  backup->callback([&] { a.run = [&] { return runBackUp(a.common, a.to); }; });
  auto* restore = app.add_subcommand("restore", "put a back-up into an empty folder and verify it");
  restore->add_option("from", a.from)->required();
  restore->add_option("to", a.to)->required();
  restore->add_option("--anchor", a.anchor, "sequence:head");
  restore->callback([&] { a.run = [&] { return runRestore(a.common, a.from, a.to, a.anchor); }; });
  auto* rebuild =
      app.add_subcommand("rebuild", "drop what is derived and build it again from the facts");
  rebuild->callback([&] { a.run = [&] { return runRebuild(a.common); }; });
}

}  // namespace

int run(int argc, char** argv) {
  CLI::App app{
      "Platemark: one record for the making of disc brake pads.\nResults support and do not "
      "replace the approval authority, the legal text and the responsible person's judgement."};
  Asked asked;
  app.require_subcommand(1);
  app.fallthrough();
  app.set_help_all_flag("--help-all", "help of every command");
  app.add_option("--record", asked.common.folder, "folder of the plant")
      ->capture_default_str()
      ->envname("PLATEMARK_RECORD");
  app.add_option("--as", asked.common.login, "who asks: what you sign in with")
      ->envname("PLATEMARK_LOGIN");
  app.add_flag("--json", asked.common.json, "answer as JSON, for programs");
  addServing(app, asked);
  addActing(app, asked);
  addAsking(app, asked);
  addKeeping(app, asked);
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& help) {
    return app.exit(help);
  } catch (const CLI::ParseError& wrong) {
    app.exit(wrong);
    return 64;
  }
  return asked.run();
}

}  // namespace platemark::cli
