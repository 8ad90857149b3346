#include "paper/reading.h"

#include <doctest/doctest.h>
#include <unistd.h>

#include <array>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace reading {
namespace {

constexpr std::string_view kNoBreakSpace = "\u00a0";

double numberIn(const std::string& line, const std::string& name) {
  const std::size_t at = line.find(name + "=\"");
  REQUIRE(at != std::string::npos);
  return std::stod(line.substr(at + name.size() + 2));
}

template <class Take>
void forEachLine(const std::string& text, Take take) {
  std::istringstream lines(text);
  for (std::string line; std::getline(lines, line);) take(line);
}

}  // namespace

ScratchPdf::ScratchPdf() {
  static int count = 0;
  const std::string name =
      "paper_test_" + std::to_string(getpid()) + "_" + std::to_string(count++) + ".pdf";
  path_ = (std::filesystem::temp_directory_path() / name).string();
}

ScratchPdf::ScratchPdf(const std::vector<std::byte>& pdf) : ScratchPdf() {
  std::ofstream(path_, std::ios::binary)
      .write(reinterpret_cast<const char*>(pdf.data()), static_cast<std::streamsize>(pdf.size()));
}

ScratchPdf::~ScratchPdf() { std::filesystem::remove(path_); }

std::string run(const std::string& command) {
  CAPTURE(command);
  std::FILE* pipe = popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string out;
  std::array<char, 4096> buffer{};
  for (std::size_t n = 0; (n = std::fread(buffer.data(), 1, buffer.size(), pipe)) > 0;)
    out.append(buffer.data(), n);
  REQUIRE(pclose(pipe) == 0);
  return out;
}

std::string bytesOf(const ScratchPdf& pdf) {
  std::ifstream file(pdf.path(), std::ios::binary);
  return {std::istreambuf_iterator<char>(file), {}};
}

std::string flat(const std::string& text) {
  std::string spaced = text;
  for (std::size_t at = 0; (at = spaced.find(kNoBreakSpace, at)) != std::string::npos;)
    spaced.replace(at, kNoBreakSpace.size(), " ");
  std::string out;
  for (const char c : spaced) {
    const bool space = std::string_view(" \n\r\t\f").find(c) != std::string_view::npos;
    if (!space) out += c;
    if (space && !out.ends_with(' ')) out += ' ';
  }
  return out;
}

std::string textOf(const ScratchPdf& pdf, const std::string& options) {
  return run("pdftotext " + options + " " + pdf.path() + " -");
}
std::string structureOf(const ScratchPdf& pdf) { return run("pdfinfo -struct-text " + pdf.path()); }
std::string infoOf(const ScratchPdf& pdf) { return run("pdfinfo -isodates " + pdf.path()); }

std::string heard(const ScratchPdf& pdf) {
  std::string out;
  forEachLine(structureOf(pdf), [&](const std::string& line) {
    const std::size_t open = line.find('"');
    const std::size_t close = line.rfind('"');
    if (open < close) out += line.substr(open + 1, close - open - 1) + " ";
  });
  return flat(out);
}

int pagesOf(const ScratchPdf& pdf) {
  const std::string info = infoOf(pdf);
  const std::size_t at = info.find("Pages:");
  REQUIRE(at != std::string::npos);
  return std::stoi(info.substr(at + 6));
}

std::vector<std::string> fontsOf(const ScratchPdf& pdf) {
  std::vector<std::string> out;
  forEachLine(run("pdffonts " + pdf.path()), [&](const std::string& line) {
    const std::size_t plus = line.find('+');
    if (plus == 6) out.push_back(line.substr(plus + 1, line.find_first_of("- ", plus) - plus - 1));
  });
  return out;
}

std::vector<WordBox> wordBoxes(const ScratchPdf& pdf) {
  std::vector<WordBox> out;
  forEachLine(run("pdftotext -bbox " + pdf.path() + " -"), [&](const std::string& line) {
    if (line.find("<word ") == std::string::npos) return;
    out.push_back({numberIn(line, "xMin"), numberIn(line, "yMin"), numberIn(line, "xMax"),
                   numberIn(line, "yMax")});
  });
  return out;
}

long countOf(const std::string& text, const std::string& part) {
  long count = 0;
  for (std::size_t at = text.find(part); at != std::string::npos;
       at = text.find(part, at + part.size()))
    ++count;
  return count;
}

}  // namespace reading
