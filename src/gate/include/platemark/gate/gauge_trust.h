/// May a result of this gauge be counted? Its studies and what was found out about it answer. Pure.
///
/// A result stands between two studies of the gauge for its characteristic. The one before it must
/// be usable, or accepted by quality. The one after it must not block: a gauge that cannot tell
/// parts apart today did not do so yesterday. A later study that is usable does not mend what was
/// taken before.
#pragma once

#include <vector>

#include "platemark/gate/permission.h"
#include "platemark/plant/gauge_trust.h"

namespace platemark::gate {

/// What a study's figures are compared with, as shares. The usual bounds of the trade: AIAG,
/// Measurement Systems Analysis, 4th edition, chapter II, remembered, not verified.
struct GaugeBounds {
  double accept_from = 0.10;  ///< shares from here on need a signed acceptance
  double block_above = 0.30;
  int fewest_categories = 5;
};
inline constexpr GaugeBounds usual_gauge_bounds{};

/// By the greater of its shares and by its categories; what is not known blocks.
[[nodiscard]] GaugeStanding studyStanding(const std::vector<FigureValue>& values,
                                          const GaugeBounds& bounds = usual_gauge_bounds);

/// One result, as far as its gauge is concerned.
struct GaugeResult {
  std::string gauge;
  std::string characteristic;
  Instant taken;
  Sequence fact = 0;  ///< the reading or weighing
};

/// Why it does not count by the gauge's studies; `required`: the control plan asks for one.
[[nodiscard]] std::vector<std::string> studyDoubts(const GaugeResult& result,
                                                   const GaugeTrust& trust, bool required);
/// Why it does not count because the gauge was found wrong.
[[nodiscard]] std::vector<std::string> wrongDoubts(const GaugeResult& result,
                                                   const GaugeTrust& trust);

/// May this study be accepted? It must be the newest for the characteristic and ask for it.
[[nodiscard]] Obstacles mayAccept(const GaugeTrust& trust, const std::string& gauge,
                                  const std::string& characteristic, Sequence study);
/// May the gauge be used now? Not while it was found wrong and is not right again.
[[nodiscard]] Obstacles mayUseGauge(const GaugeTrust& trust, const std::string& gauge);

}  // namespace platemark::gate
