#include "what_if.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "platemark/method/cure/reshape.h"
#include "platemark/service/heat_file.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;

constexpr std::size_t curve_points = 240;
constexpr double longest_change_min = 600, widest_change_k = 60;
constexpr std::int64_t extra_minutes[] = {20, 40, 60, 90, 120};

Error notComputed(const std::string& load) {
  Error error;
  error.fault = Fault::cannot_decide;
  error.code = "heat.not_computed";
  error.what = fmt::format("What the pads of load {} saw has not been computed.", load);
  error.remedy = "Compute it: load heat.";
  return error;
}

const WorstPad* worstNamed(const act::HeatFiles& files, PadExtreme what) {
  for (const WorstPad& w : files.load.heat->worst)
    if (w.what == what) return &w;
  return nullptr;
}

struct PadPlace {
  std::size_t stack = 0, layer = 0;
};

/// The layer of pad number `pad` in the stack.
std::size_t layerOf(const cure::Stack& stack, std::int64_t pad) {
  for (std::size_t i = 0; i < stack.layers.size(); ++i)
    if (stack.layers[i].pad && --pad == 0) return i;
  return 0;
}

/// First and one past the last cell of a layer.
std::pair<std::size_t, std::size_t> cellsOf(const cure::Stack& stack, std::size_t layer) {
  std::size_t from = 0;
  for (std::size_t i = 0; i < layer; ++i) from += static_cast<std::size_t>(stack.layers[i].cells);
  return {from, from + static_cast<std::size_t>(stack.layers[layer].cells)};
}

std::vector<Duration> timesOver(Duration to) {
  std::vector<Duration> times;
  for (std::size_t i = 0; i < curve_points; ++i)
    times.push_back(to * (static_cast<double>(i) / (curve_points - 1)));
  return times;
}

double leastDegree(const cure::StackState& state, std::pair<std::size_t, std::size_t> cells) {
  return *std::min_element(state.degrees.begin() + static_cast<std::ptrdiff_t>(cells.first),
                           state.degrees.begin() + static_cast<std::ptrdiff_t>(cells.second));
}

double extremeCelsius(const cure::StackState& state, std::pair<std::size_t, std::size_t> cells,
                      bool hottest) {
  const auto first = state.cells.begin() + static_cast<std::ptrdiff_t>(cells.first),
             last = state.cells.begin() + static_cast<std::ptrdiff_t>(cells.second);
  return (hottest ? *std::max_element(first, last) : *std::min_element(first, last))
      .in(scale::celsius);
}

/// One stack alone under changed air.
cure::Load alone(const cure::Load& load, std::size_t stack) {
  cure::Load one = load;
  one.stacks = {load.stacks[stack]};
  return one;
}

/// The moment at which the first of the channels leaves the soak.
Duration soakEnd(const cure::Load& load) {
  std::optional<Duration> end;
  for (const auto& course : load.air)
    if (const auto last = cure::lastAt(course, load.limits.soak))
      end = end ? std::min(*end, *last) : *last;
  return end.value_or(load.to);
}
Duration soakStart(const cure::Load& load) {
  Duration start{};
  for (const auto& course : load.air)
    if (const auto first = cure::firstAt(course, load.limits.soak)) start = std::max(start, *first);
  return start;
}

bool reachesSoak(const cure::Load& load) {
  return std::all_of(load.air.begin(), load.air.end(), [&](const auto& course) {
    return cure::firstAt(course, load.limits.soak).has_value();
  });
}

void changeAir(cure::Load& load, double set_point_celsius, const Change& change) {
  const Duration end = soakEnd(load), by = Duration::of(change.longer_minutes * 60, unit::second);
  for (auto& course : load.air) {
    course = cure::lifted(course, course.front().temperature,
                          TemperaturePoint::of(set_point_celsius, scale::celsius),
                          TemperatureDifference::of(change.hotter_k, unit::kelvin));
    course = cure::soakedLonger(course, end, by);
  }
  load.to = load.air.front().back().at;
  for (const auto& course : load.air) load.to = std::min(load.to, course.back().at);
}

Result<cure::PadHeat> padOf(const cure::Load& load, std::size_t layer) {
  const Result<std::vector<cure::PadHeat>> pads = cure::heatLoad(load);
  if (!pads) return pads.error();
  return *std::find_if(pads->begin(), pads->end(),
                       [&](const cure::PadHeat& p) { return p.layer == layer; });
}

/// The value of a pad in the respect in which it is the worst.
std::pair<double, std::string> valueOf(PadExtreme what, const cure::PadHeat& pad) {
  const auto minutes = [](Duration d) { return d.in(unit::second) / 60; };
  switch (what) {
    case PadExtreme::coldest:
      return {pad.coldest_peak.in(scale::celsius), "Cel"};
    case PadExtreme::hottest:
      return {pad.hottest.in(scale::celsius), "Cel"};
    case PadExtreme::latest:
      return {pad.reached ? minutes(*pad.reached) : -1, "min"};
    case PadExtreme::shortest:
      return {minutes(pad.soaked), "min"};
    case PadExtreme::least_cured:
      return {100 * pad.least_degree, "%"};
    case PadExtreme::fastest:
      return {pad.fastest.in(unit::kelvin_per_minute), "K/min"};
  }
  return {0, "1"};
}

/// Of a clamp with full stacks and a lower one the record names the pad, not the stack: it is the
/// one in which the pad fared as recorded.
std::optional<PadPlace> placeOf(const HeatAtHand& at_hand, const WorstPad& worst) {
  const auto& clamps = at_hand.files.load.built.clamps;
  std::optional<PadPlace> nearest;
  double distance = 0;
  for (std::size_t s = 0; s < at_hand.heat.at.size(); ++s) {
    const StackAt& at = at_hand.heat.at[s];
    if (clamps[at.clamp].clamp != worst.clamp || clamps[at.clamp].batch != worst.batch ||
        worst.pad > at.pads)
      continue;
    const PadPlace place{s, layerOf(at_hand.heat.load.stacks[s], worst.pad)};
    const Result<cure::PadHeat> pad = padOf(alone(at_hand.heat.load, s), place.layer);
    if (!pad) continue;
    const double off =
        std::abs(valueOf(worst.what, *pad).first - (worst.value ? worst.value->value.value() : -1));
    if (nearest && distance <= off) continue;
    nearest = place;
    distance = off;
  }
  return nearest;
}

Error outOfRange() {
  Error error;
  error.code = "heat.change";
  error.what = "Such a programme is not asked of an oven.";
  error.expected = fmt::format("at most {} min longer or shorter, {} K hotter or colder",
                               longest_change_min, widest_change_k);
  return error;
}

/// Every binder of the pad's stack goes on from what the pad has.
void startFrom(cure::Load& load, double degree) {
  for (cure::Material& material : load.materials)
    if (material.binder)
      material.binder->start = std::clamp(degree, material.binder->start, 0.999999);
}

}  // namespace

std::optional<double> HeatCurves::at(const Curve& curve, double minute) const {
  const auto after = std::lower_bound(minutes.begin(), minutes.end(), minute);
  if (after == minutes.end() || minute < minutes.front()) return {};
  const auto i = static_cast<std::size_t>(after - minutes.begin());
  if (i == 0) return curve.values[0];
  const double share = (minute - minutes[i - 1]) / (minutes[i] - minutes[i - 1]);
  return curve.values[i - 1] + share * (curve.values[i] - curve.values[i - 1]);
}

Result<HeatAtHand> heatAtHand(const House& house, const ledger::Snapshot& snapshot,
                              const std::string& load) {
  Result<act::HeatFiles> files = act::heatFiles(snapshot, load, house.card.zone);
  if (!files) return files.error();
  if (!files->load.heat) return notComputed(load);
  const Result<intake::Series> series = recordedSeries(house, snapshot, files->recorded);
  if (!series) return series.error();
  Result<HeatLoad> heat = heatLoad(*files, *series);
  if (!heat) return heat.error();
  return HeatAtHand{std::move(*files), std::move(*heat)};
}

Result<HeatCurves> heatCurves(const HeatAtHand& at_hand) {
  const std::vector<Duration> times = timesOver(at_hand.heat.load.to);
  HeatCurves out;
  for (const Duration t : times) out.minutes.push_back(t.in(unit::second) / 60);
  for (const auto& [what, name] : {std::pair{PadExtreme::coldest, "coldest"},
                                   {PadExtreme::hottest, "hottest"},
                                   {PadExtreme::least_cured, "degree"}}) {
    const WorstPad* worst = worstNamed(at_hand.files, what);
    const auto place = worst == nullptr ? std::nullopt : placeOf(at_hand, *worst);
    if (!place) continue;
    const auto states = cure::followStack(at_hand.heat.load, place->stack, times);
    if (!states) return states.error();
    const auto cells = cellsOf(at_hand.heat.load.stacks[place->stack], place->layer);
    Curve curve{name, {}};
    for (const cure::StackState& state : *states)
      curve.values.push_back(what == PadExtreme::least_cured
                                 ? leastDegree(state, cells)
                                 : extremeCelsius(state, cells, what == PadExtreme::hottest));
    out.curves.push_back(std::move(curve));
  }
  return out;
}

Result<WhatIf> whatIf(const HeatAtHand& at_hand, const Change& change) {
  if (!(std::abs(change.longer_minutes) <= longest_change_min) ||
      !(std::abs(change.hotter_k) <= widest_change_k))
    return outOfRange();
  const SoakAsked soak = soakAsked(at_hand.files.programme.noun);
  WhatIf out;
  for (const WorstPad& worst : at_hand.files.load.heat->worst) {
    const auto place = placeOf(at_hand, worst);
    if (!place) continue;
    cure::Load one = alone(at_hand.heat.load, place->stack);
    const Result<cure::PadHeat> now = padOf(one, place->layer);
    if (!now) return now.error();
    changeAir(one, soak.target_celsius, change);
    const Result<cure::PadHeat> then = padOf(one, place->layer);
    if (!then) return then.error();
    const auto [before, unit] = valueOf(worst.what, *now);
    out.rows.push_back({worst.what, worst.clamp, before, valueOf(worst.what, *then).first, unit});
  }
  return out;
}

Result<std::optional<ExtraCure>> extraCure(const HeatAtHand& at_hand) {
  const WorstPad* worst = worstNamed(at_hand.files, PadExtreme::least_cured);
  const auto place = worst == nullptr ? std::nullopt : placeOf(at_hand, *worst);
  if (!place || !worst->value) return std::optional<ExtraCure>();
  const SoakAsked soak = soakAsked(at_hand.files.programme.noun);
  ExtraCure out;
  out.batch = worst->batch;
  out.clamp = worst->clamp;
  out.set_point_celsius = soak.target_celsius;
  out.now = worst->value->value.value() / 100;
  for (const act::HeatBatch& batch : at_hand.files.batches)
    if (batch.batch == worst->batch) out.asked = batch.degree_asked;
  cure::Load one = alone(at_hand.heat.load, place->stack);
  startFrom(one, out.now);
  const double soaked_min = std::max(0.0, (soakEnd(one) - soakStart(one)).in(unit::second) / 60);
  cure::InputSpread spread = spreadOf(at_hand.files, at_hand.heat, place->stack);
  const double before_u = worst->u ? worst->u->value.value() / 100 : 0;
  for (const std::int64_t minutes : extra_minutes) {
    cure::Load more = one;
    changeAir(more, soak.target_celsius, {static_cast<double>(minutes) - soaked_min, 0});
    const Result<cure::PadHeat> pad = padOf(more, place->layer);
    if (!pad) return pad.error();
    const auto u = cure::propagate(more, 0, place->layer, spread);
    if (!u) return u.error();
    // What was uncertain before the rework cure shrinks as the rest that is uncured does.
    const double left = (1 - pad->least_degree) / std::max(1e-9, 1 - out.now);
    out.rows.push_back({minutes, pad->least_degree,
                        std::hypot(u->standard.least_degree, before_u * std::min(1.0, left))});
    const ExtraCure::Row& row = out.rows.back();
    if (out.asked && !out.enough && row.degree - 2 * row.u >= *out.asked) out.enough = minutes;
  }
  return std::optional(std::move(out));
}

Result<std::optional<ShorterSoak>> shorterSoak(const HeatAtHand& at_hand) {
  const std::optional<ShorterSoak> nothing;
  const WorstPad* worst = worstNamed(at_hand.files, PadExtreme::least_cured);
  const auto place = worst == nullptr ? std::nullopt : placeOf(at_hand, *worst);
  if (!place) return nothing;
  const act::HeatBatch& batch = at_hand.files.batches[at_hand.heat.at[place->stack].batch];
  const cure::Load one = alone(at_hand.heat.load, place->stack);
  if (!batch.degree_asked || !batch.adopted || !reachesSoak(one)) return nothing;
  const SoakAsked soak = soakAsked(at_hand.files.programme.noun);
  const double soaked = std::max(0.0, (soakEnd(one) - soakStart(one)).in(unit::second) / 60);
  ShorterSoak out{worst->clamp, *batch.degree_asked, std::llround(soaked), 0, 0, 0};
  const auto enough = [&](std::int64_t saved) -> Result<bool> {
    cure::Load less = one;
    changeAir(less, soak.target_celsius, {-static_cast<double>(saved), 0});
    const Result<cure::PadHeat> pad = padOf(less, place->layer);
    if (!pad) return pad.error();
    const auto u =
        cure::propagate(less, 0, place->layer, spreadOf(at_hand.files, at_hand.heat, place->stack));
    if (!u) return u.error();
    const bool holds = pad->least_degree - 2 * u->standard.least_degree >= out.asked;
    if (holds) {
      out.saved_minutes = saved;
      out.degree = pad->least_degree;
      out.u = u->standard.least_degree;
    }
    return holds;
  };
  // On a grid of five minutes, halved: a shorter soak never cures more.
  std::int64_t least = 0, most = static_cast<std::int64_t>(soaked) / 5;
  while (least < most) {
    const std::int64_t middle = (least + most + 1) / 2;
    const Result<bool> holds = enough(5 * middle);
    if (!holds) return holds.error();
    if (*holds)
      least = middle;
    else
      most = middle - 1;
  }
  if (out.saved_minutes == 0) return nothing;
  return std::optional(out);
}

}  // namespace platemark::service
