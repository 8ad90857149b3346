/// What is weighed of a powder: moisture, loss on ignition, acetone extract, bulk density; and the
/// flow of a resin.
///
/// Formula      moisture = (m1 − m2)/m1;  loss on ignition = (m_dry − m_ash)/(m_dry − m_crucible)
///              acetone extract = (m0 − m1)/m0;  bulk density = m/V;  flow = mean of the distances
/// Symbols      m1 before and m2 after drying; m_crucible empty, m_dry and m_ash with its crucible
///              before and after the furnace; m0 before and m1 after extraction and drying, all g;
///              V volume of the loosely filled cup, cm³; flow distance of one tablet, mm
/// Valid        drying at 105 °C to constant mass. A loss on ignition may be negative: metal takes
///              up oxygen, so that of a compound with metal is understated. The extract also holds
///              free oil, plasticiser and wax: compare only within one formula and only with the
///              same drying; that of JC/T 528 changed from 80–85 °C for 45 min (1993) to 100–120 °C
///              for 2 h (2009). Flow: tablet 12.5 mm wide and 4.8 mm high, 125 °C, 3 min level and
///              20 min at 60°; a resin that reacts or is stiff flows less.
/// Uncertainty  balance: u = u(m)·√2 over the mass in the denominator; sampling outweighs it
/// Source       moisture (ISO 787-2) and loss on ignition: remembered, not verified; acetone
///              extract: JC/T 528-2009, foreword read, formula remembered, not verified; flow:
///              GB/T 32688-2016 (ISO 8619:2003), summary read
/// Errors       assay.mass, assay.heavier_after, assay.crucible, assay.volume, assay.no_tablet,
///              assay.flow
/// Pure.
#pragma once

#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int assay_version = 1;

/// More than 0.05 % heavier after drying is an error of weighing; less is taken as it comes.
[[nodiscard]] Result<Share> moisture(Mass before, Mass after);
[[nodiscard]] Result<Share> acetoneExtract(Mass before, Mass after);
/// Negative when the ash is heavier than what went in.
[[nodiscard]] Result<Share> lossOnIgnition(Mass crucible, Mass dry, Mass ash);
[[nodiscard]] Result<Density> bulkDensity(Mass mass, Volume volume);

struct ResinFlow {
  Length mean;
  Length apart;  ///< largest minus smallest tablet
};
[[nodiscard]] Result<ResinFlow> resinFlow(std::span<const Length> tablets);

}  // namespace platemark::method
