/// What every request must pass before anything looks at it.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/http/message.h"

namespace platemark::http {

/// A refusal, or none: the Host header names us (else a foreign name could be pointed at this
/// server and its pages read the answers), and a request that changes something comes from our own
/// pages or programs (else any page in the browser could send it with the person's cookies).
[[nodiscard]] std::optional<Response> refusal(const Request& request,
                                              const std::vector<std::string>& hosts);

}  // namespace platemark::http
