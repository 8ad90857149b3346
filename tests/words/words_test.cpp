#include "platemark/words/words.h"

#include <doctest/doctest.h>

using platemark::words::fill;
using platemark::words::say;

TEST_CASE("names get their values, in any order and more than once") {
  CHECK(fill("{n} of {all}, {n} left", {{"all", "3"}, {"n", "2"}}) == "2 of 3, 2 left");
}
TEST_CASE("a name without a value stays visible") {
  CHECK(fill("fact {sequence}", {}) == "fact {sequence}");
  CHECK(fill("fact {sequence", {{"sequence", "4"}}) == "fact {sequence");
}
TEST_CASE("a value with braces is not filled again") {
  CHECK(fill("{a}{b}", {{"a", "{b}"}, {"b", "x"}}) == "{b}x");
}
TEST_CASE("a key is looked up in the catalogue") {
  CHECK(say("papers.foot.page", {{"n", "2"}, {"all", "3"}}) == "page 2 of 3");
}
TEST_CASE("a key that is not there is seen, not swallowed") {
  CHECK(say("papers.nothing") == "papers.nothing");
  CHECK(say("zz") == "zz");
  CHECK(say("") == "");
}
