/// A folder of a test's own, removed at its end.
#pragma once

#include <filesystem>
#include <random>
#include <string>

namespace platemark::test {

class Folder {
 public:
  Folder()
      : path_(std::filesystem::temp_directory_path() /
              ("platemark-test-" + std::to_string(std::random_device{}()) +
               std::to_string(std::random_device{}()))) {
    std::filesystem::create_directory(path_);
  }
  ~Folder() { std::filesystem::remove_all(path_); }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string path() const { return path_.string(); }
  [[nodiscard]] std::string at(const std::string& name) const { return (path_ / name).string(); }

 private:
  std::filesystem::path path_;
};

}  // namespace platemark::test
