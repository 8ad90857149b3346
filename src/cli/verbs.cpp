#include <fmt/format.h>
#include <sodium.h>
#include <termios.h>
#include <unistd.h>

#include <algorithm>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iostream>
#include <sstream>

#include "command.h"
#include "plain.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/labels.h"
#include "platemark/service/noun_export.h"
#include "platemark/service/noun_import.h"
#include "platemark/service/papers.h"
#include "platemark/service/service.h"
#include "platemark/service/show.h"
#include "platemark/words/words.h"

namespace platemark::cli {
namespace {

Error useError(std::string what, std::string remedy) {
  Error error;
  error.code = "use";
  error.what = std::move(what);
  error.remedy = std::move(remedy);
  return error;
}

std::string newToken() {
  unsigned char random[16];
  randombytes_buf(random, sizeof random);
  char hex[33];
  sodium_bin2hex(hex, sizeof hex, random, sizeof random);
  return hex;
}

Result<std::string> readFile(const std::string& path) {
  if (path == "-") return std::string(std::istreambuf_iterator<char>(std::cin), {});
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    Error error = useError("The file cannot be read.", "Check its name.");
    error.where.file = path;
    return error;
  }
  std::ostringstream all;
  all << file.rdbuf();
  return std::move(all).str();
}

/// "412:9f3c…" as printed by 'anchor'.
Result<std::optional<ledger::Anchor>> anchorFrom(const std::string& text) {
  if (text.empty()) return std::optional<ledger::Anchor>();
  const auto colon = text.find(':');
  const bool digits = colon != std::string::npos && colon > 0 &&
                      text.substr(0, colon).find_first_not_of("0123456789") == std::string::npos &&
                      text.size() == colon + 65;
  if (!digits)
    return useError(fmt::format("'{}' is no anchor.", text),
                    "Give sequence:head, the head with 64 hex digits.");
  return std::optional<ledger::Anchor>({std::stoll(text.substr(0, colon)), text.substr(colon + 1)});
}

int sayVerification(const ledger::Verification& found, const Common& common) {
  Value::Object value{
      {"sound", found.sound}, {"facts", found.facts}, {"head", found.head}, {"what", found.what}};
  if (found.first_broken) value.emplace("first_broken", *found.first_broken);
  if (common.json)
    print(std::move(value), common);
  else
    fmt::print("{}\n{}\n", found.sound ? "Sound." : "Not sound.", found.what);
  return found.sound ? 0 : 1;
}

volatile std::sig_atomic_t stop_asked = 0;
void onSignal(int) { stop_asked = 1; }

std::vector<Permit> permitsFrom(const std::string& operations, Day until,
                                std::optional<Error>& fault) {
  std::vector<Permit> permits;
  std::istringstream list(operations);
  for (std::string name; std::getline(list, name, ',');) {
    const Result<Operation> operation = fromValue<Operation>(Value(name), "may");
    if (operation)
      permits.push_back({*operation, until});
    else
      fault = operation.error();
  }
  return permits;
}

}  // namespace

int exitStatus(Fault fault) {
  switch (fault) {
    case Fault::refused:
    case Fault::conflict:
      return 1;
    case Fault::cannot_decide:
      return 2;
    case Fault::bad_input:
    case Fault::not_found:
      return 65;
    case Fault::environment:
      return 69;
  }
  return 70;
}

int fail(const Error& error, const Common& common) {
  if (common.json) {
    Value::Array missing;
    for (const Missing& m : error.missing)
      missing.push_back(Value::Object{{"what", m.what}, {"who", m.who}, {"how", m.how}});
    std::cerr << canonicalJson(Value::Object{
                     {"code", error.code},
                     {"detail", error.what},
                     {"expected", error.expected},
                     {"remedy", error.remedy},
                     {"missing", std::move(missing)},
                     {"where", Value::Object{{"file", error.where.file},
                                             {"line", static_cast<std::int64_t>(error.where.line)},
                                             {"column", error.where.column},
                                             {"field", error.where.field}}}})
              << "\n";
  } else {
    std::cerr << describe(error) << "\n";
  }
  return error.code == "use" ? 64 : exitStatus(error.fault);
}

void print(const Value& value, const Common& common) {
  std::cout << (common.json ? canonicalJson(value) + "\n" : prettyJson(value));
}

std::string password(const std::string& question) {
  if (const char* given = std::getenv("PLATEMARK_PASSWORD")) return given;
  std::cerr << question << ": " << std::flush;
  termios before{};
  const bool terminal = tcgetattr(STDIN_FILENO, &before) == 0;
  termios silent = before;
  silent.c_lflag &= static_cast<tcflag_t>(~ECHO);
  if (terminal) tcsetattr(STDIN_FILENO, TCSANOW, &silent);
  std::string typed;
  std::getline(std::cin, typed);
  if (terminal) tcsetattr(STDIN_FILENO, TCSANOW, &before);
  std::cerr << "\n";
  return typed;
}

Result<PersonNumber> signIn(service::House& house, const Common& common,
                            std::string& password_out) {
  if (common.login.empty())
    return useError("It is not said who asks.", "Give --as and what you sign in with.");
  password_out = password("Password of " + common.login);
  const Result<ledger::PersonCard> card = house.people->logIn(common.login, password_out);
  if (!card) return card.error();
  return card->number;
}

int runFound(const Common& common, const service::PlantCard& card, service::Founder founder) {
  founder.password = password("New password of " + founder.login);
  const Result<service::House> house = service::foundHouse(common.folder, card, founder);
  if (!house) return fail(house.error(), common);
  fmt::print("{} is founded in {}. Sign in as '{}'.\n", card.name, common.folder, founder.login);
  return 0;
}

int runPersonAdd(const Common& common, const std::string& name, const std::string& login,
                 const std::string& duty, const std::string& operations, const std::string& until) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  std::string own_password;
  const Result<PersonNumber> asker = signIn(*house, common, own_password);
  if (!asker) return fail(asker.error(), common);
  const Result<Day> day = parseDay(until);
  if (!day) return fail(day.error(), common);
  std::optional<Error> fault;
  std::vector<Permit> permits = permitsFrom(operations, *day, fault);
  if (fault) return fail(*fault, common);
  const char* given = std::getenv("PLATEMARK_NEW_PASSWORD");
  const service::Founder person{
      name, login, given != nullptr ? std::string(given) : password("New password of " + login),
      duty};
  const Result<ledger::Receipt> receipt = service::addPerson(*house, *asker, person, permits);
  if (!receipt) return fail(receipt.error(), common);
  fmt::print("{} may sign in as '{}'.\n", duty, login);
  return 0;
}

int runPeopleErase(const Common& common, PersonNumber number) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  std::string own_password;
  const Result<PersonNumber> asker = signIn(*house, common, own_password);
  if (!asker) return fail(asker.error(), common);
  if (Result<void> done = service::erasePerson(*house, *asker, own_password, number); !done)
    return fail(done.error(), common);
  fmt::print("{}: the record keeps the number.\n", *service::erasedWords(*house->people, number));
  return 0;
}

int runServe(const Common& common, service::ServiceOptions options) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const std::string address = options.address;
  service::Service service(std::move(*house), std::move(options));
  if (Result<void> started = service.start(); !started) return fail(started.error(), common);
  fmt::print("Platemark is served at http://{}:{}/\n", address, service.port());
  std::fflush(stdout);
  std::signal(SIGINT, onSignal);
  std::signal(SIGTERM, onSignal);
  while (stop_asked == 0) ::usleep(100'000);
  service.stop();
  return 0;
}

int runAct(const Common& common, const std::string& name, const std::string& input_file,
           const std::string& input_text, const std::string& token, const std::string& at,
           const std::string& late_because) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  std::string text = input_text.empty() ? "{}" : input_text;
  if (!input_file.empty()) {
    Result<std::string> read = readFile(input_file);
    if (!read) return fail(read.error(), common);
    text = std::move(*read);
  }
  Result<Value> input = parseJson(text);
  if (!input) return fail(input.error(), common);
  service::Asked asked{name, std::move(*input), token.empty() ? newToken() : token, 0, {}, {}, {}};
  if (!at.empty()) asked.at = at;
  if (!late_because.empty()) asked.late_because = late_because;
  std::string own_password;
  const Result<PersonNumber> person = signIn(*house, common, own_password);
  if (!person) return fail(person.error(), common);
  asked.person = *person;
  asked.password = own_password;
  const Result<ledger::Receipt> receipt = service::askAny(*house, std::move(asked));
  if (!receipt) return fail(receipt.error(), common);
  const Value answer = service::receiptValue(*house, *receipt);
  if (common.json)
    print(answer, common);
  else
    fmt::print("{}\n", answer.text("words"));
  return service::exitOf(*house, *receipt);
}

int sayShown(const Result<service::Shown>& shown, const std::string& what, const Common& common) {
  if (!shown) return fail(shown.error(), common);
  if (common.json)
    print(shown->value, common);
  else
    std::cout << plainWords(what, shown->value);
  return shown->exit_status;
}

int runShow(const Common& common, const std::string& what, const std::string& id) {
  if (const auto shown = service::showWithoutPlant(what, id)) return sayShown(*shown, what, common);
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const bool whole_plant = what == "today" || what == "bench" || what == "shift" || what == "yield";
  if (!id.empty() || whole_plant) return sayShown(service::show(*house, what, id), what, common);
  const auto named = service::named(*house, what);
  if (!named) return fail(named.error(), common);
  return sayShown(service::show(*house, named->first, named->second), named->first, common);
}

namespace {

/// To the file, or to standard output when none is named.
int writeFile(const std::string& path, const std::string& bytes, const Common& common) {
  std::ofstream file;
  if (!path.empty()) file.open(path, std::ios::binary);
  std::ostream& out = path.empty() ? std::cout : file;
  if (out.write(bytes.data(), static_cast<std::streamsize>(bytes.size())).flush()) return 0;
  if (path.empty()) return 69;
  Error error = useError("The file cannot be written.", "Check its name and folder.");
  error.where.file = path;
  return fail(error, common);
}

}  // namespace

int runLabel(const Common& common, const std::string& what, const std::string& id,
             const std::string& part, const std::string& out) {
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const Result<service::DrawnLabel> drawn = service::drawLabel(*house, what, id, part);
  if (!drawn) return fail(drawn.error(), common);
  return writeFile(out, {reinterpret_cast<const char*>(drawn->pdf.data()), drawn->pdf.size()},
                   common);
}

int runVerify(const Common& common, const std::string& anchor_text) {
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const Result<std::optional<ledger::Anchor>> anchor = anchorFrom(anchor_text);
  if (!anchor) return fail(anchor.error(), common);
  const ledger::Verification found = house->store->verify(*anchor);
  const int status = sayVerification(found, common);
  if (found.sound && !*anchor && !common.json) fmt::print("{}\n", words::say("terminal.no_anchor"));
  return status;
}

int runAnchor(const Common& common) {
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const auto snapshot = house->store->read();
  if (common.json)
    print(Value::Object{{"sequence", snapshot->sequence()}, {"head", snapshot->head()}}, common);
  else
    fmt::print("{}:{}\n", snapshot->sequence(), snapshot->head());
  return 0;
}

int runBackUp(const Common& common, const std::string& to) {
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  if (Result<void> done = house->store->backUp(to); !done) return fail(done.error(), common);
  fmt::print("Copied to {}.\n", to);
  return 0;
}

int runRestore(const Common& common, const std::string& from, const std::string& to,
               const std::string& anchor_text) {
  const Result<std::optional<ledger::Anchor>> anchor = anchorFrom(anchor_text);
  if (!anchor) return fail(anchor.error(), common);
  const Result<service::PlantCard> card = service::readCard(from);
  if (!card) return fail(card.error(), common);
  ledger::StoreOptions options;
  options.plant = card->plant;
  options.projections = ledger::plantProjections();
  const Result<ledger::Verification> found = ledger::restore(from, to, std::move(options), *anchor);
  return found ? sayVerification(*found, common) : fail(found.error(), common);
}

int runRebuild(const Common& common) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const std::string before = house->store->projectionDigest();
  if (Result<void> done = house->store->rebuildProjections(); !done)
    return fail(done.error(), common);
  const bool same = house->store->projectionDigest() == before;
  fmt::print("Rebuilt from {} facts; {}.\n", house->store->read()->sequence(),
             same ? "the same as before" : "other than before");
  return 0;
}

int runMethod(const Common& common, const std::string& id,
              const std::vector<std::string>& assignments) {
  const Result<Value> evaluated = service::evaluateTyped(id, assignments);
  if (!evaluated) return fail(evaluated.error(), common);
  print(*evaluated, common);
  return 0;
}

namespace {

/// Takes one file; says how it went and whether the next one may follow.
Result<Value> takeFile(service::House& house, const std::string& kind, const std::string& file,
                       PersonNumber person, bool dry) {
  Result<std::string> bytes = readFile(file);
  if (!bytes) return bytes.error();
  const service::NounFile nouns{kind, file.ends_with(".csv") ? "csv" : "json", std::move(*bytes),
                                newToken(), person};
  return dry ? service::previewNouns(house, nouns) : service::importNouns(house, nouns);
}

/// The file of this kind in the folder: "part.csv", "07-part.json"; "" when there is none.
std::string fileOf(const std::string& folder, std::string_view kind) {
  for (const auto& entry : std::filesystem::directory_iterator(folder)) {
    std::string name = entry.path().stem().string();
    name.erase(0, std::min(name.size(), name.find_first_not_of("0123456789-")));
    const std::string ending = entry.path().extension().string();
    if (name == kind && (ending == ".csv" || ending == ".json")) return entry.path().string();
  }
  return "";
}

int importFolder(service::House& house, const Common& common, const std::string& folder,
                 PersonNumber person) {
  Value::Object said;
  std::int64_t wrong = 0;
  for (const std::string_view kind : service::importOrder()) {
    const std::string file = fileOf(folder, kind);
    if (file.empty()) continue;
    Result<Value> done = takeFile(house, std::string(kind), file, person, false);
    if (!done) return fail(Error(done.error()).at({file, 0, "", ""}), common);
    wrong = *(*done)["wrong"].asInteger();
    said.emplace(std::string(kind), std::move(*done));
    if (wrong > 0) break;  // what comes after it may rest on it
  }
  print(Value(std::move(said)), common);
  return wrong == 0 ? 0 : 65;
}

int exportToFolder(const std::vector<service::ExportFile>& files, const std::string& folder,
                   const Common& common) {
  std::error_code ignored;
  std::filesystem::create_directories(folder, ignored);
  for (const service::ExportFile& file : files)
    if (const int status = writeFile(folder + "/" + file.name, file.bytes, common); status != 0)
      return status;
  return 0;
}

}  // namespace

int runImport(const Common& common, const std::string& kind, const std::string& file, bool dry) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  const bool all = kind == "all";
  if (all && (dry || !std::filesystem::is_directory(file)))
    return fail(useError("A folder is taken kind by kind, each on the ones before.",
                         "Name the folder, without --dry; look at single files with --dry."),
                common);
  std::string own_password;
  const Result<PersonNumber> person = signIn(*house, common, own_password);
  if (!person) return fail(person.error(), common);
  if (all) return importFolder(*house, common, file, *person);
  const Result<Value> done = takeFile(*house, kind, file, *person, dry);
  if (!done) return fail(done.error(), common);
  print(*done, common);
  return *(*done)["wrong"].asInteger() == 0 ? 0 : 65;
}

int runExport(const Common& common, const std::string& kind, const std::string& format,
              const std::string& to) {
  const Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  if (kind != "all") {
    const Result<std::string> bytes = service::exportKind(*house, kind, format);
    return bytes ? writeFile(to, *bytes, common) : fail(bytes.error(), common);
  }
  if (to.empty())
    return fail(useError("It is not said where the files go.",
                         "Give --to with a folder, or a name "
                         "that ends in .zip."),
                common);
  const Result<std::vector<service::ExportFile>> files = service::exportAll(*house, format);
  if (!files) return fail(files.error(), common);
  return to.ends_with(".zip") ? writeFile(to, service::zipOf(*files), common)
                              : exportToFolder(*files, to, common);
}

int runAttach(const Common& common, const std::string& path) {
  Result<service::House> house = service::openHouse(common.folder);
  if (!house) return fail(house.error(), common);
  std::ifstream file(path, std::ios::binary);
  if (!file) return fail(useError("The file cannot be read.", "Check its name."), common);
  std::string own_password;
  const Result<PersonNumber> person = signIn(*house, common, own_password);
  if (!person) return fail(person.error(), common);
  std::unique_ptr<ledger::AttachmentSink> sink = house->store->attach();
  std::vector<char> buffer(1U << 16U);
  while (file.read(buffer.data(), static_cast<std::streamsize>(buffer.size())) || file.gcount() > 0)
    if (Result<void> written = sink->write(
            std::as_bytes(std::span(buffer.data(), static_cast<std::size_t>(file.gcount()))));
        !written)
      return fail(written.error(), common);
  const Result<ledger::Attachment> kept = sink->finish();
  if (!kept) return fail(kept.error(), common);
  fmt::print("{}\n", kept->hash);
  return 0;
}

}  // namespace platemark::cli
