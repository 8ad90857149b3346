#include "platemark/method/powder/size_fit.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>

#include "../bad_input.h"
#include "platemark/method/statistics/curve_fit.h"

namespace platemark::method {
namespace {

double micrometres(Length size) { return size.in(unit::micrometre); }

Result<void> checkPoint(std::size_t i, const SizePoint& point) {
  const double size = micrometres(point.size), share = point.passing.in(unit::one);
  if (!(size > 0) || !std::isfinite(size))
    return badInput("size_fit.size", fmt::format("sizes[{}]", i),
                    fmt::format("A size is {:g} µm.", size), "above 0 µm");
  if (!(share >= 0 && share <= 1))
    return badInput("size_fit.share", fmt::format("passing[{}]", i),
                    fmt::format("A share passing is {:g} %.", 100 * share), "0 to 100 %");
  return {};
}

struct Line {
  double slope, intercept, r_squared;
};

struct Usable {
  std::vector<double> log_size, share;  ///< shares passing, strictly between 0 and 1
  std::vector<std::size_t> left_out;
};

bool differ(const std::vector<double>& list) {
  return std::any_of(list.begin(), list.end(), [&](double x) { return x != list.front(); });
}

Result<Usable> usableOf(std::span<const SizePoint> points) {
  Usable usable;
  for (std::size_t i = 0; i < points.size(); ++i) {
    if (Result<void> point = checkPoint(i, points[i]); !point) return point.error();
    const double share = points[i].passing.in(unit::one);
    if (share > 0 && share < 1) {
      usable.log_size.push_back(std::log(micrometres(points[i].size)));
      usable.share.push_back(share);
    } else {
      usable.left_out.push_back(i);
    }
  }
  if (!usable.share.empty() && differ(usable.log_size) && differ(usable.share)) return usable;
  return badInput("size_fit.points", "passing",
                  fmt::format("{} points have a share between 0 and 100 %.", usable.share.size()),
                  "two or more at different sizes and with different shares",
                  "Take a set of sieves that spans the powder.");
}

Line lineThrough(const std::vector<double>& x, const std::vector<double>& y) {
  const double n = static_cast<double>(x.size());
  double mean_x = 0, mean_y = 0, xx = 0, xy = 0, yy = 0;
  for (std::size_t i = 0; i < x.size(); ++i) {
    mean_x += x[i] / n;
    mean_y += y[i] / n;
  }
  for (std::size_t i = 0; i < x.size(); ++i) {
    xx += (x[i] - mean_x) * (x[i] - mean_x);
    xy += (x[i] - mean_x) * (y[i] - mean_y);
    yy += (y[i] - mean_y) * (y[i] - mean_y);
  }
  return {xy / xx, mean_y - xy / xx * mean_x, xy * xy / (xx * yy)};
}

Error notRising() {
  return badInput("size_fit.not_rising", "passing", "The fitted share does not rise with the size.",
                  "more passing at larger sizes", "Check the order of sizes and shares.");
}

/// ln d′ and ln n: free numbers for sizes and exponents that must stay above 0.
struct Logs {
  double scale, slope;
};

double retainedAt(double log_size, const Logs& at) {
  return std::exp(-std::exp(std::exp(at.slope) * (log_size - at.scale)));
}

/// Least squares of the share retained, from the straight line; d′ and n in parts of the line's, so
/// that both are near 1.
Result<Logs> leastSquares(const Usable& points, const Logs& start) {
  std::vector<double> retained;
  for (const double share : points.share) retained.push_back(1 - share);
  const auto logs = [&](std::span<const double> b) {
    return Logs{start.scale + std::log(b[0]), start.slope + std::log(b[1])};
  };
  const auto curve = [&](std::span<const double> b, std::size_t i) {
    return retainedAt(points.log_size[i], logs(b));
  };
  const Result<statistics::CurveFit> fit =
      statistics::fitCurve(curve, retained, std::array{1.0, 1.0});
  if (fit) return logs(std::array{fit->coefficients[0].value, fit->coefficients[1].value});
  return badInput("size_fit.no_convergence", "passing", "The fit came to no end.",
                  "points that follow the model", "Fit the straight line and look at the points.");
}

double residualSquares(const SizeFit& fit, const Usable& points) {
  double sum = 0;
  for (std::size_t i = 0; i < points.share.size(); ++i) {
    const Length size = Length::of(std::exp(points.log_size[i]), unit::micrometre);
    const double off = 100 * (points.share[i] - fittedPassing(fit, size).in(unit::one));
    sum += off * off;
  }
  return sum;
}

double sharesAboutMean(const Usable& points) {
  double mean = 0, sum = 0;
  for (const double share : points.share) mean += share / static_cast<double>(points.share.size());
  for (const double share : points.share) sum += 1e4 * (share - mean) * (share - mean);
  return sum;
}

SizeFit begun(SizeModel model, const Line& line, const Usable& points) {
  SizeFit fit;
  fit.model = model;
  fit.slope = line.slope;
  fit.scale = Length::of(std::exp(-line.intercept / line.slope), unit::micrometre);
  fit.r_squared = line.r_squared;
  fit.used = static_cast<int>(points.share.size());
  fit.left_out = points.left_out;
  return fit;
}

Result<SizeFit> refined(SizeFit fit, const Usable& points) {
  const Result<Logs> logs =
      leastSquares(points, {std::log(micrometres(fit.scale)), std::log(fit.slope)});
  if (!logs) return logs.error();
  fit.way = SizeFitWay::least_squares;
  fit.scale = Length::of(std::exp(logs->scale), unit::micrometre);
  fit.slope = std::exp(logs->slope);
  fit.residual_squares = residualSquares(fit, points);
  fit.r_squared = 1 - fit.residual_squares / sharesAboutMean(points);
  return fit;
}

}  // namespace

Result<SizeFit> fitRosinRammler(std::span<const SizePoint> points, SizeFitWay way) {
  const Result<Usable> usable = usableOf(points);
  if (!usable) return usable.error();
  std::vector<double> y;
  for (const double share : usable->share) y.push_back(std::log(-std::log1p(-share)));
  const Line line = lineThrough(usable->log_size, y);
  if (!(line.slope > 0)) return notRising();
  SizeFit fit = begun(SizeModel::rosin_rammler, line, *usable);
  if (way == SizeFitWay::least_squares) return refined(std::move(fit), *usable);
  fit.residual_squares = residualSquares(fit, *usable);
  return fit;
}

Result<SizeFit> fitGatesGaudinSchuhmann(std::span<const SizePoint> points) {
  const Result<Usable> usable = usableOf(points);
  if (!usable) return usable.error();
  std::vector<double> y;
  for (const double share : usable->share) y.push_back(std::log(share));
  const Line line = lineThrough(usable->log_size, y);
  if (!(line.slope > 0)) return notRising();
  SizeFit fit = begun(SizeModel::gates_gaudin_schuhmann, line, *usable);
  fit.residual_squares = residualSquares(fit, *usable);
  return fit;
}

Share fittedPassing(const SizeFit& fit, Length size) {
  const double ratio = size / fit.scale;
  if (!(ratio > 0)) return Share();
  if (fit.model == SizeModel::gates_gaudin_schuhmann)
    return Share::of(std::min(1.0, std::pow(ratio, fit.slope)), unit::one);
  return Share::of(-std::expm1(-std::pow(ratio, fit.slope)), unit::one);
}

Result<Length> fittedSize(const SizeFit& fit, Share passing) {
  const double p = passing.in(unit::one);
  if (!(p > 0 && p < 1))
    return badInput("size_fit.share", "share",
                    fmt::format("A size is asked for {:g} % passing.", 100 * p),
                    "above 0 % and below 100 %");
  const double base = fit.model == SizeModel::rosin_rammler ? -std::log1p(-p) : p;
  return fit.scale * std::pow(base, 1 / fit.slope);
}

}  // namespace platemark::method
