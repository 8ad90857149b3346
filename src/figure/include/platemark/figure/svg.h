/// A scene as SVG for a page.
#pragma once

#include <string>

#include "platemark/figure/scene.h"

namespace platemark::figure {

/// One <svg role="img" aria-label="…"> element. Meaning and tone are classes
/// (figureStyleSheet()); presentation attributes repeat them as a fallback for
/// viewers without the sheet, and give way to it. No script, id, style or
/// outside reference; every word is escaped. Numbers have at most two decimals.
[[nodiscard]] std::string toSvg(const Scene& scene);

}  // namespace platemark::figure
