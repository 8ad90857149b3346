/// The figures of every batch of a load and the worst pads of the whole: computed pad by pad.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <map>

#include "heat_load.h"
#include "platemark/act/kinetics.h"
#include "platemark/plant/digest.h"
#include "platemark/service/cure_file.h"
#include "platemark/service/heat_file.h"
#include "recorded_chart.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;

Error cancelled(const std::string& load) {
  Error error;
  error.fault = Fault::conflict;
  error.code = "heat.cancelled";
  error.what = fmt::format("The computation for load {} was stopped.", load);
  error.remedy = "Begin it again.";
  return error;
}

/// Most of the time goes into the pads, the rest into their uncertainty.
constexpr double share_of_pads = 0.6;

Result<std::vector<cure::PadHeat>> everyPad(const std::string& load, const cure::Load& of,
                                            const HeatProgress& progress) {
  const std::vector<cure::Batch> batches = cure::batchesOf(of);
  std::vector<cure::PadHeat> pads;
  for (std::size_t i = 0; i < batches.size(); ++i) {
    if (!progress(share_of_pads * static_cast<double>(i) / static_cast<double>(batches.size())))
      return cancelled(load);
    Result<std::vector<cure::PadHeat>> some = cure::heatBatch(of, batches[i]);
    if (!some) return some.error();
    pads.insert(pads.end(), some->begin(), some->end());
  }
  std::sort(pads.begin(), pads.end(), [](const cure::PadHeat& a, const cure::PadHeat& b) {
    return std::pair(a.stack, a.layer) < std::pair(b.stack, b.layer);
  });
  return pads;
}

/// What one load's computation works with.
struct Work {
  const act::HeatFiles& files;
  const HeatLoad& heat;
  std::vector<cure::PadHeat> pads;
  std::map<std::pair<std::size_t, std::size_t>, cure::PadSpread> spreads;

  [[nodiscard]] const act::HeatBatch& batchOf(const cure::PadHeat& pad) const {
    return files.batches[heat.at[pad.stack].batch];
  }
  [[nodiscard]] const Clamp& clampOf(const cure::PadHeat& pad) const {
    return files.load.built.clamps[heat.at[pad.stack].clamp];
  }
  [[nodiscard]] const cure::PadSpread& spread(const cure::PadHeat& pad) const {
    return spreads.at({pad.stack, pad.layer});
  }
  /// 1 at the first end.
  [[nodiscard]] std::int64_t numberOf(const cure::PadHeat& pad) const {
    const auto& layers = heat.load.stacks[pad.stack].layers;
    return std::count_if(layers.begin(),
                         layers.begin() + static_cast<std::ptrdiff_t>(pad.layer) + 1,
                         [](const cure::Layer& l) { return l.pad; });
  }
  [[nodiscard]] std::vector<cure::PadHeat> ofBatch(std::size_t batch) const {
    std::vector<cure::PadHeat> some;
    std::copy_if(pads.begin(), pads.end(), std::back_inserter(some),
                 [&](const cure::PadHeat& p) { return heat.at[p.stack].batch == batch; });
    return some;
  }
};

std::vector<std::size_t> extremesOf(const cure::WorstPads& w) {
  return {w.coldest, w.hottest, w.latest, w.shortest, w.least_cured, w.fastest};
}

/// The uncertainty of every pad that is the worst of its batch or of the load in some respect.
Result<void> addSpreads(Work& work, const HeatProgress& progress) {
  std::vector<cure::PadHeat> wanted;
  for (std::size_t b = 0; b < work.files.batches.size(); ++b) {
    const std::vector<cure::PadHeat> pads = work.ofBatch(b);
    if (const auto worst = cure::worstOf(pads, {}))
      for (const std::size_t i : extremesOf(*worst)) wanted.push_back(pads[i]);
  }
  for (std::size_t i = 0; i < wanted.size(); ++i) {
    const auto key = std::pair(wanted[i].stack, wanted[i].layer);
    if (work.spreads.contains(key)) continue;
    if (!progress(share_of_pads + (1 - share_of_pads) * static_cast<double>(i) /
                                      static_cast<double>(wanted.size())))
      return cancelled(work.files.load.built.load);
    const Result<cure::PropagatedSpread> spread = cure::propagate(
        work.heat.load, key.first, key.second, spreadOf(work.files, work.heat, key.first));
    if (!spread) return spread.error();
    work.spreads.emplace(key, spread->standard);
  }
  return {};
}

Measure rounded(double value, int decimals, std::string_view unit) {
  return {Decimal::fixed(value, decimals), std::string(unit)};
}

FigureValue valueOf(std::string name, double value, double u, int decimals, std::string_view unit) {
  const std::string_view difference = unit == "Cel" ? "K" : unit;
  return {std::move(name),
          rounded(value, decimals, unit),
          rounded(u, decimals + 1, difference),
          true,
          {},
          {},
          {}};
}

void undetermined(FigureValue& value, std::string why) {
  value.determined = false;
  value.why = std::move(why);
}

double minutes(Duration d) { return d.in(unit::second) / 60; }

/// A rework cure goes on where the first one ended.
double soakBefore(const Work& work, const act::HeatBatch& batch) {
  return work.files.programme.noun.adds_to_earlier ? batch.soaked_before.value_or(0) : 0;
}

std::string whereWords(const Work& work, const cure::PadHeat& pad) {
  return fmt::format("pad {} in clamp {}", work.numberOf(pad), work.clampOf(pad).clamp);
}

FigureValue reachedValue(const Work& work, const cure::PadHeat& pad) {
  FigureValue value{
      "reached", rounded(pad.reached ? minutes(*pad.reached) : 0, 1, "min"), {}, true, {}, {}, {}};
  if (!pad.reached)
    undetermined(value, fmt::format("The coldest place of {} never came to the soak.",
                                    whereWords(work, pad)));
  return value;
}

/// Without kinetics that quality has adopted, and beyond the range they hold for, the degree of
/// cure is an indication: shown, never counted.
FigureValue degreeValue(const Work& work, const act::HeatBatch& batch, const cure::PadHeat& pad,
                        const cure::PadHeat& hottest) {
  FigureValue value =
      valueOf("least_degree", 100 * pad.least_degree, 100 * work.spread(pad).least_degree, 2, "%");
  if (!batch.kinetics) {
    undetermined(value, fmt::format("No kinetics of {} are on record.", batch.compound));
    value.u.reset();
    return value;
  }
  const Kinetics& kinetics = batch.kinetics->noun;
  const std::string shown = fmt::format("An indication: {} %.", value.value.value.text());
  if (!batch.adopted)
    undetermined(value, fmt::format("{} The kinetics {}, issue {}, are not adopted; without them "
                                    "the time–temperature window decides.",
                                    shown, kinetics.code, batch.kinetics->issue));
  else if (kinetics.valid_to && hottest.hottest.in(scale::kelvin) >
                                    *siValue(*kinetics.valid_to, Kind::temperature_point))
    undetermined(
        value,
        fmt::format("{} The kinetics {} hold up to {}, and a pad came to {:.1f} °C.", shown,
                    kinetics.code, format(*kinetics.valid_to), hottest.hottest.in(scale::celsius)));
  return value;
}

std::vector<FigureValue> valuesOf(const Work& work, std::size_t b) {
  const act::HeatBatch& batch = work.files.batches[b];
  const std::vector<cure::PadHeat> pads = work.ofBatch(b);
  const cure::WorstPads w = *cure::worstOf(pads, {});
  const auto u = [&](std::size_t i) { return work.spread(pads[i]); };
  return {valueOf("hottest", pads[w.hottest].hottest.in(scale::celsius),
                  u(w.hottest).hottest.in(unit::kelvin), 2, "Cel"),
          valueOf("coldest_peak", pads[w.coldest].coldest_peak.in(scale::celsius),
                  u(w.coldest).coldest_peak.in(unit::kelvin), 2, "Cel"),
          reachedValue(work, pads[w.latest]),
          valueOf("soaked", minutes(pads[w.shortest].soaked) + soakBefore(work, batch),
                  minutes(u(w.shortest).soaked), 1, "min"),
          degreeValue(work, batch, pads[w.least_cured], pads[w.hottest]),
          valueOf("fastest", pads[w.fastest].fastest.in(unit::kelvin_per_minute),
                  u(w.fastest).fastest.in(unit::kelvin_per_minute), 3, "K/min")};
}

WorstPad worstPad(const Work& work, PadExtreme what, const cure::PadHeat& pad) {
  return {what, work.clampOf(pad).clamp, work.batchOf(pad).batch, work.numberOf(pad), {}, {}, {}};
}

void tell(WorstPad& worst, const FigureValue& value) {
  worst.value = value.value;
  worst.u = value.u;
}

/// How many minutes at the set point lie between the degree that is asked and the one reached.
std::optional<Measure> degreeMargin(const Work& work, const cure::PadHeat& pad) {
  const act::HeatBatch& batch = work.batchOf(pad);
  if (!batch.kinetics || !batch.degree_asked) return {};
  const SoakAsked soak = soakAsked(work.files.programme.noun);
  const Result<Duration> time =
      cure::timeBetween(act::lawOf(batch.kinetics->noun), *batch.degree_asked, pad.least_degree,
                        TemperaturePoint::of(soak.target_celsius, scale::celsius));
  if (!time) return {};
  return rounded(minutes(*time), 1, "min");
}

/// Of the whole load, each with its value as the figure of its batch has it.
std::vector<WorstPad> worstOfLoad(const Work& work) {
  const cure::WorstPads w = *cure::worstOf(work.pads, {});
  const auto u = [&](std::size_t i) { return work.spread(work.pads[i]); };
  const auto at = [&](std::size_t i) -> const cure::PadHeat& { return work.pads[i]; };
  std::vector<WorstPad> list;
  list.push_back(worstPad(work, PadExtreme::coldest, at(w.coldest)));
  tell(list.back(), valueOf("", at(w.coldest).coldest_peak.in(scale::celsius),
                            u(w.coldest).coldest_peak.in(unit::kelvin), 2, "Cel"));
  list.push_back(worstPad(work, PadExtreme::hottest, at(w.hottest)));
  tell(list.back(), valueOf("", at(w.hottest).hottest.in(scale::celsius),
                            u(w.hottest).hottest.in(unit::kelvin), 2, "Cel"));
  list.push_back(worstPad(work, PadExtreme::latest, at(w.latest)));
  if (at(w.latest).reached) list.back().value = rounded(minutes(*at(w.latest).reached), 1, "min");
  const act::HeatBatch& shortest = work.batchOf(at(w.shortest));
  const double soaked = minutes(at(w.shortest).soaked) + soakBefore(work, shortest);
  list.push_back(worstPad(work, PadExtreme::shortest, at(w.shortest)));
  tell(list.back(), valueOf("", soaked, minutes(u(w.shortest).soaked), 1, "min"));
  list.back().margin = rounded(soaked - static_cast<double>(shortest.soak_asked), 1, "min");
  if (work.batchOf(at(w.least_cured)).kinetics) {
    list.push_back(worstPad(work, PadExtreme::least_cured, at(w.least_cured)));
    tell(list.back(), valueOf("", 100 * at(w.least_cured).least_degree,
                              100 * u(w.least_cured).least_degree, 2, "%"));
    list.back().margin = degreeMargin(work, at(w.least_cured));
  }
  list.push_back(worstPad(work, PadExtreme::fastest, at(w.fastest)));
  tell(list.back(), valueOf("", at(w.fastest).fastest.in(unit::kelvin_per_minute),
                            u(w.fastest).fastest.in(unit::kelvin_per_minute), 3, "K/min"));
  return list;
}

/// All that the figures depend on: issues stand for what they say.
std::string hashOf(const act::HeatFiles& files) {
  Value::Array batches;
  for (const act::HeatBatch& b : files.batches)
    batches.push_back(Value::Object{{"batch", b.batch},
                                    {"part", toValue(b.part)},
                                    {"kinetics", b.kinetics ? toValue(*b.kinetics) : Value()},
                                    {"adopted", b.adopted},
                                    {"degree_before", b.degree_before},
                                    {"soaked_before", b.soaked_before.value_or(-1)}});
  return sha256Hex(canonicalJson(Value::Object{{"built", toValue(files.load.built)},
                                               {"recorded", toValue(files.recorded)},
                                               {"oven", toValue(files.oven)},
                                               {"programme", toValue(files.programme)},
                                               {"survey", toValue(files.survey)},
                                               {"stacking", toValue(files.stacking)},
                                               {"batches", std::move(batches)}}));
}

HeatComputed computedOf(const Work& work) {
  const act::HeatFiles& files = work.files;
  HeatComputed computed;
  computed.load = files.load.built.load;
  computed.recording = files.recording;
  computed.method_version = cure::load_version;
  computed.inputs_hash = hashOf(files);
  computed.oven_issue = files.oven.issue;
  computed.survey = {files.survey.noun.code, files.survey.issue};
  computed.stacking = {files.stacking.noun.code, files.stacking.issue};
  for (const act::HeatBatch& b : files.batches) {
    if (!b.kinetics) continue;
    KineticsUsed used{b.kinetics->noun.code, b.kinetics->issue, b.adopted};
    if (std::find(computed.kinetics.begin(), computed.kinetics.end(), used) ==
        computed.kinetics.end())
      computed.kinetics.push_back(std::move(used));
  }
  computed.pads = work.heat.pads;
  computed.worst = worstOfLoad(work);
  computed.doubts = work.heat.doubts;
  return computed;
}

std::vector<std::string> notesOf(const Work& work, std::size_t b) {
  const std::vector<cure::PadHeat> pads = work.ofBatch(b);
  const cure::WorstPads w = *cure::worstOf(pads, {});
  return {fmt::format("Coldest: {}; hottest: {}; least cured: {}; fastest heated: {}.",
                      whereWords(work, pads[w.coldest]), whereWords(work, pads[w.hottest]),
                      whereWords(work, pads[w.least_cured]), whereWords(work, pads[w.fastest]))};
}

FigureComputed figureOf(const Work& work, std::size_t b, const std::string& inputs_hash) {
  FigureComputed figure;
  figure.subject = {"batch", work.files.batches[b].batch};
  figure.method = "cure.load";
  figure.method_version = cure::load_version;
  figure.readings = {work.files.recording};
  figure.inputs_hash = inputs_hash;
  figure.values = valuesOf(work, b);
  figure.notes = notesOf(work, b);
  figure.doubts = work.heat.doubts;
  return figure;
}

}  // namespace

Result<intake::Series> recordedSeries(const House& house, const ledger::Snapshot& snapshot,
                                      const CureRecorded& recorded) {
  const auto layout = ledger::stateAs<Issued<Layout>>(
      snapshot, projection::layout, ledger::issueKey(recorded.layout, recorded.layout_issue));
  if (!layout) return unknownThing("layout", recorded.layout);
  const Result<intake::FileLayout> mapping = layoutFrom(layout->noun.mapping);
  if (!mapping) return mapping.error();
  return readRecording(*house.store, recorded.attachment, recorded.file_name, *mapping);
}

Result<Value> heatInput(const House& house, const HeatAsked& asked, const HeatProgress& progress) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const Result<act::HeatFiles> files = act::heatFiles(*snapshot, asked.load, house.card.zone);
  if (!files) return files.error();
  const Result<intake::Series> series = recordedSeries(house, *snapshot, files->recorded);
  if (!series) return series.error();
  const Result<HeatLoad> heat = heatLoad(*files, *series);
  if (!heat) return heat.error();
  Result<std::vector<cure::PadHeat>> pads = everyPad(asked.load, heat->load, progress);
  if (!pads) return pads.error();
  Work work{*files, *heat, std::move(*pads), {}};
  if (Result<void> spreads = addSpreads(work, progress); !spreads) return spreads.error();
  const HeatComputed computed = computedOf(work);
  Value::Array figures;
  for (std::size_t b = 0; b < files->batches.size(); ++b)
    figures.push_back(toValue(figureOf(work, b, computed.inputs_hash)));
  return Value(Value::Object{{"computed", toValue(computed)}, {"figures", std::move(figures)}});
}

}  // namespace platemark::service
