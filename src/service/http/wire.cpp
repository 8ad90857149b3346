#include "wire.h"

#include <algorithm>
#include <array>
#include <ctime>
#include <string_view>

#include "platemark/http/problem.h"
#include "target.h"

namespace platemark::http {
namespace {

constexpr std::string_view security_headers =
    "Content-Security-Policy: default-src 'self'; style-src 'self'; object-src 'none'; "
    "base-uri 'none'; frame-ancestors 'none'; form-action 'self'\r\n"
    "X-Content-Type-Options: nosniff\r\n"
    "Referrer-Policy: same-origin\r\n"
    "Cross-Origin-Resource-Policy: same-origin\r\n";

/// A value must not end its line, or it could write headers of its own.
std::string safeValue(std::string_view value) {
  std::string safe(value);
  auto isControl = [](char c) {
    return (static_cast<unsigned char>(c) < 0x20 && c != '\t') || c == 0x7F;
  };
  std::replace_if(safe.begin(), safe.end(), isControl, ' ');
  return safe;
}

void line(std::string& head, std::string_view name, std::string_view value) {
  head.append(name).append(": ").append(safeValue(value)).append("\r\n");
}

/// IMF-fixdate of RFC 9110, 5.6.7, in the C locale's words whatever the process uses.
std::string httpDate() {
  constexpr std::array days{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
  constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                              "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
  const std::time_t now = std::time(nullptr);
  std::tm utc{};
  gmtime_r(&now, &utc);
  std::array<char, 32> rest{};
  std::strftime(rest.data(), rest.size(), " %Y %H:%M:%S GMT", &utc);
  const std::string day = (utc.tm_mday < 10 ? "0" : "") + std::to_string(utc.tm_mday);
  return std::string(days.at(static_cast<std::size_t>(utc.tm_wday))) + ", " + day + " " +
         months.at(static_cast<std::size_t>(utc.tm_mon)) + rest.data();
}

bool hasHeader(const Response& response, std::string_view lower_name) {
  return std::any_of(response.headers.begin(), response.headers.end(),
                     [&](const Field& field) { return lowered(field.name) == lower_name; });
}

void addContentLines(std::string& head, const Response& response, bool open_ended) {
  if (!carriesBody(response.status)) return;
  if (!response.content_type.empty()) line(head, "Content-Type", response.content_type);
  if (!open_ended) line(head, "Content-Length", std::to_string(response.content().size()));
}

}  // namespace

bool carriesBody(int status) { return status >= 200 && status != 204 && status != 304; }

std::string headText(const Response& response, const HeadStyle& style) {
  std::string head = "HTTP/1.1 " + std::to_string(response.status) + " " +
                     std::string(reasonPhrase(response.status)) + "\r\n";
  line(head, "Date", httpDate());
  addContentLines(head, response, style.open_ended);
  for (const Field& field : response.headers) line(head, field.name, field.value);
  if (!hasHeader(response, "cache-control")) line(head, "Cache-Control", "no-store");
  head += security_headers;
  if (style.behind_tls) {
    line(head, "Strict-Transport-Security", "max-age=31536000; includeSubDomains");
  }
  if (!style.id.empty()) line(head, "X-Request-Id", style.id);
  line(head, "Connection", style.keep_alive ? "keep-alive" : "close");
  return head + "\r\n";
}

}  // namespace platemark::http
