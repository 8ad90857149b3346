/// The wording of papers, service and terminal: one catalogue, words/en.json,
/// taken into the program when it is built. The pages take theirs from the same file.
///
/// Keys are "section.key": say("papers.results.title"). `tools/check_rules.py` sees that
/// every key asked for exists, that none is unused and that each {name} gets its value.
#pragma once

#include <concepts>
#include <initializer_list>
#include <string>
#include <string_view>

namespace platemark::words {

/// What stands in the place of {name}: words, or a whole number.
struct Slot {
  Slot(std::string_view the_name, std::string_view words) : name(the_name), value(words) {}
  Slot(std::string_view the_name, std::integral auto n)
      : name(the_name), value(std::to_string(n)) {}
  std::string_view name;
  std::string value;
};

/// The text of the catalogue with each {name} filled in. A {name} without a value and
/// a key that is not in the catalogue stay visible, so that they are noticed.
[[nodiscard]] std::string say(std::string_view key, std::initializer_list<Slot> slots = {});

/// Puts values into the {names} of a text; values are not looked into again.
[[nodiscard]] std::string fill(std::string_view text, std::initializer_list<Slot> slots);

}  // namespace platemark::words
