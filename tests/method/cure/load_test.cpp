#include "platemark/method/cure/load.h"

#include <limits>
#include <numbers>
#include <numeric>

#include "../../../src/method/cure/load/march.h"
#include "courses.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method::cure;
using platemark::test::drawn;
using platemark::test::holds;

namespace {

TemperaturePoint celsius(double t) { return TemperaturePoint::of(t, scale::celsius); }
HeatTransfer film(double h) { return HeatTransfer::of(h, unit::watt_per_square_metre_kelvin); }

Material material(double k, double rho, double c, bool cures = false) {
  Material made;
  made.conductivity = Conductivity::of(k, unit::watt_per_metre_kelvin);
  made.density = Density::of(rho, unit::kilogram_per_cubic_metre);
  made.capacity = HeatCapacity::of(c, unit::joule_per_kilogram_kelvin);
  if (cures)
    made.binder =
        Binder{std::get<KamalLaw>(cases::novolac().law), 0,
               SpecificEnergy::of(300, unit::kilojoule_per_kilogram), Share::of(10, unit::percent)};
  return made;
}

std::vector<std::string> partsOf(const std::string& text, char mark) {
  std::vector<std::string> parts;
  std::istringstream in(text);
  for (std::string part; std::getline(in, part, mark);) parts.push_back(part);
  return parts;
}

std::vector<CoursePoint> airOf(const std::string& text) {
  std::vector<CoursePoint> air;
  for (const std::string& word : partsOf(text, ' ')) {
    const auto pair = partsOf(word, ':');
    air.push_back({Duration::of(std::stod(pair[0]), unit::second), celsius(std::stod(pair[1]))});
  }
  return air;
}

/// "12:1.5:2500:1000:20" with "cure" or the joint behind it.
void addLayer(Load& load, const std::string& text, int finer) {
  const auto part = partsOf(text, ':');
  const bool cures = part.size() > 5 && part[5] == "cure";
  load.materials.push_back(
      material(std::stod(part[1]), std::stod(part[2]), std::stod(part[3]), cures));
  Layer layer{load.materials.size() - 1,
              Length::of(std::stod(part[0]), unit::millimetre),
              finer * std::stoi(part[4]),
              true,
              {}};
  if (part.size() > 5 && !cures) layer.joint_to_next = film(std::stod(part[5]));
  load.stacks.front().layers.push_back(layer);
}

Load loadOf(const test::Case& row, int finer) {
  Load load;
  load.stacks.resize(1);
  for (const std::string& layer : partsOf(row.text("layers"), '+')) addLayer(load, layer, finer);
  Stack& stack = load.stacks.front();
  stack.first_end = film(row.number("first"));
  stack.last_end = film(row.number("last"));
  stack.first_air = stack.last_air = {{1}, {}};
  stack.start = celsius(row.number("start"));
  load.air = {airOf(row.text("air"))};
  load.to = load.air.front().back().at;
  load.limits = {celsius(175), celsius(60), celsius(140)};
  load.tolerance = {TemperatureDifference::of(1e-6, unit::kelvin), 2e-8};
  return load;
}

/// Temperatures of both sides of the joint behind a layer, from the flux between its cells.
std::pair<double, double> sidesOf(const Load& load, std::size_t layer, double left, double right) {
  const auto half = [&](std::size_t i) {
    const Layer& at = load.stacks.front().layers[i];
    return at.thickness.in(unit::metre) / at.cells / 2 /
           load.materials[at.material].conductivity.in(unit::watt_per_metre_kelvin);
  };
  const auto& joint = load.stacks.front().layers[layer].joint_to_next;
  const double resistance = joint ? 1 / joint->in(unit::watt_per_square_metre_kelvin) : 0;
  const double flux = (left - right) / (half(layer) + resistance + half(layer + 1));
  return {left - flux * half(layer), right + flux * half(layer + 1)};
}

std::size_t firstCell(const Load& load, std::size_t layer) {
  std::size_t cell = 0;
  for (std::size_t i = 0; i < layer; ++i)
    cell += static_cast<std::size_t>(load.stacks.front().layers[i].cells);
  return cell;
}

void addValues(const Load& load, const StackState& state, const std::string& where,
               std::vector<double>& into) {
  const auto cell = [&](std::size_t i) { return state.cells[i].in(scale::celsius); };
  const auto part = partsOf(where, ':');
  if (part[0] == "first_face") into.push_back(state.first_face.in(scale::celsius));
  if (part[0] == "last_face") into.push_back(state.last_face.in(scale::celsius));
  if (part[0] == "degree") into.push_back(state.degrees.front());
  if (part[0] == "mean") {
    double sum = 0;
    for (std::size_t i = 0; i < state.cells.size(); ++i) sum += cell(i);
    into.push_back(sum / static_cast<double>(state.cells.size()));
  }
  if (part.size() < 2) return;
  const auto layer = static_cast<std::size_t>(std::stoi(part[1])) - 1;
  const std::size_t begin = firstCell(load, layer), end = firstCell(load, layer + 1);
  if (part[0] == "middle")
    into.push_back((cell((begin + end) / 2) + cell((begin + end) / 2 - 1)) / 2);
  if (part[0] != "after") return;
  const auto [left, right] = sidesOf(load, layer, cell(end - 1), cell(end));
  into.push_back(left);
  into.push_back(right);
}

std::vector<double> valuesOf(const test::Case& row, int finer) {
  const Load load = loadOf(row, finer);
  const std::vector<Duration> at{Duration::of(row.number("seconds"), unit::second)};
  const auto states = followStack(load, 0, at);
  REQUIRE(states);
  std::vector<double> values;
  for (const std::string& where : partsOf(row.text("where"), ' '))
    addValues(load, states->front(), where, values);
  return values;
}

/// What three meshes of error h² + h⁴ point to.
double extrapolated(double coarse, double middle, double fine) {
  const double a = (4 * middle - coarse) / 3, b = (4 * fine - middle) / 3;
  return (16 * b - a) / 15;
}

/// A stack of pads and plates such as an oven sees.
Load clampedLoad(std::size_t stacks) {
  Load load;
  load.materials = {material(50, 7850, 480), material(1.5, 2500, 1000, true)};
  load.materials[1].conductivity_slope = PerTemperature::of(-5e-4, unit::per_kelvin);
  load.materials[1].capacity_slope = PerTemperature::of(8e-4, unit::per_kelvin);
  for (std::size_t i = 0; i < stacks; ++i) {
    Stack stack;
    for (int pad = 0; pad < 4; ++pad) {
      stack.layers.push_back({0, Length::of(6, unit::millimetre), 2, false, {}});
      stack.layers.push_back(
          {1, Length::of(11 + 0.1 * static_cast<double>(i), unit::millimetre), 6, true, film(500)});
      stack.layers.push_back({0, Length::of(3, unit::millimetre), 1, false, film(1000)});
    }
    stack.layers.back().joint_to_next.reset();
    stack.first_end = film(15);
    stack.last_end = film(20);
    stack.sides = film(15 + static_cast<double>(i));
    stack.area_over_girth = Length::of(20, unit::millimetre);
    stack.first_air = {{1, 0},
                       TemperatureDifference::of(-0.3 * static_cast<double>(i), unit::kelvin)};
    stack.last_air = {{0.5, 0.5}, {}};
    stack.start = celsius(25);
    load.stacks.push_back(stack);
  }
  load.air = {cases::courseOf("0:25 57.5:140 117.5:140 157.5:180 300:180 360:60"),
              cases::courseOf("0:25 60:135 117.5:138 160:176 300:178 360:60")};
  load.to = Duration::of(360, unit::minute);
  load.limits = {celsius(170), celsius(60), celsius(140)};
  return load;
}

std::string codeOf(const Load& load) {
  const auto pads = heatLoad(load);
  return pads ? "" : pads.error().code;
}

template <class Change>
std::string codeAfter(Change change) {
  Load load = clampedLoad(1);
  change(load);
  return codeOf(load);
}

bool same(const PadHeat& a, const PadHeat& b) {
  return a.stack == b.stack && a.layer == b.layer && a.hottest == b.hottest &&
         a.coldest_peak == b.coldest_peak && a.reached == b.reached && a.soaked == b.soaked &&
         a.least_degree == b.least_degree && a.fastest == b.fastest;
}

/// Root mean square error of the manufactured solution T = 300 + 50·cos(πx/L)·exp(−t/400 s) on a
/// slab of 20 mm, both faces insulated, at 400 s.
double manufacturedError(int cells, double tolerance) {
  constexpr double length = 0.02, tau = 400, k = 1.5, capacity = 2.5e6;
  Load load;
  load.materials = {material(k, 2500, 1000)};
  Stack stack;
  stack.layers = {{0, Length::of(20, unit::millimetre), cells, true, {}}};
  stack.first_air = stack.last_air = {{1}, {}};
  stack.start = TemperaturePoint::of(300, scale::kelvin);
  load.stacks = {stack};
  load.air = {airOf("0:25 400:25")};
  Grid grid = gridOf(load, {0});
  const auto wave = [&](std::size_t cell) {
    return std::cos(std::numbers::pi * (static_cast<double>(cell) + 0.5) / cells);
  };
  Stepper stepper(grid);
  for (std::size_t cell = 0; cell < grid.cells(); ++cell)
    for (std::size_t l = 0; l < lanes; ++l) stepper.startAt(cell, l, 300 + 50 * wave(cell));
  double now = 0;
  const double curve = k * std::pow(std::numbers::pi / length, 2);
  stepper.source = [&](std::size_t cell, std::size_t, double seconds) {
    return 50 * wave(cell) * std::exp(-(now + seconds) / tau) * (curve - capacity / tau);
  };
  Air air(load.air);
  const Course course{0, 400, {tolerance, 1}, {}};
  REQUIRE(march(stepper, air, course, [&](const Stride& s) { now = s.from + s.h; }));
  double sum = 0;
  for (std::size_t cell = 0; cell < grid.cells(); ++cell)
    sum += std::pow(stepper.kelvin()[cell][0] - 300 - 50 * wave(cell) * std::exp(-1.0), 2);
  return std::sqrt(sum / cells);
}

/// Error in time alone with equal steps: the slab cooling into air, against very short ones.
double endOf(double h) {
  Load load = clampedLoad(1);
  const Grid grid = gridOf(load, {0});
  Stepper stepper(grid);
  Air air(load.air);
  for (double t = 0; t < 2400 - h / 2; t += h) {
    air.fit(t, t + h);
    (void)stepper.attempt(h, air.lines(), {1, 1e-9});
    stepper.accept();
  }
  return stepper.kelvin()[3][0];
}

}  // namespace

TEST_CASE("Slabs, piles and curing slabs are as hot as found independently") {
  test::eachCase("method/cases/cure_load.csv", [](const test::Case& row) {
    const auto coarse = valuesOf(row, 1), middle = valuesOf(row, 2), fine = valuesOf(row, 4);
    const auto expected = row.numbers("expected");
    REQUIRE(fine.size() == expected.size());
    for (std::size_t i = 0; i < expected.size(); ++i) {
      const double found = extrapolated(coarse[i], middle[i], fine[i]);
      CAPTURE(found);
      CAPTURE(expected[i]);
      CHECK(std::abs(found - expected[i]) <= row.number("tolerance"));
    }
  });
}

TEST_CASE("A manufactured solution is met with order two in the cells") {
  double before = 0;
  for (const int cells : {10, 20, 40, 80}) {
    const double error = manufacturedError(cells, 1e-8);
    if (before > 0) CHECK(std::log2(before / error) == doctest::Approx(2).epsilon(0.02));
    before = error;
  }
}

TEST_CASE("The steps keep order three, cure, joints and moving properties included") {
  const double exact = endOf(1.25);
  const double first = std::abs(endOf(40) - exact), second = std::abs(endOf(20) - exact);
  CAPTURE(first);
  CAPTURE(second);
  CHECK(std::log2(first / second) > 2.6);
}

TEST_CASE("A thin stack follows the lumped body") {
  Load load;
  load.materials = {material(50, 7850, 480)};
  Stack stack;
  stack.layers = {{0, Length::of(6, unit::millimetre), 1, true, {}}};
  stack.first_end = stack.last_end = film(0);
  stack.sides = film(30);
  stack.area_over_girth = Length::of(20, unit::millimetre);
  stack.first_air = stack.last_air = {{1}, {}};
  stack.start = celsius(25);
  load.stacks = {stack};
  load.air = {airOf("0:180 7200:180")};
  load.to = Duration::of(2, unit::hour);
  load.limits = {celsius(100), celsius(0), celsius(200)};
  load.tolerance = {TemperatureDifference::of(1e-7, unit::kelvin), 1e-8};
  const double tau = 7850.0 * 480 * 0.02 / 30;
  const std::vector<Duration> at{Duration::of(1800, unit::second)};
  const auto states = followStack(load, 0, at);
  REQUIRE(states);
  CHECK(states->front().cells[0].in(scale::celsius) ==
        doctest::Approx(180 - 155 * std::exp(-1800 / tau)).epsilon(1e-9));
  const auto pads = heatLoad(load);
  REQUIRE(pads);
  CHECK(pads->front().reached->in(unit::second) ==
        doctest::Approx(-tau * std::log(80.0 / 155)).epsilon(1e-6));
  CHECK(pads->front().fastest.in(unit::kelvin_per_minute) ==
        doctest::Approx(155 / tau * 60).epsilon(1e-6));
}

TEST_CASE("Every pad is there, in order, and the worst are picked") {
  const Load load = clampedLoad(19);
  const auto pads = heatLoad(load);
  REQUIRE(pads);
  REQUIRE(pads->size() == 19 * 4);
  for (std::size_t i = 0; i < pads->size(); ++i) {
    CHECK((*pads)[i].stack == i / 4);
    CHECK((*pads)[i].layer == 3 * (i % 4) + 1);
  }
  PadWants wants;
  wants.soak = Duration::of(100, unit::minute);
  wants.hottest = celsius(200);
  wants.degree = 0.9;
  wants.heating = TemperatureRate::of(2, unit::kelvin_per_minute);
  const auto worst = worstOf(*pads, wants);
  REQUIRE(worst);
  for (const PadHeat& pad : *pads) {
    CHECK(pad.coldest_peak >= (*pads)[worst->coldest].coldest_peak);
    CHECK(pad.hottest <= (*pads)[worst->hottest].hottest);
    CHECK(pad.soaked >= (*pads)[worst->shortest].soaked);
    CHECK(pad.least_degree >= (*pads)[worst->least_cured].least_degree);
    CHECK(pad.fastest <= (*pads)[worst->fastest].fastest);
    CHECK(*pad.reached <= *(*pads)[worst->latest].reached);
  }
  CHECK(worst->soak_margin->in(unit::minute) ==
        doctest::Approx((*pads)[worst->shortest].soaked.in(unit::minute)-100));
  CHECK(worst->degree_margin > 0);
  CHECK_FALSE(worstOf({}, wants));
}

TEST_CASE("A pad that never soaks is the latest") {
  std::vector<PadHeat> pads(3);
  pads[0].reached = Duration::of(900, unit::minute);
  pads[2].reached = Duration::of(10, unit::minute);
  CHECK(worstOf(pads, {})->latest == 1);
}

TEST_CASE("Batches hold every stack once, of one shape, and give the same bits again") {
  Load load = clampedLoad(19);
  load.stacks[3].layers[1].cells = 5;
  std::vector<std::size_t> seen;
  for (const Batch& batch : batchesOf(load)) {
    CHECK(batch.size() <= lanes);
    for (const std::size_t stack : batch) {
      CHECK((stack == 3) == (batch.front() == 3));
      seen.push_back(stack);
    }
  }
  std::sort(seen.begin(), seen.end());
  std::vector<std::size_t> all(19);
  std::iota(all.begin(), all.end(), std::size_t{0});
  CHECK(seen == all);
  const auto once = heatLoad(load), again = heatLoad(load);
  REQUIRE(once);
  for (std::size_t i = 0; i < once->size(); ++i) CHECK(same((*once)[i], (*again)[i]));
}

TEST_CASE("Two lanes at once or four: the same bits") {
  if (!Stepper::mayBeWide()) {
    MESSAGE("this processor takes two lanes at once only");
    return;
  }
  for (const bool varies : {false, true}) {
    Load load = clampedLoad(8);
    if (varies) load.materials[1].conductivity_slope = PerTemperature::of(-5e-4, unit::per_kelvin);
    const Grid grid = gridOf(load, batchesOf(load).front());
    const auto endState = [&](bool wide) {
      Stepper stepper(grid, wide);
      Air air(load.air);
      const Course course{0, 3600, stepTolerance(load.tolerance), {}};
      REQUIRE(march(stepper, air, course, [](const Stride&) {}));
      std::vector<double> values;
      for (std::size_t cell = 0; cell < grid.cells(); ++cell)
        for (std::size_t l = 0; l < lanes; ++l) {
          values.push_back(stepper.kelvin()[cell][l]);
          values.push_back(stepper.degree()[cell][l]);
        }
      return values;
    };
    const std::vector<double> wide = endState(true), narrow = endState(false);
    CHECK(wide == narrow);
    CHECK(wide.front() > 300);
  }
}

TEST_CASE("Alone or among others a stack is as hot, within the tolerance") {
  const Load together = clampedLoad(8);
  const auto all = heatLoad(together);
  REQUIRE(all);
  for (const std::size_t stack : {0u, 7u}) {
    Load alone = together;
    alone.stacks = {together.stacks[stack]};
    const auto pads = heatLoad(alone);
    REQUIRE(pads);
    for (std::size_t i = 0; i < pads->size(); ++i) {
      const PadHeat &a = (*pads)[i], &b = (*all)[stack * 4 + i];
      CHECK(std::abs((a.hottest - b.hottest).in(unit::kelvin)) < 0.1);
      CHECK(std::abs((a.coldest_peak - b.coldest_peak).in(unit::kelvin)) < 0.1);
      CHECK(std::abs((a.soaked - b.soaked).in(unit::minute)) < 1);
      CHECK(std::abs(a.least_degree - b.least_degree) < 0.002);
    }
  }
}

TEST_CASE("Without heat of reaction no place is hotter than the air ever was, nor colder") {
  holds("between", [] {
    Load load = clampedLoad(1);
    load.materials[1].binder->heat = {};
    load.stacks[0].first_air.offset = {};
    load.air[0] = load.air[1];
    for (CoursePoint& point : load.air[0]) point.temperature = celsius(drawn(20, 190, 1));
    double hottest = 25, coldest = 25;
    load.air[1] = load.air[0];
    for (const CoursePoint& point : load.air[0]) {
      hottest = std::max(hottest, point.temperature.in(scale::celsius));
      coldest = std::min(coldest, point.temperature.in(scale::celsius));
    }
    const auto pads = heatLoad(load);
    RC_ASSERT(bool(pads));
    for (const PadHeat& pad : *pads) {
      RC_ASSERT(pad.hottest.in(scale::celsius) <= hottest + 0.05);
      RC_ASSERT(pad.coldest_peak.in(scale::celsius) >= coldest - 0.05);
    }
  });
}

TEST_CASE("A stack turned over gives its pads turned over") {
  Load load = clampedLoad(1);
  load.stacks[0].layers = {{0, Length::of(6, unit::millimetre), 2, false, film(800)},
                           {1, Length::of(12, unit::millimetre), 6, true, {}},
                           {0, Length::of(3, unit::millimetre), 1, false, {}}};
  Load turned = load;
  Stack& stack = turned.stacks[0];
  std::swap(stack.layers[0], stack.layers[2]);
  std::swap(stack.first_end, stack.last_end);
  std::swap(stack.first_air, stack.last_air);
  stack.layers[2].joint_to_next.reset();
  stack.layers[1].joint_to_next = film(800);
  load.tolerance = turned.tolerance = {TemperatureDifference::of(1e-5, unit::kelvin), 1e-7};
  const auto a = heatLoad(load), b = heatLoad(turned);
  REQUIRE(a);
  REQUIRE(b);
  CHECK(std::abs(((*a)[0].hottest - (*b)[0].hottest).in(unit::kelvin)) < 1e-4);
  CHECK(std::abs((*a)[0].least_degree - (*b)[0].least_degree) < 1e-6);
}

TEST_CASE("Air written every minute with noise is followed within the tolerance") {
  Load load = clampedLoad(1);
  std::vector<CoursePoint> noisy;
  for (int minute = 0; minute <= 360; ++minute) {
    const double set = minute < 60 ? 25 + 2 * minute : 145;
    noisy.push_back(cases::point(minute, set + 0.4 * ((minute * 7919) % 5 - 2)));
  }
  load.air[0] = load.air[1] = noisy;
  std::vector<Duration> at;
  for (int minute = 30; minute <= 360; minute += 30)
    at.push_back(Duration::of(minute, unit::minute));
  const auto quick = followStack(load, 0, at);
  load.tolerance = {TemperatureDifference::of(1e-4, unit::kelvin), 1e-6};
  const auto exact = followStack(load, 0, at);
  REQUIRE(quick);
  REQUIRE(exact);
  for (std::size_t t = 0; t < at.size(); ++t)
    for (std::size_t i = 0; i < (*exact)[t].cells.size(); ++i)
      CHECK(std::abs(((*quick)[t].cells[i] - (*exact)[t].cells[i]).in(unit::kelvin)) < 0.05);
}

TEST_CASE("Loads that cannot be are refused by name") {
  CHECK(codeOf(clampedLoad(1)).empty());
  CHECK(codeAfter([](Load& l) { l.stacks.clear(); }) == "cure.load_empty");
  CHECK(codeAfter([](Load& l) { l.to = l.from; }) == "cure.load_span");
  CHECK(codeAfter([](Load& l) { l.to = Duration::of(361, unit::minute); }) == "cure.load_air");
  CHECK(codeAfter([](Load& l) { l.air.clear(); }) == "cure.load_air");
  CHECK(codeAfter([](Load& l) { l.air[1].resize(1); }) == "cure.course_short");
  CHECK(codeAfter([](Load& l) { l.stacks[0].first_air.weights = {1}; }) == "cure.load_air");
  CHECK(codeAfter([](Load& l) { l.stacks[0].last_air.weights[0] = std::nan(""); }) ==
        "cure.load_air");
  CHECK(codeAfter([](Load& l) { l.stacks[0].layers.clear(); }) == "cure.load_stack");
  CHECK(codeAfter([](Load& l) { l.stacks[0].layers.back().joint_to_next = film(1); }) ==
        "cure.load_stack");
  CHECK(codeAfter([](Load& l) { l.stacks[0].area_over_girth = {}; }) == "cure.load_stack");
  CHECK(codeAfter([](Load& l) { l.stacks[0].first_end = film(-1); }) == "cure.load_stack");
  CHECK(codeAfter([](Load& l) { l.stacks[0].layers[1].material = 2; }) == "cure.load_layer");
  CHECK(codeAfter([](Load& l) { l.stacks[0].layers[1].cells = 0; }) == "cure.load_layer");
  CHECK(codeAfter([](Load& l) { l.stacks[0].layers[1].joint_to_next = film(0); }) ==
        "cure.load_layer");
  CHECK(codeAfter([](Load& l) { l.materials[0].density = {}; }) == "cure.load_material");
  CHECK(codeAfter([](Load& l) {
          l.materials[1].conductivity_slope = PerTemperature::of(-3e-3, unit::per_kelvin);
        }) == "cure.load_material");
  CHECK(codeAfter([](Load& l) { l.materials[1].binder->share = Share::of(101, unit::percent); }) ==
        "cure.load_material");
  CHECK(codeAfter([](Load& l) { l.materials[1].binder->law = {}; }) == "cure.kinetics_none");
  CHECK(codeAfter([](Load& l) { l.materials[1].binder->start = 1; }) == "cure.kinetics_start");
  CHECK(codeAfter([](Load& l) { l.tolerance.degree = 0; }) == "cure.load_tolerance");
  const auto wrong_stack = followStack(clampedLoad(1), 1, {});
  CHECK(wrong_stack.error().code == "cure.load_stack");
  const std::vector<Duration> late{Duration::of(361, unit::minute)};
  CHECK(followStack(clampedLoad(1), 0, late).error().code == "cure.load_span");
}
