#include "platemark/plant/sscc.h"

#include <doctest/doctest.h>

#include "support/cases.h"

using namespace platemark;
using platemark::test::Case;
using platemark::test::eachCase;

TEST_CASE("GS1 check digits are those of published numbers") {
  eachCase("plant/cases/sscc.csv", [](const Case& row) {
    const Result<char> check = gs1CheckDigit(row.text("digits"));
    REQUIRE(check);
    CHECK(std::string(1, *check) == row.text("check"));
  });
}

TEST_CASE("a shipping code is put together as published ones are, and reads back") {
  eachCase("plant/cases/sscc_number.csv", [](const Case& row) {
    const Result<std::string> sscc = ssccNumber(static_cast<std::int64_t>(row.number("extension")),
                                                row.text("prefix"), std::stoll(row.text("serial")));
    REQUIRE(sscc);
    CHECK(*sscc == row.text("sscc"));
    CHECK(*readSscc(*sscc) == *sscc);
    CHECK(*readSscc("(00) " + *sscc) == *sscc);
    CHECK(*readSscc("00" + *sscc) == *sscc);
    CHECK(*readSscc("]C100" + *sscc) == *sscc);
  });
}

TEST_CASE("no single misread digit of a shipping code gets through") {
  const std::string good = *ssccNumber(0, "9521234", 417);
  for (std::size_t place = 0; place < good.size(); ++place)
    for (char c = '0'; c <= '9'; ++c) {
      std::string wrong = good;
      if (wrong[place] == c) continue;
      wrong[place] = c;
      CHECK(readSscc(wrong).error().code == "sscc.check");
    }
}

TEST_CASE("neighbours that are swapped are found unless they differ by five") {
  const std::string good = *ssccNumber(3, "9521234", 905'172'834);
  for (std::size_t place = 0; place + 1 < good.size(); ++place) {
    std::string wrong = good;
    std::swap(wrong[place], wrong[place + 1]);
    if (wrong == good) continue;
    const int apart = std::abs(good[place] - good[place + 1]);
    CAPTURE(place);
    CHECK(bool(readSscc(wrong)) == (apart == 5));
  }
}

TEST_CASE("what cannot be a shipping code says why") {
  CHECK(gs1CheckDigit("").error().code == "sscc.length");
  CHECK(gs1CheckDigit("12a").error().code == "sscc.digit");
  CHECK(ssccNumber(0, "952", 1).error().code == "sscc.prefix");
  CHECK(ssccNumber(0, "9521234567890", 1).error().code == "sscc.prefix");
  CHECK(ssccNumber(0, "95212E4", 1).error().code == "sscc.prefix");
  CHECK(ssccNumber(10, "9521234", 1).error().code == "sscc.extension");
  CHECK(ssccNumber(-1, "9521234", 1).error().code == "sscc.extension");
  CHECK(bool(ssccNumber(0, "9521234", 999'999'999)));
  CHECK(ssccNumber(0, "9521234", 1'000'000'000).error().code == "sscc.serial");
  CHECK(ssccNumber(0, "9521234", -1).error().code == "sscc.serial");
  CHECK(readSscc("").error().code == "sscc.length");
  CHECK(readSscc("37610425002123456").error().code == "sscc.length");
  CHECK(readSscc("3761042500212345O9").error().code == "sscc.digit");
  CHECK(readSscc("376104250021234568").error().code == "sscc.check");
}
