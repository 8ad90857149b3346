/// The one way the methods of this room say that an input is wrong.
#pragma once

#include <string>

#include "platemark/quantity/result.h"

namespace platemark::method {

inline Error badInput(std::string code, std::string field, std::string what, std::string expected,
                      std::string remedy = "Check the value and its unit and enter it again.") {
  Error error;
  error.code = std::move(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  error.expected = std::move(expected);
  error.remedy = std::move(remedy);
  return error;
}

}  // namespace platemark::method
