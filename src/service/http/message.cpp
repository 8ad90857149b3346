#include "platemark/http/message.h"

#include <algorithm>
#include <utility>

#include "target.h"

namespace platemark::http {
namespace {

std::optional<std::string_view> valueOf(const Fields& fields, std::string_view name) {
  const auto found = std::find_if(fields.begin(), fields.end(),
                                  [&](const Field& field) { return field.name == name; });
  if (found == fields.end()) return std::nullopt;
  return found->value;
}

/// For old readers of a file name: what is not plain becomes '_'.
std::string plainName(const std::string& name) {
  std::string plain = name;
  for (char& c : plain) {
    const bool safe = c >= ' ' && c < 0x7F && c != '"' && c != '\\' && c != '/' && c != '%';
    if (!safe) c = '_';
  }
  return plain;
}

}  // namespace

std::string_view Request::param(std::string_view name) const {
  return valueOf(params, name).value_or(std::string_view{});
}

std::optional<std::string_view> Request::queryValue(std::string_view name) const {
  return valueOf(query, name);
}

std::optional<std::string_view> Request::header(std::string_view name) const {
  return valueOf(headers, name);
}

std::optional<std::string_view> Request::cookie(std::string_view name) const {
  return valueOf(cookies, name);
}

Response& Response::with(std::string name, std::string value) {
  headers.push_back({std::move(name), std::move(value)});
  return *this;
}

Response& Response::with(const Cookie& cookie) {
  std::string line = cookie.name + "=" + cookie.value + "; Path=/; HttpOnly; SameSite=Strict";
  if (cookie.secure) line += "; Secure";
  const auto age = std::max<long long>(cookie.max_age.count(), 0);
  if (cookie.max_age.count() != 0) line += "; Max-Age=" + std::to_string(age);
  return with("Set-Cookie", std::move(line));
}

Response json(std::string text, int status) {
  return {.status = status, .content_type = "application/json", .body = std::move(text)};
}

Response text(std::string text, int status) {
  return {.status = status, .content_type = "text/plain; charset=utf-8", .body = std::move(text)};
}

Response bytes(std::string content, std::string content_type, const std::string& download_name) {
  Response response{.content_type = std::move(content_type), .body = std::move(content)};
  if (!download_name.empty()) {
    response.with("Content-Disposition", "attachment; filename=\"" + plainName(download_name) +
                                             "\"; filename*=UTF-8''" +
                                             percentEncode(download_name));
  }
  return response;
}

Response noContent() { return {.status = 204}; }

Response redirect(std::string location, int status) {
  Response response{.status = status};
  return response.with("Location", std::move(location));
}

}  // namespace platemark::http
