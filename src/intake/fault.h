/// Short ways to say what is wrong with a file.
#pragma once

#include <string>
#include <utility>

#include "platemark/quantity/result.h"

namespace platemark::intake {

struct Words {
  std::string what;
  std::string expected;
  std::string remedy;
};

inline Error fault(std::string code, Words words, Place where = {}) {
  Error error;
  error.code = std::move(code);
  error.what = std::move(words.what);
  error.expected = std::move(words.expected);
  error.remedy = std::move(words.remedy);
  error.where = std::move(where);
  return error;
}

}  // namespace platemark::intake
