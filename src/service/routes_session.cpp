#include <fmt/format.h>

#include "context.h"
#include "platemark/words/words.h"

namespace platemark::service {
namespace {

constexpr std::string_view cookie_name = "platemark-session";

/// "UTC+1": how far the plant's clock is from UTC now.
std::string zoneWords(Instant now, const std::string& zone) {
  const Result<LocalTime> local = localTime(now, zone);
  if (!local) return zone;
  const Result<Instant> as_utc = instantOf(*local, "Etc/UTC", Fold::earlier);
  const std::int64_t minutes = (as_utc->unixMs() - now.unixMs()) / 60'000;
  return minutes % 60 == 0 ? fmt::format("UTC{:+}", minutes / 60)
                           : fmt::format("UTC{:+}:{:02}", minutes / 60, std::abs(minutes % 60));
}

Value sessionValue(Context& context, std::optional<PersonNumber> number) {
  const std::unique_ptr<ledger::Snapshot> snapshot = context.house.store->read();
  Value person;
  if (const std::optional<Person> known = personOnRecord(*snapshot, number)) {
    Value::Array operations;
    for (const Permit& permit : known->permits)
      if (dayIn(snapshot->now(), context.house.card.zone) <= permit.until)
        operations.push_back(word(permit.operation));
    const std::optional<ledger::PersonCard> card = context.house.people->card(known->number);
    person = Value::Object{{"number", known->number},
                           {"name", card ? card->name : ""},
                           {"duty", known->duty},
                           {"operations", std::move(operations)}};
  }
  Value::Object plant{{"name", context.house.card.name},
                      {"zone", context.house.card.zone},
                      {"zone_words", zoneWords(snapshot->now(), context.house.card.zone)}};
  if (!person.isNull()) {
    plant.emplace("record_sequence", snapshot->sequence());
    plant.emplace("record_head", snapshot->head());
  }
  return Value::Object{{"plant", std::move(plant)},
                       {"person", std::move(person)},
                       {"caution", words::say("service.caution")},
                       {"version", "Platemark " PLATEMARK_VERSION}};
}

http::Response signIn(Context& context, const http::Request& request) {
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const std::string login = body->text("login");
  const Instant now = context.house.store->read()->now();
  for (const std::string& who : {login, request.peer})
    if (Result<void> may = context.sessions.mayTry(who, now); !may)
      return http::problem(may.error());
  const Result<ledger::PersonCard> card =
      context.house.people->logIn(login, body->text("password"));
  if (!card) {
    for (const std::string& who : {login, request.peer}) context.sessions.failed(who, now);
    return http::problem(card.error());
  }
  context.sessions.succeeded(login);
  context.sessions.succeeded(request.peer);
  http::Cookie cookie{std::string(cookie_name), context.sessions.begin(card->number, now)};
  // Behind TLS the cookie is sent over TLS only; a plant's own machine is reached in the clear.
  cookie.secure = context.behind_tls;
  return answer(sessionValue(context, card->number)).with(cookie);
}

http::Response signOut(Context& context, const http::Request& request) {
  if (const auto token = request.cookie(cookie_name)) context.sessions.end(*token);
  http::Cookie gone{std::string(cookie_name), ""};
  gone.max_age = std::chrono::seconds(-1);
  gone.secure = context.behind_tls;
  return http::noContent().with(gone);
}

}  // namespace

std::optional<PersonNumber> Context::signedIn(const http::Request& request, Sessions::Use use) {
  const auto token = request.cookie(cookie_name);
  if (!token) return {};
  const auto person = sessions.person(*token, house.store->read()->now(), use);
  // A name may have been erased, by another program too, while its session was open.
  return person && !erasedWords(*house.people, *person) ? person : std::nullopt;
}

std::optional<Person> personOnRecord(const ledger::Snapshot& snapshot,
                                     std::optional<PersonNumber> number) {
  if (!number) return {};
  auto issued = ledger::stateAs<Issued<Person>>(snapshot, projection::person,
                                                ledger::nowKey(std::to_string(*number)));
  return issued ? std::optional<Person>(std::move(issued->noun)) : std::nullopt;
}

Error notSignedIn() {
  Error error;
  error.fault = Fault::refused;
  error.code = "session.none";
  error.what = "You are not signed in.";
  error.missing = {
      {"nobody is signed in on this page", "you", "sign in with your name and password"}};
  return error;
}

http::Response answer(const Value& value, int status) {
  return http::json(canonicalJson(value), status);
}
http::Response answer(const Result<Value>& value) {
  return value ? answer(*value, 200) : http::problem(value.error());
}

Result<Value> bodyOf(const http::Request& request) {
  Result<Value> value = parseJson(request.body);
  if (!value) return value;
  if (value->asObject() != nullptr) return value;
  Error error;
  error.code = "json.no_object";
  error.what = "The request's body must be a JSON object.";
  return error;
}

http::Response show(Context& context, const http::Request& request,
                    const std::function<Result<Value>(const view::Look&)>& make) {
  const std::optional<PersonNumber> number = context.signedIn(request);
  const std::unique_ptr<ledger::Snapshot> snapshot = context.house.store->read();
  return answer(make(view::Look{*snapshot, context.house.card, personOnRecord(*snapshot, number),
                                *context.house.people}));
}

void addSessionRoutes(http::Router& router, Context& context) {
  router.get("/api/session", [&](const http::Request& request) {
    return answer(sessionValue(context, context.signedIn(request)));
  });
  router.post("/api/session",
              [&](const http::Request& request) { return signIn(context, request); });
  router.on("DELETE", "/api/session",
            [&](const http::Request& request) { return signOut(context, request); });
  router.get("/api/alive", [](const http::Request&) { return http::noContent(); });
}

/// Who is not signed in gets the pages' files, the way to sign in and a sign of life.
void keepDoor(http::Router& router, Context& context) {
  router.doorkeeper([&](const http::Request& request) -> std::optional<http::Response> {
    const bool stream = request.path == event_path;
    if (context.signedIn(request, stream ? Sessions::Use::only_open : Sessions::Use::counts))
      return {};
    return http::problem(notSignedIn(), 401);
  });
  for (const char* method : {"GET", "POST", "DELETE"}) router.openToAll(method, "/api/session");
  router.openToAll("GET", "/api/alive");
}

}  // namespace platemark::service
