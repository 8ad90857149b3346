#pragma once

#include <string>

#include "platemark/quantity/result.h"

namespace platemark::figure {

/// A chart that cannot be drawn: `what` continues "The figure '<title>' …".
inline Error cannotDraw(std::string code, const std::string& title, const std::string& what,
                        std::string expected) {
  Error error;
  error.code = std::move(code);
  error.what = "The figure '" + title + "' " + what;
  error.where.field = title;
  error.expected = std::move(expected);
  error.remedy = "Correct the values given to the figure.";
  return error;
}

}  // namespace platemark::figure
