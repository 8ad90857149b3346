/// How an answer's head is written.
#pragma once

#include <string>

#include "platemark/http/message.h"

namespace platemark::http {

struct HeadStyle {
  std::string id = {};
  bool keep_alive = false;
  bool behind_tls = false;
  bool open_ended = false;  ///< the body ends with the connection
};

/// Status line and headers, up to and including the empty line.
[[nodiscard]] std::string headText(const Response& response, const HeadStyle& style);

/// 204 and 304 never carry a body.
[[nodiscard]] bool carriesBody(int status);

}  // namespace platemark::http
