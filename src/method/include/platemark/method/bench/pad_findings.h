/// What else a pad is looked at for: swell and growth, compression hardness, pH, shear against its
/// minimum, the way the bond failed, and findings by eye.
///
/// Formula      swell = (t_hot − t0)/t;  growth = (t_after − t0)/t;  t the compound's thickness, or
///              the pad's
///              compression hardness: mean of the depths read under load; the lowest is the hardest
///              shear: the lowest pad against the minimum, with as many pads as the plan asks
///              modes of failure: shares of the bond area, together 100 %
///              finding: share = area found/area looked at
/// Symbols      t0 thickness before, t_hot while hot, t_after cold again, mm, above 0; depths in
///              divisions of the instrument, 0 or more; pH 0 to 14; severity 0 (none) to 4 (worst)
/// Valid        swell and growth hold the rig's own expansion unless it was taken off. Compression
///              hardness runs against Rockwell: small is hard, thick pads read softer; the two
///              never compare. pH of a 10 % suspension. Severities are read with the plant's own
///              pictures.
/// Uncertainty  swell and growth: u(t)·√2/t; findings are read by eye
/// Source       swell and growth: SAE J160:2001, read; compression hardness: a report of the trade
///              on SAE J379, read; pH: ISO 787-9, remembered, not verified; modes, counting and
///              severity: definitions of this project
/// Errors       swelling.thickness, compression.no_reading, compression.reading,
/// acidity.no_reading,
///              acidity.reading, shear.*, failure.share, failure.sum, findings.none,
///              findings.severity, findings.area
/// Pure.
#pragma once

#include <array>
#include <optional>
#include <span>

#include "platemark/method/bench/shear.h"
#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::bench {

inline constexpr int pad_findings_version = 1;

struct SwellingTest {
  Length before, hot, after;
  Length compound;       ///< thickness of the compound, before
  Length rig_expansion;  ///< of the rig while hot, taken off; 0: none known
};
struct Swelling {
  Length swell, growth;
  Share swell_of_compound, growth_of_compound;
  Share swell_of_pad, growth_of_pad;
};
[[nodiscard]] Result<Swelling> swelling(const SwellingTest& test);

struct CompressionHardness {
  double mean = 0;
  double hardest = 0;  ///< the lowest reading
  double softest = 0;  ///< the highest reading
  std::optional<double> s;
};
[[nodiscard]] Result<CompressionHardness> compressionHardness(std::span<const double> depths);

struct Acidity {
  double mean = 0;
  double apart = 0;  ///< largest minus smallest
};
[[nodiscard]] Result<Acidity> acidity(std::span<const double> ph);

struct ShearCheck {
  ShearSummary summary;
  int below = 0;        ///< pads under the minimum
  bool enough = false;  ///< as many pads as the plan asks
  [[nodiscard]] bool kept() const { return enough && below == 0; }
};
/// Errors: those of shear; `fewest` 1 or more.
[[nodiscard]] Result<ShearCheck> shearAgainst(std::span<const Pressure> pads, Pressure minimum,
                                              int fewest);

enum class FailureMode { compound, underlayer, bond_line, retention };
using FailureShares = std::array<Share, 4>;  ///< in the order of FailureMode
/// The mode with the largest share. Together 100 % to half a per cent. Errors: failure.*.
[[nodiscard]] Result<FailureMode> leadingFailure(const FailureShares& shares);

inline constexpr int worst_severity = 4;
struct Findings {
  std::array<int, worst_severity + 1> parts{};  ///< by severity
  int worst = 0;
  int with_finding = 0;
};
/// The severity of each part looked at. Errors: findings.none, findings.severity.
[[nodiscard]] Result<Findings> countFindings(std::span<const int> severities);
/// Errors: findings.area.
[[nodiscard]] Result<Share> findingShare(Area found, Area looked_at);

}  // namespace platemark::method::bench
