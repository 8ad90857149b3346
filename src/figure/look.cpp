#include "platemark/figure/look.h"

#include <fmt/format.h>

#include <array>

namespace platemark::figure {
namespace {

constexpr double kLong[] = {11.0, 5.0};
constexpr double kDots[] = {2.0, 3.0};
constexpr double kFine[] = {4.0, 3.0};

// In the order of Style, so that a style is its own index.
constexpr std::array kLooks = {
    Look{Style::axis, "axis", Tone::ink, Tone::none, 1.2},
    Look{Style::grid, "grid", Tone::hair, Tone::none, 1.0},
    Look{Style::base, "base", Tone::edge, Tone::none, 1.0},
    Look{Style::base_dotted, "base-dotted", Tone::edge, Tone::none, 1.0, kDots},
    Look{Style::limit, "limit", Tone::ink, Tone::none, 2.4},
    Look{Style::limit_unconfirmed, "limit-unconfirmed", Tone::ink, Tone::surface, 1.4},
    Look{Style::window, "window", Tone::edge, Tone::well, 0.8},
    Look{Style::band, "band", Tone::none, Tone::hair, 0.0},
    Look{Style::outside, "outside", Tone::hatch, Tone::none, 1.0},
    Look{Style::gap, "gap", Tone::hatch, Tone::none, 1.0},
    Look{Style::reading, "reading", Tone::soft, Tone::soft, 1.4},
    Look{Style::target, "target", Tone::ink, Tone::none, 1.0},
    Look{Style::whisker, "whisker", Tone::ink, Tone::none, 1.8},
    Look{Style::result, "result", Tone::ink, Tone::ink, 1.6},
    Look{Style::series_under_study, "series-under-study", Tone::look, Tone::look, 2.2},
    Look{Style::series_other, "series-other", Tone::grey, Tone::grey, 2.0},
    Look{Style::calculated_decides, "calculated-decides", Tone::ink, Tone::none, 2.6, kLong},
    Look{Style::calculated_other, "calculated-other", Tone::ink, Tone::none, 2.0, kDots},
    Look{Style::fault, "fault", Tone::stop, Tone::stop, 1.4},
    Look{Style::flag, "flag", Tone::ink, Tone::ink, 1.2},
    Look{Style::moment, "moment", Tone::ink, Tone::none, 1.0, kFine},
    Look{Style::bracket, "bracket", Tone::ink, Tone::none, 1.6},
    Look{Style::leader, "leader", Tone::edge, Tone::none, 0.8},
    Look{Style::label, "label", Tone::none, Tone::ink, 0.0, {}, 13.0},
    Look{Style::label_strong, "label-strong", Tone::none, Tone::ink, 0.0, {}, 13.0, true},
    Look{Style::label_soft, "label-soft", Tone::none, Tone::soft, 0.0, {}, 12.0},
    Look{Style::label_limit, "label-limit", Tone::none, Tone::soft, 0.0, {}, 12.0},
};

struct Paint {
  std::string_view name;
  std::string_view hex;
};
// In the order of Tone.
constexpr std::array kPaints = {
    Paint{"none", ""},         Paint{"ink", "#1D1F22"},     Paint{"soft", "#50545A"},
    Paint{"edge", "#6E7277"},  Paint{"hair", "#C2BFB7"},    Paint{"well", "#DEDCD5"},
    Paint{"hatch", "#8D8A82"}, Paint{"grey", "#787C82"},    Paint{"look", "#0F5E99"},
    Paint{"stop", "#A02818"},  Paint{"surface", "#F8F7F3"}, Paint{"white", "#FFFFFF"},
};

std::string dashList(std::span<const double> dash) {
  return dash.empty() ? "" : fmt::format("stroke-dasharray:{:g} {:g};", dash[0], dash[1]);
}

std::string textRule(const Look& look) {
  return fmt::format(".fig-{}{{font-size:{:g}px;font-weight:{}}}\n", look.name, look.text_px,
                     look.bold ? 700 : 400);
}

}  // namespace

const Look& lookOf(Style style) { return kLooks[static_cast<std::size_t>(style)]; }
std::string_view toneName(Tone tone) { return kPaints[static_cast<std::size_t>(tone)].name; }
std::string_view toneHex(Tone tone) { return kPaints[static_cast<std::size_t>(tone)].hex; }

std::string figureStyleSheet() {
  std::string css =
      ".figure text{font-family:var(--sans,\"Noto Sans\",sans-serif);"
      "font-variant-numeric:tabular-nums}\n";
  for (const Paint& paint : kPaints) {
    if (paint.hex.empty()) continue;
    css += fmt::format(".fill-{0}{{fill:var(--{0},{1})}}\n.stroke-{0}{{stroke:var(--{0},{1})}}\n",
                       paint.name, paint.hex);
  }
  for (const Look& look : kLooks) {
    if (look.text_px > 0) css += textRule(look);
    if (!look.dash.empty()) css += fmt::format(".fig-{}{{{}}}\n", look.name, dashList(look.dash));
  }
  return css;
}

}  // namespace platemark::figure
