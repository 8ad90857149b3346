#include "canvas.h"

#include <cairo-pdf.h>
#include <fmt/format.h>

#include <algorithm>
#include <cstring>

#include "barcode.h"
#include "platemark/figure/words.h"

namespace platemark::paper {
namespace {

constexpr double quiet_modules = 10;                // white on either side, as Code 128 asks
constexpr double least_module = 0.25 * millimetre;  // what a label printer of 203 dpi still draws

cairo_status_t append(void* bytes, const unsigned char* data, unsigned int length) {
  static_cast<std::string*>(bytes)->append(reinterpret_cast<const char*>(data), length);
  return CAIRO_STATUS_SUCCESS;
}

Error drawingFailed(cairo_status_t status) {
  Error error;
  error.fault = Fault::environment;
  error.code = "paper.drawing_failed";
  error.what = fmt::format("It could not be drawn: {}", cairo_status_to_string(status));
  error.remedy = "Try again; if it fails again, look at the machine's memory.";
  return error;
}

Error tooLong(const Barcode& barcode) {
  Error error;
  error.code = "paper.bad_barcode";
  error.what = fmt::format("'{}' is too long for a barcode on this label.", barcode.data);
  error.expected = "bars at least 0.25 mm wide";
  error.remedy = "Use a shorter number.";
  return error;
}

}  // namespace

Canvas::Canvas(double width, double height, Typesetter& type, const std::string& title,
               const std::string& program, Instant created)
    : width_(width),
      height_(height),
      type_(type),
      surface_(cairo_pdf_surface_create_for_stream(&append, &pdf_, width, height)),
      cairo_(cairo_create(surface_.get())),
      pen_(cairo_.get(), type) {
  const auto set = [&](cairo_pdf_metadata_t key, const std::string& words) {
    cairo_pdf_surface_set_metadata(surface_.get(), key, figure::wellFormed(words).c_str());
  };
  set(CAIRO_PDF_METADATA_TITLE, title);
  set(CAIRO_PDF_METADATA_CREATOR, program);
  set(CAIRO_PDF_METADATA_CREATE_DATE, formatInstant(created));
  set(CAIRO_PDF_METADATA_MOD_DATE, formatInstant(created));
}

double Canvas::fitted(const std::string& words, Ink ink, double x, double y, double width) {
  Setting setting = type_.set(words, ink);
  if (const double wide = widthOf(setting.get()); wide > width) {
    ink.size *= width / wide * 0.995;
    setting = type_.set(words, ink);
  }
  pen_.words(setting, x, y);
  return heightOf(setting.get());
}

double Canvas::wrapped(const std::string& words, const Ink& ink, double x, double y, double width) {
  const Setting setting = type_.set(words, ink, width);
  pen_.words(setting, x, y);
  return heightOf(setting.get());
}

void Canvas::bar(double x, double y, double width, double height) {
  cairo_set_source_rgb(cairo_.get(), 0, 0, 0);
  cairo_rectangle(cairo_.get(), x, y, width, height);
  cairo_fill(cairo_.get());
}

void Canvas::box(double x, double y, double width, double height, double line) {
  pen_.frame(x, y, width, height, line);
}

Result<double> Canvas::barcode(const Barcode& barcode, double x, double y, double width,
                               double height, double widest) {
  const Result<std::vector<bool>> modules = modulesOf(barcode);
  if (!modules) return modules.error();
  const double count = static_cast<double>(modules->size()) + 2 * quiet_modules;
  const double module = std::min(width / count, widest);
  if (module < least_module) return tooLong(barcode);
  double at = x + (width - count * module) / 2 + quiet_modules * module;
  const double left = at;
  cairo_set_source_rgb(cairo_.get(), 0, 0, 0);
  for (const bool dark : *modules) {
    if (dark) cairo_rectangle(cairo_.get(), at, y, module, height);
    at += module;
  }
  // Bars with soft edges would be read wider than they are.
  cairo_set_antialias(cairo_.get(), CAIRO_ANTIALIAS_NONE);
  cairo_fill(cairo_.get());
  cairo_set_antialias(cairo_.get(), CAIRO_ANTIALIAS_DEFAULT);
  const double words =
      fitted(wordsOf(barcode), {.size = 10, .code = true}, left, y + height + 2, at - left);
  return height + 2 + words;
}

void Canvas::newPage() { cairo_show_page(cairo_.get()); }

Result<std::vector<std::byte>> Canvas::finish() {
  const cairo_status_t drawn = cairo_status(cairo_.get());
  cairo_.reset();
  cairo_surface_finish(surface_.get());
  if (type_.fault()) return *type_.fault();
  for (const cairo_status_t status : {drawn, cairo_surface_status(surface_.get())})
    if (status != CAIRO_STATUS_SUCCESS) return drawingFailed(status);
  std::vector<std::byte> bytes(pdf_.size());
  std::memcpy(bytes.data(), pdf_.data(), pdf_.size());
  return bytes;
}

}  // namespace platemark::paper
