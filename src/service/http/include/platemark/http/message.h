/// What a handler is given and what it gives back.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace platemark::http {

struct Field {
  std::string name;
  std::string value;
};
using Fields = std::vector<Field>;

/// One request, already checked: host allowed, not forged, path decoded, body within its limit.
struct Request {
  std::string method;  ///< "GET"
  std::string path;    ///< as sent, still percent-encoded, without the query
  Fields params;       ///< parts of the path named in the pattern, decoded
  Fields query;        ///< in the order sent, decoded, '+' is a space; names may repeat
  Fields headers;      ///< names in lower case; a repeated header is joined with ", "
  Fields cookies;      ///< in the order sent, values untouched
  std::string body;    ///< empty on upload and event routes
  std::string peer;    ///< address of the other end of the connection, without port
  std::string id;      ///< unique while the server runs; also sent back as X-Request-Id

  /// Part of the path by its name in the pattern; empty when the pattern has no such name.
  [[nodiscard]] std::string_view param(std::string_view name) const;
  /// First query value of that name.
  [[nodiscard]] std::optional<std::string_view> queryValue(std::string_view name) const;
  /// Header by its lower-case name.
  [[nodiscard]] std::optional<std::string_view> header(std::string_view name) const;
  [[nodiscard]] std::optional<std::string_view> cookie(std::string_view name) const;
};

/// A cookie for a session: HttpOnly, SameSite=Strict and Path=/ always.
struct Cookie {
  std::string name;  ///< "__Host-session" binds it to this host, and needs `secure`
  std::string value;
  std::chrono::seconds max_age{0};  ///< 0: until the browser closes; negative: delete it
  bool secure = true;               ///< sent over TLS (and to the own machine) only
};

/// One answer. Length, date, security headers and `Cache-Control: no-store` are added when it is
/// sent; a Cache-Control given here is kept. Line breaks in header values become spaces.
struct Response {
  int status = 200;
  std::string content_type = {};
  Fields headers = {};
  std::string body = {};
  std::string_view fixed = {};  ///< sent instead of `body`; must outlive the server (assets)

  [[nodiscard]] std::string_view content() const { return fixed.empty() ? body : fixed; }
  Response& with(std::string name, std::string value);
  Response& with(const Cookie& cookie);
};

/// An answer of JSON text, which the caller has written.
[[nodiscard]] Response json(std::string text, int status = 200);
[[nodiscard]] Response text(std::string text, int status = 200);
/// A file's bytes. With a download name the browser saves it instead of showing it.
[[nodiscard]] Response bytes(std::string content, std::string content_type,
                             const std::string& download_name = {});
[[nodiscard]] Response noContent();
/// "See other" by default: the browser fetches `location` with GET.
[[nodiscard]] Response redirect(std::string location, int status = 303);

}  // namespace platemark::http
