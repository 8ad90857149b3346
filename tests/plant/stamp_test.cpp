#include "platemark/plant/stamp.h"

#include <doctest/doctest.h>

#include <algorithm>
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
        // An O where only a digit can stand is read as what it looks like.
        if (const auto read = readStamp(wrong); read && *read != stampNumber(n)) ++passed;
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

TEST_CASE("a letter where only a digit can stand is the digit it looks like") {
  for (const auto& [digit, letter] : {std::pair{'0', 'O'},
                                      {'1', 'I'},
                                      {'1', 'l'},
                                      {'2', 'Z'},
                                      {'5', 'S'},
                                      {'6', 'G'},
                                      {'8', 'B'}})
    for (std::int64_t n = 0; n < 3000; n += 7)
      for (const std::size_t place : {1U, 3U, 6U}) {
        const std::string good = stampNumber(n);
        if (good[place] != digit) continue;
        std::string seen = good;
        seen[place] = letter;
        const Result<std::string> read = readStamp(seen);
        REQUIRE(read);
        CHECK(*read == good);
      }
  CHECK_FALSE(readStamp("07M4J-7"));  // no letter of a plate looks like a digit
}

TEST_CASE("what a half-legible plate may bear") {
  const auto holds = [](const std::vector<std::string>& list, const std::string& stamp) {
    return std::find(list.begin(), list.end(), stamp) != list.end();
  };
  for (std::int64_t n = 0; n < stampCount(); n += 4099) {
    const std::string stamp = stampNumber(n);
    for (const std::size_t place : {0U, 1U, 2U, 3U, 4U, 6U}) {
      std::string worn = stamp;
      worn[place] = '?';
      const std::vector<std::string> near = stampsNear(worn);
      CHECK(holds(near, stamp));
      for (const std::string& other : near) CHECK(*readStamp(other) == other);
      worn[place] = place % 2 == 0 && place < 5 ? (stamp[place] == 'K' ? 'M' : 'K')
                                                : (stamp[place] == '3' ? '4' : '3');
      CHECK(holds(stampsNear(worn), stamp));
    }
  }
  CHECK(stampsNear("K7M4J").empty());
  CHECK(stampsNear("???4J-7").empty());
}
