#include "platemark/act/kinetics.h"

#include <fmt/format.h>

#include "platemark/quantity/measure.h"
#include "support.h"

namespace platemark::act {
namespace {

namespace cure = method::cure;

double si(const Measure& measure) { return *siValue(measure, findUnit(measure.unit)->kind); }

std::optional<cure::Arrhenius> arrhenius(const std::optional<RateConstant>& k) {
  if (!k) return {};
  return cure::Arrhenius{Rate::of(si(k->factor), unit::per_second),
                         MolarEnergy::of(si(k->energy), unit::joule_per_mole)};
}

Decision adopt(const Context& context, KineticsAdopted in) {
  const auto set = requireIssue<Kinetics>(context, projection::kinetics, in.kinetics, in.issue);
  if (!set) return set.error();
  if (in.document_read.empty())
    return badInput("adopt.document", "Name the document that was read: title, edition, page.",
                    "document_read");
  const std::string key = fmt::format("{}/{}", in.kinetics, in.issue);
  if (context.snapshot.state(projection::kinetics_adoption, key)) {
    Error error =
        badInput("adopt.adopted",
                 fmt::format("Issue {} of {} is adopted already.", in.issue, in.kinetics), "issue");
    error.fault = Fault::conflict;
    return error;
  }
  return std::vector<NewFact>{fact(context, "kinetics.adopted", in, {{"kinetics", in.kinetics}})};
}

}  // namespace

cure::KamalLaw lawOf(const Kinetics& k) {
  cure::KamalLaw law;
  law.plain = arrhenius(k.plain);
  law.autocatalytic = arrhenius(k.autocatalytic);
  law.m = k.m ? k.m->value() : 0;
  law.n = k.n.value();
  if (k.diffusion)
    law.diffusion = {k.diffusion->steepness.value(), k.diffusion->critical_at_zero.value(),
                     PerTemperature::of(si(k.diffusion->critical_per_kelvin), unit::per_kelvin)};
  return law;
}

cure::ParameterSet parametersOf(const Kinetics& k) {
  cure::ParameterSet set;
  set.id = k.code;
  set.material = k.compound;
  set.law = lawOf(k);
  set.start = k.start.value();
  if (k.valid_from && k.valid_to)
    set.valid = cure::TemperatureRange{TemperaturePoint::of(si(*k.valid_from), scale::kelvin),
                                       TemperaturePoint::of(si(*k.valid_to), scale::kelvin)};
  set.heat = SpecificEnergy::of(si(k.heat) / 1000, unit::kilojoule_per_kilogram);
  set.source = k.source;
  return set;
}

std::span<const Kind> kineticsVerbs() {
  static constexpr Kind list[] = {
      verb<KineticsAdopted, adopt>("kinetics adopt", Operation::adoption,
                                   "adopt a compound's kinetics after reading where they come from",
                                   true),
  };
  return list;
}

}  // namespace platemark::act
