#include "platemark/plant/stamp.h"

#include <doctest/doctest.h>

#include <set>

#include "support/cases.h"

using namespace platemark;
using platemark::test::Case;
using platemark::test::loadCases;

TEST_CASE("check characters") {
  for (const Case& row : loadCases("plant/cases/check_character.csv").rows) {
    const Result<char> check = checkCharacter(row.text("text"));
    REQUIRE(check);
    CHECK(std::string(1, *check) == row.text("check"));
  }
  CHECK(checkCharacter("a1").error().code == "stamp.bad_character");
}

TEST_CASE("all stamps differ and read back") {
  std::set<std::string> all;
  bool read_back = true;
  for (std::int64_t n = 0; n < stampCount(); ++n) {
    const std::string stamp = stampNumber(n);
    read_back = read_back && readStamp(stamp) && *readStamp(stamp) == stamp;
    all.insert(stamp);
  }
  CHECK(read_back);
  CHECK(static_cast<std::int64_t>(all.size()) == stampCount());
}

TEST_CASE("no single misread character of a stamp gets through") {
  int tried = 0, passed = 0;
  for (std::int64_t n = 0; n < stampCount(); n += 97)
    for (std::size_t place : {0U, 1U, 2U, 3U, 4U, 6U})
      for (const char c : std::string("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ")) {
        std::string wrong = stampNumber(n);
        if (wrong[place] == c) continue;
        wrong[place] = c;
        ++tried;
        if (readStamp(wrong)) ++passed;
      }
  CHECK(tried > 100'000);
  CHECK(passed == 0);
}

TEST_CASE("a stamp that cannot be says where") {
  const Error error = readStamp("K7Q4M-9").error();  // Q is not among the letters of a plate
  CHECK(error.code == "stamp.pattern");
  CHECK(error.what.find("place 3") != std::string::npos);
  CHECK(readStamp("").error().code == "stamp.pattern");
  const std::string good = stampNumber(5);
  std::string typed = good.substr(0, 5) + " " + good.substr(6);
  for (char& c : typed) c = static_cast<char>(std::tolower(c));
  CHECK(*readStamp(typed) == good);
  std::string wrong = good;
  wrong.back() = wrong.back() == '0' ? '1' : '0';
  CHECK(readStamp(wrong).error().code == "stamp.check");
}
