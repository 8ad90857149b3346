#include "platemark/method/friction/letters.h"

#include <fmt/format.h>

#include <array>

#include "../bad_input.h"

namespace platemark::method::friction {
namespace {

constexpr double highest_plausible = 2;
constexpr double rounding = 1e-9;

struct Bound {
  double upper;
  char letter;
};
constexpr std::array bounds{Bound{0.15, 'C'}, Bound{0.25, 'D'}, Bound{0.35, 'E'}, Bound{0.45, 'F'},
                            Bound{0.55, 'G'}};

Result<void> checkCoefficient(Share coefficient, std::string field) {
  const double value = coefficient.in(unit::one);
  if (value > 0 && value <= highest_plausible) return {};
  return badInput("friction.coefficient_out_of_range", std::move(field),
                  fmt::format("A coefficient of friction of {:g}.", value), "above 0, at most 2",
                  "Check the reading; 38 % is written 0.38 or with its %.");
}

Result<Share> meanOf(std::span<const Share> readings, const char* name) {
  if (readings.empty())
    return badInput("friction.no_reading", name, fmt::format("There is no {} reading.", name),
                    "one reading or more", "Enter the readings.");
  Share sum;
  for (std::size_t i = 0; i < readings.size(); ++i) {
    if (Result<void> ok = checkCoefficient(readings[i], fmt::format("{}[{}]", name, i)); !ok)
      return ok.error();
    sum = sum + readings[i];
  }
  return sum / static_cast<double>(readings.size());
}

}  // namespace

Result<char> frictionLetter(Share coefficient) {
  if (Result<void> ok = checkCoefficient(coefficient, "coefficient"); !ok) return ok.error();
  for (const Bound& bound : bounds)
    if (coefficient.in(unit::one) <= bound.upper + rounding) return bound.letter;
  return 'H';
}

Result<FrictionCode> frictionCode(std::span<const Share> normal, std::span<const Share> hot) {
  const Result<Share> normal_mean = meanOf(normal, "normal");
  if (!normal_mean) return normal_mean.error();
  const Result<Share> hot_mean = meanOf(hot, "hot");
  if (!hot_mean) return hot_mean.error();
  FrictionCode code{*normal_mean, *hot_mean, "", normal.size() == 4 && hot.size() == 10};
  for (const Share mean : {code.normal, code.hot}) {
    const Result<char> letter = frictionLetter(mean);
    if (!letter) return letter.error();
    code.letters += *letter;
  }
  return code;
}

}  // namespace platemark::method::friction
