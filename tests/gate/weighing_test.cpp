/// The edges of a weighing: the limits belong to the inside.
#include "platemark/gate/weighing.h"

#include <doctest/doctest.h>

using platemark::FindingWord;
using platemark::gate::whereWeighed;

TEST_CASE("A weighing on its limit is inside, a gram beyond it is not") {
  CHECK(whereWeighed(9.01, 8.96, 0.05) == FindingWord::inside);
  CHECK(whereWeighed(8.91, 8.96, 0.05) == FindingWord::inside);
  CHECK(whereWeighed(9.011, 8.96, 0.05) == FindingWord::outside_above);
  CHECK(whereWeighed(8.909, 8.96, 0.05) == FindingWord::outside_below);
}
TEST_CASE("The last digit of a binary sum puts no large weighing outside") {
  // 1133.31 + 0.07 is a little less than 1133.38 in binary.
  CHECK(1133.31 + 0.07 < 1133.38);
  CHECK(whereWeighed(1133.38, 1133.31, 0.07) == FindingWord::inside);
  CHECK(whereWeighed(1133.39, 1133.31, 0.07) == FindingWord::outside_above);
}
TEST_CASE("Nothing weighed is below, unless nothing is wanted") {
  CHECK(whereWeighed(0, 8.96, 0.05) == FindingWord::outside_below);
  CHECK(whereWeighed(0, 0, 0) == FindingWord::inside);
}
