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
  if (days > 0)
    return hours % 24 == 0 ? fmt::format("{} d", days) : fmt::format("{} d {} h", days, hours % 24);
  if (hours > 0)
    return minutes % 60 == 0 || hours > 9 ? fmt::format("{} h", hours)
                                          : fmt::format("{} h {} min", hours, minutes % 60);
  return fmt::format("{} min", minutes);
}

std::string grouped(std::int64_t n) {
  return format(Measure{*Decimal::parse(std::to_string(n)), "1"});
}

std::string counted(std::int64_t n, std::string_view one, std::string_view many) {
  return fmt::format("{} {}", grouped(n), n == 1 ? one : many);
}

std::string dutyOf(const Look& look, PersonNumber number) {
  const auto person = ledger::stateAs<Issued<Person>>(look.snapshot, projection::person,
                                                      ledger::nowKey(std::to_string(number)));
  return person ? person->noun.duty : fmt::format("number {}", number);
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
  static constexpr std::array nouns{
      projection::material, projection::compound, projection::part,      projection::machine,
      projection::gauge,    projection::person,   projection::plan,      projection::programme,
      projection::approval, projection::layout,   projection::numbering, projection::place};
  if (std::find(nouns.begin(), nouns.end(), subject.kind) != nouns.end())
    return "/things/" + subject.kind + "/" + subject.id;
  return "";
}

std::int64_t goodPads(const BatchState& batch) {
  std::int64_t good = batch.opened.plates;
  for (const StepDone& step : batch.steps)
    if (step.counted && !step.corrected_by) good = step.counts.good;
  return good;
}

std::vector<Missing> permitObstacles(const Look& look, std::string_view act_name,
                                     const Value& input) {
  const act::Kind* kind = act::find(act_name);
  if (kind == nullptr) return {{fmt::format("'{}' is not known", act_name), "", ""}};
  if (!look.person) return {{"you are not signed in", "you", "sign in"}};
  const Operation needed =
      kind->operation_for == nullptr ? kind->operation : kind->operation_for(input);
  return gate::mayOperate(*look.person, needed, look.today());
}

std::string factWords(const Fact& fact) {
  const FactKind* kind = findFactKind(fact.kind);
  std::string words(kind == nullptr ? fact.kind : kind->words);
  if (!words.empty())
    words.front() = static_cast<char>(
        words.front() >= 'a' && words.front() <= 'z' ? words.front() - 'a' + 'A' : words.front());
  if (const std::string characteristic = fact.body.text("characteristic"); !characteristic.empty())
    words += ": " + characteristic;
  if (const std::string sample = fact.body.text("sample"); !sample.empty())
    words += ", sample " + sample;
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
