/// Which box a wrapped set of pads goes into, and how many sets go into it.
///
/// Formula      n_i = ⌊(B_i − 2c)/s_i⌋ along each edge i of the box;  n = n₁·n₂·n₃, the largest
///              over the six ways in which a set may lie, all sets lying the same way
///              chosen: of the boxes with n ≥ N, the one of least inner volume B₁·B₂·B₃
/// Symbols      B inner edges of the box, mm, above 0; s edges of the wrapped set, mm, above 0;
///              c clearance kept free at each wall, mm, 0 or more; N sets wanted, 1 or more;
///              n sets the box holds
/// Valid        sets as rectangular blocks that may lie on any face, side by side without gap. A
///              mixed stack (some sets turned against the others) can hold more: the method never
///              promises it. An edge that is short by less than 1e-9 of a set counts as fitting,
///              for lengths come through binary numbers.
/// Ties         of two boxes of equal volume the one with the shorter longest edge, then the one
///              named first; of two ways to lie with equal n the one named first (length along
///              length, width along width before others)
/// Uncertainty  none: lengths are nominal
/// Source       geometry, definition of this project
/// Errors       box_choice.none_on_file, box_choice.edge, box_choice.clearance, box_choice.sets,
///              box_choice.none_fits
/// Pure.
#pragma once

#include <array>
#include <cstdint>
#include <span>

#include "platemark/quantity/quantity.h"
#include "platemark/quantity/result.h"

namespace platemark::method {

inline constexpr int box_choice_version = 1;

/// Length, width, height.
using Block = std::array<Length, 3>;

struct BoxFit {
  std::int64_t sets = 0;                ///< n, 0 when not one goes in
  std::array<std::int64_t, 3> along{};  ///< n₁, n₂, n₃ along length, width, height of the box
  std::array<std::size_t, 3> lies{};    ///< which edge of the set lies along each edge of the box
};

/// How many sets one box holds.
/// Errors: box_choice.edge, box_choice.clearance.
[[nodiscard]] Result<BoxFit> fitInto(const Block& box, const Block& set, Length clearance);

struct BoxChoice {
  std::size_t box = 0;  ///< index of the chosen one
  BoxFit fit;
  Share fill;  ///< volume of the wanted sets against the box's
};

/// The smallest box that holds the wanted sets.
[[nodiscard]] Result<BoxChoice> chooseBox(std::span<const Block> boxes, const Block& set,
                                          Length clearance, std::int64_t sets);

}  // namespace platemark::method
