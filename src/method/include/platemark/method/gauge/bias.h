/// How far a gauge reads off a reference, and whether that grows with the size measured.
///
/// Formula      bias b = x̄ − X; t = b/(s/√n); interval b ± t_(ν,(1+c)/2)·s/√n, ν = n − 1
///              linearity: b_i = x_i − X_i fitted by b = a0 + a1·X by least squares;
///              s² = Σ(b_i − a0 − a1·X_i)²/(n − 2); band at X: ± t_(n−2,(1+c)/2)·s·√(1/n + (X −
///              X̄)²/S), S = Σ(X_i − X̄)²
/// Symbols      x readings, X reference value, in one unit; c confidence, 0.5 < c < 1; p-values are
///              two-sided
/// Valid        references known much better than the gauge reads; normal readings of equal spread.
///              A bias that is significant can still be too small to matter, and one that is not
///              can still be there: say so beside it.
/// Uncertainty  of the bias: s/√n and the reference's own, which is not added here
/// Source       AIAG, Measurement Systems Analysis, 4th edition, chapter III, remembered, not
///              verified; checked with its linearity example of 5 parts and 12 readings
/// Errors       gauge.few_readings, gauge.count, gauge.not_finite, gauge.confidence,
///              gauge.one_reference, gauge.no_spread
/// Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::gauge {

inline constexpr int gauge_bias_version = 1;
inline constexpr int gauge_linearity_version = 1;

struct GaugeBias {
  double bias = 0;
  double s = 0;
  double t = 0;
  double p = 0;          ///< two-sided
  double low = 0;        ///< of the interval
  double high = 0;       ///< of the interval
  bool present = false;  ///< the interval excludes 0
};
/// Two readings or more.
[[nodiscard]] Result<GaugeBias> gaugeBias(std::span<const double> readings, double reference,
                                          double confidence);

/// The fitted bias at one reference value with its band.
struct BiasAt {
  double reference = 0;
  double fitted = 0;
  double half_width = 0;
  bool zero_inside = false;
};

struct LineTerm {
  double value = 0;
  double standard_error = 0;
  double t = 0;
  double p = 0;  ///< two-sided
};

struct GaugeLinearity {
  LineTerm intercept, slope;
  double s = 0;
  double r_squared = 0;
  double mean_bias = 0;
  std::vector<BiasAt> references;  ///< each once, rising
  bool acceptable = false;         ///< zero lies inside the band at every reference
};
/// `readings[i]` was taken on `references[i]`; 3 readings or more on 2 references or more.
[[nodiscard]] Result<GaugeLinearity> gaugeLinearity(std::span<const double> references,
                                                    std::span<const double> readings,
                                                    double confidence);

}  // namespace platemark::method::gauge
