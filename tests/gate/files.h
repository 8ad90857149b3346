/// Small invented lot and batch files to judge.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "platemark/gate/permission.h"

namespace platemark::test {

inline Decimal dec(std::string_view text) { return *Decimal::parse(text, DecimalMark::point); }
inline Measure mea(std::string_view value, std::string unit) {
  return {dec(value), std::move(unit)};
}

inline Limit limit(std::optional<Measure> lower, std::optional<Measure> upper,
                   bool confirmed = true) {
  return {std::move(lower),
          std::move(upper),
          {"Works standard 12", "issue 2", "4.1", confirmed, false}};
}

/// A line on shear strength in N/cm² with one limit.
inline PlanLine shearLine(Limit with, Statistic statistic = Statistic::each,
                          std::int64_t samples = 1) {
  PlanLine line;
  line.characteristic = "shear";
  line.words = "Shear strength";
  line.gate = Gate::lot;
  line.method = "bench.shear";
  line.output = "shear_strength";
  line.statistic = statistic;
  line.samples = samples;
  line.limits = {std::move(with)};
  line.who = "laboratory technician";
  return line;
}

inline Evidence shear(Sequence figure, Measure value, std::string sample = "",
                      std::optional<Measure> u = {}) {
  Evidence evidence;
  evidence.figure = figure;
  evidence.characteristic = "shear";
  evidence.sample = std::move(sample);
  evidence.method = "bench.shear";
  evidence.values = {{"shear_strength", std::move(value), std::move(u), true, {}, {}, {}}};
  return evidence;
}

inline gate::LotFile lotWith(PlanLine line, std::vector<Evidence> evidence) {
  gate::LotFile file;
  file.lot.received.lot = "B-1";
  file.lot.evidence = std::move(evidence);
  file.plan.code = "CP-1";
  file.plan.lines = {std::move(line)};
  file.plan_issue = 1;
  file.seen = 100;
  return file;
}

inline StepDone counted(Sequence fact, Step step, std::int64_t good, std::int64_t scrap = 0,
                        std::int64_t samples = 0) {
  StepDone done;
  done.fact = fact;
  done.step = step;
  done.counted = true;
  done.counts.good = good;
  if (scrap > 0) done.counts.scrap["cracked"] = scrap;
  done.counts.samples = samples;
  return done;
}

inline StepDone done(Sequence fact, Step step, std::string what = "") {
  StepDone d;
  d.fact = fact;
  d.step = step;
  d.what = std::move(what);
  return d;
}

inline LotState clearedLot(std::string lot, std::string material) {
  LotState state;
  state.received.lot = std::move(lot);
  state.received.material = std::move(material);
  state.disposition = LotDisposition::clear;
  return state;
}

inline WeighingDone weighing(Sequence fact, std::string_view mass, std::string unit = "kg") {
  WeighingDone w;
  w.fact = fact;
  w.material = "resin";
  w.lot = "R-1";
  w.wanted = mea("8.960", "kg");
  w.tolerance = mea("0.050", "kg");
  w.mass = mea(mass, std::move(unit));
  return w;
}

/// A batch at its cure gate for which everything conforms.
inline gate::BatchFile goodBatch() {
  gate::BatchFile file;
  file.batch.opened = {"K7M4J-7", "P-1", 1, "C-1", 1, "CP-1", 1, 40, {}};
  file.batch.steps = {counted(10, Step::plates, 40),   done(11, Step::mix, "M-1"),
                      counted(12, Step::press, 38, 2), done(13, Step::clamp, "L-1"),
                      counted(14, Step::cure, 38),     counted(15, Step::sample, 36, 0, 2)};
  for (const Step step :
       {Step::plates, Step::mix, Step::press, Step::clamp, Step::cure, Step::sample})
    file.part.route.push_back({step, {}, {}, {}});
  file.part.code = "P-1";
  file.part.plate = "plate-1";
  file.compound.formula = {{"resin", dec("10"), mea("0.5", "%")}};
  MixState mix;
  mix.opened.mix = "M-1";
  mix.weighings = {weighing(20, "8.960")};
  mix.finished = MixFinished{"M-1", 9, {}};
  file.mixes = {mix};
  file.lots = {clearedLot("R-1", "resin")};
  PlanLine line = shearLine(limit(mea("250", "N/cm2"), {}));
  line.gate = Gate::cure;
  file.plan.code = "CP-1";
  file.plan.lines = {line};
  file.plan_issue = 1;
  file.batch.evidence = {shear(30, mea("512.5", "N/cm2"), "1")};
  file.today = {2026, 3, 2};
  file.seen = 100;
  return file;
}

}  // namespace platemark::test
