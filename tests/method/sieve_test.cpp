#include "platemark/method/powder/sieve.h"

#include <limits>
#include <numeric>

#include "platemark/method/powder/sieve_series.h"
#include "support/catalogue_cases.h"
#include "support/property.h"

using namespace platemark;
using namespace platemark::method;
using platemark::test::drawn;
using platemark::test::holds;
using platemark::test::near;

namespace {

/// A stack of one to eight sieves with something on them.
Sieving drawnSieving() {
  Sieving sieving;
  double aperture = 4000;
  const int sieves = *rc::gen::inRange(1, 9);
  for (int i = 0; i < sieves; ++i) {
    sieving.apertures.push_back(Length::of(aperture, unit::micrometre));
    sieving.retained.push_back(Mass::of(drawn(0, 10000, 0.01), unit::gram));
    aperture *= drawn(30, 90, 0.01);
  }
  sieving.pan = Mass::of(drawn(1, 10000, 0.01), unit::gram);
  sieving.initial = Mass::of(drawn(1, 100000, 0.01), unit::gram);
  return sieving;
}

Share percent(double value) { return Share::of(value, unit::percent); }

}  // namespace

TEST_CASE("Sieve analyses agree with the examples") { test::checkCases("method/cases/sieve.csv"); }

TEST_CASE("Shares passing fall from coarse to fine and lie between 0 and 1") {
  holds("passing falls", [] {
    const auto analysis = sieveAnalysis(drawnSieving());
    RC_ASSERT(static_cast<bool>(analysis));
    double last = 1;
    for (const SieveRow& row : analysis->rows) {
      const double passing = row.passing.in(unit::one);
      RC_ASSERT(passing <= last && passing >= -1e-12);
      last = passing;
    }
  });
}

TEST_CASE("A larger share passes at a size not smaller") {
  holds("sizes rise with the share", [] {
    const auto analysis = sieveAnalysis(drawnSieving());
    const double low = drawn(1, 98, 1), high = drawn(static_cast<int>(low) + 1, 99, 1);
    RC_ASSERT(passingSize(*analysis, percent(low))->size <=
              passingSize(*analysis, percent(high))->size);
  });
}

TEST_CASE(
    "A share that sieves pass exactly gives the finest of them, whatever binary sums leave over") {
  holds("exact shares", [] {
    // Whole hundredths of a gram: `above` and `below` part at the share exactly.
    const int twentieths = *rc::gen::inRange(1, 20), scale = *rc::gen::inRange(1, 50);
    const int above = (20 - twentieths) * scale, below = twentieths * scale;
    const int first = *rc::gen::inRange(0, above), under = *rc::gen::inRange(1, below + 1);
    const int empty_sieves = *rc::gen::inRange(0, 3);
    std::vector<int> on{first, above - first};
    on.insert(on.end(), static_cast<std::size_t>(empty_sieves), 0);
    on.push_back(under);
    Sieving sieving;
    for (std::size_t i = 0; i < on.size(); ++i) {
      sieving.apertures.push_back(Length::of(500.0 / (1 << i), unit::micrometre));
      sieving.retained.push_back(Mass::of(0.01 * on[i], unit::gram));
    }
    sieving.pan = Mass::of(0.01 * (below - under), unit::gram);
    sieving.initial = Mass::of(0.01 * (above + below), unit::gram);
    const auto size = passingSize(*sieveAnalysis(sieving), percent(5 * twentieths));
    RC_ASSERT(size->size == sieving.apertures[on.size() - 2]);
    RC_ASSERT(size->kind == (empty_sieves > 0 ? SizeKind::plateau : SizeKind::interpolated));
  });
}

TEST_CASE("An interpolated size lies between two neighbouring sieves that bracket the share") {
  holds("bracketed", [] {
    const auto analysis = sieveAnalysis(drawnSieving());
    const Share share = percent(drawn(1, 99, 1));
    const auto size = passingSize(*analysis, share);
    if (size->kind != SizeKind::interpolated) return;
    for (const SieveRow& row : analysis->rows) {
      if (row.aperture.in(unit::micrometre) > size->size.in(unit::micrometre) * (1 + 1e-12))
        RC_ASSERT(row.passing >= share);
      if (row.aperture.in(unit::micrometre) < size->size.in(unit::micrometre) * (1 - 1e-12))
        RC_ASSERT(row.passing <= share);
    }
  });
}

TEST_CASE("Masses in another unit give the same shares and sizes") {
  holds("unit of mass does not matter", [] {
    const Sieving grams = drawnSieving();
    Sieving scaled = grams;
    for (Mass& mass : scaled.retained) mass = mass * 1000;
    scaled.pan = scaled.pan * 1000;
    scaled.initial = scaled.initial * 1000;
    const auto a = sieveAnalysis(grams), b = sieveAnalysis(scaled);
    RC_ASSERT(std::abs(a->loss.in(unit::one)-b->loss.in(unit::one)) <
              1e-9 * (1 + std::abs(a->loss.in(unit::one))));
    for (std::size_t i = 0; i < a->rows.size(); ++i)
      RC_ASSERT(std::abs(a->rows[i].passing.in(unit::one)-b->rows[i].passing.in(unit::one)) <
                1e-12);
  });
}

TEST_CASE("A share at or beyond the ends is refused, and so is what is not a number") {
  const auto analysis = sieveAnalysis({{Length::of(90, unit::micrometre)},
                                       {Mass::of(1, unit::gram)},
                                       Mass::of(1, unit::gram),
                                       Mass::of(2, unit::gram)});
  REQUIRE(analysis);
  for (const double share : {0.0, 100.0, -1.0, std::numeric_limits<double>::quiet_NaN()})
    CHECK(passingSize(*analysis, percent(share)).error().code == "sieve.share");
  CHECK(passingSize({}, percent(50)).error().code == "sieve.no_sieves");
  const Mass no_number = Mass::of(std::numeric_limits<double>::quiet_NaN(), unit::gram);
  CHECK(sieveAnalysis(
            {{Length::of(90, unit::micrometre)}, {no_number}, Mass(), Mass::of(2, unit::gram)})
            .error()
            .code == "sieve.mass");
  CHECK(sieveAnalysis({}).error().code == "sieve.no_sieves");
}

TEST_CASE("A share passed by three sieves gives the finest of them, flagged") {
  const auto um = unit::micrometre;
  const auto g = unit::gram;
  const auto analysis =
      sieveAnalysis({{Length::of(500, um), Length::of(250, um), Length::of(125, um)},
                     {Mass::of(2, g), Mass(), Mass()},
                     Mass::of(2, g),
                     Mass::of(4, g)});
  const auto size = passingSize(*analysis, percent(50));
  CHECK(size->kind == SizeKind::plateau);
  CHECK(size->size.in(um) == doctest::Approx(125));
}

TEST_CASE("The catalogue says what a bound means and flags a plateau") {
  const catalogue::Entry* entry = catalogue::find("powder.sieve");
  REQUIRE(entry != nullptr);
  catalogue::Inputs inputs;
  for (const auto& [name, text] : {std::pair{"apertures", "500 250 125 um"},
                                   {"retained", "50 0 30 g"},
                                   {"pan", "20 g"},
                                   {"initial", "100 g"}})
    test::addInput(inputs, name, text);
  const auto evaluation = catalogue::evaluate(*entry, inputs);
  REQUIRE(evaluation);
  CHECK(evaluation->notes.size() == 1);
  const auto* d10 = test::outputNamed(*evaluation, "d10");
  CHECK_FALSE(d10->determined);
  CHECK(d10->why == "finer than 125 µm");
  CHECK(d10->value.value.value() == doctest::Approx(125));
}

TEST_CASE("Sieve series hold what the standards list") {
  // Count and sum of the openings of ASTM E11-17 as published: 56 sieves, 987.644 mm.
  double sum = 0;
  int count = 0;
  for (const SieveDesignation& sieve : sieveDesignations()) {
    if (sieve.edition != "ASTM E11-17") continue;
    sum += sieve.aperture.in(unit::millimetre);
    ++count;
  }
  CHECK(count == 56);
  CHECK(sum == doctest::Approx(987.644).epsilon(1e-12));
  const auto falling = [](const SieveDesignation& a, const SieveDesignation& b) {
    return a.edition == b.edition && a.aperture <= b.aperture;
  };
  const auto sieves = sieveDesignations();
  CHECK(std::adjacent_find(sieves.begin(), sieves.end(), falling) == sieves.end());
}

TEST_CASE("A sieve is known by designation and edition together") {
  const auto sizeOf = [](const char* designation, const char* edition) {
    return standardSieve(designation, edition)->aperture.in(unit::micrometre);
  };
  CHECK(sizeOf("No. 200", "ASTM E11-17") == doctest::Approx(75));
  CHECK(sizeOf("No. 325", "ASTM E11-17") == doctest::Approx(45));
  CHECK(sizeOf("1/4 in", "ASTM E11-17") == doctest::Approx(6300));
  CHECK(sizeOf("63 µm", "ISO 3310-1:2016") == doctest::Approx(63));
  CHECK(standardSieve("74 µm", "ISO 3310-1:2016").error().code == "sieve.unknown_designation");
  CHECK(standardSieve("No. 200", "ASTM E11-61").error().code == "sieve.unknown_edition");
}
