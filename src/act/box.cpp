/// Sets and the box they go into.
#include <fmt/format.h>

#include "platemark/method/packing/box_choice.h"
#include "support.h"

namespace platemark::act {
namespace {

Length lengthOf(const Measure& measure) {
  return Length::of(*siValue(measure, platemark::Kind::length), unit::metre);
}
template <class Edges>
method::Block blockOf(const Edges& edges) {
  return {lengthOf(edges.length), lengthOf(edges.width), lengthOf(edges.height)};
}

Result<Material> boxOf(const Context& context, const std::string& size) {
  Result<Issued<Material>> box = requireNoun<Material>(context, projection::material, size);
  if (!box) return Error(box.error()).at({"", 0, "", "size"});
  if (box->noun.material_class == MaterialClass::box) return std::move(box->noun);
  return badInput("box.size",
                  fmt::format("{} is {}, not a box.", size, word(box->noun.material_class)), "size",
                  "the code of a box");
}

}  // namespace

Result<gate::Obstacles> boxObstacles(const Context& context, const Part& part, std::int64_t pads,
                                     std::int64_t sets, const std::optional<std::string>& size) {
  gate::Obstacles obstacles;
  if (part.set && pads != sets * part.set->pads)
    obstacles.push_back({fmt::format("{} sets of part {} are {} pads, not {}.", sets, part.code,
                                     sets * part.set->pads, pads),
                         "packing crew", "count again"});
  if (!size) return obstacles;
  const Result<Material> box = boxOf(context, *size);
  if (!box) return box.error();
  if (!part.set || !box->inside) return obstacles;
  const Result<method::BoxFit> fit =
      method::fitInto(blockOf(*box->inside), blockOf(*part.set), lengthOf(part.set->clearance));
  if (!fit) return fit.error();
  if (fit->sets < sets)
    obstacles.push_back(
        {fmt::format("Box {} holds {} sets of part {}, not {}.", *size, fit->sets, part.code, sets),
         "packing crew", "take a larger box, or fewer sets"});
  return obstacles;
}

}  // namespace platemark::act
