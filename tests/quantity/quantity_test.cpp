#include "platemark/quantity/quantity.h"

#include <doctest/doctest.h>

#include "platemark/quantity/measure.h"

using namespace platemark;

TEST_CASE("A force over an area is a pressure in any named unit") {
  const Pressure tau = Force::of(27400, unit::newton) / Area::of(47.2, unit::square_centimetre);
  CHECK(tau.in(unit::newton_per_square_centimetre) == doctest::Approx(580.508).epsilon(1e-6));
  CHECK(tau.in(unit::megapascal) == doctest::Approx(5.80508).epsilon(1e-6));
  CHECK(tau.in(unit::bar) == doctest::Approx(58.0508).epsilon(1e-6));
}

TEST_CASE("Temperature points subtract to differences") {
  const auto a = TemperaturePoint::of(180, scale::celsius);
  const auto b = TemperaturePoint::of(329, scale::fahrenheit);
  CHECK((a - b).in(unit::kelvin) == doctest::Approx(15.0));
  CHECK((b + TemperatureDifference::of(15, unit::kelvin)).in(scale::celsius) == doctest::Approx(180));
}

TEST_CASE("A measure of the wrong kind is refused with both kinds named") {
  const Result<Force> force = forceFrom({*Decimal::parse("31.5"), "bar"});
  REQUIRE_FALSE(force);
  CHECK(force.error().code == "unit.wrong_kind");
  CHECK(force.error().what.find("is a pressure; a force is needed") != std::string::npos);
}

TEST_CASE("Measures are read as people write them") {
  CHECK(parseMeasure("27 400 N")->unit == "N");
  CHECK(parseMeasure("27 400 N")->value.text() == "27400");
  CHECK(parseMeasure("2,18 g/cm3")->value.text() == "2.18");
  CHECK(parseMeasure("421 N/cm²")->unit == "N/cm2");
  CHECK(parseMeasure("180°C")->unit == "Cel");
  CHECK(parseMeasure("-12.0 µm")->value.text() == "-12.0");
  CHECK(parseMeasure("2.180", "g/cm3")->unit == "g/cm3");
  CHECK(parseMeasure("12").error().code == "unit.missing");
  CHECK(parseMeasure("12 furlong").error().code == "unit.unknown");
  CHECK(format(*parseMeasure("27400 N")) == "27\xE2\x80\x89" "400\xC2\xA0N");
}

TEST_CASE("Every unit is found by its code and by its symbol") {
  for (const UnitRow& row : unitRows()) {
    CHECK(findUnit(row.code)->code == row.code);
    if (!row.symbol.empty()) CHECK(findUnit(row.symbol)->code == row.code);
  }
}
