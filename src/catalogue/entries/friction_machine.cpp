#include "platemark/method/friction/behaviour.h"
#include "platemark/method/friction/braking.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::friction;

Share shareOf(const Inputs& inputs, const std::string& name) {
  return Share::of(si(one(inputs, name)), unit::one);
}

/// Two lists that belong together have not as many values.
Error pairError(const std::string& name, std::size_t temperatures, std::size_t readings) {
  Error error;
  error.code = "behaviour.reading";
  error.what = fmt::format("{} temperatures, but {} coefficients.", temperatures, readings);
  error.where.field = "numbers." + name;
  error.expected = "one coefficient for each temperature";
  error.remedy = "Check which reading belongs to which temperature.";
  return error;
}

Result<std::vector<TemperatureReading>> readingsFrom(const Inputs& inputs,
                                                     const std::string& temperatures,
                                                     const std::string& coefficients) {
  const std::vector<double> at = siList(inputs, temperatures), mu = siList(inputs, coefficients);
  if (at.size() != mu.size()) return pairError(coefficients, at.size(), mu.size());
  std::vector<TemperatureReading> readings;
  for (std::size_t i = 0; i < at.size(); ++i)
    readings.push_back({TemperaturePoint::of(at[i], scale::kelvin), Share::of(mu[i], unit::one)});
  return readings;
}

// A recording.

Entry brakingsEntry() {
  Entry entry;
  entry.id = "friction.brakings";
  entry.version = braking_version;
  entry.title = "Brakings of a recording";
  entry.words =
      "The brakings in a recording of torque, pressure, speed and temperature, and µ of "
      "each.";
  entry.formula =
      "µ = M/(2·A·r·η·(p − p0)); over time Σµ/n; over distance Σµ·v/Σv; rise = mean µ "
      "of the last third − that of the first third";
  entry.outputs = {
      {"over_time", "µ̄_t", "mean over time", Kind::number, "1", 4},
      {"over_distance", "µ̄_s", "mean over distance", Kind::number, "1", 4},
      {"lowest", "µ_min", "lowest", Kind::number, "1", 4},
      {"highest", "µ_max", "highest", Kind::number, "1", 4},
      {"rise", "Δµ", "rise within the stop", Kind::number, "1", 4},
      {"after_one_second", "µ_1s", "one second after its start", Kind::number, "1", 4},
      {"begin_temperature", "T", "temperature at its start", Kind::temperature_point, "Cel", 1},
      {"length", "t", "length", Kind::duration, "s", 2}};
  entry.validity =
      "1 to 1,000 samples a second at an even rate. The first moments, in which pressure builds, "
      "are left out of µ. A braking cut off by the end is left out and said.";
  entry.uncertainty =
      "Of µ: torque, pressure over its threshold, radius and area; the last two are "
      "common to all brakings of a set-up.";
  entry.source =
      "µ from the torque of a disc brake; thirds, means and limits of a braking are "
      "definitions of this project";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/friction_brakings.csv";
  return entry;
}

Result<Evaluation> evaluateSteps(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<TemperatureReading>> readings =
      readingsFrom(inputs, "temperatures", "coefficients");
  if (!readings) return readings.error();
  std::vector<Braking> brakings;
  for (const TemperatureReading& reading : *readings) {
    Braking braking;
    braking.begin_temperature = reading.at;
    braking.over_time = reading.coefficient;
    brakings.push_back(braking);
  }
  std::vector<TemperaturePoint> steps;
  for (const double at : siList(inputs, "steps"))
    steps.push_back(TemperaturePoint::of(at, scale::kelvin));
  const auto found = temperatureSteps(
      brakings, steps, TemperatureDifference::of(si(one(inputs, "tolerance")), unit::kelvin));
  if (!found) return atInput(found.error());
  Evaluation result;
  int used = 0;
  for (std::size_t i = 0; i < found->size(); ++i) {
    const TemperatureStep& step = (*found)[i];
    used += step.brakings;
    if (step.mean)
      result.outputs.push_back(
          {fmt::format("step_{:02}", i + 1), fromSi(step.mean->in(unit::one), "1"), {}, true, ""});
  }
  result.outputs.push_back(output(entry, "used", used));
  result.substituted_formula =
      fmt::format("{} of {} brakings lie at a step", used, brakings.size());
  result.working = asTyped(entry, inputs);
  return result;
}

Entry stepsEntry() {
  Entry entry;
  entry.id = "friction.temperature_steps";
  entry.version = behaviour_version;
  entry.title = "µ over temperature";
  entry.words =
      "Mean µ of the brakings that begin near each step of temperature. Besides the "
      "outputs named here it gives step_01, step_02, … for the steps that have one.";
  entry.formula = "µ̄ of the brakings with |T − step| ≤ tolerance, each at its nearest step";
  entry.inputs = {
      listOf(value("temperatures", "T", "temperature at the start of each braking",
                   Kind::temperature_point, "Cel")),
      listOf(value("coefficients", "µ", "mean µ of each braking", Kind::number, "1", 0, 2)),
      listOf(value("steps", "", "steps of temperature", Kind::temperature_point, "Cel")),
      value("tolerance", "", "how near a step", Kind::temperature_difference, "K")};
  entry.outputs = {{"used", "", "brakings at a step", Kind::number, "1", 0}};
  entry.validity = "A braking belongs to one step, the nearest.";
  entry.uncertainty = "From the spread of the brakings of a step.";
  entry.source = "definition of this project";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {{"temperatures", typedList({"98", "103", "151", "204"}, "Cel")},
                           {"coefficients", typedList({"0.40", "0.42", "0.41", "0.38"}, "1")},
                           {"steps", typedList({"100", "150", "200"}, "Cel")},
                           {"tolerance", {typed("10", "K")}}};
  entry.evaluate = evaluateSteps;
  return entry;
}

Result<Evaluation> evaluateColdHot(const Entry& entry, const Inputs& inputs) {
  const auto fade = readingsFrom(inputs, "fade_temperatures", "fade");
  if (!fade) return fade.error();
  const auto recovery = readingsFrom(inputs, "recovery_temperatures", "recovery");
  if (!recovery) return recovery.error();
  const Result<ColdHot> found = coldAndHot(
      *fade, *recovery, inputs.choices.at("class") == "a" ? ThermalClass::a : ThermalClass::b);
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "cold", found->cold.in(unit::one)),
                    output(entry, "hot", found->hot.in(unit::one))};
  result.substituted_formula =
      fmt::format("cold {:.4f}, hot {:.4f}", found->cold.in(unit::one), found->hot.in(unit::one));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry coldHotEntry() {
  Entry entry;
  entry.id = "friction.small_sample";
  entry.version = behaviour_version;
  entry.title = "Cold and hot coefficient";
  entry.words = "Cold and hot coefficient of friction of a small-sample test by thermal class.";
  entry.formula =
      "cold = mean of fade 100, 150, 200 °C; hot A = mean of fade 300, fade 350, recovery 300 °C; "
      "hot B = mean of fade 350, fade 400, recovery 350 °C";
  entry.inputs = {
      listOf(value("fade_temperatures", "T", "temperatures read on the fade",
                   Kind::temperature_point, "Cel")),
      listOf(value("fade", "µ", "coefficients on the fade", Kind::number, "1", 0, 2)),
      listOf(value("recovery_temperatures", "T", "temperatures read on the recovery",
                   Kind::temperature_point, "Cel")),
      listOf(value("recovery", "µ", "coefficients on the recovery", Kind::number, "1", 0, 2))};
  entry.choices = {{"class", "thermal class of the lining", {"a", "b"}, ""}};
  entry.outputs = {{"cold", "µ_c", "cold coefficient", Kind::number, "1", 4},
                   {"hot", "µ_h", "hot coefficient", Kind::number, "1", 4}};
  entry.validity = "Readings at the nominal temperatures; more may be given.";
  entry.uncertainty = "Take it from repeated tests of one lot.";
  entry.source = "ISO 7881 as GB/T 17469-1998";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {
      {"fade_temperatures", typedList({"100", "150", "200", "300", "350"}, "Cel")},
      {"fade", typedList({"0.41", "0.42", "0.40", "0.36", "0.33"}, "1")},
      {"recovery_temperatures", typedList({"300"}, "Cel")},
      {"recovery", typedList({"0.35"}, "1")}};
  entry.example.choices = {{"class", "a"}};
  entry.evaluate = evaluateColdHot;
  return entry;
}

Result<Evaluation> evaluateSteadiness(const Entry& entry, const Inputs& inputs) {
  std::vector<Share> tests;
  for (const double mu : siList(inputs, "tests")) tests.push_back(Share::of(mu, unit::one));
  const Result<Steadiness> found = steadiness(tests);
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", found->mean.in(unit::one)),
                    output(entry, "worst", found->worst.in(unit::one))};
  result.substituted_formula = fmt::format(
      "test {}: {:.4g}/{:.4g} − 1 = {:.2f} %", found->test + 1, tests[found->test].in(unit::one),
      found->mean.in(unit::one), found->worst.in(unit::percent));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry steadinessEntry() {
  Entry entry;
  entry.id = "friction.steadiness";
  entry.version = behaviour_version;
  entry.title = "Steadiness between tests";
  entry.words = "How far one test of several is off their mean at one temperature.";
  entry.formula = "worst = µ_i/µ̄ − 1 of the test farthest off";
  entry.inputs = {listOf(
      value("tests", "µ", "coefficient of each test at one temperature", Kind::number, "1", 0, 2))};
  entry.outputs = {{"mean", "µ̄", "mean of the tests", Kind::number, "1", 4},
                   {"worst", "", "deviation of the worst test, signed", Kind::number, "%", 2}};
  entry.validity = "The limit, 20 % for drum linings in one national standard, is the plan's.";
  entry.uncertainty = "Of the mean s/√n.";
  entry.source = "GB 5763-2018, clause 4.2.1, through another text";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {{"tests", typedList({"0.40", "0.42", "0.38", "0.31", "0.44"}, "1")}};
  entry.evaluate = evaluateSteadiness;
  return entry;
}

Result<Evaluation> evaluateWear(const Entry& entry, const Inputs& inputs) {
  const auto length = [&](const char* name) {
    return Length::of(si(one(inputs, name)), unit::metre);
  };
  const Result<double> wear =
      wearRate({Area::of(si(one(inputs, "specimen")) * 1e4, unit::square_centimetre),
                length("before"), length("after"), length("radius"), si(one(inputs, "revolutions")),
                Force::of(si(one(inputs, "friction")), unit::newton)});
  if (!wear) return atInput(wear.error());
  Evaluation result;
  result.outputs = {output(entry, "wear", *wear * 1e7)};
  result.substituted_formula = fmt::format("V = {:.4g}·10⁻⁷ cm³/(N·m)", *wear * 1e7);
  result.working = asTyped(entry, inputs);
  if (*wear < 0) result.notes = {"The specimen grew thicker."};
  return result;
}

Entry wearEntry() {
  Entry entry;
  entry.id = "friction.wear_rate";
  entry.version = wear_version;
  entry.title = "Wear rate";
  entry.words = "Volume worn over the work of friction, of a specimen on a disc.";
  entry.formula = "V = A·(d1 − d2)/(2π·R·n·f)";
  entry.inputs = {value("specimen", "A", "area of the specimen", Kind::area, "cm2"),
                  value("before", "d1", "mean thickness before", Kind::length, "mm"),
                  value("after", "d2", "mean thickness after", Kind::length, "mm"),
                  value("radius", "R", "radius of the specimen's centre", Kind::length, "mm"),
                  value("revolutions", "n", "revolutions of the disc", Kind::number, "1"),
                  value("friction", "f", "mean friction force", Kind::force, "N")};
  entry.outputs = {{"wear", "V", "wear rate in 10⁻⁷ cm³/(N·m)", Kind::number, "1", 3}};
  entry.validity =
      "One temperature of a constant-speed disc machine. A specimen that swells can show a "
      "negative "
      "wear.";
  entry.uncertainty = "Mostly of the difference of thickness.";
  entry.source = "JIS D 4411";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {
      {"specimen", {typed("12.5", "cm2")}},  {"before", {typed("8.045", "mm")}},
      {"after", {typed("8.000", "mm")}},     {"radius", {typed("150", "mm")}},
      {"revolutions", {typed("5000", "1")}}, {"friction", {typed("490", "N")}}};
  entry.evaluate = evaluateWear;
  return entry;
}

Result<Evaluation> evaluatePressure(const Entry& entry, const Inputs& inputs) {
  const Result<Pressure> found =
      machinePressure(Torque::of(si(one(inputs, "torque")), unit::newton_metre),
                      Length::of(si(one(inputs, "radius")), unit::metre),
                      Area::of(si(one(inputs, "pistons")) * 1e4, unit::square_centimetre));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "pressure", found->in(unit::pascal))};
  result.substituted_formula =
      fmt::format("p = {} N·m/(0.57·{} mm·{} cm²) = {:.2f} bar",
                  numberIn(one(inputs, "torque"), "N.m"), numberIn(one(inputs, "radius"), "mm"),
                  numberIn(one(inputs, "pistons"), "cm2"), found->in(unit::bar));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry pressureEntry() {
  Entry entry;
  entry.id = "friction.machine_pressure";
  entry.version = behaviour_version;
  entry.title = "Pressure of the machine test";
  entry.words = "Pressure to set for the friction test by machine of a replacement pad.";
  entry.formula = "p = M_d/(0.57·r_w·A_k)";
  entry.inputs = {value("torque", "M_d", "braking torque set", Kind::torque, "N.m"),
                  value("radius", "r_w", "effective radius of the disc", Kind::length, "mm"),
                  value("pistons", "A_k", "piston area", Kind::area, "cm2")};
  entry.outputs = {{"pressure", "p", "pressure", Kind::pressure, "bar", 2}};
  entry.validity =
      "150 N·m up to 18.1 cm² of piston area, 300 N·m above, remembered, not verified.";
  entry.uncertainty = "None: it is a setting.";
  entry.source = "UN Regulation No. 90, friction test by machine";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {{"torque", {typed("300", "N.m")}},
                           {"radius", {typed("110", "mm")}},
                           {"pistons", {typed("22.9", "cm2")}}};
  entry.evaluate = evaluatePressure;
  return entry;
}

Result<Evaluation> evaluateRegistered(const Entry& entry, const Inputs& inputs) {
  const FrictionBehaviour found{shareOf(inputs, "operating"), shareOf(inputs, "lowest"),
                                shareOf(inputs, "highest")};
  const FrictionBehaviour registered{shareOf(inputs, "registered_operating"),
                                     shareOf(inputs, "registered_lowest"),
                                     shareOf(inputs, "registered_highest")};
  const Result<BehaviourComparison> compared =
      compareBehaviour(found, registered, shareOf(inputs, "tolerance"));
  if (!compared) return atInput(compared.error());
  const auto word = [](bool kept) { return kept ? "kept" : "not kept"; };
  Evaluation result;
  result.outputs = {output(entry, "operating_off", compared->operating_off.in(unit::one)),
                    output(entry, "kept", compared->kept() ? 1 : 0)};
  result.substituted_formula =
      fmt::format("{:g}/{:g} − 1 = {:.2f} %", found.operating.in(unit::one),
                  registered.operating.in(unit::one), compared->operating_off.in(unit::percent));
  result.notes = {fmt::format("Operating µ {}, lowest {}, highest {}.",
                              word(compared->operating_kept), word(compared->lowest_kept),
                              word(compared->highest_kept))};
  result.working = asTyped(entry, inputs);
  return result;
}

Entry registeredEntry() {
  Entry entry;
  entry.id = "friction.registered";
  entry.version = behaviour_version;
  entry.title = "Against the registered behaviour";
  entry.words =
      "Whether a sample brakes as the type that was approved: operating, lowest and "
      "highest µ.";
  entry.formula = "|µ_op/µ_op,reg − 1| ≤ tolerance; µ_min ≥ µ_min,reg; µ_max ≤ µ_max,reg";
  const auto mu = [](const char* name, const char* symbol, const char* words) {
    return value(name, symbol, words, Kind::number, "1", 0, 2);
  };
  entry.inputs = {
      mu("operating", "µ_op", "operating µ of the sample"),
      mu("lowest", "µ_min", "lowest µ of the sample"),
      mu("highest", "µ_max", "highest µ of the sample"),
      mu("registered_operating", "µ_op,reg", "operating µ registered"),
      mu("registered_lowest", "µ_min,reg", "lowest µ registered"),
      mu("registered_highest", "µ_max,reg", "highest µ registered"),
      value("tolerance", "", "permitted deviation of the operating µ", Kind::number, "%", 0, 100)};
  entry.outputs = {
      {"operating_off", "", "deviation of the operating µ, signed", Kind::number, "%", 2},
      {"kept", "", "1 all three kept, else 0", Kind::number, "1", 0}};
  entry.validity = "A sample that brakes too strongly fails as one that brakes too weakly.";
  entry.uncertainty = "Between repeated tests: take it from them.";
  entry.source =
      "UN Regulation No. 90, conformity of production, through another text; signs of "
      "the lowest and highest µ remembered";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/friction_behaviour.csv";
  entry.example.numbers = {{"operating", {typed("0.3784", "1")}},
                           {"lowest", {typed("0.3135", "1")}},
                           {"highest", {typed("0.4180", "1")}},
                           {"registered_operating", {typed("0.40", "1")}},
                           {"registered_lowest", {typed("0.30", "1")}},
                           {"registered_highest", {typed("0.42", "1")}},
                           {"tolerance", {typed("15", "%")}}};
  entry.evaluate = evaluateRegistered;
  return entry;
}

}  // namespace

std::vector<Entry> frictionMachineEntries() {
  return {brakingsEntry(), stepsEntry(),    coldHotEntry(),   steadinessEntry(),
          wearEntry(),     pressureEntry(), registeredEntry()};
}

}  // namespace platemark::catalogue
