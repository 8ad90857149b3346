#include "barcode.h"

#include <fmt/format.h>
#include <zint.h>

#include <algorithm>
#include <memory>

namespace platemark::paper {
namespace {

struct Delete {
  void operator()(zint_symbol* symbol) const { ZBarcode_Delete(symbol); }
};

Error badBarcode(const std::string& data, std::string_view why) {
  Error error;
  error.code = "paper.bad_barcode";
  error.what = fmt::format("'{}' cannot be a barcode: {}", data, why);
  error.expected = "printable ASCII; for a carton its 18 digits";
  error.remedy = "Check the number.";
  return error;
}

bool isPrintable(char c) { return c >= ' ' && c <= '~'; }
bool isDigit(char c) { return c >= '0' && c <= '9'; }

/// The library finds a wrong check digit and only warns: that too is refused.
Result<std::vector<bool>> encode(int symbology, const std::string& text, const Barcode& barcode) {
  const std::unique_ptr<zint_symbol, Delete> symbol(ZBarcode_Create());
  symbol->symbology = symbology;
  const int answer =
      ZBarcode_Encode(symbol.get(), reinterpret_cast<const unsigned char*>(text.data()),
                      static_cast<int>(text.size()));
  if (answer != 0) return badBarcode(barcode.data, symbol->errtxt);
  std::vector<bool> modules;
  for (int x = 0; x < symbol->width; ++x)
    modules.push_back(((symbol->encoded_data[0][x >> 3] >> (x & 7)) & 1) != 0);
  return modules;
}

}  // namespace

Result<std::vector<bool>> modulesOf(const Barcode& barcode) {
  const std::string& data = barcode.data;
  if (data.empty() || !std::all_of(data.begin(), data.end(), isPrintable))
    return badBarcode(data, "it is empty or holds other signs");
  if (barcode.kind == Barcode::Kind::code128) return encode(BARCODE_CODE128, data, barcode);
  if (data.size() != 18 || !std::all_of(data.begin(), data.end(), isDigit))
    return badBarcode(data, "a carton's number has 18 digits");
  return encode(BARCODE_GS1_128, "[00]" + data, barcode);
}

std::string wordsOf(const Barcode& barcode) {
  return barcode.kind == Barcode::Kind::sscc ? "(00) " + barcode.data : barcode.data;
}

}  // namespace platemark::paper
