#include <algorithm>
#include <limits>
#include <numeric>

#include "platemark/method/packing/box_choice.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::holds;

namespace {

constexpr double not_a_number = std::numeric_limits<double>::quiet_NaN();

/// Edges in whole micrometres.
using Micro = std::array<std::int64_t, 3>;

Length micro(std::int64_t n) { return Length::of(static_cast<double>(n), unit::micrometre); }
Block block(const Micro& edges) { return {micro(edges[0]), micro(edges[1]), micro(edges[2])}; }
Block millimetres(double a, double b, double c) {
  return {Length::of(a, unit::millimetre), Length::of(b, unit::millimetre),
          Length::of(c, unit::millimetre)};
}

/// Lays sets one after the other until the next would touch the clearance; no division.
std::int64_t laidAlong(std::int64_t edge, std::int64_t clearance, std::int64_t set) {
  std::int64_t laid = 0;
  for (std::int64_t end = clearance + set; end <= edge - clearance; end += set) ++laid;
  return laid;
}

std::int64_t mostByLaying(const Micro& box, const Micro& set, std::int64_t clearance) {
  std::array<std::size_t, 3> way{0, 1, 2};
  std::int64_t most = 0;
  do {
    std::int64_t all = 1;
    for (std::size_t i = 0; i < 3; ++i) all *= laidAlong(box[i], clearance, set[way[i]]);
    most = std::max(most, all);
  } while (std::next_permutation(way.begin(), way.end()));
  return most;
}

Micro drawnEdges(int least, int most) {
  Micro edges{};
  // Whole millimetres make exact fits frequent; tenths make them rare.
  const std::int64_t step = *rc::gen::element<std::int64_t>(100, 1000, 10'000);
  for (std::int64_t& edge : edges) edge = step * (*rc::gen::inRange(least, most));
  return edges;
}

}  // namespace

TEST_CASE("boxes are chosen as worked by hand") { test::checkCases("method/cases/box_choice.csv"); }

TEST_CASE("as many sets fit as can be laid one by one") {
  holds("laid one by one", [] {
    const Micro box = drawnEdges(5, 60), set = drawnEdges(3, 40);
    const std::int64_t clearance = 100 * *rc::gen::inRange(0, 40);
    const Result<BoxFit> fit = fitInto(block(box), block(set), micro(clearance));
    RC_ASSERT(bool(fit));
    RC_ASSERT(fit->sets == mostByLaying(box, set, clearance));
    RC_ASSERT(fit->sets == fit->along[0] * fit->along[1] * fit->along[2]);
  });
}

TEST_CASE("no smaller box on file would do, and every way to lie is a turn of the set") {
  holds("smallest", [] {
    std::vector<Micro> boxes;
    const int count = *rc::gen::inRange(1, 8);
    for (int i = 0; i < count; ++i) boxes.push_back(drawnEdges(5, 60));
    const Micro set = drawnEdges(3, 20);
    const std::int64_t sets = *rc::gen::inRange(1, 6), clearance = 100 * *rc::gen::inRange(0, 20);
    std::vector<Block> blocks;
    for (const Micro& box : boxes) blocks.push_back(block(box));
    const Result<BoxChoice> chosen = chooseBox(blocks, block(set), micro(clearance), sets);
    const auto volume = [](const Micro& b) {
      return static_cast<double>(b[0]) * static_cast<double>(b[1]) * static_cast<double>(b[2]);
    };
    double least = std::numeric_limits<double>::infinity();
    for (const Micro& box : boxes)
      if (mostByLaying(box, set, clearance) >= sets) least = std::min(least, volume(box));
    RC_ASSERT(bool(chosen) == std::isfinite(least));
    if (!chosen) {
      RC_ASSERT(chosen.error().code == "box_choice.none_fits");
      return;
    }
    RC_ASSERT(volume(boxes[chosen->box]) <= least * (1 + 1e-9));
    RC_ASSERT(chosen->fit.sets >= sets);
    std::array<std::size_t, 3> lies = chosen->fit.lies;
    std::sort(lies.begin(), lies.end());
    RC_ASSERT((lies == std::array<std::size_t, 3>{0, 1, 2}));
  });
}

TEST_CASE("turning the box or the set changes nothing, and more clearance never holds more") {
  holds("turned", [] {
    const Micro box = drawnEdges(5, 60), set = drawnEdges(3, 40);
    const Micro turned{box[2], box[0], box[1]}, laid{set[1], set[2], set[0]};
    const std::int64_t clearance = 100 * *rc::gen::inRange(0, 40);
    const std::int64_t sets = fitInto(block(box), block(set), micro(clearance))->sets;
    RC_ASSERT(fitInto(block(turned), block(set), micro(clearance))->sets == sets);
    RC_ASSERT(fitInto(block(box), block(laid), micro(clearance))->sets == sets);
    RC_ASSERT(fitInto(block(box), block(set), micro(clearance + 100))->sets <= sets);
  });
}

TEST_CASE("a box without room for its clearance holds nothing") {
  const Result<BoxFit> fit =
      fitInto(millimetres(10, 10, 10), millimetres(4, 4, 4), Length::of(6, unit::millimetre));
  REQUIRE(bool(fit));
  CHECK(fit->sets == 0);  // and not the product of two negative counts
}

TEST_CASE("what is no box, no set and no count is refused by name") {
  const Block box = millimetres(300, 200, 100), set = millimetres(160, 120, 70);
  const Length free = Length::of(2, unit::millimetre);
  const std::vector<Block> boxes{box};
  CHECK(chooseBox({}, set, free, 1).error().code == "box_choice.none_on_file");
  CHECK(chooseBox(boxes, set, free, 0).error().code == "box_choice.sets");
  CHECK(chooseBox(boxes, set, free, -3).error().code == "box_choice.sets");
  CHECK(chooseBox(boxes, set, Length::of(-1, unit::millimetre), 1).error().code ==
        "box_choice.clearance");
  CHECK(chooseBox(boxes, set, Length::of(not_a_number, unit::millimetre), 1).error().code ==
        "box_choice.clearance");
  for (const double bad : {0.0, -160.0, not_a_number, std::numeric_limits<double>::infinity()}) {
    const auto of_set = chooseBox(boxes, millimetres(160, bad, 70), free, 1);
    CHECK(of_set.error().code == "box_choice.edge");
    CHECK(of_set.error().where.field == "set_width");
    const std::vector<Block> broken{millimetres(300, 200, bad)};
    CHECK(chooseBox(broken, set, free, 1).error().where.field == "box_height");
  }
  const auto none = chooseBox(boxes, set, free, 9);
  CHECK(none.error().what == "No box on file holds 9 sets; the roomiest holds 2.");
}
