#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/permission.h"
#include "platemark/plant/carton.h"
#include "view.h"

namespace platemark::service::view {

std::string dayAndTime(const Look& look, Instant instant) {
  return formatLocal(instant, look.card.zone);
}
std::string clockTime(const Look& look, Instant instant) {
  return formatLocal(instant, look.card.zone).substr(11);
}
std::string monthDay(const Look& look, Instant instant) {
  return formatLocal(instant, look.card.zone).substr(5, 5);
}

std::string lasted(Instant from, Instant to) {
  const std::int64_t minutes = std::max<std::int64_t>(0, (to.unixMs() - from.unixMs()) / 60'000);
  const std::int64_t hours = minutes / 60, days = hours / 24;
  if (days > 0 && hours % 24 == 0) return say("service.lasted.days", {{"d", days}});
  if (days > 0) return say("service.lasted.days_hours", {{"d", days}, {"h", hours % 24}});
  if (hours > 9 || (hours > 0 && minutes % 60 == 0))
    return say("service.lasted.hours", {{"h", hours}});
  if (hours > 0) return say("service.lasted.hours_minutes", {{"h", hours}, {"min", minutes % 60}});
  return say("service.lasted.minutes", {{"min", minutes}});
}

std::string grouped(std::int64_t n) {
  return format(Measure{*Decimal::parse(std::to_string(n)), "1"});
}

std::string capital(std::string_view text) {
  std::string out(text);
  if (!out.empty() && out.front() >= 'a' && out.front() <= 'z')
    out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out;
}

std::string issueWords(std::string_view what, std::int64_t issue) {
  return say("service.issue", {{"what", what}, {"n", issue}});
}

std::string counted(std::int64_t n, std::string_view one, std::string_view more) {
  return words::fill(n == 1 ? one : more, {{"n", grouped(n)}});
}

std::string dutyOf(const Look& look, PersonNumber number) {
  const auto person = ledger::stateAs<Issued<Person>>(look.snapshot, projection::person,
                                                      ledger::nowKey(std::to_string(number)));
  const std::string duty = person ? person->noun.duty : say("service.person", {{"number", number}});
  const std::optional<std::string> erased = erasedWords(look.people, number);
  return erased ? *erased + ", " + duty : duty;
}

Value missingValue(const std::vector<Missing>& missing) {
  Value::Array list;
  for (const Missing& m : missing)
    list.push_back(Value::Object{{"what", m.what}, {"who", m.who}, {"how", m.how}});
  return list;
}

Value subjectValue(const Subject& subject) {
  Value::Object value{{"kind", subject.kind}, {"id", subject.id}};
  if (const std::string href = hrefOf(subject); !href.empty()) value.emplace("href", href);
  return value;
}

std::string hrefOf(const Subject& subject) {
  if (subject.kind == "batch") return "/batches/" + subject.id;
  if (subject.kind == "lot") return "/lots/" + subject.id;
  if (subject.kind == "load") return "/loads/" + subject.id;
  if (subject.kind == "oven") return "/ovens/" + subject.id;
  static constexpr std::array nouns{
      projection::material, projection::compound, projection::part,      projection::machine,
      projection::gauge,    projection::person,   projection::plan,      projection::programme,
      projection::approval, projection::layout,   projection::numbering, projection::place,
      projection::kinetics, projection::survey,   projection::stacking};
  if (std::find(nouns.begin(), nouns.end(), subject.kind) != nouns.end())
    return "/things/" + subject.kind + "/" + subject.id;
  return "";
}

DispositionState dispositionsOf(const Look& look, const std::string& batch) {
  return ledger::stateAs<DispositionState>(look.snapshot, projection::disposition, batch)
      .value_or(DispositionState{});
}

std::int64_t goodPads(const Look& look, const BatchState& batch) {
  return gate::goodPads(batch, dispositionsOf(look, batch.opened.batch));
}

std::string countsSentence(const BatchState& batch, const DispositionState& so_far) {
  std::string words = say("service.counts.stamped", {{"n", grouped(batch.opened.plates)}});
  for (const StepDone& step : batch.steps) {
    if (!step.counted || step.corrected_by) continue;
    for (const auto& [reason, n] : step.counts.scrap)
      words += say("service.counts.scrapped", {{"n", grouped(n)}, {"reason", reason}});
    if (step.counts.samples > 0)
      words += say("service.counts.samples", {{"n", grouped(step.counts.samples)}});
  }
  return words + say("service.counts.pads", {{"n", grouped(gate::goodPads(batch, so_far))}});
}

Value holdsValue(const Look& look, const std::vector<Hold>& holds) {
  Value::Array list;
  for (const Hold& hold : holds) {
    const std::optional<Fact> fact = look.snapshot.fact(hold.fact);
    Value::Object shown{{"fact", hold.fact},
                        {"why", hold.why},
                        {"since", fact ? dayAndTime(look, fact->recorded) : ""},
                        {"who", fact ? dutyOf(look, fact->person) : ""}};
    if (hold.lifted_by)
      shown.emplace("lifted", say("service.hold.lifted", {{"fact", *hold.lifted_by}}));
    list.push_back(std::move(shown));
  }
  return list;
}

Value permittedValue(const Look& look, std::string_view act_name, std::string label,
                     Value::Object prefill, std::vector<Missing> obstacles,
                     const std::string& href) {
  for (Missing& m : permitObstacles(look, act_name))
    obstacles.insert(obstacles.begin(), std::move(m));
  Value::Object value{
      {"act", act_name}, {"label", std::move(label)}, {"prefill", std::move(prefill)}};
  if (!href.empty()) value.emplace("href", href);
  if (!obstacles.empty()) value.emplace("blocked", missingValue(obstacles));
  return value;
}

std::vector<Missing> permitObstacles(const Look& look, std::string_view act_name,
                                     const Value& input) {
  const act::Kind* kind = act::find(act_name);
  if (kind == nullptr) return {{say("service.act.unknown", {{"act", act_name}}), "", ""}};
  if (!look.person)
    return {{say("service.signed_out.what"), say("service.signed_out.who"),
             say("service.signed_out.how")}};
  const Operation needed =
      kind->operation_for == nullptr ? kind->operation : kind->operation_for(input);
  return gate::mayOperate(*look.person, needed, look.today());
}

std::string factWords(const Fact& fact) {
  const FactKind* kind = findFactKind(fact.kind);
  std::string words = capital(kind == nullptr ? fact.kind : kind->words);
  if (const std::string characteristic = fact.body.text("characteristic"); !characteristic.empty())
    words += ": " + characteristic;
  if (const std::string sample = fact.body.text("sample"); !sample.empty())
    words += say("service.fact.sample", {{"sample", sample}});
  if (const std::string outcome = fact.body.text("outcome"); !outcome.empty())
    words += ": " + outcome;
  return words;
}

Value factLine(const Look& look, const Fact& fact) {
  return Value::Object{{"sequence", fact.sequence},
                       {"when", dayAndTime(look, fact.happened.instant)},
                       {"kind", fact.kind},
                       {"words", factWords(fact)},
                       {"who", dutyOf(look, fact.person)}};
}

}  // namespace platemark::service::view
