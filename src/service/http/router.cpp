#include "platemark/http/router.h"

#include <algorithm>
#include <stdexcept>
#include <utility>

#include "target.h"

namespace platemark::http {
namespace {

bool isNamed(const std::string& part) {
  return part.size() > 2 && part.front() == '{' && part.back() == '}';
}

bool fits(const std::vector<std::string>& pattern, const std::vector<std::string>& parts) {
  auto partFits = [](const std::string& wanted, const std::string& part) {
    return isNamed(wanted) ? !part.empty() : wanted == part;
  };
  return std::equal(pattern.begin(), pattern.end(), parts.begin(), parts.end(), partFits);
}

/// Two patterns that take the same paths.
bool sameShape(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  auto samePart = [](const std::string& x, const std::string& y) {
    return isNamed(x) ? isNamed(y) : x == y;
  };
  return std::equal(a.begin(), a.end(), b.begin(), b.end(), samePart);
}

/// Both fit the same path: the first part in which one is literal and the other named decides.
bool moreLiteral(const std::vector<std::string>& a, const std::vector<std::string>& b) {
  return std::lexicographical_compare(
      a.begin(), a.end(), b.begin(), b.end(),
      [](const std::string& x, const std::string& y) { return !isNamed(x) && isNamed(y); });
}

std::vector<std::string> parsePattern(const std::string& pattern) {
  const auto target = parseTarget(pattern);
  if (!target || pattern.find('?') != std::string::npos) {
    throw std::invalid_argument("route pattern must be a path: " + pattern);
  }
  return target->parts;
}

Fields paramsOf(const std::vector<std::string>& pattern, const std::vector<std::string>& parts) {
  Fields params;
  for (std::size_t i = 0; i < pattern.size(); ++i) {
    const std::string& part = pattern[i];
    if (isNamed(part)) params.push_back({part.substr(1, part.size() - 2), parts[i]});
  }
  return params;
}

void allow(std::vector<std::string>& allowed, const std::string& method) {
  if (std::find(allowed.begin(), allowed.end(), method) == allowed.end()) allowed.push_back(method);
}

}  // namespace

Router& Router::add(Route route) {
  for (const Route& other : routes_) {
    if (other.method == route.method && sameShape(other.pattern, route.pattern)) {
      throw std::invalid_argument("two routes for " + route.method + " on the same pattern");
    }
  }
  routes_.push_back(std::move(route));
  return *this;
}

Router& Router::on(const std::string& method, const std::string& pattern, Handler handler,
                   std::uint64_t body_limit) {
  return add({method, parsePattern(pattern), std::move(handler), body_limit, false});
}

Router& Router::get(const std::string& pattern, Handler handler) {
  return on("GET", pattern, std::move(handler));
}

Router& Router::post(const std::string& pattern, Handler handler, std::uint64_t body_limit) {
  return on("POST", pattern, std::move(handler), body_limit);
}

Router& Router::upload(const std::string& method, const std::string& pattern, UploadOpener open,
                       std::uint64_t body_limit) {
  return add({method, parsePattern(pattern), UploadTarget{std::move(open)}, body_limit, false});
}

Router& Router::events(const std::string& pattern, std::shared_ptr<EventHub> hub, Replay replay) {
  return add(
      {"GET", parsePattern(pattern), EventTarget{std::move(hub), std::move(replay)}, 0, false});
}

Router& Router::assets(std::span<const Asset> assets, std::string index) {
  shelf_ = AssetShelf(assets, std::move(index));
  return *this;
}

Router& Router::doorkeeper(Doorkeeper keeper) {
  doorkeeper_ = std::move(keeper);
  return *this;
}

Router& Router::openToAll(const std::string& method, const std::string& pattern) {
  const std::vector<std::string> parts = parsePattern(pattern);
  for (Route& route : routes_) {
    if (route.method != method || route.pattern != parts) continue;
    route.open_to_all = true;
    return *this;
  }
  throw std::invalid_argument("no route to open: " + method + " " + pattern);
}

bool Router::isKept(const Route& route) const { return !route.open_to_all && doorkeeper_; }

std::optional<Response> Router::refusal(const Route& route, const Request& request) const {
  return isKept(route) ? doorkeeper_(request) : std::nullopt;
}

Router::Match Router::find(std::string_view method, const std::vector<std::string>& parts) const {
  Match match;
  const std::string_view wanted = method == "HEAD" ? "GET" : method;
  for (const Route& route : routes_) {
    if (!fits(route.pattern, parts)) continue;
    allow(match.allowed, route.method);
    if (route.method == "GET") allow(match.allowed, "HEAD");
    if (route.method != wanted) continue;
    if (!match.route || moreLiteral(route.pattern, match.route->pattern)) match.route = &route;
  }
  if (match.route) match.params = paramsOf(match.route->pattern, parts);
  return match;
}

}  // namespace platemark::http
