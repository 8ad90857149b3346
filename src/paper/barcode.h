// Barcodes as rows of modules.
#pragma once

#include <vector>

#include "platemark/paper/label.h"

namespace platemark::paper {

/// True is a bar. Errors: paper.bad_barcode.
Result<std::vector<bool>> modulesOf(const Barcode& barcode);
/// The words beneath: the text itself; "(00) 3 …" for an SSCC.
std::string wordsOf(const Barcode& barcode);

}  // namespace platemark::paper
