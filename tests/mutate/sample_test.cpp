/// What the self-test of tools/mutate runs against each mutant of sample.cpp. One edge is left out
/// on purpose: no case asks for a single pad, so the mutant of that edge survives.
#define DOCTEST_CONFIG_IMPLEMENT_WITH_MAIN
#include <doctest/doctest.h>

#include "listener.cpp"
#include "sample.h"

using namespace platemark::sample;

TEST_CASE("inside, with both edges") {
  CHECK(isInside(2, 2, 4));
  CHECK(isInside(4, 2, 4));
  CHECK_FALSE(isInside(1, 2, 4));
  CHECK_FALSE(isInside(5, 2, 4));
}

TEST_CASE("a window of minutes, less the seconds passed") {
  CHECK(secondsLeft(2, 30) == 90);
  CHECK(secondsLeft(2, 121) == 0);
}

TEST_CASE("packing: released, not held, and some pads") {
  CHECK(mayPack(40, true, false).empty());
  CHECK(mayPack(40, false, false).size() == 1);
  CHECK(mayPack(40, true, true).size() == 1);
  CHECK(mayPack(0, true, false).size() == 1);
}
