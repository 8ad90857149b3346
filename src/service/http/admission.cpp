#include "admission.h"

#include <utility>

#include "guard.h"
#include "platemark/http/problem.h"
#include "target.h"

namespace platemark::http {
namespace {

void addHeader(Fields& headers, std::string name, std::string value) {
  for (Field& known : headers) {
    if (known.name != name) continue;
    known.value += (name == "cookie" ? "; " : ", ") + value;
    return;
  }
  headers.push_back({std::move(name), std::move(value)});
}

std::string_view viewOf(beast::string_view text) { return {text.data(), text.size()}; }

Response badTarget() {
  return problem({.code = "http.bad_target",
                  .what = "the address cannot be read",
                  .expected = "a path beginning with '/', with proper percent codes"},
                 400);
}

Response badCoding() {
  return problem({.code = "http.transfer_coding",
                  .what = "the body is sent in a way that is not understood here",
                  .expected = "Content-Length, or Transfer-Encoding: chunked"},
                 501);
}

Response notHere(const Request& request) {
  return problem({.fault = Fault::not_found,
                  .code = "http.no_such_address",
                  .what = "there is nothing at " + request.path});
}

Response wrongMethod(const Request& request, const std::vector<std::string>& allowed) {
  std::string list;
  for (const std::string& method : allowed) list += (list.empty() ? "" : ", ") + method;
  Response response = problem({.code = "http.method",
                               .what = request.path + " does not take " + request.method,
                               .expected = list},
                              405);
  return response.with("Allow", list);
}

bool codingIsKnown(const Request& request) {
  const auto coding = request.header("transfer-encoding");
  return !coding || lowered(*coding) == "chunked";
}

Response withoutRoute(const Request& request, const Router& router,
                      const std::vector<std::string>& allowed) {
  if (!allowed.empty()) return wrongMethod(request, allowed);
  const Asset* asset = router.shelf().find(request.path);
  if (!asset) return notHere(request);
  const bool reads = request.method == "GET" || request.method == "HEAD";
  return reads ? AssetShelf::answer(*asset, request) : wrongMethod(request, {"GET", "HEAD"});
}

}  // namespace

Request requestFrom(const Parser& parser) {
  const auto& message = parser.get();
  Request request;
  request.method = std::string(viewOf(message.method_string()));
  const std::string_view target = viewOf(message.target());
  request.path = std::string(target.substr(0, target.find('?')));
  for (const auto& field : message) {
    addHeader(request.headers, lowered(viewOf(field.name_string())),
              std::string(viewOf(field.value())));
  }
  request.cookies = parseCookies(request.header("cookie").value_or(""));
  return request;
}

Admission admit(Request& request, const Parser& parser, const Router& router,
                const std::vector<std::string>& hosts) {
  auto target = parseTarget(viewOf(parser.get().target()));
  if (!target) return badTarget();
  if (!codingIsKnown(request)) return badCoding();
  if (auto refused = refusal(request, hosts)) return std::move(*refused);
  request.query = std::move(target->query);
  Router::Match match = router.find(request.method, target->parts);
  if (!match.route) return withoutRoute(request, router, match.allowed);
  request.params = std::move(match.params);
  return match.route;
}

}  // namespace platemark::http
