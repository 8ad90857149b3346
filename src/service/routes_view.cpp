#include <algorithm>
#include <charconv>
#include <cmath>
#include <map>

#include "context.h"
#include "platemark/method/cure/thin.h"
#include "platemark/service/cure_file.h"
#include "view/chart.h"

namespace platemark::service {
namespace {

std::string queryText(const http::Request& request, std::string_view name) {
  return std::string(request.queryValue(name).value_or(""));
}

std::int64_t numberOf(std::string_view text, std::int64_t otherwise) {
  std::int64_t n = otherwise;
  std::from_chars(text.data(), text.data() + text.size(), n);
  return n;
}

Error badSubject() {
  Error error;
  error.code = "subject.bad";
  error.what = "The subject is missing.";
  error.expected = "kind:id, e.g. batch:K7M4J-7";
  return error;
}

Result<Value> factsView(const view::Look& look, const http::Request& request) {
  const std::string subject = queryText(request, "subject");
  const auto colon = subject.find(':');
  if (colon == std::string::npos) return badSubject();
  return view::facts(look, {subject.substr(0, colon), subject.substr(colon + 1)},
                     numberOf(queryText(request, "after"), 0));
}

/// The recording of a load, from the shelf or from its file.
Result<RecordingShelf::Series> recordingOf(Context& context, const view::ChartFile& file) {
  const CureRecorded& recorded = *file.recorded;
  const std::string key =
      recorded.attachment + "/" + recorded.layout + "/" + std::to_string(recorded.layout_issue);
  if (RecordingShelf::Series known = context.recordings.find(key)) return known;
  const auto snapshot = context.house.store->read();
  const auto layout = ledger::stateAs<Issued<Layout>>(
      *snapshot, projection::layout, ledger::issueKey(recorded.layout, recorded.layout_issue));
  Error missing;
  missing.code = "layout.unknown";
  missing.fault = Fault::not_found;
  missing.what = "The layout of the recording is not on record.";
  if (!layout) return missing;
  const Result<intake::FileLayout> mapping = layoutFrom(layout->noun.mapping);
  if (!mapping) return mapping.error();
  Result<intake::Series> series =
      readRecording(*context.house.store, recorded.attachment, recorded.file_name, *mapping);
  if (!series) return series.error();
  auto shared = std::make_shared<const intake::Series>(std::move(*series));
  context.recordings.keep(key, shared);
  return RecordingShelf::Series(shared);
}

std::string curveWords(const std::string& name) {
  if (name == "coldest") return words::say("service.heat.curve_coldest");
  if (name == "hottest") return words::say("service.heat.curve_hottest");
  return words::say("service.heat.curve_degree");
}

/// What the worst pads saw, at the moments at which the channels are drawn.
void addCalculated(Value::Array& list, const Value::Array& minutes, const HeatCurves* curves) {
  if (curves == nullptr) return;
  for (const Curve& curve : curves->curves) {
    Value::Array values;
    for (const Value& minute : minutes) {
      const std::optional<double> value = curves->at(curve, *minute.asDouble());
      values.push_back(value ? Value(*value) : Value());
    }
    list.push_back(Value::Object{{"name", curve.name},
                                 {"words", curveWords(curve.name)},
                                 {"kind", "calculated"},
                                 {"axis", curve.name == "degree" ? "degree" : "temperature"},
                                 {"first", curve.name != "hottest"},
                                 {"values", std::move(values)}});
  }
}

/// Computed when a chart is drawn and kept, as a chart is zoomed many times; nothing where the heat
/// of the load is not on record.
std::shared_ptr<const HeatCurves> curvesOf(Context& context, const LoadState& load) {
  if (!load.heat) return nullptr;
  const std::string key = load.built.load + "/" + std::to_string(*load.heat_fact);
  if (auto known = context.curves.find(key)) return known;
  const auto snapshot = context.house.store->read();
  const Result<HeatAtHand> at_hand = heatAtHand(context.house, *snapshot, load.built.load);
  if (!at_hand) return nullptr;
  Result<HeatCurves> curves = heatCurves(*at_hand);
  if (!curves) return nullptr;
  auto shared = std::make_shared<const HeatCurves>(std::move(*curves));
  context.curves.keep(key, shared);
  return shared;
}

/// Columns for the chart: every channel thinned on the same axis, no peak lost.
Value seriesValue(const view::ChartFile& file, const intake::Series& series,
                  const HeatCurves* curves, const http::Request& request) {
  const std::int64_t columns =
      std::clamp<std::int64_t>(numberOf(queryText(request, "columns"), 800), 50, 4000);
  const std::int64_t start = file.start.unixMs();
  const std::int64_t from = start + numberOf(queryText(request, "from"), -1'000'000) * 60'000,
                     to = start + numberOf(queryText(request, "to"), 1'000'000) * 60'000;
  const auto lower = static_cast<std::size_t>(
      std::lower_bound(series.times.begin(), series.times.end(), from) - series.times.begin());
  const auto upper = static_cast<std::size_t>(
      std::upper_bound(series.times.begin(), series.times.end(), to) - series.times.begin());
  std::map<std::int64_t, std::vector<Value>> rows;
  std::vector<const intake::SeriesColumn*> channels;
  for (const intake::SeriesColumn& column : series.columns)
    if (column.kind == Kind::temperature_point) channels.push_back(&column);
  for (std::size_t c = 0; c < channels.size(); ++c) {
    const std::span<const std::int64_t> times(series.times.data() + lower, upper - lower);
    const std::span<const double> values(channels[c]->values.data() + lower, upper - lower);
    const auto points = method::cure::thin({times, values}, static_cast<std::size_t>(columns));
    if (!points) continue;
    for (const method::cure::Point& p : *points) {
      auto& row = rows.try_emplace(p.at_ms, channels.size()).first->second;
      if (!std::isnan(p.celsius)) row[c] = p.celsius;
    }
  }
  Value::Array minutes;
  std::vector<Value::Array> values(channels.size());
  for (const auto& [at, row] : rows) {
    minutes.push_back(static_cast<double>(at - start) / 60'000.0);
    for (std::size_t c = 0; c < channels.size(); ++c) values[c].push_back(row[c]);
  }
  Value::Array list;
  for (std::size_t c = 0; c < channels.size(); ++c)
    list.push_back(Value::Object{{"name", channels[c]->meaning},
                                 {"words", channels[c]->meaning},
                                 {"kind", "recorded"},
                                 {"first", c == 0},
                                 {"values", std::move(values[c])}});
  addCalculated(list, minutes, curves);
  const std::size_t shown = rows.size(), all = upper - lower;
  const bool thinned = shown < all;
  const std::string ratio =
      thinned ? "1 : " + std::to_string((all + shown - 1) / std::max<std::size_t>(shown, 1)) : "";
  return Value::Object{
      {"start", formatInstant(file.start)},
      {"minutes", std::move(minutes)},
      {"channels", std::move(list)},
      {"decimated", thinned ? Value(ratio) : Value()},
      {"words",
       words::say(thinned ? "service.series.thinned" : "service.series.all",
                  {{"n", view::grouped(static_cast<std::int64_t>(all))}, {"ratio", ratio}})}};
}

http::Response series(Context& context, const http::Request& request) {
  return show(context, request, [&](const view::Look& look) -> Result<Value> {
    const Result<view::ChartFile> file = view::chartFile(look, std::string(request.param("id")));
    if (!file) return file.error();
    if (!file->recorded)
      return Value(Value::Object{{"start", formatInstant(file->start)},
                                 {"minutes", Value::Array{}},
                                 {"channels", Value::Array{}},
                                 {"decimated", Value()},
                                 {"words", words::say("service.series.none")}});
    const Result<RecordingShelf::Series> recording = recordingOf(context, *file);
    if (!recording) return recording.error();
    const auto curves = curvesOf(context, file->load);
    return seriesValue(*file, **recording, curves.get(), request);
  });
}

using Make = std::function<Result<Value>(const view::Look&, const http::Request&)>;

void on(http::Router& router, Context& context, const std::string& pattern, Make make) {
  router.get(pattern, [&context, make = std::move(make)](const http::Request& request) {
    return show(context, request, [&](const view::Look& look) { return make(look, request); });
  });
}

std::string param(const http::Request& request, std::string_view name) {
  return std::string(request.param(name));
}

}  // namespace

void addViewRoutes(http::Router& router, Context& context) {
  using http::Request;
  using view::Look;
  on(router, context, "/api/today",
     [&context](const Look& look, const Request&) { return *context.todays.of(look); });
  on(router, context, "/api/yield",
     [](const Look& look, const Request& r) { return view::yield(look, queryText(r, "from")); });
  on(router, context, "/api/formulas/{code}/{from}/{to}", [](const Look& look, const Request& r) {
    return view::formulaChange(look, param(r, "code"), param(r, "from"), param(r, "to"));
  });
  on(router, context, "/api/batches",
     [](const Look& look, const Request& r) { return view::batches(look, queryText(r, "after")); });
  on(router, context, "/api/batches/{id}",
     [](const Look& look, const Request& r) { return view::batch(look, param(r, "id")); });
  on(router, context, "/api/lots",
     [](const Look& look, const Request& r) { return view::lots(look, queryText(r, "after")); });
  on(router, context, "/api/lots/{id}",
     [](const Look& look, const Request& r) { return view::lot(look, param(r, "id")); });
  on(router, context, "/api/loads",
     [](const Look& look, const Request& r) { return view::loads(look, queryText(r, "after")); });
  on(router, context, "/api/loads/{id}",
     [](const Look& look, const Request& r) { return view::load(look, param(r, "id")); });
  router.get("/api/loads/{id}/series", [&context](const Request& r) { return series(context, r); });
  on(router, context, "/api/facts",
     [](const Look& look, const Request& r) { return factsView(look, r); });
  on(router, context, "/api/facts/{sequence}", [&context](const Look& look, const Request& r) {
    return view::fact(look, *context.house.store, numberOf(r.param("sequence"), 0));
  });
  on(router, context, "/api/find",
     [](const Look& look, const Request& r) { return view::find(look, queryText(r, "code")); });
  on(router, context, "/api/nouns",
     [](const Look& look, const Request&) { return view::nounKinds(look); });
  on(router, context, "/api/nouns/{kind}", [](const Look& look, const Request& r) {
    return view::nouns(look, param(r, "kind"), queryText(r, "after"));
  });
  on(router, context, "/api/nouns/{kind}/{code}", [](const Look& look, const Request& r) {
    return view::noun(look, param(r, "kind"), param(r, "code"));
  });
  on(router, context, "/api/characteristics/{plan}/{characteristic}",
     [](const Look& look, const Request& r) {
       return view::characteristic(look, param(r, "plan"), param(r, "characteristic"));
     });
  on(router, context, "/api/gauges/{code}",
     [](const Look& look, const Request& r) { return view::gauge(look, param(r, "code")); });
  on(router, context, "/api/methods", [](const Look&, const Request&) { return view::methods(); });
  on(router, context, "/api/laboratory",
     [](const Look& look, const Request&) { return view::bench(look); });
  on(router, context, "/api/laboratory/{kind}/{id}", [](const Look& look, const Request& r) {
    return view::laboratory(look, {param(r, "kind"), param(r, "id")});
  });
  on(router, context, "/api/judge/{gate}/{kind}/{id}", [](const Look& look, const Request& r) {
    return view::judgement(look, param(r, "gate"), {param(r, "kind"), param(r, "id")});
  });
  on(router, context, "/api/adopt/{plan}/{issue}/{characteristic}",
     [](const Look& look, const Request& r) {
       return view::adoption(look, param(r, "plan"), numberOf(r.param("issue"), 0),
                             param(r, "characteristic"));
     });
  router.post("/api/methods/{id}/evaluate", [](const Request& r) {
    const Result<Value> body = bodyOf(r);
    return body ? answer(view::evaluate(param(r, "id"), *body)) : http::problem(body.error());
  });
}

}  // namespace platemark::service
