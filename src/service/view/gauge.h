/// Charts that the pages of a gauge and of a characteristic share.
#pragma once

#include "platemark/figure/run_chart.h"
#include "platemark/figure/svg.h"
#include "view.h"

namespace platemark::service::view {

/// The value in the unit that a chart is drawn in; the units are of one kind.
[[nodiscard]] double valueIn(const Measure& measure, const UnitRow& unit);
/// "" when it cannot be drawn.
[[nodiscard]] std::string runSvg(const figure::RunInput& input);
[[nodiscard]] std::string histogramSvg(const figure::RunInput& input);
/// How a study was worked out: {method, title, formula, source, substituted_formula, working,
/// notes}.
[[nodiscard]] Value studyWorking(const GaugeStudied& study);

}  // namespace platemark::service::view
