/// A formula scaled to one mix: what to weigh, in order, with its tolerance [kg inside].
///
///   m_i = M · parts_i / Σ parts       tolerance_i = m_i · t_i
///
///   M   mass of the mix, > 0      t_i   tolerance as a share of the wanted mass, > 0
///
/// Source: arithmetic. Errors: mixing.empty, mixing.not_positive. Pure.
#pragma once

#include <span>
#include <vector>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method::mixing {

inline constexpr int charge_sheet_version = 1;

struct SheetLine {
  double parts = 0;
  double tolerance = 0;
};
struct Wanted {
  Mass mass;
  Mass tolerance;
};

[[nodiscard]] Result<std::vector<Wanted>> chargeSheet(std::span<const SheetLine> formula, Mass mix);

}  // namespace platemark::method::mixing
