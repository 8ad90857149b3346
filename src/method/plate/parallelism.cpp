#include "platemark/method/plate/parallelism.h"

#include <fmt/format.h>

#include <cmath>
#include <vector>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::plate {
namespace {

Thickness summarised(std::span<const Length> readings) {
  std::vector<double> metres;
  for (const Length reading : readings) metres.push_back(reading.in(unit::metre));
  const statistics::Summary found = *statistics::summary(metres);
  return {Length::of(found.mean, unit::metre), Length::of(found.min, unit::metre),
          Length::of(found.max, unit::metre), Length::of(found.max - found.min, unit::metre)};
}

}  // namespace

Result<Thickness> thickness(std::span<const Length> readings) {
  if (readings.empty())
    return badInput("thickness.no_reading", "readings", "No thickness was read.",
                    "one reading or more");
  for (std::size_t i = 0; i < readings.size(); ++i) {
    const double mm = readings[i].in(unit::millimetre);
    if (!(mm > 0) || !std::isfinite(mm))
      return badInput("thickness.reading", fmt::format("readings[{}]", i),
                      fmt::format("A thickness is {:g} mm.", mm), "above 0 mm");
  }
  return summarised(readings);
}

Result<Parallelism> parallelism(std::span<const SurfacePoint> face,
                                std::span<const SurfacePoint> datum) {
  const Result<LeastSquaresFlatness> found = leastSquaresFlatness(datum);
  if (!found) return found.error();
  if (face.empty())
    return badInput("flatness.few_points", "face", "The face has no point.", "one point or more");
  for (std::size_t i = 0; i < face.size(); ++i)
    if (!std::isfinite(face[i].x_mm + face[i].y_mm + face[i].z_mm))
      return badInput("flatness.not_finite", fmt::format("face[{}]", i),
                      fmt::format("A coordinate of point {} is no number.", i + 1), "numbers");
  const Thickness over = summarised(heights(face, found->plane));
  return Parallelism{over.apart, over};
}

}  // namespace platemark::method::plate
