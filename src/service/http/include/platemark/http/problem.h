/// Errors as problem objects (RFC 9457, application/problem+json).
///
/// Members: type ("/problems/<code>", or "about:blank" without a code), title, status, detail,
/// code, where {file, line, column, field}, expected, remedy, missing [{what, who, how}]. Parts
/// that are empty are left out. Text that is not UTF-8 is sent with U+FFFD in place of each wrong
/// byte.
#pragma once

#include <string>

#include "platemark/http/message.h"
#include "platemark/quantity/result.h"

namespace platemark::http {

/// bad_input 422, refused 403, cannot_decide 409, not_found 404, conflict 409, environment 503.
///
/// 422 and not 400, because the request arrived whole and was understood; what it says cannot be
/// used. 400 is left for what is not proper HTTP, so the two can be told apart in a log.
[[nodiscard]] int statusOf(Fault fault);

[[nodiscard]] Response problem(const Error& error);
/// The same with a status of HTTP's own, such as 413.
[[nodiscard]] Response problem(const Error& error, int status);

/// The standard short name of a status, "Not Found"; "Unknown" for one that is not ours.
[[nodiscard]] std::string_view reasonPhrase(int status);

}  // namespace platemark::http
