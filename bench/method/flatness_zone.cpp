/// The minimum zone of a face: ours against CLP on the same linear programme of 10,000 points, and
/// ours alone up to a million points. CLP gets the programme in the form that suits it, three or
/// four rows of its dual, and the better of its primal and dual simplex counts. Alternated, medians
/// of repetitions that follow one untimed run. Prints JSON lines.
///
///   bench_flatness_zone [repetitions]
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cmath>
#include <coin/ClpSimplex.hpp>
#include <coin/CoinPackedMatrix.hpp>
#include <cstdlib>
#include <random>
#include <vector>

#include "platemark/method/plate/flatness.h"

using namespace platemark;
using namespace platemark::method::plate;

namespace {

using Points = std::vector<SurfacePoint>;

double seconds(auto&& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

/// A bowed, twisted, tilted plate of 120 mm by 60 mm with 20 µm of noise.
Points facePoints(std::size_t count) {
  std::mt19937_64 random(count);
  const auto from = [&](double high) {
    return high * static_cast<double>(random() >> 11) * 0x1p-53;
  };
  Points points;
  for (std::size_t i = 0; i < count; ++i) {
    const double x = from(120), y = from(60);
    const double form = 1e-5 * (x - 60) * (y - 30) + 1e-5 * (x - 60) * (x - 60);
    points.push_back({x, y, 0.003 * x - 0.002 * y + form + from(0.02)});
  }
  return points;
}

/// Dual of: least 2t with −t ≤ z − a·x − b·y − c ≤ t. Columns: each point once above, once below.
class Dual {
 public:
  explicit Dual(const Points& points) {
    const auto n = static_cast<int>(points.size());
    std::vector<int> rows, columns;
    std::vector<double> values;
    const auto entry = [&](int row, int column, double value) {
      rows.push_back(row);
      columns.push_back(column);
      values.push_back(value);
    };
    for (int i = 0; i < 2 * n; ++i) {
      const SurfacePoint& p = points[static_cast<std::size_t>(i % n)];
      const double sign = i < n ? 1 : -1;
      entry(0, i, 1);
      entry(1, i, sign);
      entry(2, i, sign * p.x_mm);
      entry(3, i, sign * p.y_mm);
      rise_.push_back(-2 * sign * p.z_mm);  // CLP looks for the least
    }
    matrix_ = CoinPackedMatrix(true, rows.data(), columns.data(), values.data(),
                               static_cast<CoinBigIndex>(values.size()));
  }

  struct Solved {
    double zone;  ///< mm
    double took;  ///< s, of the simplex alone
  };
  [[nodiscard]] Solved solve(bool primal) const {
    ClpSimplex clp;
    clp.setLogLevel(0);
    clp.setPrimalTolerance(1e-10);
    clp.setDualTolerance(1e-10);
    const double balance[] = {1, 0, 0, 0};
    clp.loadProblem(matrix_, nullptr, nullptr, rise_.data(), balance, balance);
    const double took = seconds([&] { primal ? clp.primal() : clp.dual(); });
    return {-clp.objectiveValue(), took};
  }

 private:
  CoinPackedMatrix matrix_;
  std::vector<double> rise_;
};

struct Times {
  double ours, primal, dual;
};

Times compare(const Points& points, int repetitions, double& apart) {
  const Dual dual(points);
  std::vector<double> ours, by_primal, by_dual;
  for (int i = 0; i <= repetitions; ++i) {
    double zone = 0;
    const double took = seconds([&] { zone = linearZone(points)->width.in(unit::millimetre); });
    const Dual::Solved one = dual.solve(true), other = dual.solve(false);
    apart = std::max({apart, std::abs(zone - one.zone), std::abs(zone - other.zone)});
    if (i == 0) continue;
    ours.push_back(took);
    by_primal.push_back(one.took);
    by_dual.push_back(other.took);
  }
  return {median(ours), median(by_primal), median(by_dual)};
}

void againstClp(int repetitions) {
  double apart = 0;
  const Times times = compare(facePoints(10000), repetitions, apart);
  const double clp = std::min(times.primal, times.dual), ratio = clp / times.ours;
  fmt::print(
      R"({{"name": "method.flatness_zone", "ours": {:.3f}, "reference": {:.3f}, "unit": "ms", )"
      R"("ratio": {:.1f}, "target": "at least 50 times CLP on 10,000 points, same zone to 1e-9 mm", )"
      R"("met": {}, "note": "zones {:.1e} mm apart; CLP primal {:.1f} ms, dual {:.1f} ms; CLP's )"
      R"(loading is not counted"}})"
      "\n",
      1e3 * times.ours, 1e3 * clp, ratio, ratio >= 50 && apart <= 1e-9, apart, 1e3 * times.primal,
      1e3 * times.dual);
}

void ofMany(std::size_t count, int repetitions) {
  const Points points = facePoints(count);
  std::vector<double> times;
  double width = 0;
  for (int i = 0; i <= repetitions; ++i) {
    const double t = seconds([&] { width = minimumZone(points)->width.in(unit::micrometre); });
    if (i > 0) times.push_back(t);
  }
  fmt::print(R"({{"name": "method.minimum_zone_{}", "ours": {:.3f}, "reference": null, "unit": )"
             R"("ms", "ratio": null, "target": null, "met": true, "note": "exact zone of {} )"
             R"(points, {:.4f} µm"}})"
             "\n",
             count, 1e3 * median(times), count, width);
}

}  // namespace

int main(int argc, char** argv) {
  const int repetitions = argc > 1 ? std::max(1, std::atoi(argv[1])) : 7;
  againstClp(repetitions);
  for (const std::size_t count : {1000U, 10000U, 100000U, 1000000U}) ofMany(count, repetitions);
}
