#include <cmath>
#include <limits>
#include <random>

#include "platemark/method/plate/coating.h"
#include "platemark/method/plate/flatness.h"
#include "platemark/method/plate/parallelism.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::plate;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

double micrometres(Length length) { return length.in(unit::micrometre); }

/// A plate of 120 mm by 60 mm, tilted and uneven; heights in steps of a micrometre.
std::vector<SurfacePoint> drawnFace(int fewest = 4, int most = 11) {
  std::vector<SurfacePoint> points;
  const int count = *rc::gen::inRange(fewest, most);
  const double a = drawn(-20, 20, 0.001), b = drawn(-20, 20, 0.001);
  for (int i = 0; i < count; ++i) {
    const double x = drawn(0, 120, 1), y = drawn(0, 60, 1);
    points.push_back({x, y, a * x + b * y + drawn(0, 100, 0.001)});
  }
  // A corner each, so that the face is never one line and never slim.
  points.push_back({0, 0, drawn(0, 100, 0.001)});
  points.push_back({120, 0, 120 * a + drawn(0, 100, 0.001)});
  points.push_back({0, 60, 60 * b + drawn(0, 100, 0.001)});
  return points;
}

using Vector = std::array<double, 3>;

Vector step(const SurfacePoint& a, const SurfacePoint& b) {
  return {b.x_mm - a.x_mm, b.y_mm - a.y_mm, b.z_mm - a.z_mm};
}

Vector cross(const Vector& a, const Vector& b) {
  return {a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]};
}

double widthAlong(const std::vector<SurfacePoint>& points, const Vector& n) {
  double low = std::numeric_limits<double>::infinity(), high = -low;
  for (const SurfacePoint& p : points) {
    const double h = n[0] * p.x_mm + n[1] * p.y_mm + n[2] * p.z_mm;
    low = std::min(low, h);
    high = std::max(high, h);
  }
  return (high - low) / std::sqrt(n[0] * n[0] + n[1] * n[1] + n[2] * n[2]);
}

/// The zone by trying every plane through three points and every pair of parallel planes through
/// two and two, in mm.
double zoneByTrial(const std::vector<SurfacePoint>& points) {
  double least = std::numeric_limits<double>::infinity();
  const auto attempt = [&](const Vector& n) {
    if (std::abs(n[2]) > 1e-9) least = std::min(least, widthAlong(points, n));
  };
  for (std::size_t i = 0; i < points.size(); ++i)
    for (std::size_t j = i + 1; j < points.size(); ++j)
      for (std::size_t k = 0; k < points.size(); ++k) {
        attempt(cross(step(points[i], points[j]), step(points[i], points[k])));
        for (std::size_t l = k + 1; l < points.size(); ++l)
          attempt(cross(step(points[i], points[j]), step(points[k], points[l])));
      }
  return least;
}

/// The same points turned about all axes by a few degrees and moved.
std::vector<SurfacePoint> turned(const std::vector<SurfacePoint>& points, double angle) {
  const double c = std::cos(angle), s = std::sin(angle);
  std::vector<SurfacePoint> out;
  for (const SurfacePoint& p : points) {
    const double y = c * p.y_mm - s * p.z_mm, z = s * p.y_mm + c * p.z_mm;
    out.push_back({c * p.x_mm - s * z + 7, y - 3, s * p.x_mm + c * z + 11});
  }
  return out;
}

std::vector<SurfacePoint> scaled(std::vector<SurfacePoint> points, double k) {
  for (SurfacePoint& p : points) p = {p.x_mm * k, p.y_mm * k, p.z_mm * k};
  return points;
}

std::vector<SurfacePoint> manyPoints(std::size_t count) {
  std::mt19937_64 random(20);
  const auto from = [&](double high) {
    return high * static_cast<double>(random() >> 11) * 0x1p-53;
  };
  std::vector<SurfacePoint> points;
  for (std::size_t i = 0; i < count; ++i) {
    const double x = from(120), y = from(60);
    points.push_back({x, y, 0.003 * x - 0.002 * y + 1e-5 * (x - 60) * (y - 30) + from(0.02)});
  }
  return points;
}

}  // namespace

TEST_CASE("Flatness, thickness and coats agree with the examples") {
  test::checkCases("method/cases/plate.csv");
}

TEST_CASE("The minimum zone is the least of all planes through points") {
  holds("exact", [] {
    const std::vector<SurfacePoint> points = drawnFace();
    const auto zone = minimumZone(points);
    RC_ASSERT(static_cast<bool>(zone));
    RC_ASSERT(std::abs(zone->width.in(unit::millimetre)-zoneByTrial(points)) < 1e-11);
  });
}

TEST_CASE(
    "The minimum zone holds all points, touches the ones it names, and is never the greater") {
  holds("holds all", [] {
    const std::vector<SurfacePoint> points = drawnFace();
    const auto zone = minimumZone(points);
    const auto squares = leastSquaresFlatness(points);
    const double half = micrometres(zone->width) / 2;
    const std::vector<Length> over = heights(points, zone->middle);
    for (const Length h : over) RC_ASSERT(std::abs(micrometres(h)) <= half + 1e-8);
    for (const std::size_t i : zone->upper) RC_ASSERT(std::abs(micrometres(over[i]) - half) < 1e-8);
    for (const std::size_t i : zone->lower) RC_ASSERT(std::abs(micrometres(over[i]) + half) < 1e-8);
    RC_ASSERT(zone->width <= squares->flatness + Length::of(1e-8, unit::micrometre));
    RC_ASSERT(zone->width <= linearZone(points)->width + Length::of(1e-8, unit::micrometre));
  });
}

TEST_CASE("Neither order nor unit nor the way a part lies changes its flatness") {
  holds("invariance", [] {
    const std::vector<SurfacePoint> points = drawnFace();
    std::vector<SurfacePoint> back(points.rbegin(), points.rend());
    const double zone = micrometres(minimumZone(points)->width);
    RC_ASSERT(std::abs(micrometres(minimumZone(back)->width) - zone) < 1e-8);
    RC_ASSERT(std::abs(micrometres(minimumZone(turned(points, 0.05))->width) - zone) < 1e-7);
    RC_ASSERT(std::abs(micrometres(minimumZone(scaled(points, 0.001))->width) * 1000 - zone) <
              1e-7);
    RC_ASSERT(std::abs(micrometres(leastSquaresFlatness(back)->flatness) -
                       micrometres(leastSquaresFlatness(points)->flatness)) < 1e-8);
  });
}

TEST_CASE("One point more never makes a face flatter") {
  holds("monotonic", [] {
    std::vector<SurfacePoint> points = drawnFace();
    const double before = micrometres(minimumZone(points)->width);
    points.push_back({drawn(0, 120, 1), drawn(0, 60, 1), drawn(-1000, 3000, 0.001)});
    RC_ASSERT(micrometres(minimumZone(points)->width) >= before - 1e-8);
  });
}

TEST_CASE("Points on a grid, many alike, have their zone too") {
  std::vector<SurfacePoint> grid;
  for (int i = 0; i < 60; ++i)
    for (int j = 0; j < 40; ++j) grid.push_back({2.0 * i, 1.5 * j, 0.001 * ((i * 7 + j * 13) % 5)});
  const auto zone = minimumZone(grid);
  REQUIRE(zone);
  CHECK(std::abs(micrometres(zone->width) - 4) < 1e-6);
  for (SurfacePoint& p : grid) p.z_mm = 3;
  CHECK(micrometres(minimumZone(grid)->width) < 1e-9);
}

TEST_CASE("A face of many points keeps the zone of its hull") {
  const std::vector<SurfacePoint> points = manyPoints(200000);
  const auto zone = minimumZone(points);
  REQUIRE(zone);
  // Only the points near the planes carry the zone: those alone have the same one.
  std::vector<SurfacePoint> outer;
  const std::vector<Length> over = heights(points, zone->middle);
  for (std::size_t i = 0; i < points.size(); ++i)
    if (std::abs(micrometres(over[i])) > 0.45 * micrometres(zone->width))
      outer.push_back(points[i]);
  CHECK(outer.size() < 2000);
  CHECK(std::abs(micrometres(minimumZone(outer)->width) - micrometres(zone->width)) < 1e-8);
  for (const Length h : over)
    REQUIRE(std::abs(micrometres(h)) <= micrometres(zone->width) / 2 + 1e-8);
}

TEST_CASE("Points that make no face are refused") {
  const double nan = std::numeric_limits<double>::quiet_NaN();
  CHECK(minimumZone({}).error().code == "flatness.few_points");
  CHECK(leastSquaresFlatness(std::vector<SurfacePoint>(5, {1, 2, 3})).error().code ==
        "flatness.one_line");
  CHECK(minimumZone(std::vector<SurfacePoint>(5, {1, 2, 3})).error().code == "flatness.one_line");
  const std::vector<SurfacePoint> torn{{0, 0, 0}, {1, 0, 0}, {0, 1, nan}};
  CHECK(minimumZone(torn).error().where.field == "points[2]");
  CHECK(linearZone(torn).error().code == "flatness.not_finite");
  CHECK(parallelism({}, std::vector<SurfacePoint>{{0, 0, 0}, {1, 0, 0}, {0, 1, 0}}).error().code ==
        "flatness.few_points");
}

TEST_CASE("A bent plate is parallel to itself and not of one thickness spread") {
  // Both faces bent alike, the pad between them even: to a plane through the datum the face is off.
  std::vector<SurfacePoint> datum, face;
  for (const double x : {0.0, 50.0, 100.0})
    for (const double y : {0.0, 40.0}) {
      const double bend = x == 50 ? 0.1 : 0;
      datum.push_back({x, y, bend});
      face.push_back({x, y, bend + 6});
    }
  const auto found = parallelism(face, datum);
  REQUIRE(found);
  CHECK(std::abs(micrometres(found->parallelism) - 100) < 1e-6);
  CHECK(thickness(std::vector<Length>(6, Length::of(6, unit::millimetre)))->apart == Length());
}

TEST_CASE("A worse film never has a better class or rating") {
  holds("classes", [] {
    const double a = drawn(0, 1000, 0.1), b = drawn(0, 1000, 0.1);
    const Share less = Share::of(std::min(a, b), unit::percent);
    const Share more = Share::of(std::max(a, b), unit::percent);
    RC_ASSERT(*crossCutClass(less) <= *crossCutClass(more));
    RC_ASSERT(*saltSprayRating(less) >= *saltSprayRating(more));
  });
  CHECK(crossCutClass(Share::of(101, unit::percent)).error().code == "coating.share");
  CHECK(saltSprayRating(Share::of(-1, unit::percent)).error().code == "coating.share");
}
