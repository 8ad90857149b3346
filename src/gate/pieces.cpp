/// Which pieces of a finishing operation were measured: first, last, every so many.
#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <charconv>
#include <set>

#include "findings.h"
#include "platemark/gate/counts.h"
#include "platemark/gate/disposition.h"

namespace platemark::gate {
namespace {

/// Pieces that went through the operation, good or not.
std::int64_t piecesThrough(const BatchFile& file, const std::string& operation) {
  for (const StepTotal& total : stepTotals(file.batch, file.dispositions))
    if (total.step == Step::finish && total.operation == operation) return total.out;
  return 0;
}

std::optional<std::int64_t> pieceNamed(const std::string& sample) {
  std::int64_t piece = 0;
  const auto [end, fault] = std::from_chars(sample.data(), sample.data() + sample.size(), piece);
  const bool whole = fault == std::errc() && end == sample.data() + sample.size();
  return whole ? std::optional(piece) : std::nullopt;
}

bool holds(const Evidence& evidence, const PlanLine& line) {
  return evidence.method == line.method && evidence.characteristic == line.characteristic &&
         !evidence.corrected_by && evidence.doubts.empty() &&
         std::any_of(evidence.values.begin(), evidence.values.end(),
                     [&](const FigureValue& v) { return v.name == line.output && v.determined; });
}

/// Numbers of the pieces measured, of those that went through.
std::set<std::int64_t> measuredPieces(const BatchFile& file, const PlanLine& line,
                                      std::int64_t through) {
  std::set<std::int64_t> pieces;
  for (const Evidence& evidence : file.batch.evidence) {
    if (!holds(evidence, line) || madeOldBy(evidence, line.characteristic, file.dispositions))
      continue;
    const std::optional<std::int64_t> piece = pieceNamed(evidence.sample);
    if (piece && *piece >= 1 && *piece <= through) pieces.insert(*piece);
  }
  return pieces;
}

std::string stretch(std::int64_t from, std::int64_t to) {
  return from == to ? fmt::format("piece {}", from)
                    : fmt::format("one of pieces {} to {}", from, to);
}

std::vector<std::string> notMeasured(const PieceSampling& asked,
                                     const std::set<std::int64_t>& measured, std::int64_t through) {
  std::vector<std::string> missing;
  if (asked.first_and_last && !measured.contains(1)) missing.push_back("the first piece");
  std::int64_t before = 0;
  for (const std::int64_t piece : measured) {
    if (asked.every && piece - before > *asked.every)
      missing.push_back(stretch(before + 1, piece - 1));
    before = piece;
  }
  if (asked.every && through + 1 - before > *asked.every)
    missing.push_back(stretch(before + 1, through));
  if (asked.first_and_last && !measured.contains(through))
    missing.push_back(fmt::format("the last piece ({})", through));
  return missing;
}

std::string askedWords(const PieceSampling& asked) {
  std::vector<std::string> words;
  if (asked.first_and_last) words.push_back("the first and the last piece");
  if (asked.every) words.push_back(fmt::format("one of every {}", *asked.every));
  return fmt::format("{}", fmt::join(words, " and "));
}

Finding pieceFinding(const BatchFile& file, const PlanLine& line) {
  const PieceSampling& asked = *line.pieces;
  const auto finding = [&](FindingWord word, const std::string& sentence) {
    return requirement(line.characteristic, line.words, word, line.words + ": " + sentence,
                       word == FindingWord::inside ? "" : line.who);
  };
  const std::int64_t through = piecesThrough(file, asked.operation);
  if (through == 0)
    return finding(FindingWord::missing,
                   fmt::format("no piece of '{}' is on record.", asked.operation));
  const std::set<std::int64_t> measured = measuredPieces(file, line, through);
  const std::vector<std::string> missing = notMeasured(asked, measured, through);
  if (missing.empty())
    return finding(FindingWord::inside,
                   fmt::format("{} of {} pieces of '{}' {} measured, as asked.", measured.size(),
                               through, asked.operation, measured.size() == 1 ? "is" : "are"));
  return finding(
      FindingWord::missing,
      fmt::format("{} of {} pieces of '{}' are asked; not measured: {}.", askedWords(asked),
                  through, asked.operation, fmt::join(missing, ", ")));
}

}  // namespace

std::vector<Finding> pieceFindings(const BatchFile& file) {
  std::vector<Finding> findings;
  for (const PlanLine& line : file.plan.lines)
    if (line.gate == Gate::final && line.pieces) findings.push_back(pieceFinding(file, line));
  return findings;
}

}  // namespace platemark::gate
