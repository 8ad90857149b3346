#include <fmt/format.h>

#include <charconv>

#include "context.h"
#include "platemark/service/noun_import.h"
#include "platemark/service/show.h"

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
  const std::string name =
      fmt::format("{} {}", http_request.param("subject"), http_request.param("verb"));
  if (act::find(name) == nullptr) return http::problem(unknownAct(name));
  const Result<ledger::Receipt> receipt =
      askAny(context.house, {name, std::move(request->input), request->token, *person, request->at,
                             request->late_because, request->password});
  return receipt ? answer(receiptValue(context.house, *receipt), receipt->repeated ? 200 : 201)
                 : http::problem(receipt.error());
}

http::Response import(Context& context, const http::Request& request) {
  const std::optional<PersonNumber> person = context.signedIn(request);
  if (!person) return http::problem(notSignedIn(), 401);
  NounFile file{std::string(request.param("kind")),
                std::string(request.queryValue("format").value_or("json")), request.body,
                std::string(request.queryValue("token").value_or("")), *person};
  const bool dry = request.queryValue("dry").value_or("1") == "1";
  return answer(dry ? previewNouns(context.house, file) : importNouns(context.house, file));
}

/// A new person: name and password outside the record, number and permits in it.
struct NewPerson {
  std::string name, login, password, duty;
  std::vector<Permit> permits;
  template <class V>
  void describe(V& v) {
    v("name", name);
    v("login", login);
    v("password", password);
    v("duty", duty);
    v("permits", permits);
  }
};

http::Response addPerson(Context& context, const http::Request& request) {
  const std::optional<PersonNumber> asker = context.signedIn(request);
  if (!asker) return http::problem(notSignedIn(), 401);
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const Result<NewPerson> asked = fromValue<NewPerson>(*body);
  if (!asked) return http::problem(asked.error());
  const Result<ledger::Receipt> receipt =
      addPerson(context.house, *asker, {asked->name, asked->login, asked->password, asked->duty},
                asked->permits);
  return receipt ? answer(receiptValue(context.house, *receipt), 201)
                 : http::problem(receipt.error());
}

/// The password once more: a session left open must not be enough to erase somebody.
struct PasswordAgain {
  std::string password;
  template <class V>
  void describe(V& v) {
    v("password", password);
  }
};

http::Response erasePerson(Context& context, const http::Request& request) {
  const std::optional<PersonNumber> asker = context.signedIn(request);
  if (!asker) return http::problem(notSignedIn(), 401);
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const Result<PasswordAgain> again = fromValue<PasswordAgain>(*body);
  if (!again) return http::problem(again.error());
  PersonNumber number = 0;
  const std::string_view text = request.param("number");
  std::from_chars(text.data(), text.data() + text.size(), number);
  if (Result<void> done = erasePerson(context.house, *asker, again->password, number); !done)
    return http::problem(done.error());
  return answer(
      Value::Object{{"number", number}, {"words", *erasedWords(*context.house.people, number)}});
}

}  // namespace

void addActRoutes(http::Router& router, Context& context) {
  router.get("/api/acts", [](const http::Request&) { return answer(view::acts()); });
  router.post("/api/acts/{subject}/{verb}",
              [&](const http::Request& request) { return run(context, request); });
  router.post("/api/people",
              [&](const http::Request& request) { return addPerson(context, request); });
  router.post("/api/people/{number}/erase",
              [&](const http::Request& request) { return erasePerson(context, request); });
  router.post(
      "/api/nouns/{kind}/import",
      [&](const http::Request& request) { return import(context, request); }, 16u << 20U);
}

}  // namespace platemark::service
