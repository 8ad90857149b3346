#include "platemark/method/forming/pressure.h"

namespace platemark::method::forming {

Result<Pressure> specificPressure(Force force, int cavities, Area face) {
  if (force > Force{} && cavities >= 1 && face > Area{}) return force / (face * static_cast<double>(cavities));
  Error error;
  error.code = "forming.not_positive";
  error.what = "Force, cavities and area must be above zero.";
  return error;
}

Result<Pressure> specificPressure(Pressure hydraulic, Area ram, int cavities, Area face) { return specificPressure(hydraulic * ram, cavities, face); }

}  // namespace platemark::method::forming
