/// The pages: built into the program, or read from a folder while they are worked on.
#pragma once

#include <list>
#include <string>
#include <vector>

#include "platemark/http/assets.h"

namespace platemark::service {

/// The files of web/dist as they were when the program was built.
[[nodiscard]] std::vector<http::Asset> builtInAssets();

/// Files of a folder, kept in memory as long as this lives.
class WebFolder {
 public:
  [[nodiscard]] std::vector<http::Asset> load(const std::string& folder);

 private:
  std::list<std::string> contents_;
};

[[nodiscard]] std::string contentTypeOf(const std::string& path);

}  // namespace platemark::service
