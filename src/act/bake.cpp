/// The bake of a coat: the recorder's file, or typed readings of the metal.
#include "platemark/plant/bake.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/gate/finishing.h"
#include "platemark/method/coat/bake.h"
#include "platemark/plant/digest.h"
#include "support.h"

namespace platemark::act {
namespace {

struct EnterBake {
  std::string batch;
  std::string operation;
  std::string machine;
  std::int64_t pads = 0;
  std::vector<MetalTime> readings;
  std::optional<Measure> hottest;
  std::optional<std::string> gauge;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("pads", pads);
    v("readings", readings);
    v("hottest", hottest);
    v("gauge", gauge);
    v("remark", remark);
  }
};

/// The recorder's file has been read by the chart method before this is asked.
struct RecordBake {
  BakeRecorded recorded;
  FigureComputed figure;
  template <class V>
  void describe(V& v) {
    v("recorded", recorded);
    v("figure", figure);
  }
};

/// The programme of the coat. Errors: batch.unknown, bake.not_asked.
Result<std::string> programmeOf(const Context& context, const BatchState& batch,
                                const std::string& operation) {
  const auto part =
      requireIssue<Part>(context, projection::part, batch.opened.part, batch.opened.part_issue);
  if (!part) return part.error();
  const FinishingNeed* need = gate::needOf(part->noun, operation);
  if (need != nullptr && need->bake) return *need->bake;
  return badInput("bake.not_asked",
                  fmt::format("Part {} asks for no bake of '{}'.", part->noun.code, operation),
                  "operation", "an operation with a bake in the part's route");
}

Result<void> checkOvenOrLine(const Context& context, const std::string& machine) {
  if (checkMachine(context, machine, MachineClass::finishing)) return {};
  return checkMachine(context, machine, MachineClass::oven);
}

/// What every bake needs, however it was measured.
Result<BatchState> checkBake(const Context& context, BakeRecorded& in) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return batch;
  const Result<std::string> programme = programmeOf(context, *batch, in.operation);
  if (!programme) return programme.error();
  if (in.programme != *programme)
    return badInput(
        "bake.programme",
        fmt::format("The part asks for programme {}, not {}.", *programme, in.programme),
        "programme", *programme);
  if (Result<void> m = checkOvenOrLine(context, in.machine); !m) return m.error();
  if (in.pads < 1)
    return badInput("bake.pads", "How many pads were baked?", "pads", "a whole number above 0");
  if (Result<void> c = checkCorrection(context, in.remark, "bake.recorded", batchSubject(in.batch));
      !c)
    return c.error();
  return batch;
}

Decision keep(const Context& context, BakeRecorded recorded, FigureComputed figure) {
  const Result<BatchState> batch = checkBake(context, recorded);
  if (!batch) return batch.error();
  if (Result<void> p = permitOrReport(
          fmt::format("The bake of batch {} is refused.", recorded.batch),
          gate::mayBake(*batch, recorded, context.snapshot.now(), context.happened.zone),
          recorded.remark);
      !p)
    return p.error();
  figure.subject = batchSubject(recorded.batch);
  figure.sample = "";
  // The figure rests on the bake, which is the fact before it: a corrected bake takes it along.
  figure.readings = {context.snapshot.sequence() + 1};
  std::vector<NewFact> facts{
      fact(context, "bake.recorded", recorded, {figure.subject, {"machine", recorded.machine}}),
      fact(context, "figure.computed", figure, {figure.subject})};
  holdIfIrregular(facts, context, recorded.remark, figure.subject);
  return facts;
}

Decision recordBake(const Context& context, RecordBake in) {
  return keep(context, std::move(in.recorded), std::move(in.figure));
}

/// To a billionth: 199.3 °C is 204.3 °C less 5 K, whatever the last binary digit says.
double rounded(double celsius) { return std::round(celsius * 1e9) / 1e9; }

Measure askedTemperature(const Programme& programme) {
  const auto soak = std::max_element(
      programme.segments.begin(), programme.segments.end(),
      [](const auto& a, const auto& b) { return a.soak_minutes < b.soak_minutes; });
  const double celsius = temperatureFrom(soak->target)
                             ->in(scale::celsius)-temperatureDifferenceFrom(soak->tolerance)
                             ->in(unit::kelvin);
  return {Decimal::fromDouble(rounded(celsius)), "Cel"};
}

Result<double> celsius(const Measure& measure, const std::string& field) {
  const Result<TemperaturePoint> t = temperatureFrom(measure);
  if (!t) return Error(t.error()).at({"", 0, "", field});
  return rounded(t->in(scale::celsius));
}

Result<std::vector<method::coat::MetalTime>> readingsOf(const BakeRecorded& in) {
  std::vector<method::coat::MetalTime> list;
  for (std::size_t i = 0; i < in.readings.size(); ++i) {
    const std::string field = fmt::format("readings[{}]", i);
    const Result<double> metal = celsius(in.readings[i].metal, field + ".metal");
    if (!metal) return metal.error();
    const Result<Duration> time = durationFrom(in.readings[i].time);
    if (!time) return Error(time.error()).at({"", 0, "", field + ".time"});
    list.push_back({*metal, time->in(unit::minute)});
  }
  return list;
}

/// The highest metal temperature cannot lie below one at which the metal stayed.
Result<void> checkHottest(const BakeRecorded& in,
                          const std::vector<method::coat::MetalTime>& readings) {
  if (!in.hottest) return {};
  const Result<double> hottest = celsius(*in.hottest, "hottest");
  if (!hottest) return hottest.error();
  for (const method::coat::MetalTime& reading : readings)
    if (reading.minutes > 0 && reading.metal_celsius > *hottest)
      return badInput("bake.hottest",
                      fmt::format("The metal was at or above {:g} °C for {:g} min; its highest "
                                  "temperature cannot be {}.",
                                  reading.metal_celsius, reading.minutes, format(*in.hottest)),
                      "hottest", fmt::format("{:g} °C or more", reading.metal_celsius));
  return {};
}

FigureValue minutesValue(std::string name, const std::optional<double>& minutes,
                         const std::string& why) {
  FigureValue value{
      std::move(name), {Decimal::fromDouble(minutes.value_or(0)), "min"}, {}, true, {}, {}, {}};
  if (minutes) return value;
  value.determined = false;
  value.why = why;
  return value;
}

std::vector<FigureValue> valuesOf(const BakeRecorded& in, const method::coat::BakeTime& time,
                                  const Measure& asked) {
  FigureValue least =
      minutesValue("time_at_least", time.at_least,
                   fmt::format("No reading of the metal is at or above {}.", format(asked)));
  FigureValue most =
      minutesValue("time_at_most", time.at_most,
                   fmt::format("No reading of the metal is at or below {}.", format(asked)));
  // What is known from the other side may still say that it is outside.
  if (!least.determined) least.at_most = most.value;
  if (!most.determined) most.at_least = least.value;
  FigureValue hottest{"hottest", in.hottest.value_or(Measure{Decimal::fromDouble(0), "Cel"}),
                      {},        in.hottest.has_value(),
                      {},        {},
                      {}};
  if (!in.hottest) hottest.why = "The highest temperature of the metal was not read.";
  return {std::move(least), std::move(most), std::move(hottest)};
}

Result<FigureComputed> figureOf(const BakeRecorded& in, const Programme& programme) {
  const Measure asked = askedTemperature(programme);
  const auto readings = readingsOf(in);
  if (!readings) return readings.error();
  const auto time = method::coat::timeAtOrAbove(asked.value.value(), *readings);
  if (!time) return time.error();
  if (Result<void> h = checkHottest(in, *readings); !h) return h.error();
  FigureComputed figure;
  figure.method = bake_method;
  figure.inputs_hash = sha256Hex(canonicalJson(Value::Object{{"asked", toValue(asked)},
                                                             {"readings", toValue(in.readings)},
                                                             {"hottest", toValue(in.hottest)}}));
  figure.values = valuesOf(in, *time, asked);
  figure.notes = {fmt::format("Time at or above {} metal, typed.", format(asked))};
  return figure;
}

Decision enterBake(const Context& context, EnterBake in) {
  const Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return batch.error();
  const Result<std::string> code = programmeOf(context, *batch, in.operation);
  if (!code) return code.error();
  const auto programme = requireNoun<Programme>(context, projection::programme, *code);
  if (!programme) return programme.error();
  BakeRecorded recorded{in.batch, in.operation, in.machine, *code,    programme->issue, in.pads,
                        {},       in.readings,  in.hottest, in.gauge, in.remark};
  Result<FigureComputed> figure = figureOf(recorded, programme->noun);
  if (!figure) return figure.error();
  if (in.gauge) {
    const Result<Gauge> gauge = gaugeThen(context, *in.gauge);
    if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauge"});
    figure->doubts = gaugeDoubts(context, *gauge);
  }
  return keep(context, std::move(recorded), std::move(*figure));
}

}  // namespace

std::span<const Kind> bakeVerbs() {
  static constexpr Kind list[] = {
      verb<EnterBake, enterBake>("bake enter", Operation::finishing,
                                 "enter the metal temperatures and times of a coat's bake"),
      verb<RecordBake, recordBake>("bake record", Operation::finishing,
                                   "read the recorder's file of a coat's bake", false, true),
  };
  return list;
}

}  // namespace platemark::act
