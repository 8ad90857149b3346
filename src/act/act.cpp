#include "platemark/act/act.h"

#include <fmt/format.h>

#include <array>

#include "support.h"

namespace platemark::act {
namespace {

constexpr std::int64_t late_after_ms = 30 * 60 * 1000;
constexpr std::int64_t future_slack_ms = 5 * 60 * 1000;

std::vector<Kind> gathered() {
  std::vector<Kind> all;
  for (const std::span<const Kind> list :
       {nounVerbs(), lotVerbs(), storeRoomVerbs(), gaugeCheckVerbs(), gaugeStudyVerbs(),
        gaugeWrongVerbs(), lineVerbs(), setUpVerbs(), makingVerbs(), pressVerbs(), cureVerbs(),
        kineticsVerbs(), loadHeatVerbs(), laboratoryVerbs(), gateVerbs(), dispositionVerbs(),
        finishingVerbs(), bakeVerbs(), packingVerbs(), cartonVerbs()})
    all.insert(all.end(), list.begin(), list.end());
  return all;
}

Error late(const std::string& typed) {
  Error error = badInput("act.late", fmt::format("{} is more than half an hour ago.", typed),
                         "late_because", "a reason for entering it late");
  error.remedy = "Say why it is entered late; the record keeps both times.";
  return error;
}

/// With an offset as it stands; without one by the plant's clock, except in the hour that occurs
/// twice.
Result<Instant> typedInstant(const std::string& typed, const std::string& zone) {
  Result<Instant> with_offset = parseInstant(typed);
  if (with_offset || with_offset.error().code != "time.no_offset") return with_offset;
  const Result<Instant> as_utc = parseInstant(typed + "Z");
  if (!as_utc) return as_utc;
  return instantOf(*localTime(*as_utc, "Etc/UTC"), zone, Fold::refuse);
}

Result<Happened> happenedAt(const Request& request, Instant now) {
  if (!request.at) return Happened{now, request.zone, "", {}};
  const Result<Instant> at = typedInstant(*request.at, request.zone);
  if (!at) return Error(at.error()).at({"", 0, "", "at"});
  if (at->unixMs() > now.unixMs() + future_slack_ms)
    return badInput("act.future", fmt::format("{} has not happened yet.", *request.at), "at",
                    "a time up to now");
  const bool is_late = at->unixMs() < now.unixMs() - late_after_ms;
  if (is_late && (!request.late_because || request.late_because->empty())) return late(*request.at);
  return Happened{*at, request.zone, *request.at, is_late ? request.late_because : std::nullopt};
}

Result<void> checkPermit(const Snapshot& snapshot, const Kind& kind, const Value& input,
                         PersonNumber number, Day today) {
  const auto person =
      ledger::issueInForce<Person>(snapshot, projection::person, std::to_string(number), today);
  if (!person)
    return gate::refusal(
        fmt::format("Number {} is not on record.", number),
        {{"the person is not known to the plant", "quality manager", "have the person issued"}});
  gate::Obstacles obstacles = gate::mayOperate(
      person->noun, kind.operation_for == nullptr ? kind.operation : kind.operation_for(input),
      today);
  if (obstacles.empty()) return {};
  return gate::refusal(fmt::format("'{}' is refused.", kind.name), std::move(obstacles));
}

std::string hexOf(std::string_view raw) {
  std::string hex;
  for (const char c : raw) hex += fmt::format("{:02x}", static_cast<unsigned char>(c));
  return hex;
}

/// A signature counts only with the key that the record knows for this number.
Result<void> checkKey(const Snapshot& snapshot, const Request& request) {
  const auto person = stateAs<Issued<Person>>(snapshot, projection::person,
                                              ledger::nowKey(std::to_string(request.person)));
  if (person && request.signer && hexOf(request.signer->public_key) == person->noun.public_key)
    return {};
  return gate::refusal(
      "The signature does not count.",
      {{fmt::format("the key is not the one on record for number {}", request.person),
        "quality manager", "have the person issued with the key"}});
}

Decision decideAsked(const Kind& kind, const Request& request, const Snapshot& snapshot) {
  const Result<Happened> happened = happenedAt(request, snapshot.now());
  if (!happened) return happened.error();
  // The permit counts on the day of asking, not on the day of happening: a late entry is still an
  // entry of today.
  if (Result<void> permitted = checkPermit(snapshot, kind, request.input, request.person,
                                           dayIn(snapshot.now(), request.zone));
      !permitted)
    return permitted.error();
  if (kind.must_be_signed)
    if (Result<void> key = checkKey(snapshot, request); !key) return key.error();
  return kind.decide(Context{snapshot, request.person, *happened}, request.input);
}

/// Two requests are the same when they say that the same happened at the same time. Why it comes
/// late is not part of it: a tablet whose first answer was lost sends the report again when the
/// network is back, and only then is it late.
std::string fingerprint(const Request& request) {
  Value::Object asked{{"name", request.name}, {"input", request.input}, {"person", request.person}};
  if (request.at) asked.emplace("at", *request.at);
  return canonicalJson(asked);
}

}  // namespace

std::span<const Kind> kinds() {
  static const std::vector<Kind> all = gathered();
  return all;
}

const Kind* find(std::string_view name) {
  for (const Kind& kind : kinds())
    if (kind.name == name) return &kind;
  return nullptr;
}

Result<ledger::Act> prepare(Request request) {
  const Kind* kind = find(request.name);
  if (kind == nullptr) {
    Error error = unknown("act", request.name);
    error.code = "act.unknown";
    return error;
  }
  if (request.token.empty())
    return badInput("act.token_missing",
                    "The act carries no token, so a repeat could not be told from a second one.",
                    "token", "any text that is new for each act");
  if (kind->must_be_signed && !request.signer) {
    Error error =
        gate::refusal(fmt::format("'{}' must be signed.", kind->name),
                      {{"the signature is missing", "you", "give your password once more"}});
    error.code = "act.signature_needed";
    return error;
  }
  ledger::Act act;
  act.name = request.name;
  act.token = request.token;
  act.request = fingerprint(request);
  act.person = request.person;
  act.signer = kind->must_be_signed ? request.signer : std::nullopt;
  act.decide = [kind, request = std::move(request)](const Snapshot& snapshot) {
    return decideAsked(*kind, request, snapshot);
  };
  return act;
}

ledger::Act issueTogether(const Kind& kind, std::vector<Value> inputs, std::string token,
                          PersonNumber person, std::string zone) {
  ledger::Act act;
  act.name = std::string(kind.name);
  act.token = std::move(token);
  act.request = canonicalJson(Value::Object{{"name", act.name},
                                            {"inputs", Value::Array(inputs.begin(), inputs.end())},
                                            {"person", person}});
  act.person = person;
  act.decide = [&kind, inputs = std::move(inputs), person,
                zone = std::move(zone)](const Snapshot& snapshot) -> Decision {
    const Context context{snapshot, person, Happened{snapshot.now(), zone, "", {}}};
    if (Result<void> permitted = checkPermit(snapshot, kind, {}, person, context.day()); !permitted)
      return permitted.error();
    std::vector<NewFact> facts;
    for (const Value& input : inputs) {
      Decision decided = kind.decide(context, input);
      if (!decided) return decided.error();
      for (NewFact& f : *decided) {
        // Each is decided on the record before all of them: a code that stands twice would get one
        // issue number twice.
        for (const NewFact& before : facts)
          if (before.subjects == f.subjects)
            return badInput(
                "issue.doubled",
                fmt::format("{} {} stands twice.", f.subjects.front().kind, f.subjects.front().id),
                "noun.code", "each code once");
        facts.push_back(std::move(f));
      }
    }
    return facts;
  };
  return act;
}

ledger::Act foundPlant(const Person& first, std::string token, std::string zone) {
  ledger::Act act;
  act.name = "plant found";
  act.token = std::move(token);
  act.request = canonicalJson(toValue(first));
  act.person = first.number;
  act.decide = [first, zone = std::move(zone)](const Snapshot& snapshot) -> Decision {
    if (snapshot.sequence() != 0)
      return gate::refusal(
          "The plant has been founded already.",
          {{"the record is not empty", "quality manager", "have the person issued instead"}});
    const Context context{snapshot, first.number, Happened{snapshot.now(), zone, "", {}}};
    return std::vector<NewFact>{fact(context, "person.issued",
                                     Issued<Person>{first, 1, {}, "the first person of the record"},
                                     {{"person", std::to_string(first.number)}})};
  };
  return act;
}

}  // namespace platemark::act
