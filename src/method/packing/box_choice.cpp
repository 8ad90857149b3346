#include "platemark/method/packing/box_choice.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <optional>

#include "../bad_input.h"

namespace platemark::method {
namespace {

using Way = std::array<std::size_t, 3>;
constexpr Way ways[] = {{0, 1, 2}, {1, 0, 2}, {0, 2, 1}, {1, 2, 0}, {2, 0, 1}, {2, 1, 0}};
constexpr const char* edge_names[] = {"length", "width", "height"};
constexpr double most_along = 1e6;  // more sets than that along an edge are a slip of the unit

Result<void> checkEdges(const Block& block, const std::string& what) {
  for (std::size_t i = 0; i < block.size(); ++i) {
    const double edge = block[i].in(unit::millimetre);
    if (!(edge > 0) || !std::isfinite(edge))
      return badInput("box_choice.edge", what + "_" + edge_names[i],
                      fmt::format("An edge is {:g} mm.", edge), "above 0 mm");
  }
  return {};
}

Result<void> checkClearance(Length clearance) {
  const double free = clearance.in(unit::millimetre);
  if (free >= 0 && std::isfinite(free)) return {};
  return badInput("box_choice.clearance", "clearance",
                  fmt::format("The clearance is {:g} mm.", free), "0 mm or more");
}

std::int64_t countAlong(Length edge, Length set) {
  const double count = std::floor(edge / set + 1e-9);
  return count < 0 ? 0 : static_cast<std::int64_t>(std::min(count, most_along));
}

BoxFit lying(const Block& box, const Block& set, Length clearance, const Way& way) {
  BoxFit fit{1, {}, way};
  for (std::size_t i = 0; i < box.size(); ++i) {
    fit.along[i] = countAlong(box[i] - clearance * 2, set[way[i]]);
    fit.sets *= fit.along[i];
  }
  return fit;
}

double volume(const Block& block) {
  double product = 1;
  for (const Length edge : block) product *= edge.in(unit::millimetre);
  return product;
}

Length longest(const Block& block) { return *std::max_element(block.begin(), block.end()); }

/// Equal to rounding is equal.
bool smaller(const Block& a, const Block& b) {
  const double va = volume(a), vb = volume(b);
  if (std::abs(va - vb) > 1e-9 * std::max(va, vb)) return va < vb;
  return longest(a) < longest(b);
}

Error noneFits(std::int64_t sets, std::int64_t most) {
  Error error =
      badInput("box_choice.none_fits", "sets",
               fmt::format("No box on file holds {} sets; the roomiest holds {}.", sets, most),
               "a box size that holds them, or fewer sets");
  error.remedy = "Check the edges of set and boxes and their units.";
  return error;
}

}  // namespace

Result<BoxFit> fitInto(const Block& box, const Block& set, Length clearance) {
  if (Result<void> c = checkEdges(box, "box"); !c) return c.error();
  if (Result<void> c = checkEdges(set, "set"); !c) return c.error();
  if (Result<void> c = checkClearance(clearance); !c) return c.error();
  BoxFit best = lying(box, set, clearance, ways[0]);
  for (const Way& way : ways)
    if (const BoxFit fit = lying(box, set, clearance, way); fit.sets > best.sets) best = fit;
  return best;
}

Result<BoxChoice> chooseBox(std::span<const Block> boxes, const Block& set, Length clearance,
                            std::int64_t sets) {
  if (boxes.empty())
    return badInput("box_choice.none_on_file", "box_length", "No box size is on file.",
                    "at least one box with its inner edges");
  if (sets < 1)
    return badInput("box_choice.sets", "sets", fmt::format("{} sets are wanted.", sets),
                    "1 or more");
  std::optional<BoxChoice> chosen;
  std::int64_t most = 0;
  for (std::size_t i = 0; i < boxes.size(); ++i) {
    const Result<BoxFit> fit = fitInto(boxes[i], set, clearance);
    if (!fit) return fit.error();
    most = std::max(most, fit->sets);
    if (fit->sets < sets || (chosen && !smaller(boxes[i], boxes[chosen->box]))) continue;
    const double share = static_cast<double>(sets) * volume(set) / volume(boxes[i]);
    chosen = BoxChoice{i, *fit, Share::of(share, unit::one)};
  }
  if (!chosen) return noneFits(sets, most);
  return *chosen;
}

}  // namespace platemark::method
