/// The seam to the file system: what an attachment needs to become durable.
#pragma once

#include <cstddef>
#include <memory>
#include <span>
#include <string>

#include "platemark/quantity/result.h"

namespace platemark::ledger {

class Files {
 public:
  virtual ~Files() = default;
  /// A file open for writing; closed when destroyed.
  class Open {
   public:
    virtual ~Open() = default;
    [[nodiscard]] virtual Result<void> write(std::span<const std::byte> bytes) = 0;
    [[nodiscard]] virtual Result<void> sync() = 0;
  };
  [[nodiscard]] virtual Result<std::unique_ptr<Open>> create(const std::string& path) = 0;
  [[nodiscard]] virtual Result<void> rename(const std::string& from, const std::string& to) = 0;
  [[nodiscard]] virtual Result<void> syncFolder(const std::string& folder) = 0;
  /// Makes a file durable that somebody else wrote.
  [[nodiscard]] virtual Result<void> sync(const std::string& path) = 0;
  virtual void remove(const std::string& path) = 0;
  /// Removes the files in a folder that no program is writing any more; of create() alone.
  virtual void removeAbandoned(const std::string& folder) = 0;
};

[[nodiscard]] std::shared_ptr<Files> systemFiles();

}  // namespace platemark::ledger
