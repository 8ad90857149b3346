/// Prints one SHA-256 over the digests of 1,000 simulated verdicts. Built by
/// several compilers at several levels: the line must be the same everywhere.
#include <cstdint>
#include <cstdio>

#include "../files.h"
#include "platemark/plant/digest.h"

namespace platemark::test {
namespace {

/// The 64-bit linear congruential generator of Knuth's MMIX: the same numbers in every library.
class Numbers {
 public:
  std::int64_t below(std::int64_t n) {
    state_ = state_ * 6364136223846793005ULL + 1442695040888963407ULL;
    return static_cast<std::int64_t>((state_ >> 33U) % static_cast<std::uint64_t>(n));
  }

 private:
  std::uint64_t state_ = 20260302;
};

Measure shearValue(Numbers& numbers) {
  const auto tenths = static_cast<double>(1500 + numbers.below(4000));
  if (numbers.below(3) == 0) return {Decimal::fromDouble(tenths / 1000.0 / 1.0001), "MPa"};
  return {Decimal::fromDouble(tenths / 10.0 / 1.0003), "N/cm2"};
}

Evidence result(Numbers& numbers, Sequence figure) {
  // One draw a statement: arguments are evaluated in the order each compiler likes.
  const Measure value = shearValue(numbers);
  Evidence e = shear(figure, value, std::to_string(numbers.below(6)));
  if (numbers.below(4) != 0) e.values.front().u = Measure{Decimal::fromDouble(static_cast<double>(numbers.below(300)) / 7.0), "N/cm2"};
  if (numbers.below(12) == 0) e.doubts = {"the gauge was out of calibration"};
  if (numbers.below(15) == 0) e.values.front().determined = false;
  return e;
}

PlanLine line(Numbers& numbers) {
  const Measure low{Decimal::fixed(static_cast<double>(150 + numbers.below(200)), 0), "N/cm2"};
  const Measure high{Decimal::fixed(static_cast<double>(400 + numbers.below(200)), 0), "N/cm2"};
  const bool two_sided = numbers.below(2) == 0;
  const bool confirmed = numbers.below(8) != 0;
  const auto statistic = static_cast<Statistic>(numbers.below(4));
  const std::int64_t samples = 1 + numbers.below(3);
  PlanLine made = shearLine(limit(low, two_sided ? std::optional(high) : std::nullopt, confirmed), statistic, samples);
  if (numbers.below(2) == 0) made.probability = dec(numbers.below(2) == 0 ? "0.95" : "0.9");
  made.gate = Gate::cure;
  return made;
}

VerdictGiven verdict(Numbers& numbers) {
  gate::BatchFile file = goodBatch();
  file.plan.lines = {line(numbers)};
  file.plan.lines.push_back(line(numbers));
  file.batch.evidence.clear();
  for (std::int64_t n = numbers.below(8); n > 0; --n) file.batch.evidence.push_back(result(numbers, 30 + n));
  file.mixes.front().weighings.front().mass.value = Decimal::fixed(8.9 + static_cast<double>(numbers.below(120)) / 1000.0, 3);
  if (numbers.below(9) == 0) file.lots.front().disposition = LotDisposition::refuse;
  return gate::judgeBatch(Gate::cure, file);
}

}  // namespace
}  // namespace platemark::test

int main() {
  using namespace platemark;
  test::Numbers numbers;
  std::string digests;
  std::size_t outcomes[3] = {};
  for (int i = 0; i < 1000; ++i) {
    const VerdictGiven given = test::verdict(numbers);
    digests += given.digest;
    ++outcomes[static_cast<std::size_t>(given.outcome)];
  }
  std::printf("%s %zu %zu %zu\n", sha256Hex(digests).c_str(), outcomes[0], outcomes[1], outcomes[2]);
}
