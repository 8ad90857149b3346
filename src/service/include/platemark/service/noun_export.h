/// Everything that is issued, and the lots, as files in the very form that an import takes.
///
/// The issue of each noun that is in force today, in the order of their codes. What is not in it: the history (who
/// issued what, when and why; older issues; verdicts, readings, batches), attachments, and the keys
/// and names of people. A back-up holds those.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/service/house.h"

namespace platemark::service {

/// The kinds in the order in which an empty record can take them: a part comes after its plan.
[[nodiscard]] std::span<const std::string_view> importOrder();

/// All of one kind: a JSON list, or a CSV table whose titles are the members' paths. `format` is
/// "json" or "csv". Of lots what was received, with the use-by day that stands now; of people
/// everything but the key. Errors: noun.unknown_kind, noun.format.
[[nodiscard]] Result<std::string> exportKind(const House& house, const std::string& kind,
                                             const std::string& format);

struct ExportFile {
  std::string name;  ///< "03-material.csv": in the order of import
  std::string bytes;
};
/// One file for each kind of which there is anything. Errors: noun.format.
[[nodiscard]] Result<std::vector<ExportFile>> exportAll(const House& house,
                                                        const std::string& format);

/// A ZIP archive that holds the files as they are; the same files give the same bytes.
[[nodiscard]] std::string zipOf(const std::vector<ExportFile>& files);

}  // namespace platemark::service
