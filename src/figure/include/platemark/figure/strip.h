/// The evidence strip: how near the edge a result lies, and how sure it is.
///
/// A lower limit always stands at 20 %, an upper one at 80 % of the width, so a
/// column of strips reads as one corridor. What a strip finds is an input: the
/// gate judges, the strip only draws.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"

namespace platemark::figure {

enum class Finding { inside, outside_above, outside_below, too_close, missing, no_limit };
/// "inside", "outside, above", "too close to say", "missing", "no limit on file".
[[nodiscard]] std::string findingWords(Finding finding);
/// The mark of a finding alone, 16 px square, to stand beside its word.
[[nodiscard]] Scene findingMark(Finding finding);

struct StripLimit {
  double value = 0.0;
  std::string words;      ///< as printed under the tick: "2.180"; no unit
  bool confirmed = true;  ///< false: hollow tick
};

/// What a result says of the value: the value itself, or that it lies to one side.
enum class Known { value, at_least, at_most };

struct StripInput {
  std::string name;  ///< "Density"
  std::string unit;  ///< symbol, all values below are in it: "g/cm³"
  std::optional<StripLimit> lower;
  std::optional<StripLimit> upper;
  /// With exactly one limit: how much lies between it and the far end of the strip; > 0.
  std::optional<double> one_sided_span;
  std::vector<StripLimit>
      further;  ///< laxer limits: drawn where they fall, if they fall on the strip
  std::optional<double> target;
  std::vector<double> readings;       ///< single readings
  std::optional<double> result;       ///< with Finding::missing: the worst so far
  std::string result_words;           ///< "2.188", "at most 105.4"
  Known known = Known::value;         ///< of a bound, a line runs to where the value may lie
  std::optional<double> uncertainty;  ///< expanded, k = 2; >= 0
  std::string uncertainty_words;      ///< "0.011"
  Finding finding = Finding::missing;
};

/// 240 x 44 px. Off the scale: an arrow at the end with the value beneath; the scale
/// never shrinks to fit.
/// Errors: figure.not_finite; figure.uncertainty_negative; figure.limits_crossed (lower not below
/// upper); figure.span_missing; figure.finding_without_limit (a finding other than no_limit or
/// missing needs a limit); figure.limit_with_no_limit; figure.finding_without_result.
[[nodiscard]] Result<Scene> evidenceStrip(const StripInput& input);

}  // namespace platemark::figure
