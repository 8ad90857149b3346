#include "support/cases.h"

#include <sstream>

using namespace platemark::test;

namespace {
CaseFile read(const std::string& text) {
  std::istringstream in(text);
  return readCases(in, "made.csv");
}
}  // namespace

TEST_CASE("A case file without a source is not loaded") {
  CHECK_THROWS_WITH(read("id,expected\nA,1\n"), doctest::Contains("# source:"));
  CHECK_THROWS_WITH(read("# source:   \nid,expected\nA,1\n"), doctest::Contains("# source:"));
  CHECK_THROWS_WITH(read("id,expected\nA,1\n# source: too late\n"), doctest::Contains("# source:"));
  CHECK(read("# source: a table\nid,expected\nA,1\n").rows.size() == 1);
}

TEST_CASE("A torn or empty case file is not loaded") {
  CHECK_THROWS(read("# source: a table\nid,expected\nA\n"));
  CHECK_THROWS(read("# source: a table\nid,expected\n"));
  CHECK_THROWS(loadCases("method/cases/no_such_file.csv"));
}

TEST_CASE("Cells are read by title; words are not taken for numbers") {
  const Case row = read("# source: a table\nid,xs,expected\n\"A, B\",1 2.5 -3,4\n").rows.front();
  CHECK(row.text("id") == "A, B");
  CHECK(row.numbers("xs") == std::vector<double>{1, 2.5, -3});
  CHECK(row.number("expected") == 4);
  CHECK(row.source == "a table");
  CHECK_THROWS((void)row.number("xs"));
  CHECK_THROWS((void)row.numbers("id"));
  CHECK_THROWS((void)row.text("tolerance"));
}

TEST_CASE("Rows are entered one by one, in their order, each as a subcase of its own") {
  static std::size_t entered = 0;
  const auto rows = loadCases("method/cases/water_density.csv").rows;
  std::size_t in_this_run = 0;
  eachCase("method/cases/water_density.csv", [&](const Case& row) {
    ++in_this_run;
    CHECK(row.place == rows.at(entered++).place);
  });
  CHECK(in_this_run == 1);
}
