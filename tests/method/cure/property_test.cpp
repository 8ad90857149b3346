#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <algorithm>

#include "oven.h"
#include "platemark/method/cure/thin.h"

using namespace platemark::method::cure;

namespace {

/// Some chart: step, hold and noise at random, with holes and offsets.
std::vector<oven::Tape> someTapes() {
  const unsigned seed = *rc::gen::inRange(0u, 100000u);
  auto tapes = oven::bake(*rc::gen::element(20.0, 30.0, 60.0), *rc::gen::inRange(20, 200), seed);
  for (auto& tape : tapes) {
    const double from = *rc::gen::inRange(0, 300);
    const double length = *rc::gen::inRange(0, 30);
    tape.change(from, from + length, [](double) { return oven::empty; });
    const double offset = *rc::gen::inRange(-4, 5);
    tape.change(0, 1e6, [offset](double c) { return c + offset; });
  }
  return tapes;
}

ChartInput someInput(const std::vector<oven::Tape>& tapes) {
  ChartInput input = oven::inputOf(tapes);
  input.rules.policy = *rc::gen::element(SoakPolicy::reset, SoakPolicy::sum);
  return input;
}

bool sameFigures(const ChartReading& a, const ChartReading& b) {
  return a.soak_start_minute == b.soak_start_minute && a.soak_end_minute == b.soak_end_minute &&
         a.soak_minutes == b.soak_minutes && a.overshoot_k == b.overshoot_k &&
         a.difference_k == b.difference_k &&
         a.longest_gap_in_soak_minutes == b.longest_gap_in_soak_minutes &&
         a.air_at_load_in_celsius == b.air_at_load_in_celsius;
}

}  // namespace

TEST_CASE("A chart read on another day is the same chart") {
  CHECK(rc::check([] {
    const auto tapes = someTapes();
    const std::int64_t shift = *rc::gen::inRange<std::int64_t>(-4000000000000, 4000000000000);
    auto moved = tapes;
    for (auto& tape : moved)
      for (auto& at : tape.at) at += shift;
    ChartInput input = someInput(tapes);
    ChartInput later = input;
    for (std::size_t i = 0; i < moved.size(); ++i)
      later.channels[i].series = {moved[i].at, moved[i].celsius};
    const auto a = readChart(input);
    const auto b = readChart(later);
    RC_ASSERT(a && b);
    RC_ASSERT(sameFigures(*a, *b));
    RC_ASSERT(a->faults.size() == b->faults.size());
    for (std::size_t i = 0; i < a->faults.size(); ++i) {
      ChartFault back = b->faults[i];
      back.from_ms -= shift;
      back.to_ms -= shift;
      RC_ASSERT(back == a->faults[i]);
    }
  }));
}

TEST_CASE("The order of the channels does not matter") {
  CHECK(rc::check([] {
    const auto tapes = someTapes();
    const ChartInput input = someInput(tapes);
    ChartInput turned = input;
    std::ranges::rotate(turned.channels, turned.channels.begin() + *rc::gen::inRange(1, 3));
    const auto a = readChart(input);
    const auto b = readChart(turned);
    RC_ASSERT(a && b);
    RC_ASSERT(sameFigures(*a, *b));
    RC_ASSERT(a->faults == b->faults);
  }));
}

TEST_CASE("A further, cooler channel never lengthens the soak") {
  CHECK(rc::check([] {
    const auto tapes = someTapes();
    auto more = tapes;
    oven::Tape cooler = tapes[2];
    cooler.name = "colder core";
    const double below = *rc::gen::inRange(0, 8);
    cooler.change(0, 1e6, [below](double c) { return c - below; });
    more.push_back(cooler);
    ChartInput input = someInput(tapes);
    ChartInput with = oven::inputOf(more);
    with.rules = input.rules;
    const auto a = readChart(input);
    const auto b = readChart(with);
    RC_ASSERT(a && b);
    RC_ASSERT(*b->soak_minutes.value <= *a->soak_minutes.value + 1e-9);
    if (a->soak_minutes.at_most && b->soak_minutes.at_most)
      RC_ASSERT(*b->soak_minutes.at_most <= *a->soak_minutes.at_most + 1e-9);
  }));
}

TEST_CASE("What is known lies within its bounds, whatever is hidden") {
  CHECK(rc::check([] {
    auto tapes = oven::bake(30, *rc::gen::inRange(20, 200), *rc::gen::inRange(0u, 1000u));
    const ChartInput input = someInput(tapes);
    const auto whole = readChart(input);
    auto holed = tapes;
    const double from = *rc::gen::inRange(100, 300);
    holed[*rc::gen::inRange<std::size_t>(0, 3)].change(from, from + *rc::gen::inRange(0, 60),
                                                       [](double) { return oven::empty; });
    ChartInput with = oven::inputOf(holed);
    with.rules = input.rules;
    with.limits.bridge_minutes = 1;  // a hole is a hole
    const auto part = readChart(with);
    RC_ASSERT(whole && part);
    const double truth = *whole->soak_minutes.value;
    RC_ASSERT(*part->soak_minutes.at_least <= truth + 1e-6);
    if (part->soak_minutes.at_most) RC_ASSERT(*part->soak_minutes.at_most >= truth - 1e-6);
    if (part->soak_minutes.determined)
      RC_ASSERT(std::abs(*part->soak_minutes.value - truth) < 1e-3);
  }));
}

TEST_CASE("Thinning keeps the lowest and the highest of every column, in order of time") {
  CHECK(rc::check([] {
    const auto celsius = *rc::gen::container<std::vector<double>>(rc::gen::map(
        rc::gen::inRange(-2000, 5000), [](int c) { return c % 17 == 0 ? oven::empty : c / 10.0; }));
    std::vector<std::int64_t> at;
    std::int64_t now = 0;
    for (std::size_t i = 0; i < celsius.size(); ++i)
      at.push_back(now += *rc::gen::inRange(0, 90000));
    const auto columns = *rc::gen::inRange<std::size_t>(1, 40);
    const auto points = thin({at, celsius}, columns);
    RC_ASSERT(points);
    RC_ASSERT(points->size() <= std::max(celsius.size(), std::size_t{0}));
    RC_ASSERT(points->size() <= 2 * columns + 2);
    RC_ASSERT(std::ranges::is_sorted(*points, {}, &Point::at_ms));
    const auto extremes = [](auto values) {
      std::erase_if(values, [](double c) { return std::isnan(c); });
      return values.empty()
                 ? std::pair(0.0, 0.0)
                 : std::pair(*std::ranges::min_element(values), *std::ranges::max_element(values));
    };
    std::vector<double> kept;
    for (const Point& point : *points) {
      kept.push_back(point.celsius);
      const auto where = std::ranges::equal_range(at, point.at_ms);
      bool is_reading = false;
      for (auto it = where.begin(); it != where.end(); ++it) {
        const double c = celsius[static_cast<std::size_t>(it - at.begin())];
        is_reading =
            is_reading || c == point.celsius || (std::isnan(c) && std::isnan(point.celsius));
      }
      RC_ASSERT(is_reading);
    }
    RC_ASSERT(extremes(celsius) == extremes(kept));
  }));
}

TEST_CASE("Thinning refuses what cannot be drawn") {
  const std::vector<std::int64_t> back{2, 1};
  const std::vector<double> two{1, 2};
  CHECK(thin({back, two}, 10).error().code == "cure.clock_backwards");
  CHECK(thin({back, {}}, 10).error().code == "cure.lengths_differ");
  CHECK(thin({{}, {}}, 0).error().code == "cure.no_columns");
  CHECK(thin({{}, {}}, 3)->empty());
}
