/// Is a run of results still what it was? Charts of individual results, signs of a special cause,
/// and two ways to see a slow drift while every result is inside its limits.
///
/// Formula      individuals: centre x̄; σ = MR̄/1.128379, MR the moving range of two; limits
///              x̄ ± 3 σ
///              weighted mean: z_t = λ·x_t + (1 − λ)·z_(t−1), z_0 = target; limits
///              target ± L·σ·√(λ/(2 − λ)·(1 − (1 − λ)^(2t)))
///              cumulative sum: C⁺_t = max(0, C⁺_(t−1) + x_t − target − k·σ), C⁻ mirrored; a sign
///              when either is above h·σ; the shift is then about target ± (k·σ + C/N), N the
///              results since that sum was last nothing
///              signs, of results z = (x − centre)/σ: see RunTest
/// Symbols      x results in the order of their making, in one unit; λ weight, 0 < λ ≤ 1; L, k, h
///              in standard deviations, above 0
/// Valid        results independent of one another and nearly normal. Centre and σ from fewer than
///              some twenty results are themselves uncertain and give more false signs. A sign asks
///              for a cause; it is no verdict. Signs are not for the weighted mean or the sums,
///              whose neighbours depend on each other.
/// Uncertainty  does not apply
/// Source       NIST/SEMATECH e-Handbook 6.3.2.2 to 6.3.2.4, values through copies of the pages;
///              L. S. Nelson, Journal of Quality Technology 16 (1984) 237, the list through a copy.
///              A result on the centre line ends a run, equal neighbours end a trend, "beyond" is
///              strict, and the newest result is one of those that are beyond: texts differ
/// Errors       chart.few, chart.not_finite, chart.spread, chart.weight, chart.factor
/// Pure.
#pragma once

#include <array>
#include <cstddef>
#include <optional>
#include <span>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::statistics {

inline constexpr int control_chart_version = 1;

struct Individuals {
  double centre = 0;
  double moving_range = 0;  ///< mean of the ranges of two neighbours
  double sigma = 0;
  double lower = 0, upper = 0;
};
/// From 2 results, not all the same.
[[nodiscard]] Result<Individuals> individuals(std::span<const double> results);

/// Nelson's tests by their numbers, less one.
enum class RunTest {
  beyond_three,     ///< one beyond 3 σ
  nine_one_side,    ///< nine in a row on one side of the centre
  six_trending,     ///< six in a row, each above or each below the one before
  fourteen_to_fro,  ///< fourteen in a row, up and down by turns
  two_beyond_two,   ///< two of three beyond 2 σ on one side
  four_beyond_one,  ///< four of five beyond 1 σ on one side
  fifteen_within,   ///< fifteen in a row within 1 σ
  eight_without     ///< eight in a row none within 1 σ, on both sides
};
inline constexpr std::size_t run_tests = 8;
/// The first result, 0-based, with which each test is met; nothing where none is.
using RunSigns = std::array<std::optional<std::size_t>, run_tests>;
[[nodiscard]] Result<RunSigns> runSigns(std::span<const double> results, double centre,
                                        double sigma);

struct WeightedMean {
  std::vector<double> value;         ///< one for each result
  std::vector<double> lower, upper;  ///< limits at each result
  std::optional<std::size_t> sign;   ///< first outside its limits
};
[[nodiscard]] Result<WeightedMean> weightedMean(std::span<const double> results, double target,
                                                double sigma, double weight, double factor);

struct CumulativeSum {
  std::vector<double> above, below;  ///< C⁺ and C⁻, one for each result
  std::optional<std::size_t> sign;   ///< first result with which a sum is above h·σ
  bool standing = false;             ///< a sum is above h·σ with the newest result
  double shift = 0;                  ///< of the newest results from the target, where it stands
  std::size_t since = 0;             ///< the first of those results
};
[[nodiscard]] Result<CumulativeSum> cumulativeSum(std::span<const double> results, double target,
                                                  double sigma, double allowance, double decision);

}  // namespace platemark::method::statistics
