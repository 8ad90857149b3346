#include "alt_text.h"

#include <fmt/format.h>
#include <glib.h>

#include <map>
#include <memory>

namespace platemark::paper {
namespace {

Error notAsExpected(const std::string& what) {
  Error error;
  error.fault = Fault::environment;
  error.code = "paper.drawing_failed";
  error.what = "The PDF could not be completed: " + what;
  error.expected = "a PDF as cairo 1.16 writes it";
  error.remedy = "Use the version of cairo that the program was built for.";
  return error;
}

/// A text string as UTF-16BE in hexadecimal: ISO 32000-1, 7.9.2.2.
std::string textString(const std::string& words) {
  glong length = 0;
  std::unique_ptr<gunichar2, decltype(&g_free)> utf16(
      g_utf8_to_utf16(words.data(), static_cast<glong>(words.size()), nullptr, &length, nullptr),
      &g_free);
  std::string out = "<FEFF";
  for (glong i = 0; i < length; ++i) out += fmt::format("{:04X}", utf16.get()[i]);
  return out + ">";
}

/// The last word before `end`, and where it begins.
std::string_view wordBefore(std::string_view text, std::size_t end) {
  const std::size_t last = text.find_last_not_of(" \n", end - 1);
  const std::size_t before = text.find_last_of(" \n", last);
  return text.substr(before + 1, last - before);
}

long numberAfter(std::string_view text, std::size_t at) {
  return std::strtol(std::string(text.substr(at, 12)).c_str(), nullptr, 10);
}

/// The end of a file: what an update needs to know of it.
struct Ending {
  long xref = 0;
  long size = 0;
  std::string root;
  std::string info;
};

std::string reference(std::string_view trailer, std::string_view key) {
  const std::size_t at = trailer.find(key);
  if (at == std::string_view::npos) return "";
  const std::size_t from = at + key.size() + 1;
  return std::string(trailer.substr(from, trailer.find('R', from) + 1 - from));
}

Result<Ending> endingOf(std::string_view pdf) {
  const std::size_t trailer = pdf.rfind("\ntrailer");
  const std::size_t start = pdf.rfind("startxref\n");
  if (trailer == std::string_view::npos || start == std::string_view::npos)
    return notAsExpected("it has no trailer.");
  const std::string_view dictionary = pdf.substr(trailer, start - trailer);
  Ending out;
  out.xref = numberAfter(pdf, start + 10);
  const std::size_t size = dictionary.find("/Size ");
  if (size != std::string_view::npos) out.size = numberAfter(dictionary, size + 6);
  out.root = reference(dictionary, "/Root");
  out.info = reference(dictionary, "/Info");
  if (out.xref <= 0 || out.size <= 0 || out.root.empty() || out.info.empty())
    return notAsExpected("its trailer lacks an entry.");
  return out;
}

/// Objects by number, each as the text of its dictionary without the closing ">>".
using Objects = std::map<long, std::string>;

/// The object whose dictionary begins at `at` ("<< …"), opened for one more entry.
void take(Objects& objects, std::string_view pdf, std::size_t at, const std::string& entry) {
  const std::size_t head = pdf.rfind(" 0 obj", at);
  const long number = std::strtol(std::string(wordBefore(pdf, head)).c_str(), nullptr, 10);
  const std::size_t end = pdf.find("endobj", at);
  const std::size_t close = pdf.rfind(">>", end);
  objects[number] = std::string(pdf.substr(at, close - at)) + "   " + entry + "\n>>";
}

/// Structure elements are plain text, written in the order of their tags. Page contents
/// are compressed and metadata hold no new lines, so nothing else reads like one.
Result<Objects> amended(std::string_view pdf, const std::vector<std::string>& texts,
                        const std::string& language) {
  Objects objects;
  constexpr std::string_view kElement = "<< /Type /StructElem\n   /S /";
  std::size_t figures = 0;
  for (std::size_t at = pdf.find(kElement); at != std::string_view::npos;
       at = pdf.find(kElement, at + 1)) {
    const std::string_view kind = pdf.substr(at + kElement.size(), 7);
    if (kind.starts_with("TH\n")) take(objects, pdf, at, "/A << /O /Table /Scope /Column >>");
    if (!kind.starts_with("Figure\n")) continue;
    if (figures < texts.size()) take(objects, pdf, at, "/Alt " + textString(texts[figures]));
    ++figures;
  }
  if (figures != texts.size()) return notAsExpected("its figures do not match their sentences.");
  const std::size_t catalog = pdf.rfind("<< /Type /Catalog");
  if (catalog == std::string_view::npos) return notAsExpected("it has no catalogue.");
  take(objects, pdf, catalog,
       fmt::format("/Lang {}\n   /ViewerPreferences << /DisplayDocTitle true >>",
                   textString(language)));
  return objects;
}

}  // namespace

Result<std::string> withAltTexts(std::string pdf, const std::vector<std::string>& texts,
                                 const std::string& language) {
  const auto ending = endingOf(pdf);
  if (!ending) return ending.error();
  const auto objects = amended(pdf, texts, language);
  if (!objects) return objects.error();
  std::string table = "xref\n";
  for (const auto& [number, dictionary] : *objects) {
    table += fmt::format("{} 1\n{:010} 00000 n \n", number, pdf.size());
    pdf += fmt::format("{} 0 obj\n{}\nendobj\n", number, dictionary);
  }
  const std::size_t xref = pdf.size();
  pdf += table;
  pdf += fmt::format(
      "trailer\n<< /Size {}\n   /Root {}\n   /Info {}\n   /Prev {}\n>>\nstartxref\n{}\n%%EOF\n",
      ending->size, ending->root, ending->info, ending->xref, xref);
  return pdf;
}

}  // namespace platemark::paper
