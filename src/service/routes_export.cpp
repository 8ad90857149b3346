/// What is issued, as files to take away.
#include <fmt/format.h>

#include "context.h"
#include "platemark/service/formula_export.h"
#include "platemark/service/noun_export.h"

namespace platemark::service {
namespace {

std::string formatOf(const http::Request& request) {
  return std::string(request.queryValue("format").value_or("json"));
}

http::Response toKeep(std::string bytes, std::string type, const std::string& name) {
  return http::bytes(std::move(bytes), std::move(type))
      .with("Content-Disposition", fmt::format("attachment; filename=\"{}\"", name));
}

http::Response oneKind(const Context& context, const http::Request& request) {
  const std::string kind(request.param("kind")), format = formatOf(request);
  Result<std::string> bytes = exportKind(context.house, kind, format);
  if (!bytes) return http::problem(bytes.error());
  return toKeep(std::move(*bytes), format == "csv" ? "text/csv; charset=utf-8" : "application/json",
                kind + "." + format);
}

http::Response everything(const Context& context, const http::Request& request) {
  const Result<std::vector<ExportFile>> files = exportAll(context.house, formatOf(request));
  if (!files) return http::problem(files.error());
  return toKeep(zipOf(*files), "application/zip", context.house.card.plant + ".zip");
}

/// Two issues of a formula beside each other, as a table.
http::Response formulas(const Context& context, const http::Request& request) {
  const std::string code(request.param("code")), from(request.param("from")),
      to(request.param("to"));
  Result<std::string> bytes = exportFormulas(context.house, code, from, to);
  if (!bytes) return http::problem(bytes.error());
  return toKeep(std::move(*bytes), "text/csv; charset=utf-8",
                fmt::format("{}-{}-{}.csv", code, from, to));
}

}  // namespace

void addExportRoutes(http::Router& router, Context& context) {
  router.get("/api/export",
             [&context](const http::Request& request) { return everything(context, request); });
  router.get("/api/export/formulas/{code}/{from}/{to}",
             [&context](const http::Request& request) { return formulas(context, request); });
  router.get("/api/export/{kind}",
             [&context](const http::Request& request) { return oneKind(context, request); });
}

}  // namespace platemark::service
