/// Questions about a load whose heat is on record, answered on demand: how its worst pads fared
/// over time, and what another programme would have done. Nothing of it is recorded.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "heat_load.h"
#include "platemark/service/house.h"

namespace platemark::service {

/// What every question begins with.
struct HeatAtHand {
  act::HeatFiles files;
  HeatLoad heat;
};
/// Errors: as heatInput; heat.not_computed.
[[nodiscard]] Result<HeatAtHand> heatAtHand(const House& house, const ledger::Snapshot& snapshot,
                                            const std::string& load);

struct Curve {
  std::string name;  ///< "coldest", "hottest", "degree"
  std::vector<double> values;
};
struct HeatCurves {
  std::vector<double> minutes;  ///< since the load went in
  std::vector<Curve> curves;
  /// On the line between the points; nothing outside.
  [[nodiscard]] std::optional<double> at(const Curve& curve, double minute) const;
};
/// The load's coldest and hottest pad, and the degree of cure of the least cured one.
[[nodiscard]] Result<HeatCurves> heatCurves(const HeatAtHand& at_hand);

struct Change {
  double longer_minutes = 0;  ///< of the soak; below 0: shorter
  double hotter_k = 0;        ///< of the set point
};
/// The worst pads on record under another programme.
struct WhatIf {
  struct Row {
    PadExtreme what = PadExtreme::coldest;
    std::string clamp;
    double now = 0, then = 0;
    std::string unit;
  };
  std::vector<Row> rows;
};
/// Errors: heat.change (out of range), those of heatLoad.
[[nodiscard]] Result<WhatIf> whatIf(const HeatAtHand& at_hand, const Change& change);

/// What a rework cure with the heating and cooling of this one would bring the least cured pad to.
struct ExtraCure {
  struct Row {
    std::int64_t minutes = 0;  ///< at the soak
    double degree = 0;         ///< 0…1
    double u = 0;              ///< standard uncertainty
  };
  std::string batch;
  std::string clamp;
  double set_point_celsius = 0;
  double now = 0;
  std::optional<double> asked;  ///< by the control plan
  std::vector<Row> rows;
  std::optional<std::int64_t> enough;  ///< the first row that is past what is asked by twice its u
};
/// How much shorter the soak could have been: the least cured pad still past what is asked by
/// twice its uncertainty. A proposal only.
struct ShorterSoak {
  std::string clamp;
  double asked = 0;
  std::int64_t soak_minutes = 0;  ///< of the chart, as it was
  std::int64_t saved_minutes = 0;
  double degree = 0, u = 0;  ///< of the least cured pad then
};
/// Nothing where no degree of cure is asked, where kinetics are not adopted, or where nothing can
/// be saved.
[[nodiscard]] Result<std::optional<ShorterSoak>> shorterSoak(const HeatAtHand& at_hand);
/// Nothing where no compound of the load has kinetics.
[[nodiscard]] Result<std::optional<ExtraCure>> extraCure(const HeatAtHand& at_hand);

}  // namespace platemark::service
