#include "platemark/method/gauge/agreement.h"

#include <fmt/format.h>

#include <cmath>
#include <map>
#include <numeric>

#include "../bad_input.h"

namespace platemark::method::gauge {
namespace {

Error emptyError() {
  return badInput("agreement.empty", "parts", "No part was sorted.", "one part or more");
}

Error oneClassError() {
  return badInput("agreement.one_class", "classes", "Everybody used one class only.",
                  "parts of at least two classes", "Take good and bad parts into the study.");
}

Result<void> checkPair(std::size_t first, std::size_t second) {
  if (first == 0) return emptyError();
  if (first == second) return {};
  return badInput("agreement.count", "second",
                  fmt::format("{} parts by the first, {} by the second.", first, second),
                  "the same parts in the same order");
}

struct Shares {
  std::map<int, double> first, second;
};

Shares sharesOf(std::span<const int> first, std::span<const int> second) {
  Shares shares;
  const double each = 1 / static_cast<double>(first.size());
  for (const int k : first) shares.first[k] += each;
  for (const int k : second) shares.second[k] += each;
  return shares;
}

double shareOf(const std::map<int, double>& shares, int k) {
  const auto found = shares.find(k);
  return found == shares.end() ? 0 : found->second;
}

double chanceOf(const Shares& shares) {
  double sum = 0;
  for (const auto& [k, share] : shares.first) sum += share * shareOf(shares.second, k);
  return sum;
}

double agreedOf(std::span<const int> first, std::span<const int> second) {
  double same = 0;
  for (std::size_t i = 0; i < first.size(); ++i) same += first[i] == second[i] ? 1 : 0;
  return same / static_cast<double>(first.size());
}

/// Large-sample standard error of Cohen's κ as it stands, from the single parts.
double cohenError(std::span<const int> first, std::span<const int> second, const Shares& shares,
                  const Kappa& k) {
  const double n = static_cast<double>(first.size()), left = 1 - k.by_chance;
  double squares = 0;
  for (std::size_t i = 0; i < first.size(); ++i) {
    // The column's share of the first one's class and the row's share of the second one's.
    const double sum = shareOf(shares.second, first[i]) + shareOf(shares.first, second[i]);
    const double same = first[i] == second[i] ? 1 : 0;
    const double term = same * left - sum * (1 - k.agreed);
    squares += term * term / n;
  }
  const double centre = k.agreed * k.by_chance - 2 * k.by_chance + k.agreed;
  return std::sqrt(std::max(0.0, squares - centre * centre) / n) / (left * left);
}

Result<int> peopleOf(const std::vector<std::vector<int>>& counts) {
  if (counts.empty() || counts.front().empty()) return emptyError();
  const int people = std::accumulate(counts.front().begin(), counts.front().end(), 0);
  for (std::size_t i = 0; i < counts.size(); ++i) {
    const std::string field = fmt::format("counts[{}]", i);
    if (counts[i].size() != counts.front().size())
      return badInput("agreement.count", field,
                      fmt::format("Part {} has {} classes, the first has {}.", i + 1,
                                  counts[i].size(), counts.front().size()),
                      "a count for each class");
    for (const int n : counts[i])
      if (n < 0)
        return badInput("agreement.negative_count", field, fmt::format("A count is {}.", n),
                        "0 or more");
    const int sum = std::accumulate(counts[i].begin(), counts[i].end(), 0);
    if (sum != people || people < 2)
      return badInput(
          "agreement.people", field,
          fmt::format("Part {} was sorted by {} people, the first by {}.", i + 1, sum, people),
          "each part by the same 2 or more people");
  }
  return people;
}

double pairsAgreed(const std::vector<int>& counts, int people) {
  double same = 0;
  for (const int n : counts) same += static_cast<double>(n) * (n - 1);
  return same / (static_cast<double>(people) * (people - 1));
}

std::vector<double> classShares(const std::vector<std::vector<int>>& counts, int people) {
  std::vector<double> shares(counts.front().size(), 0);
  const double all = static_cast<double>(counts.size()) * people;
  for (const std::vector<int>& part : counts)
    for (std::size_t k = 0; k < part.size(); ++k) shares[k] += part[k] / all;
  return shares;
}

double fleissError(const std::vector<double>& shares, double parts, double people) {
  double spread = 0, skew = 0;
  for (const double q : shares) {
    spread += q * (1 - q);
    skew += q * (1 - q) * (1 - 2 * q);
  }
  return std::sqrt(2 * (spread * spread - skew) / (parts * people * (people - 1))) / spread;
}

}  // namespace

Result<Kappa> cohenKappa(std::span<const int> first, std::span<const int> second) {
  if (Result<void> checked = checkPair(first.size(), second.size()); !checked)
    return checked.error();
  const Shares shares = sharesOf(first, second);
  Kappa found{0, agreedOf(first, second), chanceOf(shares), 0};
  if (shares.first.size() == 1 && shares.second.size() == 1 && found.agreed == 1)
    return oneClassError();
  found.kappa = (found.agreed - found.by_chance) / (1 - found.by_chance);
  found.standard_error = cohenError(first, second, shares, found);
  return found;
}

Result<Kappa> fleissKappa(const std::vector<std::vector<int>>& counts) {
  const Result<int> people = peopleOf(counts);
  if (!people) return people.error();
  const std::vector<double> shares = classShares(counts, *people);
  Kappa found;
  for (const std::vector<int>& part : counts)
    found.agreed += pairsAgreed(part, *people) / static_cast<double>(counts.size());
  int used = 0;
  for (const double q : shares) {
    found.by_chance += q * q;
    used += q > 0 ? 1 : 0;
  }
  if (used < 2) return oneClassError();
  found.kappa = (found.agreed - found.by_chance) / (1 - found.by_chance);
  found.standard_error = fleissError(shares, static_cast<double>(counts.size()), *people);
  return found;
}

Result<SortedRight> sortedRight(const std::vector<bool>& answers, const std::vector<bool>& known) {
  if (Result<void> checked = checkPair(answers.size(), known.size()); !checked)
    return checked.error();
  double right = 0, bad = 0, missed = 0, alarms = 0;
  for (std::size_t i = 0; i < known.size(); ++i) {
    right += answers[i] == known[i] ? 1 : 0;
    bad += known[i] ? 0 : 1;
    missed += !known[i] && answers[i] ? 1 : 0;
    alarms += known[i] && !answers[i] ? 1 : 0;
  }
  const double all = static_cast<double>(known.size()), good = all - bad;
  SortedRight found{right / all, {}, {}};
  if (bad > 0) found.missed = missed / bad;
  if (good > 0) found.false_alarms = alarms / good;
  return found;
}

}  // namespace platemark::method::gauge
