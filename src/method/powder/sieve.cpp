#include "platemark/method/powder/sieve.h"

#include <array>
#include <cmath>

namespace platemark::method::powder {
namespace {

Error inputError(std::string_view code, std::string what, std::string field) {
  Error error;
  error.code = "powder." + std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  return error;
}

Result<void> check(const SieveInput& in) {
  if (in.apertures.empty()) return inputError("empty", "A stack needs at least one sieve.", "apertures");
  if (in.apertures.size() != in.retained.size()) return inputError("sizes", "Each sieve needs its retained mass.", "retained");
  for (std::size_t i = 0; i < in.apertures.size(); ++i) {
    const std::string at = "[" + std::to_string(i) + "]";
    const bool falling = in.apertures[i] > Length{} && (i == 0 || in.apertures[i] < in.apertures[i - 1]);
    if (!falling) return inputError("not_falling", "Sieves are listed from coarse to fine, each once.", "apertures" + at);
    if (in.retained[i] < Mass{}) return inputError("negative", "A retained mass cannot be below zero.", "retained" + at);
  }
  if (in.pan < Mass{}) return inputError("negative", "The mass in the pan cannot be below zero.", "pan");
  if (!(in.initial > Mass{})) return inputError("no_mass", "The mass taken must be above zero.", "initial");
  return {};
}

constexpr std::array list{
    // ISO 3310-1:2016, principal series R 20/3 in the range of friction powders; read through an open library that quotes the standard.
    Sieve{"ISO 3310-1", "2016", "2 mm", 2000}, Sieve{"ISO 3310-1", "2016", "1.4 mm", 1400}, Sieve{"ISO 3310-1", "2016", "1 mm", 1000},
    Sieve{"ISO 3310-1", "2016", "710 µm", 710}, Sieve{"ISO 3310-1", "2016", "500 µm", 500}, Sieve{"ISO 3310-1", "2016", "355 µm", 355},
    Sieve{"ISO 3310-1", "2016", "250 µm", 250}, Sieve{"ISO 3310-1", "2016", "180 µm", 180}, Sieve{"ISO 3310-1", "2016", "125 µm", 125},
    Sieve{"ISO 3310-1", "2016", "90 µm", 90}, Sieve{"ISO 3310-1", "2016", "63 µm", 63}, Sieve{"ISO 3310-1", "2016", "45 µm", 45},
    // ASTM E11-17, same range; read through the same library.
    Sieve{"ASTM E11", "17", "No. 10", 2000}, Sieve{"ASTM E11", "17", "No. 12", 1700}, Sieve{"ASTM E11", "17", "No. 14", 1400}, Sieve{"ASTM E11", "17", "No. 16", 1180},
    Sieve{"ASTM E11", "17", "No. 18", 1000}, Sieve{"ASTM E11", "17", "No. 20", 850}, Sieve{"ASTM E11", "17", "No. 25", 710}, Sieve{"ASTM E11", "17", "No. 30", 600},
    Sieve{"ASTM E11", "17", "No. 35", 500}, Sieve{"ASTM E11", "17", "No. 40", 425}, Sieve{"ASTM E11", "17", "No. 45", 355}, Sieve{"ASTM E11", "17", "No. 50", 300},
    Sieve{"ASTM E11", "17", "No. 60", 250}, Sieve{"ASTM E11", "17", "No. 70", 212}, Sieve{"ASTM E11", "17", "No. 80", 180}, Sieve{"ASTM E11", "17", "No. 100", 150},
    Sieve{"ASTM E11", "17", "No. 120", 125}, Sieve{"ASTM E11", "17", "No. 140", 106}, Sieve{"ASTM E11", "17", "No. 170", 90}, Sieve{"ASTM E11", "17", "No. 200", 75},
    Sieve{"ASTM E11", "17", "No. 230", 63}, Sieve{"ASTM E11", "17", "No. 270", 53}, Sieve{"ASTM E11", "17", "No. 325", 45}, Sieve{"ASTM E11", "17", "No. 400", 38},
    Sieve{"ASTM E11", "17", "No. 450", 32}, Sieve{"ASTM E11", "17", "No. 500", 25}, Sieve{"ASTM E11", "17", "No. 635", 20},
};

/// log-linear between sieve b (coarser) and a (finer).
Length between(Length a, double passing_a, Length b, double passing_b, double p) {
  const double log_a = std::log(a.in(unit::metre)), log_b = std::log(b.in(unit::metre));
  return Length::of(std::exp(log_a + (log_b - log_a) * (p - passing_a) / (passing_b - passing_a)), unit::metre);
}

}  // namespace

Result<SieveResult> analyse(const SieveInput& in) {
  if (Result<void> sound = check(in); !sound) return sound.error();
  SieveResult result;
  result.recovered = in.pan;
  for (const Mass m : in.retained) result.recovered = result.recovered + m;
  if (!(result.recovered > Mass{})) return inputError("no_mass", "Nothing came out of the sieves.", "retained");
  result.loss = 100.0 * ((in.initial - result.recovered) / in.initial);
  const Mass denominator = in.denominator == Denominator::recovered ? result.recovered : in.initial;
  Mass cumulative;
  for (const Mass m : in.retained) {
    cumulative = cumulative + m;
    result.retained.push_back(100.0 * (m / denominator));
    result.passing.push_back(100.0 - 100.0 * (cumulative / denominator));
  }
  return result;
}

SizeAt sizeAt(const SieveResult& result, std::span<const Length> apertures, double p) {
  const std::vector<double>& passing = result.passing;
  if (p < passing.back()) return {SizeAt::Known::finer_than, apertures.back()};
  if (p > passing.front()) return {SizeAt::Known::coarser_than, apertures.front()};
  for (std::size_t fine = passing.size() - 1; fine > 0; --fine) {
    const double low = passing[fine], high = passing[fine - 1];
    if (p == low && low == high) return {SizeAt::Known::yes, apertures[fine], true};
    if (p >= low && p <= high && high > low) return {SizeAt::Known::yes, between(apertures[fine], low, apertures[fine - 1], high, p)};
  }
  return {SizeAt::Known::yes, apertures.front()};
}

std::span<const Sieve> sieves() { return list; }

const Sieve* findSieve(std::string_view standard, std::string_view edition, std::string_view designation) {
  for (const Sieve& sieve : list)
    if (sieve.standard == standard && sieve.edition == edition && sieve.designation == designation) return &sieve;
  return nullptr;
}

}  // namespace platemark::method::powder
