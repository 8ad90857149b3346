/// What is issued about ovens and the cure of compounds is checked before it is kept.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "noun_check.h"
#include "platemark/act/kinetics.h"
#include "platemark/method/cure/thermocouple.h"
#include "support.h"

namespace platemark::act {
namespace {

using Measured = platemark::Kind;

/// A standard uncertainty or another share: 0 % and more, less than all.
Checked shareGiven(const Measure& share, const std::string& field) {
  if (Checked c = measured(share, Measured::number, field, false); !c) return c;
  const double value = *siValue(share, Measured::number);
  if (value >= 0 && value < 1) return {};
  return badInput("value.share", fmt::format("{} is no share here.", format(share)), field,
                  "0 % or more, below 100 %");
}

Checked notNegative(const Measure& measure, Measured kind, const std::string& field) {
  if (Checked c = measured(measure, kind, field, false); !c) return c;
  if (measure.value.value() >= 0) return {};
  return badInput("value.negative", fmt::format("'{}' must not be below zero.", field), field,
                  "0 or more");
}

Checked sourceGiven(const std::string& source, const std::string& field) {
  if (!source.empty()) return {};
  return badInput("value.no_source", "Where the numbers come from is not said.", field,
                  "the report, the document, the measurement");
}

/// Nothing else on record serves this compound or oven.
template <class Noun>
Checked onlyOne(const Context& context, std::string_view projection, const Noun& noun,
                std::string Noun::*serves, const std::string& field) {
  for (const Issued<Noun>& other : allOf<Noun>(context.snapshot, projection))
    if (other.noun.code != noun.code && other.noun.*serves == noun.*serves)
      return badInput(fmt::format("{}.taken", projection),
                      fmt::format("{} stands for {} already.", other.noun.code, noun.*serves),
                      field, fmt::format("a new issue of {}", other.noun.code));
  return {};
}

Result<Machine> ovenNamed(const Context& context, const std::string& code) {
  const auto oven =
      stateAs<Issued<Machine>>(context.snapshot, projection::machine, ledger::nowKey(code));
  if (!oven) return Error(unknown(projection::machine, code)).at({"", 0, "", "noun.oven"});
  if (oven->noun.machine_class != MachineClass::oven)
    return badInput("machine.other_class", fmt::format("{} is no oven.", code), "noun.oven",
                    "an oven");
  return oven->noun;
}

Checked checkCorrections(const std::vector<Correction>& rows, const std::string& field) {
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const std::string at = fmt::format("{}.corrections[{}]", field, i);
    if (Checked c = measured(rows[i].at, Measured::temperature_point, at + ".at", false); !c) return c;
    if (Checked c = measured(rows[i].add, Measured::temperature_difference, at + ".add", false); !c)
      return c;
    if (i > 0 && *siValue(rows[i].at, Measured::temperature_point) <=
                     *siValue(rows[i - 1].at, Measured::temperature_point))
      return badInput("channel.corrections", "The rows of a correction rise in temperature.",
                      at + ".at", "a temperature above that of the row before");
  }
  return {};
}

Checked checkSensor(const Channel& channel, const std::string& field) {
  if (channel.sensor_tolerance)
    if (Checked c = measured(*channel.sensor_tolerance, Measured::temperature_difference,
                             field + ".sensor_tolerance");
        !c)
      return c;
  if (!channel.sensor) return {};
  const auto tolerance = method::cure::thermocoupleTolerance(
      static_cast<method::cure::ThermocoupleType>(channel.sensor->type),
      static_cast<int>(channel.sensor->tolerance_class), 180);
  if (!tolerance) return Error(tolerance.error()).at({"", 0, "", field + ".sensor"});
  return {};
}

Checked checkChannel(const Channel& channel, const std::string& field) {
  if (Checked c = checkSensor(channel, field); !c) return c;
  if (Checked c = checkCorrections(channel.corrections, field); !c) return c;
  if (channel.calibration_due && (!channel.calibration || channel.calibration->empty()))
    return badInput("channel.calibration", "A calibration has its certificate.",
                    field + ".calibration", "the certificate that gives the day");
  if (channel.calibrated && channel.calibration_due &&
      *channel.calibration_due < *channel.calibrated)
    return badInput("channel.calibration_dates", "The calibration is due before it was made.",
                    field + ".calibration_due");
  return {};
}

Checked checkPlaces(const Survey& survey, const Machine& oven) {
  std::set<std::pair<std::int64_t, std::int64_t>> seen;
  for (std::size_t i = 0; i < survey.places.size(); ++i) {
    const SurveyPlace& place = survey.places[i];
    const std::string field = fmt::format("noun.places[{}]", i);
    if (!seen.insert({place.tier, place.position}).second)
      return badInput("survey.place_doubled",
                      fmt::format("Tier {}, position {} stands twice.", place.tier, place.position),
                      field);
    const bool read =
        std::any_of(oven.channels.begin(), oven.channels.end(), [&](const Channel& c) {
          return c.name == place.channel && c.role != ChannelRole::over_temperature;
        });
    if (!read)
      return badInput(
          "survey.channel",
          fmt::format("'{}' is no channel of {} that is recorded.", place.channel, oven.code),
          field + ".channel", "a channel of the oven");
    if (Checked c = measured(place.offset, Measured::temperature_difference, field + ".offset", false);
        !c)
      return c;
    if (Checked c = notNegative(place.u, Measured::temperature_difference, field + ".u"); !c) return c;
  }
  return {};
}

Checked checkHeat(const HeatProperties& p, const std::string& field) {
  if (Checked c = measured(p.density, Measured::density, field + ".density"); !c) return c;
  if (Checked c = measured(p.conductivity, Measured::conductivity, field + ".conductivity"); !c)
    return c;
  if (Checked c = measured(p.capacity, Measured::heat_capacity, field + ".capacity"); !c) return c;
  for (const auto& [slope, name] : {std::pair{&p.conductivity_slope, ".conductivity_slope"},
                                    {&p.capacity_slope, ".capacity_slope"}})
    if (*slope)
      if (Checked c = measured(**slope, Measured::per_temperature, field + name, false); !c) return c;
  return sourceGiven(p.source, field + ".source");
}

Checked checkFriction(const Context& context, const std::vector<FrictionHeat>& friction) {
  std::set<std::string> seen;
  for (std::size_t i = 0; i < friction.size(); ++i) {
    const std::string field = fmt::format("noun.friction[{}]", i);
    if (!context.snapshot.state(projection::compound, ledger::nowKey(friction[i].compound)))
      return Error(unknown(projection::compound, friction[i].compound))
          .at({"", 0, "", field + ".compound"});
    if (!seen.insert(friction[i].compound).second)
      return badInput("stacking.doubled", fmt::format("{} stands twice.", friction[i].compound),
                      field + ".compound");
    if (Checked c = checkHeat(friction[i].properties, field + ".properties"); !c) return c;
  }
  return {};
}

Checked checkThickness(const Stacking& s) {
  for (const auto& [length, name] : {std::pair{&s.end_plate, "noun.end_plate"},
                                     {&s.separator, "noun.separator"},
                                     {&s.area_over_girth, "noun.area_over_girth"}})
    if (*length)
      if (Checked c = measured(**length, Measured::length, name); !c) return c;
  return {};
}

Checked checkFilms(const Stacking& s) {
  for (const auto& [film, name] :
       {std::pair{&s.film_ends, "noun.film_ends"}, {&s.film_sides, "noun.film_sides"}})
    if (Checked c = notNegative(*film, Measured::heat_transfer, name); !c) return c;
  if (s.joint)
    if (Checked c = measured(*s.joint, Measured::heat_transfer, "noun.joint"); !c) return c;
  for (const auto& [share, name] : {std::pair{&s.film_u, "noun.film_u"},
                                    {&s.joint_u, "noun.joint_u"},
                                    {&s.conductivity_u, "noun.conductivity_u"},
                                    {&s.capacity_u, "noun.capacity_u"}})
    if (Checked c = shareGiven(*share, name); !c) return c;
  return {};
}

/// Which constants and exponents the model has.
Checked checkModel(const Kinetics& k) {
  const bool plain = k.model != KineticsModel::autocatalytic,
             autocatalytic = k.model != KineticsModel::nth_order;
  for (const auto& [given, wanted, name] :
       {std::tuple{k.plain.has_value(), plain, "noun.plain"},
        {k.autocatalytic.has_value(), autocatalytic, "noun.autocatalytic"},
        {k.m.has_value(), autocatalytic, "noun.m"}})
    if (given != wanted)
      return badInput("kinetics.model",
                      fmt::format("A law of {} form {} this.", word(k.model),
                                  wanted ? "needs" : "does not have"),
                      name, wanted ? "a value" : "nothing");
  return {};
}

Checked checkConstants(const Kinetics& k) {
  for (const auto& [constant, name] :
       {std::pair{&k.plain, "noun.plain"}, {&k.autocatalytic, "noun.autocatalytic"}}) {
    if (!*constant) continue;
    if (Checked c = measured((*constant)->factor, Measured::rate, std::string(name) + ".factor"); !c)
      return c;
    if (Checked c =
            measured((*constant)->energy, Measured::molar_energy, std::string(name) + ".energy");
        !c)
      return c;
  }
  if (k.diffusion)
    return measured(k.diffusion->critical_per_kelvin, Measured::per_temperature,
                    "noun.diffusion.critical_per_kelvin", false);
  return {};
}

Checked checkRange(const Kinetics& k) {
  if (k.valid_from.has_value() != k.valid_to.has_value())
    return badInput("kinetics.range", "A range has two ends.", "noun.valid_to");
  if (!k.valid_from) return {};
  const Result<double> from = siValue(*k.valid_from, Measured::temperature_point),
                       to = siValue(*k.valid_to, Measured::temperature_point);
  if (!from) return Error(from.error()).at({"", 0, "", "noun.valid_from"});
  if (!to) return Error(to.error()).at({"", 0, "", "noun.valid_to"});
  if (*to <= *from)
    return badInput("kinetics.range", "The range ends below where it begins.", "noun.valid_to");
  return {};
}

}  // namespace

Checked checkOven(const Machine& machine) {
  for (std::size_t i = 0; i < machine.channels.size(); ++i)
    if (Checked c = checkChannel(machine.channels[i], fmt::format("noun.channels[{}]", i)); !c)
      return c;
  if (!machine.drift_limit) return {};
  if (machine.machine_class != MachineClass::oven)
    return badInput("machine.drift_limit", "Only an oven's channels drift apart.",
                    "noun.drift_limit", "nothing");
  return measured(*machine.drift_limit, Measured::temperature_difference, "noun.drift_limit");
}

Checked checkKinetics(const Context& context, const Kinetics& k) {
  if (!context.snapshot.state(projection::compound, ledger::nowKey(k.compound)))
    return Error(unknown(projection::compound, k.compound)).at({"", 0, "", "noun.compound"});
  if (Checked c = onlyOne(context, projection::kinetics, k, &Kinetics::compound, "noun.compound");
      !c)
    return c;
  if (Checked c = checkModel(k); !c) return c;
  if (Checked c = checkConstants(k); !c) return c;
  if (Checked c = checkRange(k); !c) return c;
  if (Checked c = notNegative(k.heat, Measured::specific_energy, "noun.heat"); !c) return c;
  for (const auto& [share, name] : {std::pair{&k.binder, "noun.binder"},
                                    {&k.rate_u, "noun.rate_u"},
                                    {&k.heat_u, "noun.heat_u"}})
    if (Checked c = shareGiven(*share, name); !c) return c;
  if (Checked c = method::cure::checkLaw(lawOf(k)); !c)
    return Error(c.error()).at({"", 0, "", "noun"});
  if (Checked c = method::cure::checkStart(lawOf(k), k.start.value()); !c)
    return Error(c.error()).at({"", 0, "", "noun"});
  return sourceGiven(k.source, "noun.source");
}

Checked checkSurvey(const Context& context, const Survey& survey) {
  const Result<Machine> oven = ovenNamed(context, survey.oven);
  if (!oven) return oven.error();
  if (Checked c = onlyOne(context, projection::survey, survey, &Survey::oven, "noun.oven"); !c)
    return c;
  if (context.today() < survey.surveyed)
    return badInput("survey.day", "The survey lies in the future.", "noun.surveyed",
                    "the day on which it was made");
  if (survey.age_limit_days < 1 || survey.age_limit_days > 3650)
    return badInput("survey.age_limit", "For how many days does the survey hold?",
                    "noun.age_limit_days", "1 to 3650");
  if (survey.places.empty())
    return badInput("survey.empty", "A survey has its places.", "noun.places", "at least one");
  if (Checked c = measured(survey.set_point, Measured::temperature_point, "noun.set_point", false); !c)
    return c;
  if (survey.uniformity)
    if (Checked c = measured(*survey.uniformity, Measured::temperature_difference, "noun.uniformity");
        !c)
      return c;
  if (Checked c = checkPlaces(survey, *oven); !c) return c;
  return sourceGiven(survey.source, "noun.source");
}

Checked checkStacking(const Context& context, const Stacking& s) {
  const Result<Machine> oven = ovenNamed(context, s.oven);
  if (!oven) return oven.error();
  if (Checked c = onlyOne(context, projection::stacking, s, &Stacking::oven, "noun.oven"); !c)
    return c;
  if (s.pads_in_stack < 1 || s.pads_in_stack > 60)
    return badInput("stacking.pads", "How many pads lie on each other?", "noun.pads_in_stack",
                    "1 to 60");
  if (s.friction.empty())
    return badInput("stacking.friction", "How does the friction material take up heat?",
                    "noun.friction", "at least one compound");
  if (Checked c = checkThickness(s); !c) return c;
  if (Checked c = checkHeat(s.steel, "noun.steel"); !c) return c;
  if (Checked c = checkFriction(context, s.friction); !c) return c;
  if (Checked c = checkFilms(s); !c) return c;
  if (Checked c = measured(s.start, Measured::temperature_point, "noun.start", false); !c) return c;
  return sourceGiven(s.source, "noun.source");
}

}  // namespace platemark::act
