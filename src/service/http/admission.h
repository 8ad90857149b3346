/// From a parsed header to our own request, and to who shall answer it.
#pragma once

#include <variant>

#include "body_reader.h"
#include "platemark/http/router.h"

namespace platemark::http {

/// Without the target's parts and without the body.
[[nodiscard]] Request requestFrom(const Parser& parser);

/// The route that answers, with the request's path parts and query filled in; or an answer that
/// needs no handler: a refusal, an asset, 404, 405.
using Admission = std::variant<const Route*, Response>;
[[nodiscard]] Admission admit(Request& request, const Parser& parser, const Router& router,
                              const std::vector<std::string>& hosts);

}  // namespace platemark::http
