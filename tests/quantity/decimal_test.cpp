#include "platemark/quantity/decimal.h"
#include "platemark/quantity/measure.h"

#include <doctest/doctest.h>

using namespace platemark;

TEST_CASE("A decimal keeps the digits that were typed") {
  CHECK(Decimal::parse("2.180")->text() == "2.180");
  CHECK(Decimal::parse("2,180", DecimalMark::comma)->text() == "2.180");
  CHECK(Decimal::parse("+0.5")->text() == "0.5");
  CHECK(Decimal::parse(".5")->text() == "0.5");
  CHECK(Decimal::parse("2.180")->decimals() == 3);
  CHECK(Decimal::parse("\xE2\x88\x92"
                       "12")
            ->text() == "-12");
}

TEST_CASE("An ambiguous comma is refused, a clear one is read") {
  CHECK(Decimal::parse("1,234").error().code == "decimal.ambiguous");
  CHECK(Decimal::parse("0,234")->text() == "0.234");
  CHECK(Decimal::parse("12,5")->text() == "12.5");
  CHECK(Decimal::parse("1234,567")->text() == "1234.567");
}

TEST_CASE("What is no number is refused") {
  for (const char* typed :
       {"", " ", "---", "12a", "1.2.3", "1,2,3", "0x10", "1e5", "nan", "inf", "-", "."})
    CHECK_MESSAGE(!Decimal::parse(typed), typed);
}

TEST_CASE("Comparison is numeric and exact") {
  const auto d = [](const char* t) { return *Decimal::parse(t); };
  CHECK(d("2.18") == d("2.180"));
  CHECK(d("-0") == d("0.00"));
  CHECK(d("9.99") < d("10"));
  CHECK(d("-10") < d("-9.99"));
  CHECK(d("0.1000000000000000001") > d("0.1"));
}

TEST_CASE("Fixed rounds half away from zero and never prints minus zero") {
  CHECK(Decimal::fixed(2.1875, 3).text() == "2.188");
  CHECK(Decimal::fixed(-0.0004, 3).text() == "0.000");
  CHECK(Decimal::fromDouble(0.1).text() == "0.1");
}

TEST_CASE("a lone 1 behind the number is the unit one, never a digit of it") {
  for (const auto& [typed, value] : {std::pair{"0.38 1", "0.38"},
                                     {"0,38 1", "0.38"},
                                     {"27 400 1", "27400"},
                                     {"1 1", "1"},
                                     {"5 1 ", "5"}}) {
    CAPTURE(typed);
    const Result<Measure> read = parseMeasure(typed);
    REQUIRE(read);
    CHECK(read->value.text() == value);
    CHECK(read->unit == "1");
  }
  CHECK(parseMeasure("0.38").error().code == "unit.missing");
  CHECK(parseMeasure(" 1").error().code == "unit.missing");
  CHECK(parseMeasure("1 001 N")->value.text() == "1001");
}

TEST_CASE("a number without a unit is a fault where one is expected, a share in percent too") {
  const Measure plain{*Decimal::parse("2"), "1"};
  CHECK_FALSE(plainNumberFault(plain, "1"));
  CHECK_FALSE(plainNumberFault({*Decimal::parse("2"), "%"}, "%"));
  for (const char* unit : {"%", "N", "mm", "N/cm2"})
    CHECK(plainNumberFault(plain, unit)->code == "unit.missing");
}
