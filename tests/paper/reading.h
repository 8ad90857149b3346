/// Reading a PDF back with the programs that people use.
#pragma once

#include <doctest/doctest.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <regex>
#include <string>
#include <vector>

#include "platemark/paper/sheet.h"

namespace reading {

/// A file that lasts as long as the test.
class ScratchPdf {
 public:
  explicit ScratchPdf(const std::vector<std::byte>& pdf) : ScratchPdf() {
    std::ofstream(path_, std::ios::binary)
        .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
  }
  ScratchPdf() {
    static int count = 0;
    path_ = (std::filesystem::temp_directory_path() /
             ("paper_test_" + std::to_string(getpid()) + "_" + std::to_string(count++) + ".pdf"))
                .string();
  }
  ~ScratchPdf() { std::filesystem::remove(path_); }
  ScratchPdf(const ScratchPdf&) = delete;
  ScratchPdf& operator=(const ScratchPdf&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// What a program says; the test fails when it fails.
inline std::string run(const std::string& command) {
  std::FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string out;
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
    out.append(buffer.data(), n);
  const int status = pclose(pipe);
  CAPTURE(command);
  REQUIRE(status == 0);
  return out;
}

/// One space for every run of white space, also no-break ones.
inline std::string flat(std::string text) {
  text = std::regex_replace(text, std::regex("\xC2\xA0"), " ");
  return std::regex_replace(text, std::regex("[ \n\r\t\f]+"), " ");
}

inline std::string textOf(const ScratchPdf& pdf, const std::string& options = "") {
  return run("pdftotext " + options + " " + pdf.path() + " -");
}
inline std::string structureOf(const ScratchPdf& pdf) {
  return run("pdfinfo -struct-text " + pdf.path());
}
inline std::string infoOf(const ScratchPdf& pdf) { return run("pdfinfo -isodates " + pdf.path()); }

inline int pagesOf(const ScratchPdf& pdf) {
  std::smatch match;
  const std::string info = infoOf(pdf);
  REQUIRE(std::regex_search(info, match, std::regex("Pages: +([0-9]+)")));
  return std::stoi(match[1]);
}

inline long countOf(const std::string& text, const std::string& part) {
  long count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos;
       at = text.find(part, at + part.size()))
    ++count;
  return count;
}

}  // namespace reading
