/// Gauge study: how much of what a gauge shows comes from the gauge and its people, not the parts.
///
/// Formula      by ranges: EV = R̄/d2(r); AV = √(max(0, (X_diff/d2*(o))² − EV²/(p·r)));
///              PV = R_p/d2*(p)
///              by analysis of variance, all random: EV² = MS_e; INT² = max(0, (MS_op − MS_e)/r);
///              AV² = max(0, (MS_o − MS_op)/(p·r)); PV² = max(0, (MS_p − MS_op)/(o·r)). When the
///              interaction's p-value is above `pool_above`, MS_e and MS_op are pooled by their
///              degrees of freedom and INT = 0.
///              both: GRR² = EV² + AV² + INT²; TV² = GRR² + PV²; share = GRR/TV;
///              share of tolerance = 6·GRR/(U − L); categories = 1.41·PV/GRR, cut to the whole
///              number below
/// Symbols      p parts, o operators, r trials; EV repeatability, AV reproducibility, INT
///              interaction, GRR gauge, PV parts, TV total, all standard deviations in the unit of
///              the readings; R̄ mean range of the trials of one part by one operator; X_diff range
///              of the operators' means; R_p range of the parts' means
/// Valid        every operator reads every part equally often, blind and in random order; parts
///              cover the process. 2 to 50 parts, 1 to 50 operators, 2 to 50 trials. With one
///              operator AV and INT are 0 and say nothing. The categories are cut, never rounded:
///              4.99 are 4.
/// Uncertainty  large with few operators: for three, the standard error of AV is about half of AV
/// Source       AIAG, Measurement Systems Analysis, 4th edition, chapter III, remembered, not
///              verified; checked with its example of 10 parts, 3 operators and 3 trials
/// Errors       gauge.size, gauge.count, gauge.not_finite, gauge.no_spread, gauge.tolerance,
///              gauge.pool, gauge.rule
/// Pure.
#pragma once

#include <optional>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::gauge {

inline constexpr int gauge_study_version = 1;

enum class GaugeMethod { ranges, variance };

struct GaugeReadings {
  int operators = 0;
  int parts = 0;
  int trials = 0;
  std::vector<double> values;  ///< operator by operator, in it part by part, in it trial by trial
  std::optional<double> tolerance;  ///< upper minus lower limit, in the unit of the readings
};

/// One line of the analysis of variance.
struct VarianceLine {
  int degrees = 0;
  double squares = 0;
  double mean_square = 0;
  std::optional<double> f;
  std::optional<double> p;
};

struct GaugeVariance {
  VarianceLine operators, parts, interaction, repeatability, total;
  bool pooled = false;  ///< the f of operators and parts were taken against the pooled mean square
};

struct GaugeStudy {
  GaugeMethod method = GaugeMethod::variance;
  double repeatability = 0;
  double reproducibility = 0;
  double interaction = 0;
  double gauge = 0;
  double parts = 0;
  double total = 0;
  double share = 0;                       ///< of the total spread
  std::optional<double> tolerance_share;  ///< of the tolerance
  double categories_uncut = 0;            ///< infinite for a gauge without spread
  int categories = 0;
  std::vector<double> operator_means;
  std::vector<double> operator_ranges;    ///< mean range of each operator
  std::optional<GaugeVariance> variance;  ///< none by ranges
};

[[nodiscard]] Result<GaugeStudy> rangeStudy(const GaugeReadings& readings);
/// `pool_above`: 0 to 1; the usual 0.25 is the caller's to give.
[[nodiscard]] Result<GaugeStudy> varianceStudy(const GaugeReadings& readings, double pool_above);

/// Limits are the plant's: nothing is built in.
struct GaugeRule {
  double accept_from = 0;     ///< shares from here on need a signed acceptance
  double block_above = 0;     ///< shares above block
  int fewest_categories = 0;  ///< fewer block
};

enum class GaugeStanding { usable, needs_acceptance, blocked };

/// By the greater of both shares and by the categories. Errors: gauge.rule.
[[nodiscard]] Result<GaugeStanding> gaugeStanding(const GaugeStudy& study, const GaugeRule& rule);

}  // namespace platemark::method::gauge
