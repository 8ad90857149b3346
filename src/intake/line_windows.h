/// A file in windows of whole lines, one in memory at a time.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

#include "head.h"

namespace platemark::intake {

inline constexpr std::size_t longest_line = 1u << 20;
/// Bytes behind a window's lines that may be read (not relied on).
inline constexpr std::size_t window_padding = 64;

class LineWindows {
 public:
  LineWindows(ByteSource& source, const Head& head, const Limits& limits,
              bool last_line_may_lack_end);

  /// Moves to the next window; false at the end of the file. Errors:
  /// intake.read_failed, intake.too_large, intake.line_too_long (without its line).
  Result<bool> next();
  /// Whole lines, each with its '\n'.
  [[nodiscard]] std::string_view lines() const { return {buffer_.data(), whole_}; }
  /// After the end: the last line when it lacks its end and was left out.
  [[nodiscard]] std::string_view cutLine() const { return cut_; }
  /// The last line lacked its end and was read all the same.
  [[nodiscard]] bool endSupplied() const { return end_supplied_; }
  [[nodiscard]] std::uint64_t bytesRead() const { return offset_; }

 private:
  Result<bool> load();
  Result<std::size_t> readBlock(char* into);
  Result<std::size_t> readParts(char* into, std::size_t bytes);
  void closeFile();
  void reserve(std::size_t bytes);

  ByteSource& source_;
  const Head& head_;
  const Limits& limits_;
  bool may_lack_end_;
  std::size_t block_;
  std::vector<char> buffer_;
  std::string wide_, narrow_;
  char16_t pending_ = 0;
  std::uint64_t offset_ = 0;
  std::size_t filled_ = 0;
  std::size_t whole_ = 0;
  std::size_t scanned_ = 0;  ///< bytes known to hold no line end
  std::string cut_;
  bool at_end_ = false;
  bool end_supplied_ = false;
};

}  // namespace platemark::intake
