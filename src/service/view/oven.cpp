#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "heat.h"
#include "platemark/figure/oven_map.h"
#include "platemark/figure/svg.h"
#include "platemark/gate/oven.h"
#include "platemark/method/cure/drift.h"

namespace platemark::service::view {
namespace {

namespace cure = method::cure;

constexpr int soon_days = 14;

double kelvin(const Measure& m) { return temperatureDifferenceFrom(m)->in(unit::kelvin); }
std::string kelvinWords(double k) { return format({Decimal::fixed(k, 1), "K"}); }

/// The drift of one channel since the sensor was last calibrated.
struct ChannelDrift {
  std::string channel;
  std::size_t loads = 0;
  std::optional<cure::Drift> drift;
  bool passes = false;
};

std::vector<cure::OffsetPoint> pointsOf(const OvenState& state, const Channel& channel,
                                        const std::string& zone) {
  std::vector<cure::OffsetPoint> points;
  for (const OvenLoad& load : state.loads) {
    if (channel.calibrated && dayIn(load.at, zone) < *channel.calibrated) continue;
    for (const ChannelOffset& o : load.offsets)
      if (o.channel == channel.name)
        points.push_back({static_cast<double>(load.at.unixMs()) / 86'400'000.0, kelvin(o.offset)});
  }
  return points;
}

std::vector<ChannelDrift> driftsOf(const Look& look, const Machine& oven) {
  const auto state = ledger::stateAs<OvenState>(look.snapshot, projection::oven_loads, oven.code);
  std::vector<ChannelDrift> list;
  for (const Channel& channel : oven.channels) {
    if (!state) break;
    const std::vector<cure::OffsetPoint> points = pointsOf(*state, channel, look.card.zone);
    if (points.empty()) continue;
    ChannelDrift one{channel.name, points.size(), {}, false};
    if (const Result<cure::Drift> drift = cure::driftOf(points)) {
      one.drift = *drift;
      one.passes = oven.drift_limit && drift->passes(kelvin(*oven.drift_limit));
    }
    list.push_back(std::move(one));
  }
  return list;
}

/// With two channels both part alike: none of them is named the wrong one.
std::string driftWords(const ChannelDrift& d, const Machine& oven) {
  if (!d.drift)
    return say("service.oven.drift_few",
               {{"n", d.loads}, {"least", cure::drift_least_loads}});
  std::string words = say("service.oven.drift", {{"drift", kelvinWords(d.drift->drift_k)},
                                                 {"u", kelvinWords(2 * d.drift->u_k)},
                                                 {"n", d.loads}});
  if (oven.drift_limit)
    words += say(d.passes ? "service.oven.drift_passes" : "service.oven.drift_inside",
                 {{"limit", format(*oven.drift_limit)}, {"oven", oven.code}});
  else
    words += say("service.oven.drift_no_limit");
  return words;
}

Value sensorValue(const Look& look, const Channel& channel, const std::vector<ChannelDrift>& drifts,
                  const Machine& oven) {
  const auto drift = std::find_if(drifts.begin(), drifts.end(),
                                  [&](const ChannelDrift& d) { return d.channel == channel.name; });
  std::string sensor;
  if (channel.sensor)
    sensor = say("service.oven.sensor", {{"type", word(channel.sensor->type)},
                                         {"class", channel.sensor->tolerance_class}});
  if (channel.sensor_tolerance) sensor = "± " + format(*channel.sensor_tolerance);
  const bool late = channel.calibration_due && *channel.calibration_due < look.today();
  return Value::Object{
      {"channel", channel.name},
      {"role", word(channel.role)},
      {"sensor", sensor.empty() ? say("service.oven.not_on_record") : sensor},
      {"corrections", static_cast<std::int64_t>(channel.corrections.size())},
      {"due", channel.calibration_due ? formatDay(*channel.calibration_due)
                                      : say("service.oven.not_on_record")},
      {"late", late},
      {"drift", drift == drifts.end() ? say("service.oven.drift_none") : driftWords(*drift, oven)},
      {"passes", drift != drifts.end() && drift->passes}};
}

std::string surveyMap(const Survey& survey) {
  figure::OvenMapInput map;
  map.title = say("service.oven.map", {{"oven", survey.oven}, {"day", formatDay(survey.surveyed)}});
  map.tier_words = say("service.oven.tier");
  const auto colder = [](const SurveyPlace& a, const SurveyPlace& b) {
    return kelvin(a.offset) < kelvin(b.offset);
  };
  const auto [coldest, hottest] =
      std::minmax_element(survey.places.begin(), survey.places.end(), colder);
  map.reading = say("service.oven.map_reading", {{"coldest", kelvinWords(kelvin(coldest->offset))},
                                                 {"hottest", kelvinWords(kelvin(hottest->offset))}});
  for (const SurveyPlace& p : survey.places) {
    figure::OvenPlace place{static_cast<int>(p.tier), static_cast<int>(p.position),
                            format(p.offset), p.channel, {}};
    if (&p == &*coldest) place.marked.push_back(say("service.heat.coldest"));
    if (&p == &*hottest) place.marked.push_back(say("service.heat.hottest"));
    map.places.push_back(std::move(place));
  }
  const Result<figure::Scene> scene = figure::ovenMap(map);
  return scene ? figure::toSvg(*scene) : "";
}

/// Against what was asked of the oven, where something was.
std::string uniformityWords(const Survey& survey) {
  double widest = 0;
  for (const SurveyPlace& p : survey.places) widest = std::max(widest, std::abs(kelvin(p.offset)));
  if (!survey.uniformity) return say("service.oven.widest", {{"widest", kelvinWords(widest)}});
  return say(widest <= kelvin(*survey.uniformity) ? "service.oven.uniform"
                                                  : "service.oven.not_uniform",
             {{"widest", kelvinWords(widest)}, {"asked", format(*survey.uniformity)}});
}

Value surveyValue(const Look& look, const Issued<Survey>& survey) {
  const std::vector<std::string> doubts = gate::surveyDoubts(survey.noun, look.today());
  return Value::Object{
      {"code", survey.noun.code},
      {"issue", survey.issue},
      {"day", formatDay(survey.noun.surveyed)},
      {"until", formatDay(addDays(survey.noun.surveyed,
                                  static_cast<int>(survey.noun.age_limit_days)))},
      {"late", !doubts.empty()},
      {"source", survey.noun.source},
      {"uniformity", uniformityWords(survey.noun)},
      {"map", surveyMap(survey.noun)}};
}

/// The offsets load by load, newest first.
Value::Array offsetsOf(const Look& look, const std::string& oven) {
  Value::Array rows;
  const auto state = ledger::stateAs<OvenState>(look.snapshot, projection::oven_loads, oven);
  if (!state) return rows;
  for (auto load = state->loads.rbegin(); load != state->loads.rend() && rows.size() < 40; ++load) {
    Value::Array offsets;
    for (const ChannelOffset& o : load->offsets)
      offsets.push_back(Value::Object{{"channel", o.channel},
                                      {"offset", kelvinWords(kelvin(o.offset))}});
    rows.push_back(Value::Object{{"load", load->load},
                                 {"when", dayAndTime(look, load->at)},
                                 {"offsets", std::move(offsets)}});
  }
  return rows;
}

Value lateRow(bool late, std::string what, std::string hangs, std::string helps,
              const std::string& oven, const std::string& by) {
  return Value::Object{{"word", late ? "late" : "due soon"},
                       {"what", std::move(what)},
                       {"kind", "oven"},
                       {"id", oven},
                       {"hangs", std::move(hangs)},
                       {"helps", std::move(helps)},
                       {"who", say("service.oven.who")},
                       {"by", by}};
}

void addLateSensors(const Look& look, const Machine& oven, Value::Array& rows) {
  for (const Channel& channel : oven.channels) {
    if (!channel.calibration_due || channel.role == ChannelRole::over_temperature) continue;
    const bool late = *channel.calibration_due < look.today();
    if (!late && addDays(look.today(), soon_days) < *channel.calibration_due) continue;
    rows.push_back(lateRow(
        late, say("service.oven.late_sensor", {{"oven", oven.name}, {"channel", channel.name}}),
        say("service.oven.late_hangs"), say("service.oven.calibrate"), oven.code,
        formatDay(*channel.calibration_due)));
  }
}

void addLateSurvey(const Look& look, const Machine& oven, Value::Array& rows) {
  const auto survey = act::surveyOf(look.snapshot, oven.code, look.today());
  if (!survey) return;
  const Day until =
      addDays(survey->noun.surveyed, static_cast<int>(survey->noun.age_limit_days));
  const bool late = until < look.today();
  if (!late && addDays(look.today(), soon_days) < until) return;
  rows.push_back(lateRow(late, say("service.oven.late_survey", {{"oven", oven.name}}),
                         say("service.oven.late_hangs"), say("service.oven.survey"), oven.code,
                         formatDay(until)));
}

void addDrifts(const Look& look, const Machine& oven, Value::Array& rows) {
  for (const ChannelDrift& d : driftsOf(look, oven)) {
    if (!d.passes) continue;
    rows.push_back(lateRow(
        true, say("service.oven.drifts", {{"oven", oven.name}, {"channel", d.channel}}),
        driftWords(d, oven), say("service.oven.compare"), oven.code, ""));
  }
}

}  // namespace

Result<Value> oven(const Look& look, const std::string& code) {
  const auto machine =
      ledger::stateAs<Issued<Machine>>(look.snapshot, projection::machine, ledger::nowKey(code));
  if (!machine || machine->noun.machine_class != MachineClass::oven) {
    Error error;
    error.fault = Fault::not_found;
    error.code = "machine.unknown";
    error.what = fmt::format("There is no oven '{}' on record.", code);
    return error;
  }
  const std::vector<ChannelDrift> drifts = driftsOf(look, machine->noun);
  Value::Array sensors;
  for (const Channel& c : machine->noun.channels)
    sensors.push_back(sensorValue(look, c, drifts, machine->noun));
  const bool parted =
      std::any_of(drifts.begin(), drifts.end(), [](const ChannelDrift& d) { return d.passes; });
  const auto survey = act::surveyOf(look.snapshot, code, look.today());
  return Value(Value::Object{
      {"code", code},
      {"name", machine->noun.name},
      {"issue", machine->issue},
      {"sentence", say(parted ? "service.oven.parted" : "service.oven.together")},
      {"parted", parted},
      {"sensors", std::move(sensors)},
      {"survey", survey ? surveyValue(look, *survey) : Value()},
      {"loads", offsetsOf(look, code)},
      {"permitted",
       Value::Array{permittedValue(look, "survey issue", say("service.do.survey"), {}, {},
                                   "/things/survey/new"),
                    permittedValue(look, "stacking issue", say("service.do.stacking"), {}, {},
                                   "/things/stacking/new")}}});
}

void addLateOvens(const Look& look, Value::Array& rows) {
  for (const Issued<Machine>& machine : act::allOf<Machine>(look.snapshot, projection::machine)) {
    if (machine.noun.machine_class != MachineClass::oven) continue;
    addDrifts(look, machine.noun, rows);
    addLateSensors(look, machine.noun, rows);
    addLateSurvey(look, machine.noun, rows);
  }
}

}  // namespace platemark::service::view
