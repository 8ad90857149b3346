#include "platemark/method/bench/shear.h"

#include <fmt/format.h>

#include <vector>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::bench {

Result<Pressure> shearStrength(Force at_failure, Area bond) {
  if (!(at_failure > Force()))
    return badInput("shear.force", "force",
                    fmt::format("The force at failure is {:g} N.", at_failure.in(unit::newton)),
                    "above 0 N");
  if (!(bond > Area()))
    return badInput("shear.bond_area", "bond_area",
                    fmt::format("The bond area is {:g} cm².", bond.in(unit::square_centimetre)),
                    "above 0 cm²");
  const Pressure shear = at_failure / bond;
  if (Result<void> plausible = plausibleShear(shear); !plausible) return plausible.error();
  return shear;
}

Result<void> plausibleShear(Pressure shear) {
  if (shear > Pressure() && shear <= highest_plausible_shear) return {};
  const double given = shear.in(unit::newton_per_square_centimetre);
  return badInput(
      "shear.implausible", "shear_strength",
      fmt::format("{:g} N/cm² ({:g} MPa) cannot be the shear strength of a pad.", given,
                  given / 100),
      "above 0 and at most 3000 N/cm² (30 MPa)",
      "Check N/mm² against N/cm² (1 N/mm² = 100 N/cm²), and mm² against cm² of the area.");
}

Result<Share> shareOfBond(Area part, Area bond) {
  if (!(bond > Area()))
    return badInput("shear.bond_area", "bond_area",
                    fmt::format("The bond area is {:g} cm².", bond.in(unit::square_centimetre)),
                    "above 0 cm²");
  return bondLineShare(Share::of(part / bond, unit::one));
}

Result<Share> bondLineShare(Share read) {
  if (read >= Share() && read <= Share::of(1, unit::one)) return read;
  return badInput("shear.share_out_of_range", "bond_line_share",
                  fmt::format("A share of {:g} % of the bond area.", read.in(unit::percent)),
                  "0 to 100 %", "Check the share and whether it was written in %.");
}

Result<ShearSummary> summariseShear(std::span<const Pressure> pads) {
  if (pads.empty())
    return badInput("shear.no_pad", "pads", "There is no pad to summarise.", "one pad or more",
                    "Enter the pads.");
  std::vector<double> values;
  for (std::size_t i = 0; i < pads.size(); ++i) {
    if (Result<void> plausible = plausibleShear(pads[i]); !plausible)
      return Error(plausible.error()).at({"", 0, "", fmt::format("pads[{}]", i)});
    values.push_back(pads[i].in(unit::pascal));
  }
  const Result<statistics::Summary> found = statistics::summary(values);
  if (!found) return found.error();
  ShearSummary summary{Pressure::of(found->mean, unit::pascal),
                       Pressure::of(found->min, unit::pascal),
                       {},
                       static_cast<int>(pads.size())};
  if (found->s) summary.s = Pressure::of(*found->s, unit::pascal);
  return summary;
}

}  // namespace platemark::method::bench
