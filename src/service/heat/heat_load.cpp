#include "heat_load.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/act/kinetics.h"
#include "platemark/gate/oven.h"
#include "platemark/quantity/measure.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;

constexpr int plate_cells = 2, friction_cells = 6;
/// Below this nothing boils or cures; heating is watched from here to the soak.
constexpr double watched_from_celsius = 60;

double si(const Measure& m) { return *siValue(m, findUnit(m.unit)->kind); }

cure::Material materialOf(std::string name, const HeatProperties& p) {
  cure::Material material;
  material.name = std::move(name);
  material.density = Density::of(si(p.density), unit::kilogram_per_cubic_metre);
  material.conductivity = Conductivity::of(si(p.conductivity), unit::watt_per_metre_kelvin);
  material.capacity = HeatCapacity::of(si(p.capacity), unit::joule_per_kilogram_kelvin);
  if (p.conductivity_slope)
    material.conductivity_slope = PerTemperature::of(si(*p.conductivity_slope), unit::per_kelvin);
  if (p.capacity_slope)
    material.capacity_slope = PerTemperature::of(si(*p.capacity_slope), unit::per_kelvin);
  return material;
}

/// An earlier cure is where this one begins.
cure::Binder binderOf(const act::HeatBatch& batch) {
  const cure::ParameterSet set = act::parametersOf(batch.kinetics->noun);
  cure::Binder binder;
  binder.law = std::get<cure::KamalLaw>(set.law);
  binder.start = std::clamp(std::max(set.start, batch.degree_before), 0.0, 0.999999);
  binder.heat = *set.heat;
  binder.share = Share::of(si(batch.kinetics->noun.binder), unit::one);
  return binder;
}

/// Steel first, then the friction material of each batch.
std::vector<cure::Material> materialsOf(const act::HeatFiles& files) {
  std::vector<cure::Material> materials{materialOf("steel", files.stacking.noun.steel)};
  for (const act::HeatBatch& batch : files.batches) {
    const auto& friction = files.stacking.noun.friction;
    const auto found = std::find_if(friction.begin(), friction.end(), [&](const FrictionHeat& f) {
      return f.compound == batch.compound;
    });
    cure::Material material = materialOf(batch.compound, found->properties);
    if (batch.kinetics) material.binder = binderOf(batch);
    materials.push_back(std::move(material));
  }
  return materials;
}

cure::Layer layer(std::size_t material, double thickness_m, bool pad) {
  cure::Layer l;
  l.material = material;
  l.thickness = Length::of(thickness_m, unit::metre);
  l.cells = pad ? friction_cells : plate_cells;
  l.pad = pad;
  return l;
}

/// End plate, then plate and friction layer of each pad with what lies between, then end plate.
std::vector<cure::Layer> layersOf(const Stacking& stacking, const Part& part, std::size_t friction,
                                  std::int64_t pads) {
  std::optional<HeatTransfer> joint;
  if (stacking.joint)
    joint = HeatTransfer::of(si(*stacking.joint), unit::watt_per_square_metre_kelvin);
  std::vector<cure::Layer> layers;
  const auto lay = [&](cure::Layer l, bool touches_only) {
    if (touches_only) l.joint_to_next = joint;
    layers.push_back(l);
  };
  if (stacking.end_plate) lay(layer(0, si(*stacking.end_plate), false), true);
  for (std::int64_t pad = 0; pad < pads; ++pad) {
    lay(layer(0, si(part.plate_thickness), false), false);  // bonded
    lay(layer(friction, si(part.friction_thickness), true), true);
    if (stacking.separator && pad + 1 < pads) lay(layer(0, si(*stacking.separator), false), true);
  }
  if (stacking.end_plate) lay(layer(0, si(*stacking.end_plate), false), false);
  layers.back().joint_to_next.reset();
  return layers;
}

/// Of a square of the same area, where the stacking does not say it.
double areaOverGirth(const Stacking& stacking, const Part& part) {
  return stacking.area_over_girth ? si(*stacking.area_over_girth)
                                  : std::sqrt(si(part.friction_area)) / 4;
}

Error noChannel(const std::string& channel) {
  Error error;
  error.code = "heat.channel";
  error.what = fmt::format("The recording has no channel '{}'.", channel);
  error.expected = "the channels that the survey was made against";
  error.remedy = "Name the recording's columns by the oven's channels, or survey the oven anew.";
  return error;
}

const SurveyPlace& placeOf(const act::HeatFiles& files, const Clamp& clamp) {
  const auto& places = files.survey.noun.places;
  return *std::find_if(places.begin(), places.end(), [&](const SurveyPlace& p) {
    return p.tier == clamp.tier && p.position == clamp.position;
  });
}

/// Minutes and °C as the method takes them, without empty readings, from the moment the load went
/// in.
std::vector<cure::CoursePoint> courseOf(const cure::Channel& channel, std::int64_t from_ms) {
  std::vector<cure::CoursePoint> course;
  for (std::size_t i = 0; i < channel.series.at_ms.size(); ++i) {
    const double t = channel.series.celsius[i];
    const std::int64_t at = channel.series.at_ms[i];
    if (at < from_ms || std::isnan(t)) continue;
    if (!course.empty() &&
        course.back().at.in(unit::second)*1000 >= static_cast<double>(at - from_ms))
      continue;  // a second reading of one moment
    course.push_back({Duration::of(static_cast<double>(at - from_ms) / 1000, unit::second),
                      TemperaturePoint::of(t, scale::celsius)});
  }
  return course;
}

/// Every channel spans the whole recording: its first and last reading stand for what is missing.
void coverSpan(std::vector<cure::CoursePoint>& course, Duration to) {
  if (course.empty()) return;
  if (course.front().at > Duration{})
    course.insert(course.begin(), {Duration{}, course.front().temperature});
  if (course.back().at < to) course.push_back({to, course.back().temperature});
}

std::int64_t loadIn(const act::HeatFiles& files, const intake::Series& series) {
  const std::int64_t built = files.load.built_at.unixMs();
  const bool inside = built >= series.times.front() && built < series.times.back();
  return inside ? built : series.times.front();
}

/// What the chart marked on a channel that is used: its readings are not to be relied on.
void addMarks(HeatLoad& out, const act::HeatFiles& files, const std::vector<std::string>& used) {
  const double longest_gap_min = si(files.programme.noun.longest_gap) / 60;
  for (const ChartMark& mark : files.load.marks) {
    if (!mark.channel.empty() && std::find(used.begin(), used.end(), mark.channel) == used.end())
      continue;
    const double minutes = static_cast<double>(mark.to.unixMs() - mark.from.unixMs()) / 60'000;
    const bool faulty = mark.kind == "stuck" || mark.kind == "jump" || mark.kind == "parted" ||
                        mark.kind == "implausible" ||
                        (mark.kind == "gap" && minutes > longest_gap_min);
    if (faulty) out.doubts.push_back("on the chart: " + mark.words);
  }
}

void addTolerance(HeatLoad& out, const cure::Channel& channel) {
  if (channel.tolerance_k)
    out.sensor_u_k = std::max(out.sensor_u_k, *channel.tolerance_k / std::sqrt(3.0));
  else
    out.doubts.push_back(
        fmt::format("neither class nor tolerance of the sensor of {} is on record", channel.name));
}

/// The channels that the survey's places of this load rest on, each once.
Result<std::vector<std::string>> addAir(HeatLoad& out, const act::HeatFiles& files,
                                        const OvenAir& air, std::int64_t from_ms) {
  std::vector<std::string> used;
  for (const Clamp& clamp : files.load.built.clamps) {
    const std::string& name = placeOf(files, clamp).channel;
    if (std::find(used.begin(), used.end(), name) != used.end()) continue;
    const auto channel = std::find_if(air.channels.begin(), air.channels.end(),
                                      [&](const cure::Channel& c) { return c.name == name; });
    if (channel == air.channels.end()) return noChannel(name);
    out.load.air.push_back(courseOf(*channel, from_ms));
    coverSpan(out.load.air.back(), out.load.to);
    addTolerance(out, *channel);
    used.push_back(name);
  }
  return used;
}

void addStack(HeatLoad& out, const act::HeatFiles& files, const std::vector<std::string>& used,
              StackAt at) {
  const Clamp& clamp = files.load.built.clamps[at.clamp];
  const SurveyPlace& place = placeOf(files, clamp);
  const Stacking& stacking = files.stacking.noun;
  const Part& part = files.batches[at.batch].part;
  cure::Stack stack;
  stack.layers = layersOf(stacking, part, at.batch + 1, at.pads);
  stack.first_end = stack.last_end =
      HeatTransfer::of(si(stacking.film_ends), unit::watt_per_square_metre_kelvin);
  stack.sides = HeatTransfer::of(si(stacking.film_sides), unit::watt_per_square_metre_kelvin);
  stack.area_over_girth = Length::of(areaOverGirth(stacking, part), unit::metre);
  stack.first_air.weights.assign(used.size(), 0);
  stack.first_air.weights[static_cast<std::size_t>(
      std::find(used.begin(), used.end(), place.channel) - used.begin())] = 1;
  stack.first_air.offset = TemperatureDifference::of(si(place.offset), unit::kelvin);
  stack.last_air = stack.first_air;
  stack.start = TemperaturePoint::of(si(stacking.start), scale::kelvin);
  at.place_u_k = si(place.u);
  out.pads += at.alike * at.pads;
  out.load.stacks.push_back(std::move(stack));
  out.at.push_back(at);
}

/// Full stacks of a clamp once, and what is left over as one lower stack.
void addStacks(HeatLoad& out, const act::HeatFiles& files, const std::vector<std::string>& used) {
  const auto& clamps = files.load.built.clamps;
  const std::int64_t full = files.stacking.noun.pads_in_stack;
  for (std::size_t c = 0; c < clamps.size(); ++c) {
    const auto batch = static_cast<std::size_t>(
        std::find_if(files.batches.begin(), files.batches.end(),
                     [&](const act::HeatBatch& b) { return b.batch == clamps[c].batch; }) -
        files.batches.begin());
    if (clamps[c].pads >= full)
      addStack(out, files, used, {c, batch, clamps[c].pads / full, full, 0});
    if (const std::int64_t rest = clamps[c].pads % full; rest > 0)
      addStack(out, files, used, {c, batch, 1, rest, 0});
  }
}

}  // namespace

SoakAsked soakAsked(const Programme& programme) {
  const auto soak = std::max_element(
      programme.segments.begin(), programme.segments.end(),
      [](const auto& a, const auto& b) { return a.soak_minutes < b.soak_minutes; });
  const double target = temperatureFrom(soak->target)->in(scale::celsius);
  return {target, target - temperatureDifferenceFrom(soak->tolerance)->in(unit::kelvin),
          soak->soak_minutes};
}

Result<HeatLoad> heatLoad(const act::HeatFiles& files, const intake::Series& series) {
  HeatLoad out;
  const SoakAsked soak = soakAsked(files.programme.noun);
  const OvenAir air = ovenAir(series, files.oven.noun, soak.target_celsius);
  const std::int64_t from = loadIn(files, series);
  out.load.to = Duration::of(static_cast<double>(series.times.back() - from) / 1000, unit::second);
  const Result<std::vector<std::string>> used = addAir(out, files, air, from);
  if (!used) return used.error();
  out.load.materials = materialsOf(files);
  out.load.limits = {TemperaturePoint::of(soak.edge_celsius, scale::celsius),
                     TemperaturePoint::of(watched_from_celsius, scale::celsius),
                     TemperaturePoint::of(soak.edge_celsius, scale::celsius)};
  addStacks(out, files, *used);
  for (std::vector<std::string> more : {gate::sensorDoubts(files.oven.noun, files.cured),
                                        gate::surveyDoubts(files.survey.noun, files.cured)})
    out.doubts.insert(out.doubts.end(), more.begin(), more.end());
  addMarks(out, files, *used);
  if (Result<void> sound = cure::checkLoad(out.load); !sound) return sound.error();
  return out;
}

cure::InputSpread spreadOf(const act::HeatFiles& files, const HeatLoad& load, std::size_t stack) {
  const Stacking& s = files.stacking.noun;
  const std::optional<Issued<Kinetics>>& kinetics = files.batches[load.at[stack].batch].kinetics;
  const auto share = [](const Measure& m) { return Share::of(si(m), unit::one); };
  cure::InputSpread spread;
  // One place of the survey stands for both ends of a stack: its error moves them alike.
  spread.sensors = TemperatureDifference::of(std::hypot(load.sensor_u_k, load.at[stack].place_u_k),
                                             unit::kelvin);
  spread.film = share(s.film_u);
  if (s.joint) spread.joint = share(s.joint_u);
  spread.conductivity = share(s.conductivity_u);
  spread.capacity = share(s.capacity_u);
  if (kinetics) {
    spread.heat = share(kinetics->noun.heat_u);
    spread.rate = share(kinetics->noun.rate_u);
  }
  return spread;
}

}  // namespace platemark::service
