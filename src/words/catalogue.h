// What tools/embed_words.py makes of words/en.json: sorted by key.
#pragma once

#include <span>
#include <string_view>

namespace platemark::words {

struct Entry {
  std::string_view key;
  std::string_view text;
};
[[nodiscard]] std::span<const Entry> entries();

}  // namespace platemark::words
