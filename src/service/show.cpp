#include "platemark/service/show.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "platemark/catalogue/catalogue.h"
#include "platemark/service/bake_file.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/heat_file.h"
#include "platemark/service/papers.h"
#include "platemark/service/reading_file.h"
#include "view/heat.h"
#include "view/station.h"

namespace platemark::service {
namespace {

int statusOf(Outcome outcome) {
  return outcome == Outcome::conforms ? 0 : outcome == Outcome::does_not_conform ? 1 : 2;
}

/// A batch's status by the bar it stands at.
int statusOfBatch(const view::Look& look, const std::string& id) {
  const Result<gate::BatchFile> file = act::batchFile(look.snapshot, id, look.today());
  if (!file) return 0;
  if (file->batch.final.open()) return 0;
  return statusOf(
      gate::judgeBatch(file->batch.cure.open() ? Gate::final : Gate::cure, *file).outcome);
}

int statusOfLot(const view::Look& look, const std::string& id) {
  const Result<gate::LotFile> file = act::lotFile(look.snapshot, id, look.today());
  return file ? statusOf(gate::judgeLot(*file).outcome) : 0;
}

Result<Shown> shown(Result<Value> value, int status = 0) {
  if (!value) return value.error();
  return Shown{std::move(*value), status};
}

Result<Shown> judgementOf(const view::Look& look, const std::string& path) {
  const auto first = path.find('/'), second = path.find('/', first + 1);
  Error error;
  error.code = "use";
  error.what = fmt::format("'{}' names no judgement.", path);
  error.expected = "gate/kind/id, e.g. cure/batch/K7M4J-7";
  if (first == std::string::npos || second == std::string::npos) return error;
  const std::string kind = path.substr(first + 1, second - first - 1), id = path.substr(second + 1);
  return shown(view::judgement(look, path.substr(0, first), {kind, id}),
               kind == "lot" ? statusOfLot(look, id) : statusOfBatch(look, id));
}

/// "heron-3/1/2": the compound, its older and its newer issue.
Result<Shown> formulaOf(const view::Look& look, const std::string& path) {
  const auto last = path.rfind('/');
  const auto first = last == std::string::npos || last == 0 ? last : path.rfind('/', last - 1);
  if (last == std::string::npos || first == std::string::npos)
    return shown(view::formulaChange(look, path, "", ""));
  return shown(view::formulaChange(look, path.substr(0, first),
                                   path.substr(first + 1, last - first - 1),
                                   path.substr(last + 1)));
}

Result<Value> reworkCure(const House& house, const view::Look& look, const std::string& load) {
  const Result<HeatAtHand> at_hand = heatAtHand(house, look.snapshot, load);
  if (!at_hand) return at_hand.error();
  const auto extra = extraCure(*at_hand);
  if (!extra) return extra.error();
  return view::extraCureValue(*extra);
}

Result<Value> shorterSoakAt(const House& house, const view::Look& look, const std::string& load) {
  const Result<HeatAtHand> at_hand = heatAtHand(house, look.snapshot, load);
  if (!at_hand) return at_hand.error();
  const auto shorter = shorterSoak(*at_hand);
  if (!shorter) return shorter.error();
  return view::shorterSoakValue(*shorter);
}

/// "N-0007/30/5": 30 min longer, 5 K hotter.
Result<Value> whatIfOf(const House& house, const view::Look& look, const std::string& asked) {
  const auto first = asked.find('/'), second = asked.find('/', first + 1);
  Error error;
  error.code = "use";
  error.what = fmt::format("'{}' names no change of a programme.", asked);
  error.expected = "load/minutes/kelvin, e.g. N-0007/30/5";
  if (first == std::string::npos || second == std::string::npos) return error;
  const Result<Decimal> minutes = Decimal::parse(asked.substr(first + 1, second - first - 1)),
                        kelvin = Decimal::parse(asked.substr(second + 1));
  if (!minutes || !kelvin) return error;
  const Result<HeatAtHand> at_hand = heatAtHand(house, look.snapshot, asked.substr(0, first));
  if (!at_hand) return at_hand.error();
  const Result<WhatIf> answer = whatIf(*at_hand, {minutes->value(), kelvin->value()});
  if (!answer) return answer.error();
  return view::whatIfValue(*answer);
}

}  // namespace

Result<Shown> show(const House& house, const std::string& what, const std::string& id) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const view::Look look{*snapshot, house.card, {}, *house.people};
  if (what == "today") return Shown{view::today(look), 0};
  if (what == "yield") return shown(view::yield(look, id));
  if (what == "shift") return Shown{view::shift(look), 0};
  if (what == "bench") return Shown{view::bench(look), 0};
  if (what == "batch") return shown(view::batch(look, id), statusOfBatch(look, id));
  if (what == "lot") return shown(view::lot(look, id), statusOfLot(look, id));
  if (what == "load") return shown(view::load(look, id));
  if (what == "oven") return shown(view::oven(look, id));
  if (what == "rework cure") return shown(reworkCure(house, look, id));
  if (what == "shorter soak") return shown(shorterSoakAt(house, look, id));
  if (what == "what if") return shown(whatIfOf(house, look, id));
  if (what == "mix") return shown(view::chargeSheet(look, id));
  if (what == "part" || what == "approval" || what == "machine")
    return shown(view::noun(look, what, id));
  if (what == "gauge") return shown(view::gauge(look, id));
  if (what == "characteristic")
    return shown(view::characteristic(look, id.substr(0, id.find('/')),
                                      id.substr(std::min(id.find('/'), id.size() - 1) + 1)));
  if (what == "find") return shown(view::find(look, id));
  if (what == "judgement") return judgementOf(look, id);
  if (what == "formula") return formulaOf(look, id);
  if (what == "fact" && !id.empty() && id.size() < 16 &&
      id.find_first_not_of("0123456789") == std::string::npos)
    return shown(view::fact(look, *house.store, std::stoll(id)));
  Error error;
  error.code = "use";
  error.what = fmt::format("'{} {}' cannot be shown.", what, id);
  error.expected =
      "today, bench, shift, yield, batch, lot, load, oven, rework cure, shorter soak, what if, mix, "
      "part, machine, approval, gauge, characteristic, fact, find, judgement, formula, or a code";
  return error;
}

std::optional<Result<Shown>> showWithoutPlant(const std::string& what, const std::string& id) {
  if (what == "methods") return Shown{view::methods(), 0};
  if (what == "acts") return Shown{view::acts(), 0};
  if (what != "act") return {};
  const Value acts = view::acts();
  for (const Value& act : *acts.asArray())
    if (act.text("name") == id) return Shown{act, 0};
  Error error;
  error.code = "use";
  error.what = fmt::format("There is no act '{}'.", id);
  error.remedy = "'platemark acts' lists them.";
  return Result<Shown>(error);
}

/// Whose page a code leads to: a box to its batch's.
constexpr std::array<std::pair<std::string_view, std::string_view>, 7> page_of{
    {{"/batches/", "batch"},
     {"/lots/", "lot"},
     {"/loads/", "load"},
     {"/facts/", "fact"},
     {"/things/part/", "part"},
     {"/things/gauge/", "gauge"},
     {"/things/approval/", "approval"}}};

Result<std::pair<std::string, std::string>> named(const House& house, const std::string& code) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const Result<Value> found = view::find({*snapshot, house.card, {}, *house.people}, code);
  if (!found) return found.error();
  if (found->text("kind") == "mix")
    return std::pair<std::string, std::string>("mix", found->text("id"));
  const std::string page = found->text("href");
  for (const auto& [start, what] : page_of)
    if (page.starts_with(start)) return std::pair(std::string(what), page.substr(start.size()));
  return std::pair<std::string, std::string>("find", code);
}

Result<Value> evaluateTyped(const std::string& method,
                            const std::vector<std::string>& assignments) {
  const catalogue::Entry* entry = catalogue::find(method);
  Value::Object numbers, choices;
  for (const std::string& assignment : assignments) {
    const auto equals = assignment.find('=');
    Error error;
    error.code = "use";
    error.what = fmt::format("'{}' is no input.", assignment);
    error.expected = "name='value unit'";
    if (equals == std::string::npos) return error;
    const std::string name = assignment.substr(0, equals), text = assignment.substr(equals + 1);
    const bool choice =
        entry != nullptr && std::any_of(entry->choices.begin(), entry->choices.end(),
                                        [&](const catalogue::Choice& c) { return c.name == name; });
    if (choice) {
      choices.emplace(name, text);
      continue;
    }
    Value::Array values;
    for (std::size_t from = 0; from <= text.size();) {
      const std::size_t to = std::min(text.find(';', from), text.size());
      std::string part = text.substr(from, to - from);
      part.erase(0, part.find_first_not_of(' '));
      values.push_back(part);
      from = to + 1;
    }
    numbers.emplace(name, std::move(values));
  }
  return view::evaluate(
      method, Value::Object{{"numbers", std::move(numbers)}, {"choices", std::move(choices)}});
}

Result<ledger::Receipt> askAny(House& house, Asked asked) {
  if (asked.name == "paper issue")
    return issuePaper(house, asked.input.text("batch"), asked.input.text("paper"), asked.token,
                      asked.person);
  if (asked.name == "cure record") {
    const Result<CureAsked> cure = fromValue<CureAsked>(asked.input);
    if (!cure) return cure.error();
    Result<Value> input = cureInput(house, *cure);
    if (!input) return input.error();
    asked.input = std::move(*input);
  }
  if (asked.name == "load heat") {
    const Result<HeatAsked> heat = fromValue<HeatAsked>(asked.input);
    if (!heat) return heat.error();
    Result<Value> input = heatInput(house, *heat);
    if (!input) return input.error();
    asked.input = std::move(*input);
  }
  if (asked.name == "bake record") {
    const Result<BakeAsked> bake = fromValue<BakeAsked>(asked.input);
    if (!bake) return bake.error();
    Result<Value> input = bakeInput(house, *bake);
    if (!input) return input.error();
    asked.input = std::move(*input);
  }
  // A layout that cannot read is refused when it is issued, not when its first file comes.
  if (asked.name == "layout issue")
    if (const Result<intake::FileLayout> layout = layoutFrom(asked.input["noun"]["mapping"]);
        !layout)
      return layout.error();
  if (takesFile(asked.name) && !asked.input["layout"].isNull()) {
    Result<Value> input = fileInput(house, asked.name, std::move(asked.input));
    if (!input) return input.error();
    asked.input = std::move(*input);
  }
  return ask(house, std::move(asked));
}

Value receiptValue(const House& house, const ledger::Receipt& receipt) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  Value::Object value{{"sequences", toValue(receipt.sequences)},
                      {"head", receipt.head},
                      {"recorded", formatLocal(receipt.recorded, house.card.zone, true)},
                      {"repeated", receipt.repeated},
                      {"words", ""}};
  const std::optional<Fact> first =
      receipt.sequences.empty() ? std::nullopt : snapshot->fact(receipt.sequences.front());
  if (!first) return value;
  std::string words = view::factWords(*first);
  if (!first->subjects.empty()) {
    words += fmt::format(": {} {}", first->subjects.front().kind, first->subjects.front().id);
    value.emplace("created", view::subjectValue(first->subjects.front()));
  }
  value.insert_or_assign("words", words::say(receipt.repeated ? "service.receipt.repeated"
                                                              : "service.receipt.recorded",
                                             {{"what", words}}));
  return value;
}

int exitOf(const House& house, const ledger::Receipt& receipt) {
  const std::optional<Fact> first = receipt.sequences.empty()
                                        ? std::nullopt
                                        : house.store->read()->fact(receipt.sequences.front());
  if (!first || first->kind != "verdict.given") return 0;
  const Result<VerdictGiven> verdict = fromValue<VerdictGiven>(first->body);
  return verdict ? statusOf(verdict->outcome) : 0;
}

}  // namespace platemark::service
