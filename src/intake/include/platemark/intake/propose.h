/// A layout proposed from the first bytes of a file, and what it would read.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "platemark/intake/layout.h"
#include "platemark/intake/series.h"

namespace platemark::intake {

/// One guess, in words for the person who confirms it.
struct Guess {
  std::string about;   ///< member path of the layout: "delimiter", "time.form", "columns[0].unit"
  std::string value;   ///< what is proposed
  std::string reason;  ///< what in the file speaks for it
  double confidence = 0;                  ///< 0 (no evidence) … 1 (nothing else fits)
  std::vector<std::string> alternatives;  ///< what fits as well: the person must choose
};

struct Proposal {
  FileLayout layout;
  std::vector<Guess> guesses;

  [[nodiscard]] const Guess* about(std::string_view member) const;
  /// Guesses that a person has to settle: with alternatives, or under 0.5.
  [[nodiscard]] std::vector<Guess> questions() const;
};

/// `first_bytes`: the beginning of the file, 64 KiB are plenty. `zone`: the
/// plant's zone; a file does not say which its clock shows.
/// Errors: intake.empty, intake.no_table.
[[nodiscard]] Result<Proposal> proposeLayout(std::string_view first_bytes, std::string_view zone,
                                             std::string_view file_name = "");

struct PreviewRow {
  std::int64_t line = 0;
  std::string text;  ///< as it stands in the file, UTF-8
  Instant time;
  std::vector<double> values;  ///< NaN: empty
};

struct Preview {
  std::vector<PreviewRow> rows;
  Series series;  ///< everything the bytes gave, with the report of skipped rows
};

/// What `layout` makes of the first bytes: up to `rows` rows. A last line that
/// the end of the bytes cuts is not counted. Errors: those of readSeries.
[[nodiscard]] Result<Preview> preview(const FileLayout& layout, std::string_view first_bytes,
                                      std::size_t rows = 20, std::string_view file_name = "");

}  // namespace platemark::intake
