/// The pages' files inside the program; embedded.cpp is written by tools/embed.py.
#pragma once

#include <span>
#include <string_view>

namespace platemark::service {

struct EmbeddedFile {
  std::string_view path;
  std::string_view bytes;
};
[[nodiscard]] std::span<const EmbeddedFile> embeddedFiles();

}  // namespace platemark::service
