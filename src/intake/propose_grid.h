/// The sample a proposal is made from, and its steps.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "platemark/intake/propose.h"

namespace platemark::intake {

struct Grid {
  Proposal proposal;
  std::vector<std::string> lines;              ///< UTF-8, whole lines only
  std::vector<std::vector<std::string>> rows;  ///< cells of the lines that hold data
  std::vector<std::string> titles;             ///< cells of the header line
  std::vector<std::string> units;              ///< cells of the unit line

  FileLayout& layout() { return proposal.layout; }
  void guess(std::string about, std::string value, std::string reason, double confidence,
             std::vector<std::string> alternatives = {}) {
    proposal.guesses.push_back({std::move(about), std::move(value), std::move(reason), confidence,
                                std::move(alternatives)});
  }
  [[nodiscard]] std::size_t columnCount() const {
    return rows.empty() ? titles.size() : rows.front().size();
  }
  [[nodiscard]] std::string title(std::size_t i) const {
    return i < titles.size() ? titles[i] : std::string();
  }
};

/// A number with point or comma.
[[nodiscard]] bool isNumeric(const std::string& cell);
/// Some form of date, with or without clock, or a clock.
[[nodiscard]] bool isStampLike(const std::string& cell);

void guessTime(Grid& grid, std::string_view zone);
void guessColumns(Grid& grid);

}  // namespace platemark::intake
