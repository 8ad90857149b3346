/// Where the bytes of an instrument's file come from: the seam of this room.
#pragma once

#include <cstdint>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "platemark/quantity/result.h"

namespace platemark::intake {

/// Bytes that can be read from any place. A reader may call read() from
/// several threads at once; nothing else is shared.
class ByteSource {
 public:
  virtual ~ByteSource() = default;
  /// File name as the person knows it; stands in every error.
  [[nodiscard]] virtual std::string name() const = 0;
  /// Bytes in all; empty when that is not known beforehand.
  [[nodiscard]] virtual std::optional<std::uint64_t> size() const = 0;
  /// Fills `into` from byte `offset`; fewer bytes than asked only at the end.
  /// Errors: intake.read_failed (Fault::environment).
  virtual Result<std::size_t> read(std::uint64_t offset, std::span<char> into) = 0;
};

/// Bytes that are already in memory; they must outlive the source.
class MemorySource final : public ByteSource {
 public:
  MemorySource(std::string name, std::string_view bytes) : name_(std::move(name)), bytes_(bytes) {}
  [[nodiscard]] std::string name() const override { return name_; }
  [[nodiscard]] std::optional<std::uint64_t> size() const override { return bytes_.size(); }
  Result<std::size_t> read(std::uint64_t offset, std::span<char> into) override;

 private:
  std::string name_;
  std::string_view bytes_;
};

/// Opens a file for reading. It is read, not mapped: a recorder that cuts the
/// file while we read gives a short file and not a crash.
/// Errors: intake.cannot_open, intake.no_file (a folder or device).
[[nodiscard]] Result<std::unique_ptr<ByteSource>> openFile(const std::string& path);

}  // namespace platemark::intake
