/// How each meaning looks: one table for the page and for paper.
///
/// A scene names meanings (Style), never colours. The page may restyle every
/// meaning through classes; paper draws from this table. Series differ by dash
/// and marker as well as tone, so a grey printer loses nothing.
#pragma once

#include <span>
#include <string>
#include <string_view>

namespace platemark::figure {

/// What an item of a scene means.
enum class Style {
  axis,
  grid,
  base,
  base_dotted,
  limit,
  limit_unconfirmed,
  window,
  band,
  outside,
  gap,
  reading,
  target,
  whisker,
  result,
  series_under_study,
  series_other,
  calculated_decides,
  calculated_other,
  fault,
  flag,
  moment,
  bracket,
  leader,
  label,
  label_strong,
  label_soft,
  label_limit
};

/// Named tones of the palette; `surface` is what lies behind the figure.
enum class Tone { none, ink, soft, edge, hair, well, hatch, grey, look, stop, surface, white };

struct Look {
  Style style;
  std::string_view name;  ///< class on the page: "fig-" + name
  Tone stroke = Tone::none;
  Tone fill = Tone::none;
  double width = 1.0;                 ///< px at 96 per inch
  std::span<const double> dash = {};  ///< px on, px off; empty: solid
  double text_px = 0.0;               ///< size of words in this style
  bool bold = false;
};

[[nodiscard]] const Look& lookOf(Style style);
/// "ink", "hatch": also the custom property of the page ("--ink").
[[nodiscard]] std::string_view toneName(Tone tone);
/// "#1D1F22"; empty for Tone::none.
[[nodiscard]] std::string_view toneHex(Tone tone);
/// Style sheet of the page: every class of toSvg, colours by custom property.
[[nodiscard]] std::string figureStyleSheet();

}  // namespace platemark::figure
