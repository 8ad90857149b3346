#include "line_windows.h"

#include <fmt/format.h>

#include <algorithm>
#include <cstring>

#include "fault.h"
#include "parallel.h"

namespace platemark::intake {
namespace {

/// Below this a second thread costs more than it reads.
constexpr std::size_t least_part = 256u << 10;

}  // namespace

LineWindows::LineWindows(ByteSource& source, const Head& head, const Limits& limits,
                         bool may_lack_end)
    : source_(source), head_(head), limits_(limits), may_lack_end_(may_lack_end) {
  const std::uint64_t size = source.size().value_or(limits.block_bytes);
  block_ = static_cast<std::size_t>(std::min<std::uint64_t>(limits.block_bytes, size + 2));
  block_ = std::max<std::size_t>(2, block_ + block_ % 2);  // 16-bit units stay whole
  offset_ = head.mark_bytes;
}

Result<bool> LineWindows::next() {
  const std::size_t rest = filled_ - whole_;
  if (rest > 0 && whole_ > 0) std::memmove(buffer_.data(), buffer_.data() + whole_, rest);
  filled_ = rest;
  whole_ = 0;
  scanned_ = 0;
  while (whole_ == 0 && !at_end_) {
    if (auto ok = load(); !ok) return ok;
    if (whole_ == 0 && filled_ > longest_line) return fault("intake.line_too_long", {});
  }
  return whole_ > 0;
}

/// Reads one more block and looks for the last line end in it.
Result<bool> LineWindows::load() {
  reserve(filled_ + block_ * 2);
  const auto got = readBlock(buffer_.data() + filled_);
  if (!got) return got.error();
  filled_ += *got;
  if (head_.cr_ends) std::replace(buffer_.data() + scanned_, buffer_.data() + filled_, '\r', '\n');
  const std::string_view fresh(buffer_.data() + scanned_, filled_ - scanned_);
  const auto last = fresh.rfind('\n');
  if (last != std::string_view::npos) whole_ = scanned_ + last + 1;
  scanned_ = filled_;
  if (at_end_) closeFile();
  return true;
}

/// What stands behind the last line end of the file.
void LineWindows::closeFile() {
  if (filled_ == whole_) return;
  if (may_lack_end_) {
    buffer_[filled_++] = '\n';
    whole_ = filled_;
    end_supplied_ = true;
    return;
  }
  cut_.assign(buffer_.data() + whole_, filled_ - whole_);
  filled_ = whole_;
}

Result<std::size_t> LineWindows::readBlock(char* into) {
  if (!isWide(head_.encoding)) return readParts(into, block_);
  wide_.resize(block_ / 2 + block_ / 2 % 2);
  const auto got = readParts(wide_.data(), wide_.size());
  if (!got) return got;
  narrow_.clear();
  appendUtf16(std::string_view(wide_).substr(0, *got), head_.encoding, pending_, narrow_);
  reserve(filled_ + narrow_.size());
  std::memcpy(buffer_.data() + filled_, narrow_.data(), narrow_.size());
  return narrow_.size();
}

/// Each thread reads a part; the first short part ends the file.
Result<std::size_t> LineWindows::readParts(char* into, std::size_t bytes) {
  const int parts = bytes < 2 * least_part ? 1 : std::clamp(limits_.threads, 1, 16);
  const std::size_t part_size =
      (bytes + static_cast<std::size_t>(parts) - 1) / static_cast<std::size_t>(parts);
  std::vector<Result<std::size_t>> got(static_cast<std::size_t>(parts), std::size_t{0});
  const auto lengthOf = [&](std::size_t part) {
    return std::min(part_size, bytes - std::min(bytes, part * part_size));
  };
  inParallel(parts, parts, [&](int index) {
    const auto part = static_cast<std::size_t>(index);
    got[part] = source_.read(offset_ + part * part_size, {into + part * part_size, lengthOf(part)});
  });
  std::size_t sum = 0;
  for (std::size_t part = 0; part < got.size() && !at_end_; ++part) {
    if (!got[part]) return got[part].error();
    sum += *got[part];
    at_end_ = *got[part] < lengthOf(part);
  }
  offset_ += sum;
  if (offset_ > limits_.max_bytes)
    return fault(
        "intake.too_large",
        {fmt::format("The file has more than {:.1f} MB; no more are read.",
                     static_cast<double>(limits_.max_bytes) / 1e6),
         "a file within the limit", "Export a shorter time span, or have the limit raised."},
        {.file = source_.name(), .line = 0, .column = {}, .field = {}});
  return sum;
}

void LineWindows::reserve(std::size_t bytes) {
  const std::size_t wanted = bytes + window_padding + 1;
  if (buffer_.size() < wanted) buffer_.resize(std::max(wanted, buffer_.size() * 3 / 2));
}

}  // namespace platemark::intake
