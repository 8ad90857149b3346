/// Pages of the methods' handbook, made from the catalogue: what a method is for, its formula,
/// inputs, outputs, range, uncertainty, source, and its example with numbers computed here.
///
/// A page may go on by hand below its last line, `kept_below`: the program keeps what stands there.
#pragma once

#include <string>
#include <string_view>

#include "platemark/catalogue/catalogue.h"

namespace platemark::handbook {

inline constexpr std::string_view kept_below =
    "<!-- Made from the catalogue; below this line by hand. -->";

/// The made part of the page, Markdown, up to and with `kept_below`.
/// Error: that of the example, when it does not compute.
[[nodiscard]] Result<std::string> page(const catalogue::Entry& entry);
/// "bench.density.md"; an older version than the newest has its number: "bench.density.v1.md".
[[nodiscard]] std::string fileName(const catalogue::Entry& entry);
/// The made part of a page on disk, and what was written by hand below it.
struct Parts {
  std::string made;
  std::string by_hand;
};
[[nodiscard]] Parts partsOf(const std::string& file);

}  // namespace platemark::handbook
