#include "context.h"
#include "view/station.h"

namespace platemark::service {
namespace {

using http::Request;
using view::Look;

std::string part(const Request& request, std::string_view name) {
  return std::string(request.param(name));
}
std::string query(const Request& request, std::string_view name) {
  return std::string(request.queryValue(name).value_or(""));
}

}  // namespace

void addStationRoutes(http::Router& router, Context& context) {
  router.get("/api/stations/{place}", [&context](const Request& r) {
    return show(context, r,
                [&](const Look& look) { return view::station(look, part(r, "place")); });
  });
  router.get("/api/stations/{place}/code", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) {
      return view::codeAt(look, part(r, "place"), query(r, "code"), query(r, "material"));
    });
  });
  router.get("/api/mixes/{id}", [&context](const Request& r) {
    return show(context, r,
                [&](const Look& look) { return view::chargeSheet(look, part(r, "id")); });
  });
  router.get("/api/mixes/{id}/try", [&context](const Request& r) {
    return show(context, r, [&](const Look& look) {
      return view::tryWeighing(look, part(r, "id"), query(r, "material"), query(r, "mass"));
    });
  });
  router.get("/api/shift", [&context](const Request& r) {
    return show(context, r, [](const Look& look) { return Result<Value>(view::shift(look)); });
  });
}

}  // namespace platemark::service
