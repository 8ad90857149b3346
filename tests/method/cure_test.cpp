#include <doctest/doctest.h>

#include <ctime>
#include <fstream>
#include <map>
#include <sstream>

#include "cure/oven.h"
#include "platemark/method/cure/chart.h"
#include "platemark/method/cure/thermocouple.h"
#include "platemark/method/cure/thin.h"

using namespace platemark::method::cure;
using oven::Tape;

namespace {

using Row = std::vector<std::string>;

/// Rows of a case file below its title row. A file without a source does not load.
std::vector<Row> casesFrom(const std::string& name) {
  std::ifstream file(PLATEMARK_TESTS_DIR "/method/cases/" + name);
  std::vector<Row> rows;
  bool has_source = false;
  for (std::string line; std::getline(file, line);) {
    has_source = has_source || line.starts_with("# source: ");
    if (line.starts_with('#')) continue;
    Row row;
    std::istringstream cells(line);
    for (std::string cell; std::getline(cells, cell, ',');) row.push_back(cell);
    rows.push_back(row);
  }
  REQUIRE_MESSAGE(has_source, name, " has no source");
  REQUIRE(rows.size() > 1);
  rows.erase(rows.begin());
  return rows;
}

std::vector<Tape> workedChart() {
  return {oven::tapeOf("air", ChannelRole::record,
                       {{0, 25},
                        {30, 85},
                        {60, 145},
                        {90, 180},
                        {120, 184},
                        {150, 182},
                        {180, 180},
                        {300, 180},
                        {330, 120},
                        {360, 60}}),
          oven::tapeOf("part", ChannelRole::load,
                       {{0, 25},
                        {30, 55},
                        {60, 110},
                        {90, 150},
                        {120, 172},
                        {150, 178},
                        {180, 179.5},
                        {240, 180},
                        {300, 180},
                        {330, 150},
                        {360, 100}})};
}

ChartInput workedInput(const std::vector<Tape>& tapes) {
  ChartInput input = oven::inputOf(tapes);
  input.limits.bridge_minutes = 120;  // the chart has one reading in half an hour
  return input;
}

std::map<std::string, Figure> figuresOf(const ChartReading& r) {
  std::map<std::string, Figure> figures{{"soak_start", r.soak_start_minute},
                                        {"soak_end", r.soak_end_minute},
                                        {"soak", r.soak_minutes},
                                        {"overshoot", r.overshoot_k},
                                        {"difference", r.difference_k}};
  for (const ChannelFigures& c : r.channels) {
    figures[c.name + "_chord"] = c.ramp_chord_k_per_min;
    figures[c.name + "_fit"] = c.ramp_fit_k_per_min;
    figures[c.name + "_fastest"] = c.ramp_fastest_k_per_min;
  }
  return figures;
}

std::vector<Tape> everyMinute(const std::vector<Tape>& coarse) {
  std::vector<Tape> fine;
  for (const Tape& tape : coarse) {
    Tape& dense = fine.emplace_back(Tape{.name = tape.name, .role = tape.role});
    for (std::size_t i = 0; i + 1 < tape.at.size(); ++i) {
      const auto minutes = (tape.at[i + 1] - tape.at[i]) / 60000;
      for (std::int64_t m = 0; m < minutes; ++m) {
        dense.at.push_back(tape.at[i] + m * 60000);
        dense.celsius.push_back(tape.celsius[i] + static_cast<double>(m) *
                                                      (tape.celsius[i + 1] - tape.celsius[i]) /
                                                      static_cast<double>(minutes));
      }
    }
    dense.at.push_back(tape.at.back());
    dense.celsius.push_back(tape.celsius.back());
  }
  return fine;
}

void checkWorked(const std::vector<Tape>& tapes, double bridge) {
  ChartInput input = workedInput(tapes);
  input.limits.bridge_minutes = bridge;
  for (const Row& row : casesFrom("cure_chart.csv")) {
    input.rules.evidence = row[0] == "part" ? Evidence::load_only : Evidence::record_and_load;
    const auto reading = readChart(input);
    REQUIRE(reading);
    const Figure figure = figuresOf(*reading)[row[1]];
    CAPTURE(row[0]);
    CAPTURE(row[1]);
    REQUIRE(figure.value);
    CHECK(figure.determined);
    CHECK(std::abs(*figure.value - std::stod(row[2])) <= std::stod(row[3]));
  }
}

}  // namespace

TEST_CASE("The worked chart gives the worked figures") { checkWorked(workedChart(), 120); }
TEST_CASE("So does the same chart read every minute") {
  checkWorked(everyMinute(workedChart()), 5);
}

TEST_CASE("A chart too coarse to know proves nothing") {
  const auto tapes = workedChart();
  ChartInput input = workedInput(tapes);
  input.limits.bridge_minutes = 10;
  const auto reading = readChart(input);
  REQUIRE(reading);
  CHECK_FALSE(reading->soak_minutes.determined);
  CHECK(*reading->soak_minutes.at_least == 0);
  CHECK_FALSE(reading->overshoot_k.determined);
  CHECK_FALSE(reading->channels[0].ramp_chord_k_per_min.determined);
}

TEST_CASE("Sensor tolerance moves the figures by what it is worth") {
  auto tapes = workedChart();
  tapes[0].tolerance = tapes[1].tolerance = 2.5;
  const auto reading = readChart(workedInput(tapes));
  REQUIRE(reading);
  // Band lower 177.5: part crosses at 120 + 30 * 5.5/6 = 147.5, air leaves at 301.25.
  // Band lower 172.5: part crosses at 122.5 (0.5/6 * 30 after 120), air leaves at 303.75.
  CHECK(*reading->soak_start_minute.sensor_contribution == doctest::Approx(12.5));
  CHECK(*reading->soak_end_minute.sensor_contribution == doctest::Approx(1.25));
  CHECK(*reading->soak_minutes.sensor_contribution == doctest::Approx(13.75));
  CHECK(*reading->difference_k.sensor_contribution == 5.0);
  CHECK(*reading->overshoot_k.sensor_contribution == 2.5);
}

TEST_CASE("Thermocouple tolerances are those of the table") {
  const std::map<std::string, ThermocoupleType> types{{"K", ThermocoupleType::k},
                                                      {"N", ThermocoupleType::n},
                                                      {"J", ThermocoupleType::j},
                                                      {"T", ThermocoupleType::t},
                                                      {"E", ThermocoupleType::e}};
  for (const Row& row : casesFrom("thermocouple_tolerance.csv")) {
    CAPTURE(row[0]);
    CAPTURE(row[1]);
    CAPTURE(row[2]);
    const auto tolerance =
        thermocoupleTolerance(types.at(row[0]), std::stoi(row[1]), std::stod(row[2]));
    REQUIRE(tolerance);
    CHECK(*tolerance == doctest::Approx(std::stod(row[3])).epsilon(1e-12));
  }
  CHECK(thermocoupleTolerance(ThermocoupleType::j, 3, 0).error().code == "cure.thermocouple_class");
  CHECK(thermocoupleTolerance(ThermocoupleType::t, 1, 351).error().code ==
        "cure.thermocouple_range");
  CHECK(thermocoupleTolerance(ThermocoupleType::k, 3, 180).error().code ==
        "cure.thermocouple_range");
  CHECK_FALSE(thermocoupleTolerance(ThermocoupleType::k, 1, oven::empty));
}

TEST_CASE("The window follows ramp, hold and second ramp") {
  const Programme programme{.start_celsius = 20,
                            .segments = {{.target_celsius = 110,
                                          .below_k = 5,
                                          .above_k = 10,
                                          .ramp_k_per_min = 1.5,
                                          .soak_minutes = 40},
                                         {.target_celsius = 180,
                                          .below_k = 0,
                                          .above_k = 6,
                                          .ramp_minutes = 35,
                                          .soak_minutes = 120}}};
  REQUIRE(checkProgramme(programme));
  CHECK(programmeMinutes(programme) == doctest::Approx(60 + 40 + 35 + 120));
  const auto check = [&](double minute, double lower, double target, double upper) {
    const auto bounds = windowAt(programme, minute);
    REQUIRE(bounds);
    CHECK(bounds->lower_celsius == doctest::Approx(lower));
    CHECK(bounds->target_celsius == doctest::Approx(target));
    CHECK(bounds->upper_celsius == doctest::Approx(upper));
  };
  check(0, 15, 20, 30);
  check(30, 60, 65, 75);
  check(80, 105, 110, 120);
  check(117.5, 142.5, 145, 153);
  check(255, 180, 180, 186);
  CHECK_FALSE(windowAt(programme, 255.1));
  CHECK_FALSE(windowAt(programme, -0.1));
}

TEST_CASE("A programme that says too little or too much is refused with its segment") {
  CHECK(checkProgramme({}).error().code == "cure.programme_empty");
  Programme programme{
      .segments = {{.target_celsius = 100, .ramp_minutes = 10}, {.target_celsius = 180}}};
  CHECK(checkProgramme(programme).error().code == "cure.programme_ramp");
  CHECK(checkProgramme(programme).error().where.field == "segments[1]");
  programme.segments[1].ramp_minutes = 5;
  programme.segments[1].ramp_k_per_min = 5;
  CHECK(checkProgramme(programme).error().code == "cure.programme_ramp");
  programme.segments[1].ramp_k_per_min.reset();
  programme.segments[1].below_k = -1;
  CHECK(checkProgramme(programme).error().code == "cure.programme_range");
  programme.segments[1].below_k = oven::empty;
  CHECK(checkProgramme(programme).error().code == "cure.programme_range");
}

TEST_CASE("A recording that cannot be read is refused with its place") {
  auto tapes = oven::bake(60);
  const auto codeOf = [&](const ChartInput& input) {
    const auto reading = readChart(input);
    return reading ? std::string("read") : reading.error().code;
  };
  CHECK(codeOf(oven::inputOf({})) == "cure.no_channels");
  ChartInput input = oven::inputOf(tapes);
  input.channels[1].name = "air 1";
  CHECK(codeOf(input) == "cure.channel_twice");
  input = oven::inputOf(tapes);
  for (Channel& c : input.channels) c.role = ChannelRole::over_temperature;
  CHECK(codeOf(input) == "cure.no_evidence");
  input = oven::inputOf(tapes);
  input.channels[0].series.celsius = input.channels[0].series.celsius.first(10);
  CHECK(codeOf(input) == "cure.lengths_differ");
  input = oven::inputOf(tapes);
  input.limits.bridge_minutes = 0;
  CHECK(codeOf(input) == "cure.limits_range");
  input = oven::inputOf(tapes);
  input.rules.chord_to_celsius = 60;
  CHECK(codeOf(input) == "cure.rules_range");
  input = oven::inputOf(tapes);
  input.load_in_ms = tapes[0].at.back() + 1;
  CHECK(codeOf(input) == "cure.load_in_outside");
  input = oven::inputOf(tapes);
  input.door_open_ms = tapes[0].at.front() - 1;
  CHECK(codeOf(input) == "cure.door_open_outside");

  input = oven::inputOf(tapes);
  input.channels[0].tolerance_k = -1;
  CHECK(codeOf(input) == "cure.tolerance_range");
  input = oven::inputOf(tapes);
  input.screening.jump_least_k = oven::empty;
  CHECK(codeOf(input) == "cure.screening_range");
  input = oven::inputOf(tapes);
  input.load_in_ms = std::numeric_limits<std::int64_t>::min();
  CHECK(codeOf(input) == "cure.load_in_outside");
  auto far = tapes;
  far[1].at.back() = std::numeric_limits<std::int64_t>::max();
  CHECK(codeOf(oven::inputOf(far)) == "cure.time_range");

  auto empty = tapes;
  for (Tape& tape : empty) tape.at.clear(), tape.celsius.clear();
  CHECK(codeOf(oven::inputOf(empty)) == "cure.no_readings");
  auto nothing = tapes;
  for (Tape& tape : nothing) tape.celsius.assign(tape.celsius.size(), oven::empty);
  CHECK(codeOf(oven::inputOf(nothing)) == "cure.no_readings");

  tapes[2].at[100] = tapes[2].at[98];
  const auto back = readChart(oven::inputOf(tapes));
  REQUIRE_FALSE(back);
  CHECK(back.error().code == "cure.clock_backwards");
  CHECK(back.error().where.column == "core");
  CHECK(back.error().where.line == 101);
}

TEST_CASE("One row, and a channel without readings, decide nothing") {
  auto tapes = oven::bake(60);
  auto one = tapes;
  for (Tape& tape : one) tape.at.resize(1), tape.celsius.resize(1);
  const auto reading = readChart(oven::inputOf(one));
  REQUIRE(reading);
  CHECK_FALSE(reading->soak_minutes.determined);
  CHECK_FALSE(reading->soak_start_minute.determined);
  CHECK(oven::find(*reading, FaultKind::truncated));

  tapes[2].celsius.assign(tapes[2].celsius.size(), oven::empty);
  const auto blind = readChart(oven::inputOf(tapes));
  REQUIRE(blind);
  CHECK_FALSE(blind->soak_minutes.determined);
  CHECK(*blind->soak_minutes.at_least == 0);
  CHECK(*blind->soak_minutes.at_most > 140);
  const auto* gap = oven::find(*blind, FaultKind::gap);
  REQUIRE(gap);
  CHECK(gap->channel == "core");
  CHECK_FALSE(gap->usable);
  CHECK(gap->in_soak);
}

TEST_CASE("Half a million rows are read well under a second") {
  const auto tapes = oven::bake(1, 8150);
  REQUIRE(tapes[0].at.size() > 500000);
  const ChartInput input = oven::inputOf(tapes);
  const std::clock_t start = std::clock();
  const auto reading = readChart(input);
  const auto thinned = thin({tapes[0].at, tapes[0].celsius}, 1200);
  const double seconds = static_cast<double>(std::clock() - start) / CLOCKS_PER_SEC;
  REQUIRE(reading);
  REQUIRE(thinned);
  MESSAGE("3 channels of " << tapes[0].at.size() << " rows: " << seconds << " s of processor time");
  CHECK(thinned->size() <= 2402);
#if !defined(__SANITIZE_ADDRESS__)
  CHECK(seconds < 0.9);
#endif
}
