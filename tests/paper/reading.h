/// Reading a PDF back with the programs that people use.
#pragma once

#include <string>
#include <vector>

#include "platemark/paper/sheet.h"

namespace reading {

/// A file that lasts as long as the test.
class ScratchPdf {
 public:
  ScratchPdf();
  explicit ScratchPdf(const std::vector<std::byte>& pdf);
  ~ScratchPdf();
  ScratchPdf(const ScratchPdf&) = delete;
  ScratchPdf& operator=(const ScratchPdf&) = delete;
  [[nodiscard]] const std::string& path() const { return path_; }

 private:
  std::string path_;
};

/// What a program says; the test fails when it fails.
std::string run(const std::string& command);
std::string bytesOf(const ScratchPdf& pdf);

/// One space for every run of white space, also no-break ones.
std::string flat(const std::string& text);
std::string textOf(const ScratchPdf& pdf, const std::string& options = "");
/// Tags with the words in them.
std::string structureOf(const ScratchPdf& pdf);
/// The words of the tags in reading order, flat.
std::string heard(const ScratchPdf& pdf);
std::string infoOf(const ScratchPdf& pdf);
int pagesOf(const ScratchPdf& pdf);
/// Names of the embedded fonts without their subset tag.
std::vector<std::string> fontsOf(const ScratchPdf& pdf);

/// Where a word stands on its page, points from the top left.
struct WordBox {
  double left = 0, top = 0, right = 0, bottom = 0;
};
std::vector<WordBox> wordBoxes(const ScratchPdf& pdf);

long countOf(const std::string& text, const std::string& part);

}  // namespace reading
