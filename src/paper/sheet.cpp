#include "platemark/paper/sheet.h"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstring>

#include "alt_text.h"
#include "flow.h"
#include "platemark/figure/words.h"

namespace platemark::paper {
namespace {

struct Destroy {
  void operator()(cairo_t* cairo) const { cairo_destroy(cairo); }
  void operator()(cairo_surface_t* surface) const { cairo_surface_destroy(surface); }
};
using CairoPtr = std::unique_ptr<cairo_t, Destroy>;
using SurfacePtr = std::unique_ptr<cairo_surface_t, Destroy>;

Error badTable(const Table& table, std::string what) {
  Error error;
  error.code = "paper.bad_table";
  error.what = fmt::format("The table '{}' {}", table.name, what);
  error.where.field = table.name;
  error.expected = "columns with a share greater than 0, and as many cells in each row as columns";
  error.remedy = "Correct the content of the paper.";
  return error;
}

std::optional<Error> faultOf(const Table& table) {
  if (table.columns.empty()) return badTable(table, "has no columns.");
  for (const Column& column : table.columns) {
    if (!(column.share > 0)) return badTable(table, "has a column without a width.");
  }
  for (const Row& row : table.rows) {
    if (row.cells.size() != table.columns.size())
      return badTable(table, "has a row with another number of cells.");
  }
  return std::nullopt;
}

std::optional<Error> faultOf(const Paper& paper) {
  for (const Block& block : paper.blocks) {
    const Table* table = std::get_if<Table>(&block);
    if (table == nullptr) continue;
    if (auto fault = faultOf(*table)) return fault;
  }
  return std::nullopt;
}

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

void describe(cairo_surface_t* surface, const Paper& paper) {
  const std::string created = formatInstant(paper.created);
  const auto set = [&](cairo_pdf_metadata_t key, const std::string& words) {
    std::string line = figure::wellFormed(words);
    std::replace(line.begin(), line.end(), '\n', ' ');
    cairo_pdf_surface_set_metadata(surface, key, line.c_str());
  };
  set(CAIRO_PDF_METADATA_TITLE, paper.title + " " + paper.record_id);
  set(CAIRO_PDF_METADATA_AUTHOR, paper.author);
  set(CAIRO_PDF_METADATA_CREATOR, paper.program_version);
  set(CAIRO_PDF_METADATA_CREATE_DATE, created);
  set(CAIRO_PDF_METADATA_MOD_DATE, created);
}

Error drawingFailed(const char* why) {
  Error error;
  error.fault = Fault::environment;
  error.code = "paper.drawing_failed";
  error.what = fmt::format("The paper could not be drawn: {}", why);
  error.expected = "enough memory";
  error.remedy = "Try again; if it fails again, look at the machine's memory.";
  return error;
}

struct Drawn {
  std::string pdf;
  int pages = 0;
  std::vector<std::string> alt_texts;
};

Result<Drawn> draw(const Paper& paper, Typesetter& type, int pages) {
  Drawn out;
  const SurfacePtr surface(
      cairo_pdf_surface_create_for_stream(&append, &out.pdf, Sheet::width, Sheet::height));
  describe(surface.get(), paper);
  {
    const CairoPtr cairo(cairo_create(surface.get()));
    Flow flow(cairo.get(), type, paper, pages);
    flow.run();
    out.pages = flow.pages();
    out.alt_texts = flow.altTexts();
    if (cairo_status(cairo.get()) != CAIRO_STATUS_SUCCESS) {
      return drawingFailed(cairo_status_to_string(cairo_status(cairo.get())));
    }
  }
  cairo_surface_finish(surface.get());
  if (type.fault()) return *type.fault();
  const cairo_status_t status = cairo_surface_status(surface.get());
  if (status != CAIRO_STATUS_SUCCESS) return drawingFailed(cairo_status_to_string(status));
  return out;
}

std::vector<std::byte> bytesOf(const std::string& text) {
  std::vector<std::byte> out(text.size());
  std::memcpy(out.data(), text.data(), text.size());
  return out;
}

}  // namespace

/// Drawn twice: the first time counts the pages that the second one names.
Result<std::vector<std::byte>> render(const Paper& paper, const Typefaces& faces) {
  if (auto fault = faultOf(paper)) return *fault;
  auto type = Typesetter::open(faces);
  if (!type) return type.error();
  const auto counted = draw(paper, *type, 0);
  if (!counted) return counted.error();
  auto drawn = draw(paper, *type, counted->pages);
  if (!drawn) return drawn.error();
  const auto pdf = withAltTexts(std::move(drawn->pdf), drawn->alt_texts, paper.language);
  if (!pdf) return pdf.error();
  return bytesOf(*pdf);
}

}  // namespace platemark::paper
