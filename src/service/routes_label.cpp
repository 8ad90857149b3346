#include "context.h"
#include "platemark/service/labels.h"

namespace platemark::service {
namespace {

http::Response labelOf(const Context& context, const http::Request& request) {
  const Result<DrawnLabel> drawn =
      drawLabel(context.house, std::string(request.param("what")), std::string(request.param("id")),
                std::string(request.queryValue("of").value_or("")));
  if (!drawn) return http::problem(drawn.error());
  std::string bytes(reinterpret_cast<const char*>(drawn->pdf.data()), drawn->pdf.size());
  return http::bytes(std::move(bytes), "application/pdf")
      .with("Content-Disposition", "inline; filename=\"" + drawn->name + "\"");
}

}  // namespace

void addLabelRoutes(http::Router& router, Context& context) {
  router.get("/api/labels/{what}/{id}",
             [&context](const http::Request& request) { return labelOf(context, request); });
}

}  // namespace platemark::service
