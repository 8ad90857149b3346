#include <fmt/format.h>

#include "context.h"
#include "platemark/service/show.h"
#include "view/heat.h"

namespace platemark::service {
namespace {

using http::Request;
using view::Look;

std::string param(const Request& request, std::string_view name) {
  return std::string(request.param(name));
}

Result<double> numberIn(const Request& request, std::string_view name) {
  const std::string text(request.queryValue(name).value_or("0"));
  const Result<Decimal> number = Decimal::parse(text);
  if (!number) return Error(number.error()).at({"", 0, "", std::string(name)});
  return number->value();
}

Error noJob(const std::string& number) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "job.unknown";
  error.what = fmt::format("There is no computation {}.", number);
  return error;
}

/// The act is asked in the name of who began the job, once its results are there.
http::Response begin(Context& context, const Request& request) {
  const std::optional<PersonNumber> person = context.signedIn(request);
  if (!person) return http::problem(notSignedIn(), 401);
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const std::string load = param(request, "id"), token = body->text("token");
  const auto work = [&context, load, token,
                     person = *person](const HeatProgress& progress) -> Result<Value> {
    Result<Value> input = heatInput(context.house, {load}, progress);
    if (!input) return input.error();
    const Result<ledger::Receipt> receipt =
        ask(context.house, {"load heat", std::move(*input), token, person, {}, {}, {}});
    if (!receipt) return receipt.error();
    return receiptValue(context.house, *receipt);
  };
  const Result<std::string> job = context.jobs.begin("load heat " + load, work);
  if (!job) return http::problem(job.error());
  return answer(Value::Object{{"job", *job}, {"href", "/api/jobs/" + *job}}, 202);
}

http::Response standing(Context& context, const Request& request) {
  if (!context.signedIn(request, Sessions::Use::only_open))
    return http::problem(notSignedIn(), 401);
  const std::string number = param(request, "job");
  const std::optional<Jobs::Standing> job = context.jobs.standing(number);
  if (!job) return http::problem(noJob(number));
  if (job->done && !*job->result) return http::problem(job->result->error());
  Value::Object value{
      {"job", number}, {"about", job->about}, {"share", job->share}, {"done", job->done}};
  if (job->done) value.emplace("result", **job->result);
  return answer(std::move(value));
}

http::Response cancel(Context& context, const Request& request) {
  if (!context.signedIn(request)) return http::problem(notSignedIn(), 401);
  const std::string number = param(request, "job");
  if (!context.jobs.cancel(number)) return http::problem(noJob(number));
  return answer(Value::Object{{"job", number}, {"stopping", true}});
}

Result<Value> whatIfOf(const Context& context, const Look& look, const Request& request) {
  const Result<double> longer = numberIn(request, "longer"), hotter = numberIn(request, "hotter");
  if (!longer) return longer.error();
  if (!hotter) return hotter.error();
  const Result<HeatAtHand> at_hand = heatAtHand(context.house, look.snapshot, param(request, "id"));
  if (!at_hand) return at_hand.error();
  const Result<WhatIf> told = whatIf(*at_hand, {*longer, *hotter});
  if (!told) return told.error();
  return view::whatIfValue(*told);
}

Result<Value> reworkCureOf(const Context& context, const Look& look, const Request& request) {
  const Result<HeatAtHand> at_hand = heatAtHand(context.house, look.snapshot, param(request, "id"));
  if (!at_hand) return at_hand.error();
  const Result<std::optional<ExtraCure>> extra = extraCure(*at_hand);
  if (!extra) return extra.error();
  return view::extraCureValue(*extra);
}

Result<Value> shorterSoakOf(const Context& context, const Look& look, const Request& request) {
  const Result<HeatAtHand> at_hand = heatAtHand(context.house, look.snapshot, param(request, "id"));
  if (!at_hand) return at_hand.error();
  const Result<std::optional<ShorterSoak>> shorter = shorterSoak(*at_hand);
  if (!shorter) return shorter.error();
  return view::shorterSoakValue(*shorter);
}

}  // namespace

void addHeatRoutes(http::Router& router, Context& context) {
  router.post("/api/loads/{id}/heat", [&context](const Request& r) { return begin(context, r); });
  router.get("/api/jobs/{job}", [&context](const Request& r) { return standing(context, r); });
  router.post("/api/jobs/{job}/cancel",
              [&context](const Request& r) { return cancel(context, r); });
  router.get("/api/loads/{id}/what-if", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) { return whatIfOf(context, look, r); });
  });
  router.get("/api/loads/{id}/rework-cure", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) { return reworkCureOf(context, look, r); });
  });
  router.get("/api/loads/{id}/shorter-soak", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) { return shorterSoakOf(context, look, r); });
  });
  router.get("/api/ovens/{code}", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) { return view::oven(look, param(r, "code")); });
  });
}

}  // namespace platemark::service
