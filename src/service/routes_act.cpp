#include <fmt/format.h>

#include "context.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/noun_import.h"
#include "platemark/service/papers.h"

namespace platemark::service {
namespace {

/// What a person asks; the act's input stands in `input`.
struct ActRequest {
  std::string token;
  Value input;
  std::optional<std::string> at, late_because, password;
  template <class V>
  void describe(V& v) {
    v("token", token);
    v("input", input);
    v("at", at);
    v("late_because", late_because);
    v("password", password);
  }
};

/// The thing an act has made or touched: the first subject of its first fact.
Value doneValue(Context& context, const act::Kind& kind, const ledger::Receipt& receipt) {
  const std::unique_ptr<ledger::Snapshot> snapshot = context.house.store->read();
  Value::Array sequences;
  for (const Sequence s : receipt.sequences) sequences.push_back(Value(s));
  Value::Object done{{"sequences", std::move(sequences)}, {"head", receipt.head}, {"recorded", formatLocal(receipt.recorded, context.house.card.zone, true)}, {"repeated", receipt.repeated}};
  std::string words(kind.words);
  if (!receipt.sequences.empty())
    if (const std::optional<Fact> first = snapshot->fact(receipt.sequences.front())) {
      words = view::factWords(*first) + ".";
      if (!first->subjects.empty()) done.emplace("created", view::subjectValue(first->subjects.front()));
    }
  done.emplace("words", receipt.repeated ? words + " It was on record already." : words);
  return done;
}

/// Acts whose input is computed before it is asked: a recorder's file, a paper.
Result<ledger::Receipt> askPrepared(Context& context, const act::Kind& kind, ActRequest request, PersonNumber person) {
  if (kind.name == "paper issue") return issuePaper(context.house, request.input.text("batch"), request.input.text("paper"), request.token, person);
  const Result<CureAsked> asked = fromValue<CureAsked>(request.input);
  if (!asked) return asked.error();
  Result<Value> input = cureInput(context.house, *asked);
  if (!input) return input.error();
  return ask(context.house, {std::string(kind.name), std::move(*input), request.token, person, request.at, request.late_because, {}});
}

Error unknownAct(const std::string& name) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "act.unknown";
  error.what = fmt::format("There is no act '{}'.", name);
  error.remedy = "GET /api/acts lists them.";
  return error;
}

http::Response run(Context& context, const http::Request& http_request) {
  const std::optional<PersonNumber> person = context.signedIn(http_request);
  if (!person) return http::problem(notSignedIn(), 401);
  const Result<Value> body = bodyOf(http_request);
  if (!body) return http::problem(body.error());
  Result<ActRequest> request = fromValue<ActRequest>(*body);
  if (!request) return http::problem(request.error());
  const std::string name = fmt::format("{} {}", http_request.param("subject"), http_request.param("verb"));
  const act::Kind* kind = act::find(name);
  if (kind == nullptr) return http::problem(unknownAct(name));
  const Result<ledger::Receipt> receipt =
      kind->prepared ? askPrepared(context, *kind, std::move(*request), *person)
                     : ask(context.house, {name, std::move(request->input), request->token, *person, request->at, request->late_because, request->password});
  return receipt ? answer(doneValue(context, *kind, *receipt), receipt->repeated ? 200 : 201) : http::problem(receipt.error());
}

http::Response import(Context& context, const http::Request& request) {
  const std::optional<PersonNumber> person = context.signedIn(request);
  if (!person) return http::problem(notSignedIn(), 401);
  NounFile file{std::string(request.param("kind")), std::string(request.queryValue("format").value_or("json")), request.body, std::string(request.queryValue("token").value_or("")), *person};
  const bool dry = request.queryValue("dry").value_or("1") == "1";
  return answer(dry ? previewNouns(context.house, file) : importNouns(context.house, file));
}

}  // namespace

void addActRoutes(http::Router& router, Context& context) {
  router.get("/api/acts", [](const http::Request&) { return answer(view::acts()); });
  router.post("/api/acts/{subject}/{verb}", [&](const http::Request& request) { return run(context, request); });
  router.post("/api/nouns/{kind}/import", [&](const http::Request& request) { return import(context, request); }, 16u << 20U);
}

}  // namespace platemark::service
