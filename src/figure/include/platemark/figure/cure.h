/// The cure chart: recorded temperatures in their programme window, what was
/// calculated from them, and what went wrong, on one time axis.
///
/// Recorded is solid (a marker every 30 min), calculated is dashed. Every word is
/// the caller's; the chart computes nothing but places.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"
#include "platemark/quantity/time.h"

namespace platemark::figure {

/// x: hours since the start; y: °C, or degree of cure 0…1.
struct Trace {
  std::string name;
  bool first = false;         ///< recorded: under study; calculated: the one that decides
  std::vector<Point> points;  ///< x rising; y not finite: not recorded there, the line breaks
};
struct WindowPoint {
  double hours = 0.0, low = 0.0, high = 0.0;
};
struct CureFlag {
  int number = 0;  ///< the same number leads the sentence in the list below the chart
  double hours = 0.0;
  double value = 0.0;  ///< °C: the place it points at
};
struct CureGap {
  double from = 0.0, to = 0.0;  ///< hours
  int number = 0;               ///< 0: not numbered
};
struct CureMoment {
  double hours = 0.0;
  std::string words;  ///< "soak starts 01:08"
};
struct CureBracket {
  double from = 0.0, to = 0.0;
  std::string words;  ///< "soak 131 min, asked at least 120"
};
struct CureLimit {
  double value = 0.0;
  std::string words;  ///< "at least 0.950"
};
struct CureDegree {
  std::vector<Trace> traces;
  std::vector<WindowPoint> band;  ///< uncertainty of the one that decides
  std::optional<CureLimit> limit;
  std::optional<CureBracket> spare;  ///< "22 min to spare"
};
struct CureChartInput {
  std::string title;
  std::string reading;  ///< the verdict or the plain sentence that the chart proves
  Instant start;
  std::string zone;        ///< IANA name, for the clock under the axis
  std::string zone_words;  ///< "UTC+1"
  double hours = 0.0;      ///< length of the axis, > 0
  std::vector<WindowPoint> window;
  std::vector<Trace> recorded;
  std::vector<Trace> calculated;
  std::vector<CureLimit> limits;  ///< of the temperature
  std::vector<CureFlag> flags;
  std::vector<CureGap> gaps;
  std::vector<CureMoment> moments;
  std::optional<CureBracket> soak;
  std::optional<CureDegree> degree;
};

/// 900 px wide. Errors: figure.axis_empty (hours not finite and > 0);
/// figure.nothing_recorded (no finite recorded point); figure.not_rising (a trace or
/// the window whose hours do not rise).
[[nodiscard]] Result<Scene> cureChart(const CureChartInput& input);

}  // namespace platemark::figure
