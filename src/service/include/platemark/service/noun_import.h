/// Nouns and lots from a file: previewed row by row, kept all or not at all.
#pragma once

#include <string>

#include "platemark/service/house.h"

namespace platemark::service {

struct NounFile {
  std::string kind;    ///< "gauge", or "lot", which is received
  std::string format;  ///< "json" (one object or a list) or "csv" (member paths as titles:
                       ///< "target_density", "source.document")
  std::string bytes;
  std::string token;
  PersonNumber person = 0;
};

/// {rows:[{row, code, word, words, problem?}], recordable, wrong}. Errors: noun.unknown_kind,
/// json.*, table.*.
[[nodiscard]] Result<Value> previewNouns(House& house, const NounFile& file);
/// The same with `done`; nothing is kept when one row is wrong.
[[nodiscard]] Result<Value> importNouns(House& house, const NounFile& file);
}  // namespace platemark::service
