/// The one shape in which this folder refuses an input.
#pragma once

#include <string>

#include "platemark/quantity/result.h"

namespace platemark::method::cure {

[[nodiscard]] inline Error wrongInput(std::string code, std::string what, std::string field,
                                      std::string expected, std::string remedy) {
  Error error;
  error.code = std::move(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  error.expected = std::move(expected);
  error.remedy = std::move(remedy);
  return error;
}

}  // namespace platemark::method::cure
