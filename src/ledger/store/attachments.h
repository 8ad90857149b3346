/// Attachments by the SHA-256 of their bytes: a folder of files, or memory.
#pragma once

#include <memory>
#include <string>

#include "platemark/ledger/files.h"
#include "platemark/ledger/store.h"

namespace platemark::ledger {

/// Tells the store of a finished attachment; on failure nothing is kept.
using Registrar = std::function<Result<void>(const Attachment&)>;

/// <folder>/ab/<hash>. Written as a temporary file, synced, renamed, the folder synced.
[[nodiscard]] std::unique_ptr<AttachmentSink> fileSink(const std::string& folder,
                                                       std::shared_ptr<Files> files,
                                                       Registrar registrar);
/// Where attachments lie while they arrive; what a crash left there is removed when the record is
/// opened.
[[nodiscard]] std::string incomingFolder(const std::string& folder);
[[nodiscard]] std::string attachmentFile(const std::string& folder, std::string_view hash);
/// What is wrong with the file of this attachment, or "".
[[nodiscard]] std::string attachmentFileFault(const std::string& folder, std::string_view hash);
/// A whole file as text. Errors: file.cannot_read.
[[nodiscard]] Result<std::string> readWhole(const std::string& file);

}  // namespace platemark::ledger
