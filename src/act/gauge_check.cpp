/// Daily checks of balances, hardness testers and other gauges against their reference.
#include "platemark/plant/gauge_check.h"

#include <fmt/format.h>

#include <cmath>

#include "support.h"

namespace platemark::act {
namespace {

struct CheckGauge {
  std::string gauge;
  std::vector<Measure> readings;
  std::optional<std::string> attachment;
  std::optional<std::string> layout;  ///< by which `readings` were read from the file before
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("readings", readings);
    v("attachment", attachment);
    v("layout", layout);
    v("remark", remark);
  }
};

/// Half a unit of the twelfth digit, so that 10.002 is within 10 ± 0.002.
constexpr double rounding = 1e-12;

Result<bool> within(const Measure& reading, const DailyCheck& check, const std::string& field) {
  const Result<UnitRow> of_reading = findUnit(reading.unit),
                        of_check = findUnit(check.nominal.unit);
  if (!of_reading) return Error(of_reading.error()).at({"", 0, "", field});
  if (of_reading->kind != of_check->kind)
    return badInput(
        "value.other_kind",
        fmt::format("The reference is in {}, the reading in {}.", check.nominal.unit, reading.unit),
        field, check.nominal.unit);
  const auto si = [](const Measure& m, const UnitRow& unit) {
    return m.value.value() * unit.factor + unit.offset;
  };
  const double nominal = si(check.nominal, *of_check);
  const double off = std::abs(si(reading, *of_reading) - nominal);
  const double allowed = check.tolerance.value.value() * findUnit(check.tolerance.unit)->factor;
  return off <= allowed + rounding * std::abs(nominal);
}

Decision checkGauge(const Context& context, CheckGauge in) {
  const auto gauge = requireNoun<Gauge>(context, projection::gauge, in.gauge);
  if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauge"});
  const std::optional<DailyCheck>& check = gauge->noun.daily_check;
  if (!check)
    return badInput("gauge.no_check", fmt::format("Gauge {} has no daily check on file.", in.gauge),
                    "gauge", "a gauge whose issue names its reference and tolerance");
  if (in.readings.empty())
    return badInput("gauge.no_readings", "A check needs its readings.", "readings",
                    check->reference);
  GaugeChecked checked{in.gauge,         in.readings,   true,     check->nominal,
                       check->tolerance, in.attachment, in.remark};
  for (std::size_t i = 0; i < in.readings.size(); ++i) {
    const Result<bool> inside = within(in.readings[i], *check, fmt::format("readings[{}]", i));
    if (!inside) return inside.error();
    checked.passed = checked.passed && *inside;
  }
  if (Result<void> c = checkCorrection(context, in.remark, "gauge.checked", {"gauge", in.gauge});
      !c)
    return c.error();
  checked.remark.irregular.clear();
  std::vector<NewFact> facts{fact(context, "gauge.checked", checked, {{"gauge", in.gauge}})};
  if (!checked.passed)
    findWrongByCheck(facts, context, gauge->noun,
                     fmt::format("it failed its check with {}", check->reference));
  else if (in.remark.corrects)
    liftWithdrawn(facts, context, in.gauge, *in.remark.corrects);
  return facts;
}

}  // namespace

std::vector<std::string> gaugeDoubts(const Context& context, const Gauge& gauge) {
  return gate::gaugeDoubts(gauge,
                           stateAs<GaugeCheckState>(context.snapshot, projection::gauge_check,
                                                    gauge.code + "/" + formatDay(context.day())),
                           context.day());
}

std::span<const Kind> gaugeCheckVerbs() {
  static constexpr Kind list[] = {
      verb<CheckGauge, checkGauge>("gauge check", Operation::gauges,
                                   "record the daily check of a gauge against its reference"),
  };
  return list;
}

}  // namespace platemark::act
