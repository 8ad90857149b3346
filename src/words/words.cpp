#include "platemark/words/words.h"

#include <algorithm>

#include "catalogue.h"

namespace platemark::words {

std::string fill(std::string_view text, std::initializer_list<Slot> slots) {
  std::string filled;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t open = std::min(text.find('{', at), text.size());
    const std::size_t close = text.find('}', open);
    filled += text.substr(at, open - at);
    if (close == std::string_view::npos) return filled.append(text.substr(open));
    const std::string_view name = text.substr(open + 1, close - open - 1);
    const auto* const slot =
        std::find_if(slots.begin(), slots.end(), [&](const Slot& s) { return s.name == name; });
    filled +=
        slot == slots.end() ? text.substr(open, close + 1 - open) : std::string_view(slot->value);
    at = close + 1;
  }
  return filled;
}

std::string say(std::string_view key, std::initializer_list<Slot> slots) {
  const std::span<const Entry> all = entries();
  const auto found = std::lower_bound(all.begin(), all.end(), key,
                                      [](const Entry& e, std::string_view k) { return e.key < k; });
  return found == all.end() || found->key != key ? std::string(key) : fill(found->text, slots);
}

}  // namespace platemark::words
