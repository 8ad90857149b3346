#include "guard.h"

#include <algorithm>

#include "platemark/http/problem.h"
#include "target.h"

namespace platemark::http {
namespace {

std::string_view withoutPort(std::string_view host) {
  const std::size_t colon = host.rfind(':');
  const std::size_t bracket = host.rfind(']');
  const bool has_port =
      colon != std::string_view::npos && (bracket == std::string_view::npos || colon > bracket);
  return has_port ? host.substr(0, colon) : host;
}

bool isOurs(std::string_view host, const std::vector<std::string>& hosts) {
  const std::string name = lowered(withoutPort(host));
  if (name == "localhost" || name == "127.0.0.1" || name == "[::1]") return true;
  return std::any_of(hosts.begin(), hosts.end(),
                     [&](const std::string& ours) { return lowered(ours) == name; });
}

bool changesState(const std::string& method) {
  return method != "GET" && method != "HEAD" && method != "OPTIONS";
}

bool isSameOrigin(const Request& request) {
  if (const auto site = request.header("sec-fetch-site")) return *site == "same-origin";
  const std::string host = lowered(request.header("host").value_or(""));
  const std::string origin = lowered(request.header("origin").value_or(""));
  return origin == "http://" + host || origin == "https://" + host;
}

bool isForged(const Request& request) {
  // A foreign page cannot send the header without asking us first, and we never agree.
  const bool marked = request.header("x-platemark") == "1";
  return changesState(request.method) && !marked && !isSameOrigin(request);
}

}  // namespace

std::optional<Response> refusal(const Request& request, const std::vector<std::string>& hosts) {
  const auto host = request.header("host");
  if (!host || host->find(',') != std::string_view::npos) {
    return problem({.code = "http.no_host",
                    .what = "the request does not name exactly one host",
                    .expected = "one Host header"},
                   400);
  }
  if (!isOurs(*host, hosts)) {
    return problem({.fault = Fault::refused,
                    .code = "http.foreign_host",
                    .what = "this server is not known by the name in the address",
                    .expected = "localhost, or a name the server was started with",
                    .remedy = "use one of the server's names, or add this one to its settings"},
                   421);
  }
  if (isForged(request)) {
    return problem({.fault = Fault::refused,
                    .code = "http.foreign_origin",
                    .what = "a request that changes the record must come from our own pages",
                    .expected = "the header X-Platemark: 1, or the same origin",
                    .remedy = "a program sends the header X-Platemark: 1"});
  }
  return std::nullopt;
}

}  // namespace platemark::http
