#include "platemark/method/cure/calorimeter.h"
#include "platemark/method/cure/course.h"
#include "platemark/method/cure/drift.h"
#include "platemark/method/cure/equivalent_time.h"
#include "platemark/method/cure/load.h"
#include "platemark/method/cure/load_uncertainty.h"
#include "platemark/method/cure/window.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

namespace cure = method::cure;

/// The points as typed: as many times as temperatures.
Result<std::vector<cure::CoursePoint>> courseOf(const Inputs& inputs) {
  const std::vector<double> times = siList(inputs, "times");
  const std::vector<double> temperatures = siList(inputs, "temperatures");
  if (times.size() != temperatures.size())
    return missingInput("temperatures", fmt::format("{} times and {} temperatures were given.",
                                                    times.size(), temperatures.size()));
  std::vector<cure::CoursePoint> course;
  for (std::size_t i = 0; i < times.size(); ++i)
    course.push_back({Duration::of(times[i], unit::second),
                      TemperaturePoint::of(temperatures[i], scale::kelvin)});
  return course;
}

Result<Evaluation> evaluateEquivalentTime(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<cure::CoursePoint>> course = courseOf(inputs);
  if (!course) return course.error();
  const Measure &reference = one(inputs, "reference"), &energy = one(inputs, "energy");
  const Result<Duration> time =
      cure::equivalentTime(*course, TemperaturePoint::of(si(reference), scale::kelvin),
                           MolarEnergy::of(si(energy), unit::joule_per_mole));
  if (!time) return atInput(time.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "equivalent_time", time->in(unit::second))};
  evaluation.working = {line("T_ref", "reference temperature", reference),
                        line("Ea", "activation energy", energy)};
  evaluation.substituted_formula =
      fmt::format("t_eq = ∫ exp[({} J/mol / R)·(1/{} K − 1/T)] dt over {} points = {:.3f} min",
                  numberIn(energy, "J/mol"), fmt::format("{:.2f}", si(reference)), course->size(),
                  time->in(unit::minute));
  return evaluation;
}

Entry equivalentTime() {
  Entry entry;
  entry.id = "cure.equivalent_time";
  entry.version = cure::equivalent_time_version;
  entry.title = "Equivalent time at a reference temperature";
  entry.words = "How long at the reference temperature would have cured as much as the course did.";
  entry.formula = "t_eq = ∫ exp[ (Ea/R)·(1/T_ref − 1/T) ] dt;  T linear between the points";
  entry.inputs = {
      listOf(value("times", "t", "times of the points, never falling", Kind::duration, "min")),
      listOf(value("temperatures", "T", "temperatures of the points, as many as times",
                   Kind::temperature_point, "Cel")),
      value("reference", "T_ref", "reference temperature", Kind::temperature_point, "Cel"),
      value("energy", "Ea", "activation energy of the cure", Kind::molar_energy, "kJ/mol", 0, 1000),
  };
  entry.outputs = {{"equivalent_time", "t_eq", "equivalent time at the reference temperature",
                    Kind::duration, "min", 2}};
  entry.validity =
      "Rate laws with one activation energy: there the degree of cure depends on the equivalent "
      "time alone. Not for two energies, ceilings that move with temperature or diffusion control: "
      "there the degree of cure is integrated.";
  entry.uncertainty =
      "A sensor off by δT moves the equivalent time by the share Ea·δT/(R·T²): at 180 °C and "
      "126 kJ/mol 7.4 % for each kelvin. The integral itself is exact to 1e-12.";
  entry.source = "The integral of the Arrhenius factor, in the form of ASTM C1074 for concrete.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/cure_equivalent_time.csv";
  entry.example.numbers = {
      {"times", typedList({"0", "57.5", "117.5", "157.5", "397.5", "437.5"}, "min")},
      {"temperatures", typedList({"25", "140", "140", "180", "180", "60"}, "Cel")},
      {"reference", {typed("180", "Cel")}},
      {"energy", {typed("126", "kJ/mol")}}};
  entry.evaluate = evaluateEquivalentTime;
  return entry;
}

Entry degree() {
  Entry entry;
  entry.id = "cure.degree";
  entry.version = cure::course_version;
  entry.title = "Degree of cure along a course of temperature";
  entry.words = "How far the binder has cured, from its rate law and the temperature it saw.";
  entry.formula =
      "dα/dt = (k1 + k2·α^m)·(1 − α)^n / (1 + exp[C·(α − αc)]);  k = A·exp(−Ea/(R·T));  "
      "αc = αc0 + αcT·T;  absent terms drop out";
  entry.outputs = {
      {"degree", "α", "degree of cure at each point of the course", Kind::number, "%", 2},
      {"error_bound", "δα", "numerical error of it, at most", Kind::number, "1", 9},
      {"fastest_at", "t_p", "when cure ran fastest", Kind::duration, "min", 1},
      {"outside", "t_out", "time outside the temperatures the parameters hold for", Kind::duration,
       "min", 1}};
  entry.validity =
      "The compound and the temperatures for which the parameters were measured. A filled compound "
      "is not its neat resin: measure it. Time outside is counted; when the source states no "
      "range, all of it is outside.";
  entry.uncertainty =
      "The error bound is that of the integration only. Parameters of the compound and the sensor "
      "come on top and are larger.";
  entry.source =
      "M. R. Kamal, S. Sourour, Polym. Eng. Sci. 13 (1973) 59; diffusion divisor after C.-S. "
      "Chern, "
      "G. W. Poehlein, Polym. Eng. Sci. 27 (1987) 788.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/cure_degree.csv";
  return entry;
}

Entry calorimeter() {
  Entry entry;
  entry.id = "cure.calorimeter";
  entry.version = cure::calorimeter_version;
  entry.title = "Rate law from calorimeter runs";
  entry.words = "The cure kinetics of a compound, fitted to runs at several heating rates.";
  entry.formula =
      "α = ∫q dt / ∫q dt over all;  Σ[(law − measured)/largest of the run]² smallest;  "
      "Kissinger: slope of ln(β/Tp²) against 1/Tp = −Ea/R;  Friedman: slope of ln(dα/dt) against "
      "1/T at one α = −E(α)/R";
  entry.outputs = {
      {"heat", "ΔH", "heat of reaction of a run, in kJ/kg of binder", Kind::number, "1", 1},
      {"log_factor", "ln(A·s)", "logarithm of the factor, per second", Kind::number, "1", 2},
      {"energy", "Ea", "activation energy", Kind::molar_energy, "kJ/mol", 1},
      {"m", "m", "exponent of the cured share", Kind::number, "1", 3},
      {"n", "n", "exponent of the uncured share", Kind::number, "1", 3}};
  entry.validity =
      "Three heating rates or more of one compound, each to full cure, exothermal, on a straight "
      "baseline. Kissinger and Friedman need no law and cross-check the fit: where Friedman's "
      "energy moves with the degree of cure, a law with one energy does not hold.";
  entry.uncertainty =
      "Each parameter comes with its 95 % interval. It takes the law for true and the errors of "
      "the "
      "points for independent; a wrong law or baseline is not in it.";
  entry.source =
      "H. E. Kissinger, Anal. Chem. 29 (1957) 1702; H. L. Friedman, J. Polym. Sci. C 6 (1964) 183.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/least_squares.csv";
  return entry;
}

Entry load() {
  Entry entry;
  entry.id = "cure.load";
  entry.version = cure::load_version;
  entry.title = "Heat and cure of every pad of a load";
  entry.words =
      "What the pads saw while the chart showed air: the coldest, hottest, latest, least cured and "
      "fastest heated pad.";
  entry.formula =
      "ρ·c·∂T/∂t = ∂/∂x(k·∂T/∂x) + (hs/d)·(T_air − T) + ρ·w·ΔH·∂α/∂t through each stack;  "
      "−k·∂T/∂x = h·(T_air − T) at its ends;  flux = hc·ΔT at a joint";
  entry.outputs = {
      {"hottest", "T_max", "hottest place of the pad at any time", Kind::temperature_point, "Cel",
       1},
      {"coldest_peak", "T_cold", "highest the pad's coldest place came to", Kind::temperature_point,
       "Cel", 1},
      {"reached", "t_r", "when the coldest place reached the soak", Kind::duration, "min", 1},
      {"soaked", "t_soak", "time the coldest place was at the soak", Kind::duration, "min", 1},
      {"least_degree", "α_min", "degree of cure of the least cured place", Kind::number, "%", 2},
      {"fastest", "β_max", "fastest heating within the watched temperatures",
       Kind::temperature_rate, "K/min", 2}};
  entry.validity =
      "Stacks that are thin against their width, or whose sides act as a loss spread over the "
      "section. Radiation only within the coefficients. Air at a place follows from channels and "
      "offsets. Properties, joints and coefficients must be the plant's own.";
  entry.uncertainty =
      "The steps are right to 0.05 K and 0.001 in the degree of cure unless asked otherwise; the "
      "cells are the user's choice. Properties, air and kinetics come on top.";
  entry.source =
      "H. S. Carslaw, J. C. Jaeger, Conduction of Heat in Solids, 2nd ed. 1959; steps after J. "
      "Rang, "
      "L. Angermann, BIT 45 (2005) 761.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/cure_load.csv";
  return entry;
}

Entry loadUncertainty() {
  Entry entry;
  entry.id = "cure.load_uncertainty";
  entry.version = cure::load_uncertainty_version;
  entry.title = "Uncertainty of a pad's heat and cure";
  entry.words =
      "How sure the figures of the worst pad are, from sensors, survey, properties and kinetics.";
  entry.formula =
      "propagated: u² = Σ [(figure(x + u) − figure(x − u))/2]²;  drawn: standard deviation over "
      "loads with all inputs drawn at once";
  entry.outputs = {
      {"hottest", "u(T_max)", "of the hottest place", Kind::temperature_difference, "K", 2},
      {"coldest_peak", "u(T_cold)", "of the highest the coldest place came to",
       Kind::temperature_difference, "K", 2},
      {"soaked", "u(t_soak)", "of the time at the soak", Kind::duration, "min", 1},
      {"least_degree", "u(α_min)", "of the least degree of cure", Kind::number, "%", 2},
      {"fastest", "u(β_max)", "of the fastest heating", Kind::temperature_rate, "K/min", 3}};
  entry.validity =
      "Independent inputs. Propagation holds where the figures follow the inputs nearly straight; "
      "where a soak may not be reached at all, the draws count.";
  entry.uncertainty =
      "Of a drawn standard deviation: its share 1/√(2·draws), 2 % for a thousand draws.";
  entry.source = "JCGM 100:2008, 5.1.3; JCGM 101:2008, 7.";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/cure_load_uncertainty.csv";
  return entry;
}

/// The card's pairs and the part's course, each as two lists of one length.
Result<Evaluation> evaluateWindow(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> card_temperatures = siList(inputs, "card_temperatures"),
                            card_times = siList(inputs, "card_times");
  if (card_temperatures.size() != card_times.size())
    return missingInput("card_times",
                        fmt::format("{} temperatures and {} times of the card were given.",
                                    card_temperatures.size(), card_times.size()));
  std::vector<cure::CurePair> pairs;
  for (std::size_t i = 0; i < card_times.size(); ++i)
    pairs.push_back({TemperaturePoint::of(card_temperatures[i], scale::kelvin),
                     Duration::of(card_times[i], unit::second)});
  const Result<cure::CureWindow> card = cure::windowThrough(pairs);
  if (!card) return atInput(card.error());
  const Result<std::vector<cure::CoursePoint>> course = courseOf(inputs);
  if (!course) return course.error();
  std::optional<TemperaturePoint> above;
  if (isGiven(inputs, "above"))
    above = TemperaturePoint::of(si(one(inputs, "above")), scale::kelvin);
  const Result<double> index = cure::cureIndex(*card, *course, above);
  if (!index) return atInput(index.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "energy", card->energy.in(unit::joule_per_mole)),
                        output(entry, "index", *index)};
  evaluation.working = asTyped(entry, inputs);
  evaluation.substituted_formula = fmt::format(
      "index = ∫ dt / t_needed(T) over {} points = {:.1f} %", course->size(), 100 * *index);
  return evaluation;
}

Result<Evaluation> evaluateDrift(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> times = siList(inputs, "times"), offsets = siList(inputs, "offsets");
  if (times.size() != offsets.size())
    return missingInput("offsets", fmt::format("{} times and {} offsets were given.", times.size(),
                                               offsets.size()));
  std::vector<cure::OffsetPoint> points;
  for (std::size_t i = 0; i < times.size(); ++i) points.push_back({times[i] / 86'400, offsets[i]});
  const Result<cure::Drift> drift = cure::driftOf(points);
  if (!drift) return atInput(drift.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "drift", drift->drift_k, drift->u_k)};
  evaluation.working = asTyped(entry, inputs);
  evaluation.substituted_formula = fmt::format("drift = {:.2f} K, u = {:.2f} K over {} loads",
                                               drift->drift_k, drift->u_k, points.size());
  return evaluation;
}

Entry drift() {
  Entry entry;
  entry.id = "cure.drift";
  entry.version = cure::drift_version;
  entry.title = "Drift of an oven's channel";
  entry.words = "By how much a channel parted from the others of its oven from load to load.";
  entry.formula =
      "offset = mean over the soak of (channel − mean of all channels);  drift = slope of the line "
      "through the offsets · (last − first)";
  entry.inputs = {listOf(value("times", "t", "when the loads were cured", Kind::duration, "d")),
                  listOf(value("offsets", "o", "offset of the channel in each load",
                               Kind::temperature_difference, "K"))};
  entry.outputs = {{"drift", "Δ", "drift from the first load to the last",
                    Kind::temperature_difference, "K", 2}};
  entry.validity =
      "Channels of one oven, five loads or more. Two channels part alike: which one drifts is not "
      "told without a third.";
  entry.uncertainty =
      "The scatter of the loads about the line. Loads far off the median line are left out.";
  entry.source =
      "Definition of this project; the median slope between pairs after H. Theil (1950) and P. K. "
      "Sen (1968).";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/cure_drift.csv";
  entry.example.numbers = {{"times", typedList({"0", "1", "2", "3", "4"}, "d")},
                           {"offsets", typedList({"0", "1", "1", "2", "2"}, "K")}};
  entry.evaluate = evaluateDrift;
  return entry;
}

Entry window() {
  Entry entry;
  entry.id = "cure.window";
  entry.version = cure::window_version;
  entry.title = "Cure window of a coat or adhesive";
  entry.words =
      "How much of a just sufficient cure a part has had, from the card's pairs of equal cure.";
  entry.formula = "ln t_needed = c + E/(R·T) through the card's pairs;  index = ∫ dt / t_needed(T)";
  entry.inputs = {
      listOf(value("card_temperatures", "T_c", "temperatures of the card", Kind::temperature_point,
                   "Cel")),
      listOf(value("card_times", "t_c", "times of the card, as many", Kind::duration, "min")),
      listOf(
          value("times", "t", "times of the part's course, never falling", Kind::duration, "min")),
      listOf(value("temperatures", "T", "temperatures of the metal, as many",
                   Kind::temperature_point, "Cel")),
      ifKnown(value("above", "T_min", "only the time above it counts", Kind::temperature_point,
                    "Cel"))};
  entry.outputs = {
      {"energy", "E", "energy that the card's pairs follow", Kind::molar_energy, "kJ/mol", 1},
      {"index", "I", "share of a just sufficient cure", Kind::number, "%", 0}};
  entry.validity =
      "Between the card's temperatures, with the temperature of the metal, not of the air. The "
      "upper "
      "limit, for scorch, is the card's own.";
  entry.uncertainty =
      "The card's rounding to whole minutes is the largest part; the residuals of the pairs show "
      "it.";
  entry.source =
      "Definition of this project: fractions of the card's time add up. The card of the checks is "
      "from a coating trade journal.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/cure_window.csv";
  entry.example.numbers = {{"card_temperatures", typedList({"190", "200", "210"}, "Cel")},
                           {"card_times", typedList({"12", "10", "8"}, "min")},
                           {"times", typedList({"0", "8", "12", "20", "24"}, "min")},
                           {"temperatures", typedList({"25", "185", "200", "204", "120"}, "Cel")}};
  entry.evaluate = evaluateWindow;
  return entry;
}

}  // namespace

std::vector<Entry> cureModelEntries() {
  return {equivalentTime(), degree(), calorimeter(), load(), loadUncertainty(), window(), drift()};
}

}  // namespace platemark::catalogue
