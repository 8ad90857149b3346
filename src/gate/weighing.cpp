#include "platemark/gate/weighing.h"

namespace platemark::gate {

FindingWord whereWeighed(double mass, double wanted, double tolerance) {
  // Half a unit of the twelfth digit, so that 8.96 + 0.05 is not outside 9.01 by a binary rounding.
  const double rounding = 1e-12 * wanted;
  if (mass > wanted + tolerance + rounding) return FindingWord::outside_above;
  if (mass < wanted - tolerance - rounding) return FindingWord::outside_below;
  return FindingWord::inside;
}

}  // namespace platemark::gate
