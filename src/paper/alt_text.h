// What the drawing library cannot write into a tagged PDF.
#pragma once

#include <string>
#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::paper {

/// Appends an incremental update (ISO 32000-1, 7.5.6) to `pdf`: an alternative text for
/// each Figure element in the order of their tags, the column scope of header cells,
/// the language, and the title instead of a file name in the window.
/// Errors: paper.drawing_failed when the file is not laid out as the library lays it out.
Result<std::string> withAltTexts(std::string pdf, const std::vector<std::string>& texts,
                                 const std::string& language);

}  // namespace platemark::paper
