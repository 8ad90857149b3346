/// Results in the order of time with their limits, and how they are spread.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"

namespace platemark::figure {

/// What a point of the run means.
enum class RunMark { counted, outside, aside };

struct RunPoint {
  double value = 0.0;
  std::string when;  ///< "11-23", below the axis
  std::string what;  ///< "K7M4J-7, sample 2": the point by name
  RunMark mark = RunMark::counted;
};
struct RunLimit {
  double value = 0.0;
  std::string words;  ///< "at least 250"
  bool confirmed = true;
};
struct RunInput {
  std::string title;
  std::string reading;
  std::string quantity;          ///< "Hardness"
  std::string unit;              ///< "HRR"; may be empty
  std::vector<RunPoint> points;  ///< in the order of time
  std::vector<RunLimit> limits;
  std::optional<double> centre;  ///< the reference, or the mean
  std::string centre_words;
};

/// 640 x 300 px: a point for each result, equally far apart. Errors: figure.empty;
/// figure.out_of_range (a value that is not finite).
[[nodiscard]] Result<Scene> runChart(const RunInput& input);

/// 640 x 260 px: how many of the points that are not set aside lie in each of equally wide classes,
/// with the limits. Errors: figure.empty (none to count); figure.out_of_range.
[[nodiscard]] Result<Scene> histogram(const RunInput& input);

/// Equally wide classes over the values: as many as the root of their number, rounded up, at least
/// 5 and at most 25.
struct Classes {
  double from = 0.0;
  double width = 0.0;
  std::vector<int> counts;
};
/// The last class has its upper end; all others end below theirs. `values` is not empty, and
/// finite; values all alike stand in the middle of the classes.
[[nodiscard]] Classes classesOf(const std::vector<double>& values);

}  // namespace platemark::figure
