#include <doctest/doctest.h>

#include <algorithm>

#include "oven.h"

using namespace platemark::method::cure;
using oven::bake;
using oven::find;
using oven::inputOf;
using oven::minuteOf;

namespace {

ChartReading read(const ChartInput& input) {
  auto reading = readChart(input);
  REQUIRE(reading);
  for (const ChartFault& fault : reading->faults) CHECK(sentence(fault).ends_with("."));
  return *reading;
}

ChartReading read(const std::vector<oven::Tape>& tapes) { return read(inputOf(tapes)); }

}  // namespace

TEST_CASE("A sound chart has figures and no fault") {
  const ChartReading reading = read(bake());
  CHECK(reading.faults.empty());
  CHECK(reading.soak_minutes.determined);
  // The core lags by its 14 min: 180 - 21 exp(-t/14) = 175 at 20.1 min after minute 103.3.
  CHECK(*reading.soak_start_minute.value == doctest::Approx(123.4).epsilon(0.01));
  CHECK(*reading.soak_end_minute.value == doctest::Approx(104 + 150 + 4.3 / 1.8).epsilon(0.01));
  CHECK(reading.channels[0].resolution_k == doctest::Approx(0.1));
  CHECK(reading.channels[0].noise_k == doctest::Approx(0.15).epsilon(0.25));
  CHECK(*reading.air_at_load_in_celsius.value == doctest::Approx(25.8).epsilon(0.03));
  CHECK_FALSE(reading.minutes_in_oven.determined);
}

TEST_CASE("A short gap is bridged, a long one in the soak bounds it") {
  auto tapes = bake();
  tapes[2].change(180, 188, [](double) { return oven::empty; });
  const ChartReading bridged = read(tapes);
  REQUIRE(find(bridged, FaultKind::gap));
  CHECK(find(bridged, FaultKind::gap)->usable);
  CHECK(find(bridged, FaultKind::gap)->in_soak);
  CHECK(bridged.soak_minutes.determined);
  CHECK(*bridged.longest_gap_in_soak_minutes.value == doctest::Approx(8.0).epsilon(0.03));

  tapes[2].change(180, 195, [](double) { return oven::empty; });
  const ChartReading open = read(tapes);
  const ChartFault* gap = find(open, FaultKind::gap);
  REQUIRE(gap);
  CHECK_FALSE(gap->usable);
  CHECK(gap->channel == "core");
  CHECK(minuteOf(gap->from_ms) == doctest::Approx(180).epsilon(0.002));
  CHECK(minuteOf(gap->to_ms) == doctest::Approx(195).epsilon(0.002));
  CHECK_FALSE(open.soak_minutes.determined);
  CHECK(*open.soak_minutes.value == doctest::Approx(256.4 - 195).epsilon(0.01));
  CHECK(*open.soak_minutes.at_most == doctest::Approx(256.4 - 123.4).epsilon(0.01));
  CHECK_FALSE(open.overshoot_k.determined);
  CHECK_FALSE(open.difference_k.determined);
}

TEST_CASE("A gap while a load is still cold does not touch the soak") {
  auto tapes = bake();
  tapes[2].change(40, 60, [](double) { return oven::empty; });
  const ChartReading reading = read(tapes);
  REQUIRE(find(reading, FaultKind::gap));
  CHECK_FALSE(find(reading, FaultKind::gap)->in_soak);
  CHECK(reading.soak_minutes.determined);
  CHECK_FALSE(reading.channels[2].ramp_chord_k_per_min.determined);
  CHECK(reading.channels[1].ramp_chord_k_per_min.determined);
}

TEST_CASE("A sensor that stands still on the ramp is found and not used") {
  auto tapes = bake();
  tapes[0].change(60, 80, [](double) { return 115.4; });
  const ChartReading reading = read(tapes);
  const ChartFault* stuck = find(reading, FaultKind::stuck);
  REQUIRE(stuck);
  CHECK(stuck->channel == "air 1");
  CHECK(minuteOf(stuck->from_ms) == doctest::Approx(60).epsilon(0.01));
  CHECK(minuteOf(stuck->to_ms) == doctest::Approx(80).epsilon(0.01));
  CHECK(*stuck->level == doctest::Approx(115.4));
  CHECK_FALSE(stuck->usable);
  CHECK(reading.soak_minutes.determined);
}

TEST_CASE("A core sensor stuck in the band leaves the soak undetermined") {
  auto tapes = bake();
  tapes[2].change(130, 400, [](double) { return 178.0; });
  const ChartReading reading = read(tapes);
  const ChartFault* stuck = find(reading, FaultKind::stuck);
  REQUIRE(stuck);
  CHECK(stuck->channel == "core");
  CHECK(stuck->in_soak);
  CHECK_FALSE(reading.soak_minutes.determined);
  CHECK(*reading.soak_minutes.value < 10);
  CHECK_FALSE(reading.soak_end_minute.determined);
}

TEST_CASE("A noisy channel that falls silent in the soak is stuck though nothing moves") {
  auto tapes = bake();
  tapes[1].change(170, 200, [](double) { return 179.3; });
  const ChartReading reading = read(tapes);
  const ChartFault* stuck = find(reading, FaultKind::stuck);
  REQUIRE(stuck);
  CHECK(stuck->channel == "air 2");
  CHECK(stuck->in_soak);
  CHECK_FALSE(reading.soak_minutes.determined);
}

TEST_CASE("A quiet channel of coarse steps that holds its set point is not stuck") {
  auto tapes = bake(10, 150, 1, 0.0);
  for (auto& tape : tapes)
    for (double& c : tape.celsius) c = std::round(c);
  const ChartReading reading = read(tapes);
  CHECK(find(reading, FaultKind::stuck) == nullptr);
  CHECK(reading.soak_minutes.determined);
}

TEST_CASE("A recorder that repeats its last row on the ramp is found by the programme") {
  auto tapes = bake();
  for (auto& tape : tapes) {
    const double held = tape.celsius[tape.row(50)];
    tape.change(50, 80, [held](double) { return held; });
  }
  const ChartReading reading = read(tapes);
  std::size_t stuck = 0;
  for (const ChartFault& fault : reading.faults) stuck += fault.kind == FaultKind::stuck;
  CHECK(stuck == 3);
}

TEST_CASE("A spike is cut out, a jump that stays is not used to the end") {
  auto tapes = bake();
  tapes[0].change(150, 150.4, [](double c) { return c + 80; });
  const ChartReading spike = read(tapes);
  const ChartFault* jump = find(spike, FaultKind::jump);
  REQUIRE(jump);
  CHECK(jump->channel == "air 1");
  CHECK(*jump->figure == doctest::Approx(80).epsilon(0.02));
  CHECK_FALSE(jump->usable);
  CHECK(minuteOf(jump->to_ms) < 150.5);
  CHECK(spike.soak_minutes.determined);
  CHECK(*spike.overshoot_k.value < 3);

  tapes[0].change(200, 400, [](double c) { return c - 60; });
  const ChartReading slipped = read(tapes);
  CHECK_FALSE(slipped.soak_minutes.determined);
  CHECK(*slipped.soak_minutes.at_least == doctest::Approx(200 - 123.4).epsilon(0.01));
}

TEST_CASE("A noisy sensor does not jump") {
  for (unsigned seed = 1; seed <= 5; ++seed)
    CHECK(find(read(bake(1, 60, seed, 1.3)), FaultKind::jump) == nullptr);
}

TEST_CASE("A false first value does not spoil the rest") {
  auto tapes = bake();
  tapes[2].celsius[0] = 400;
  const ChartReading reading = read(tapes);
  const ChartFault* jump = find(reading, FaultKind::jump);
  REQUIRE(jump);
  CHECK(minuteOf(jump->to_ms) == 0);
  CHECK(reading.soak_minutes.determined);
}

TEST_CASE("The chord starts at the last crossing before the climb") {
  const std::vector<oven::Tape> tapes{oven::tapeOf(
      "air", ChannelRole::record, {{0, 20}, {10, 80}, {20, 50}, {30, 70}, {70, 150}, {80, 150}})};
  ChartInput input = inputOf(tapes);
  input.limits.bridge_minutes = 60;
  // 60 °C at 5 and again at 25 min, 140 °C at 65 min.
  CHECK(*read(input).channels[0].ramp_chord_k_per_min.value == doctest::Approx(80.0 / 40));
}

TEST_CASE("Which of two equal channels is named does not hang on their order") {
  auto tapes = bake();
  tapes[1].celsius = tapes[0].celsius;
  ChartInput input = inputOf(tapes);
  input.limits.load_in_celsius = 20;
  const auto faults = read(input).faults;
  std::swap(input.channels[0], input.channels[1]);
  CHECK(read(input).faults == faults);
}

TEST_CASE("Like channels that part for a moment only are a draught") {
  auto tapes = bake();
  tapes[1].change(90, 93, [step = 0.0](double c) mutable { return c - std::min(20.0, step += 4); });
  CHECK(find(read(tapes), FaultKind::parted) == nullptr);
}

TEST_CASE("Air that cools in the last minutes does not make a lagging core stuck") {
  // A coarse recorder: the core stands at 180 for 27 min and follows 6 min after the air.
  std::vector<oven::Tape> tapes{{.name = "air"}, {.name = "core", .role = ChannelRole::load}};
  for (int m = 0; m < 260; ++m) {
    const auto level = [](double minute) {
      return std::clamp(std::min(25 + 2 * minute, 180 - 5 * (minute - 105)), 25.0, 180.0);
    };
    for (auto& tape : tapes) tape.at.push_back(oven::evening + m * 60000);
    tapes[0].celsius.push_back(std::round(level(m)));
    tapes[1].celsius.push_back(std::round(std::max(25.0, level(m - 6.0))));
  }
  CHECK(find(read(tapes), FaultKind::stuck) == nullptr);
}

TEST_CASE("Two channels part; both are named and neither is chosen") {
  auto tapes = bake();
  double drift = 0;
  tapes[1].change(90, 400, [&](double c) { return c - std::min(25.0, drift += 0.05); });
  const ChartReading reading = read(tapes);
  const ChartFault* parted = find(reading, FaultKind::parted);
  REQUIRE(parted);
  CHECK(parted->channel == "air 1");
  CHECK(parted->other == "air 2");
  CHECK(*parted->figure == doctest::Approx(26.5).epsilon(0.04));
  CHECK(parted->usable);
  CHECK(*reading.soak_minutes.value == 0);
}

TEST_CASE("A door opened in the soak interrupts it; reset and sum differ") {
  auto tapes = bake();
  for (int c : {0, 1})
    tapes[static_cast<std::size_t>(c)].change(180, 186, [](double t) { return t - 12; });
  ChartInput input = inputOf(tapes);
  const ChartReading reset = read(input);
  const ChartFault* dip = find(reset, FaultKind::interrupted);
  REQUIRE(dip);
  CHECK(dip->channel == "air 2");
  CHECK(*dip->figure == doctest::Approx(175 - (179.3 - 12)).epsilon(0.1));
  CHECK(*reset.soak_minutes.value == doctest::Approx(256.4 - 186).epsilon(0.01));
  CHECK(*reset.soak_start_minute.value == doctest::Approx(186).epsilon(0.01));
  input.rules.policy = SoakPolicy::sum;
  const ChartReading sum = read(input);
  CHECK(*sum.soak_minutes.value == doctest::Approx(256.4 - 123.4 - 6).epsilon(0.01));
  CHECK(*sum.soak_start_minute.value == doctest::Approx(123.4).epsilon(0.01));
  CHECK(sum.rules.policy == SoakPolicy::sum);
}

TEST_CASE("Limits that are passed are marked where") {
  auto tapes = bake();
  tapes[0].change(30, 60,
                  [step = 0.0](double c) mutable { return c + std::min(14.0, step += 0.12); });
  tapes[0].change(60, 400, [](double c) { return c + 14; });
  ChartInput input = inputOf(tapes);
  input.limits.heating_k_per_min = 1.8;
  input.limits.overshoot_k = 6;
  input.limits.difference_k = 10;
  input.limits.minimum_minutes = 600;
  input.limits.door_open_celsius = 50;
  input.limits.load_in_celsius = 20;
  input.door_open_ms = tapes[0].at[tapes[0].row(320)];
  const ChartReading reading = read(input);
  const ChartFault* fast = find(reading, FaultKind::heated_too_fast);
  REQUIRE(fast);
  CHECK(fast->channel == "air 1");
  CHECK(*fast->figure == doctest::Approx(1.5 + 0.12 * 6).epsilon(0.07));
  CHECK(minuteOf(fast->from_ms) == doctest::Approx(27).epsilon(0.1));
  CHECK(*find(reading, FaultKind::overshot)->figure == doctest::Approx(14.8).epsilon(0.05));
  CHECK(*find(reading, FaultKind::overshot)->limit == 6);
  CHECK(find(reading, FaultKind::apart_in_soak)->in_soak);
  CHECK(*find(reading, FaultKind::short_time)->figure == doctest::Approx(320).epsilon(0.001));
  CHECK(find(reading, FaultKind::opened_hot)->channel == "core");
  CHECK(find(reading, FaultKind::put_in_hot)->channel == "air 1");
  CHECK(find(reading, FaultKind::outside_window)->channel == "air 1");
  CHECK(reading.minutes_in_oven.determined);
  CHECK(reading.door_open_celsius.determined);
}

TEST_CASE("A load put in while the oven was hot is seen at the moment of load in") {
  auto tapes = bake();
  // The recorder ran before: 30 min of the last load's cooling, from 95 to 80.
  std::vector<oven::Tape> longer = tapes;
  for (auto& tape : longer) {
    for (auto& at : tape.at) at += 30 * 60000;
    std::vector<std::int64_t> at;
    std::vector<double> celsius;
    for (int m = 0; m < 30; ++m)
      at.push_back(oven::evening + m * 60000), celsius.push_back(95 - m * 0.5);
    tape.at.insert(tape.at.begin(), at.begin(), at.end());
    tape.celsius.insert(tape.celsius.begin(), celsius.begin(), celsius.end());
  }
  ChartInput input = inputOf(longer);
  input.limits.load_in_celsius = 60;
  input.load_in_ms = oven::evening + 20 * 60000;
  const ChartReading reading = read(input);
  const ChartFault* hot = find(reading, FaultKind::put_in_hot);
  REQUIRE(hot);
  CHECK(*hot->figure == doctest::Approx(85));
  CHECK(hot->from_ms == *input.load_in_ms);
}

TEST_CASE("A recording that ends in the soak is truncated") {
  auto tapes = bake();
  for (auto& tape : tapes) {
    const std::size_t rows = tape.row(160);
    tape.at.resize(rows);
    tape.celsius.resize(rows);
  }
  const ChartReading reading = read(tapes);
  const ChartFault* cut = find(reading, FaultKind::truncated);
  REQUIRE(cut);
  CHECK(*cut->figure == doctest::Approx(160 - 123.4).epsilon(0.02));
  CHECK_FALSE(reading.soak_minutes.determined);
  CHECK_FALSE(reading.soak_minutes.at_most);
  CHECK(reading.soak_start_minute.determined);
  CHECK_FALSE(reading.soak_end_minute.determined);
}

TEST_CASE("A recording that ends soon after the soak is not truncated") {
  auto tapes = bake();
  for (auto& tape : tapes) {
    const std::size_t rows = tape.row(259);
    tape.at.resize(rows);
    tape.celsius.resize(rows);
  }
  const ChartReading reading = read(tapes);
  CHECK(find(reading, FaultKind::truncated) == nullptr);
  CHECK(reading.soak_minutes.determined);
}

TEST_CASE("A recording that ends on the ramp is truncated; no soak is claimed or denied") {
  auto tapes = bake();
  for (auto& tape : tapes) {
    const std::size_t rows = tape.row(70);
    tape.at.resize(rows);
    tape.celsius.resize(rows);
  }
  const ChartReading reading = read(tapes);
  REQUIRE(find(reading, FaultKind::truncated));
  CHECK_FALSE(reading.soak_minutes.determined);
  CHECK_FALSE(reading.soak_minutes.at_most);
}

TEST_CASE("Sound charts stay without fault whatever their noise") {
  for (unsigned seed = 1; seed <= 60; ++seed)
    for (const double noise : {0.0, 0.05, 0.15, 0.3})
      for (const double step : {2.0, 10.0, 60.0}) {
        const ChartReading reading = read(bake(step, 150, seed, noise));
        CAPTURE(seed);
        CAPTURE(noise);
        CAPTURE(step);
        for (const ChartFault& fault : reading.faults) FAIL_CHECK(sentence(fault));
        CHECK(reading.soak_minutes.determined);
        CHECK(*reading.soak_minutes.value == doctest::Approx(133).epsilon(0.03));
      }
}

TEST_CASE("A load that never arrives has no soak, and that is known") {
  auto tapes = bake();
  tapes[2].change(0, 400, [](double c) { return c - (c - 25) * 0.1; });
  const ChartReading reading = read(tapes);
  CHECK(reading.soak_minutes.determined);
  CHECK(*reading.soak_minutes.value == 0);
  CHECK_FALSE(reading.soak_start_minute.value);
  CHECK_FALSE(reading.difference_k.determined);
}

TEST_CASE("Readings for one moment twice, and readings no oven reaches") {
  auto tapes = bake();
  tapes[0].at[500] = tapes[0].at[499];
  tapes[0].celsius[500] = tapes[0].celsius[499];
  tapes[1].at[500] = tapes[1].at[499];
  tapes[1].celsius[500] = tapes[1].celsius[499] + 3;
  tapes[2].celsius[700] = 1372;
  tapes[2].celsius[701] = -std::numeric_limits<double>::infinity();
  const ChartReading reading = read(tapes);
  std::size_t alike = 0, unlike = 0;
  for (const ChartFault& fault : reading.faults)
    if (fault.kind == FaultKind::duplicate_time) (fault.usable ? alike : unlike) += fault.count;
  CHECK(alike == 1);
  CHECK(unlike == 1);
  REQUIRE(find(reading, FaultKind::implausible));
  CHECK(find(reading, FaultKind::implausible)->count == 2);
  CHECK(reading.soak_minutes.determined);
}
