#include "platemark/method/brake/heating.h"
#include "platemark/method/brake/paint.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

namespace brake = method::brake;

/// Known where the pad's properties are given.
Result<OutputValue> padShareOf(const Entry& entry, const Inputs& inputs, const brake::Solid& disc) {
  OutputValue value = output(entry, "pad_share", 0);
  for (const char* name : {"pad_conductivity", "pad_density", "pad_capacity", "pad_area"})
    if (!isGiven(inputs, name)) {
      value.determined = false;
      value.why = "The pad's conductivity, density, heat capacity and area are needed.";
      return value;
    }
  const auto number = [&](const char* name) { return si(one(inputs, name)); };
  const brake::Solid pad{Conductivity::of(number("pad_conductivity"), unit::watt_per_metre_kelvin),
                         Density::of(number("pad_density"), unit::kilogram_per_cubic_metre),
                         HeatCapacity::of(number("pad_capacity"), unit::joule_per_kilogram_kelvin)};
  const Result<Share> share =
      brake::padShare(pad, Area::of(number("pad_area"), unit::square_metre), disc,
                      Area::of(number("swept_area"), unit::square_metre));
  if (!share) return share.error();
  return output(entry, "pad_share", share->in(unit::one));
}

/// Of one disc: whole disc after equal stops, and its surface in one of them.
Result<Evaluation> evaluateHeating(const Entry& entry, const Inputs& inputs) {
  const auto number = [&](const char* name) { return si(one(inputs, name)); };
  const Energy into_disc = Energy::of(number("energy") * number("disc_share"), unit::joule);
  const brake::Disc disc{Mass::of(number("disc_mass"), unit::kilogram),
                         HeatCapacity::of(number("capacity"), unit::joule_per_kilogram_kelvin),
                         HeatTransfer::of(number("cooling"), unit::watt_per_square_metre_kelvin),
                         Area::of(number("cooled_area"), unit::square_metre)};
  const Result<TemperatureDifference> rise = brake::riseOf(disc, into_disc);
  if (!rise) return atInput(rise.error());
  const int count = static_cast<int>(number("stops"));
  const Result<brake::RepeatedStops> stops =
      brake::repeatedStops(disc, into_disc, Duration::of(number("between"), unit::second),
                           TemperaturePoint::of(number("air"), scale::kelvin), count);
  if (!stops) return atInput(stops.error());
  const brake::Solid solid{Conductivity::of(number("conductivity"), unit::watt_per_metre_kelvin),
                           Density::of(number("density"), unit::kilogram_per_cubic_metre),
                           disc.capacity};
  const Result<brake::FadingFlux> flux =
      brake::fluxOf(into_disc, Duration::of(number("stop_time"), unit::second),
                    Area::of(number("swept_area"), unit::square_metre));
  if (!flux) return atInput(flux.error());
  const Result<TemperatureDifference> surface = brake::largestSurfaceRise(solid, *flux);
  if (!surface) return atInput(surface.error());
  Evaluation evaluation;
  const Result<OutputValue> pad = padShareOf(entry, inputs, solid);
  if (!pad) return atInput(pad.error());
  evaluation.outputs = {output(entry, "rise", rise->in(unit::kelvin)),
                        output(entry, "after", stops->after.back().in(scale::kelvin)),
                        output(entry, "limit", stops->limit.in(scale::kelvin)),
                        output(entry, "surface", surface->in(unit::kelvin)), *pad};
  evaluation.working = asTyped(entry, inputs);
  evaluation.substituted_formula = fmt::format(
      "ΔT = {:.0f} J / ({:.3g} kg · {:.4g} J/(kg K)) = {:.2f} K", into_disc.in(unit::joule),
      number("disc_mass"), number("capacity"), rise->in(unit::kelvin));
  return evaluation;
}

/// "changed" says for each threshold in order whether it changed: 1 or 0.
Result<Evaluation> evaluatePaint(const Entry& entry, const Inputs& inputs) {
  const std::vector<double> thresholds = siList(inputs, "thresholds"),
                            changed = siList(inputs, "changed");
  if (thresholds.size() != changed.size())
    return missingInput("changed", fmt::format("{} thresholds and {} answers were given.",
                                               thresholds.size(), changed.size()));
  std::vector<brake::PaintSpot> spots;
  for (std::size_t i = 0; i < thresholds.size(); ++i)
    spots.push_back({TemperaturePoint::of(thresholds[i], scale::kelvin),
                     TemperatureDifference::of(si(one(inputs, "tolerance")), unit::kelvin),
                     changed[i] != 0});
  const Result<brake::PaintReading> reading = brake::readSpots(spots);
  if (!reading) return atInput(reading.error());
  Evaluation evaluation;
  for (const auto& [name, bound] :
       {std::pair{"at_least", reading->at_least}, {"at_most", reading->at_most}}) {
    OutputValue value = output(entry, name, bound ? bound->in(scale::kelvin) : 273.15);
    value.determined = bound.has_value();
    if (!bound)
      value.why = std::string(name) == "at_least" ? "No spot changed." : "Every spot changed.";
    evaluation.outputs.push_back(std::move(value));
  }
  evaluation.working = asTyped(entry, inputs);
  evaluation.substituted_formula = fmt::format(
      "{} ≤ T ≤ {}",
      reading->at_least ? fmt::format("{:.0f} °C", reading->at_least->in(scale::celsius)) : "?",
      reading->at_most ? fmt::format("{:.0f} °C", reading->at_most->in(scale::celsius)) : "?");
  return evaluation;
}

Entry paintEntry() {
  Entry paint;
  paint.id = "brake.paint";
  paint.version = brake::paint_version;
  paint.title = "Thermal paint spots";
  paint.words = "Between which temperatures the hottest moment of a place lay, from paint spots.";
  paint.formula =
      "highest changed threshold − tolerance ≤ T ≤ lowest unchanged threshold + tolerance";
  paint.inputs = {
      listOf(value("thresholds", "T_c", "thresholds of the spots", Kind::temperature_point, "Cel")),
      listOf(
          value("changed", "", "for each threshold 1: changed, 0: not", Kind::number, "1", 0, 1)),
      value("tolerance", "d", "tolerance of the thresholds", Kind::temperature_difference, "K", 0)};
  paint.outputs = {{"at_least", "T_min", "highest temperature of the place, at least",
                    Kind::temperature_point, "Cel", 0},
                   {"at_most", "T_max", "highest temperature of the place, at most",
                    Kind::temperature_point, "Cel", 0}};
  paint.validity =
      "The place of the spots, and exposures near the time the threshold is rated for: longer ones "
      "change a paint below it. It says neither when nor for how long.";
  paint.uncertainty = "The answer is a range.";
  paint.source =
      "Definition of this project; BS 1041-7:1988 gives thresholds as a function of time.";
  paint.mark = Mark::own;
  paint.outside_check = "method/cases/brake_paint.csv";
  paint.example.numbers = {{"thresholds", typedList({"430", "560", "610"}, "Cel")},
                           {"changed", typedList({"1", "0", "0"}, "1")},
                           {"tolerance", {typed("5", "K")}}};
  paint.evaluate = evaluatePaint;
  return paint;
}

}  // namespace

std::vector<Entry> brakeEntries() {
  Entry heating;
  heating.id = "brake.heating";
  heating.version = method::brake::heating_version;
  heating.title = "Heating of disc and pad in stops";
  heating.words = "How hot a disc becomes in one stop and in repeated stops.";
  heating.formula =
      "E = ½·k_rot·m·(v1² − v2²);  ΔT = γ·E_disc/(m_disc·c);  b = h·A·t_c/(m_disc·c);  "
      "T_n − T∞ = ΔT·(1 − e^(−n·b))/(1 − e^(−b));  surface: ΔT_max = 4·q0·√t_s/(3·√(2π)·e)";
  heating.inputs = {
      value("energy", "E", "braking energy at one disc; 1 N m is 1 J", Kind::torque, "N.m", 0),
      value("disc_share", "γ", "share of it that goes into the disc", Kind::number, "%", 0, 100),
      value("disc_mass", "m", "mass of the disc", Kind::mass, "kg", 0.1),
      value("capacity", "c", "heat capacity of the disc", Kind::heat_capacity, "J/(kg.K)", 1),
      value("conductivity", "k", "conductivity of the disc", Kind::conductivity, "W/(m.K)", 0.1),
      value("density", "ρ", "density of the disc", Kind::density, "kg/m3", 100),
      value("cooling", "h", "cooling between stops", Kind::heat_transfer, "W/(m2.K)", 0),
      value("cooled_area", "A", "cooled area", Kind::area, "cm2", 1),
      value("swept_area", "A_s", "swept area, both faces", Kind::area, "cm2", 1),
      value("stop_time", "t_s", "duration of a stop", Kind::duration, "s", 0),
      value("between", "t_c", "from one stop to the next", Kind::duration, "s", 0),
      value("air", "T∞", "temperature of the air", Kind::temperature_point, "Cel"),
      value("stops", "n", "equal stops", Kind::number, "1", 1, 100000),
      ifKnown(value("pad_conductivity", "k_p", "conductivity of the pad", Kind::conductivity,
                    "W/(m.K)", 0.01)),
      ifKnown(value("pad_density", "ρ_p", "density of the pad", Kind::density, "kg/m3", 100)),
      ifKnown(value("pad_capacity", "c_p", "heat capacity of the pad", Kind::heat_capacity,
                    "J/(kg.K)", 1)),
      ifKnown(value("pad_area", "A_p", "area of both pads", Kind::area, "cm2", 1))};
  heating.outputs = {
      {"rise", "ΔT", "rise of the whole disc in one stop", Kind::temperature_difference, "K", 1},
      {"after", "T_n", "disc after each stop", Kind::temperature_point, "Cel", 1},
      {"limit", "T_lim", "disc after ever more stops", Kind::temperature_point, "Cel", 1},
      {"surface", "ΔT_max", "largest rise of the surface in one stop", Kind::temperature_difference,
       "K", 1},
      {"pad_share", "γ_pad", "share of the heat into the pad", Kind::number, "%", 1}};
  heating.validity =
      "A disc at one temperature between stops, constant cooling, equal stops from the air's "
      "temperature. The surface: while the heat has not crossed the disc.";
  heating.uncertainty =
      "The share between disc and pad and the cooling are assumptions; published formulas for the "
      "share differ.";
  heating.source =
      "R. Limpert, Brake Design and Safety, repeated braking; H. S. Carslaw, J. C. Jaeger, "
      "Conduction of Heat in Solids, 2nd ed. 1959.";
  heating.mark = Mark::remembered;
  heating.outside_check = "method/cases/brake_heating.csv";
  heating.example.numbers = {{"energy", {typed("226851.8519", "N.m")}},
                             {"disc_share", {typed("95", "%")}},
                             {"disc_mass", {typed("7.0", "kg")}},
                             {"capacity", {typed("500", "J/(kg.K)")}},
                             {"conductivity", {typed("50", "W/(m.K)")}},
                             {"density", {typed("7200", "kg/m3")}},
                             {"cooling", {typed("60", "W/(m2.K)")}},
                             {"cooled_area", {typed("1200", "cm2")}},
                             {"swept_area", {typed("800", "cm2")}},
                             {"stop_time", {typed("4.046492909", "s")}},
                             {"between", {typed("60", "s")}},
                             {"air", {typed("20", "Cel")}},
                             {"stops", {typed("10", "1")}}};
  heating.evaluate = evaluateHeating;
  return {heating, paintEntry()};
}

}  // namespace platemark::catalogue
