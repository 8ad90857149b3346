#include "platemark/http/assets.h"

#include <utility>

#include "target.h"

namespace platemark::http {
namespace {

bool isPageAddress(std::string_view path) {
  if (path.starts_with("/api/") || path == "/api") return false;
  return path.substr(path.rfind('/')).find('.') == std::string_view::npos;
}

/// "gzip;q=0" does not accept gzip.
bool isRefused(std::string_view parameters) {
  const std::string q = lowered(trimmed(parameters));
  return q.starts_with("q=0") && q.find_first_not_of("0.", 2) == std::string::npos;
}

bool accepts(const Request& request, std::string_view coding) {
  for (std::string_view item : split(request.header("accept-encoding").value_or(""), ',')) {
    const std::size_t end = std::min(item.find(';'), item.size());
    if (lowered(trimmed(item.substr(0, end))) != coding) continue;
    return end == item.size() || !isRefused(item.substr(end + 1));
  }
  return false;
}

struct Variant {
  std::string_view bytes;
  std::string coding;  ///< empty: as it is
};

Variant bestVariant(const Asset& asset, const Request& request) {
  if (!asset.brotli.empty() && accepts(request, "br")) return {asset.brotli, "br"};
  if (!asset.gzip.empty() && accepts(request, "gzip")) return {asset.gzip, "gzip"};
  return {asset.bytes, ""};
}

/// If-None-Match compares weakly (RFC 9110, 13.1.2).
bool isKnown(const Request& request, const std::string& etag) {
  for (std::string_view known : split(request.header("if-none-match").value_or(""), ',')) {
    if (known.starts_with("W/")) known.remove_prefix(2);
    if (known == "*" || known == etag) return true;
  }
  return false;
}

/// Each coding is another representation and so has another tag.
std::string tagOf(const Asset& asset, const Variant& variant) {
  return '"' + asset.etag + (variant.coding.empty() ? "" : "-" + variant.coding) + '"';
}

}  // namespace

AssetShelf::AssetShelf(std::span<const Asset> assets, std::string index)
    : index_(std::move(index)) {
  for (const Asset& asset : assets) assets_.emplace(asset.path, asset);
}

const Asset* AssetShelf::find(std::string_view path) const {
  auto found = assets_.find(path);
  if (found == assets_.end() && isPageAddress(path)) found = assets_.find(index_);
  return found == assets_.end() ? nullptr : &found->second;
}

Response AssetShelf::answer(const Asset& asset, const Request& request) {
  const Variant variant = bestVariant(asset, request);
  Response response{.content_type = asset.content_type, .fixed = variant.bytes};
  response.with("Cache-Control",
                asset.immutable ? "public, max-age=31536000, immutable" : "no-cache");
  if (!asset.brotli.empty() || !asset.gzip.empty()) response.with("Vary", "Accept-Encoding");
  if (!variant.coding.empty()) response.with("Content-Encoding", variant.coding);
  if (asset.etag.empty()) return response;
  const std::string tag = tagOf(asset, variant);
  response.with("ETag", tag);
  if (isKnown(request, tag)) {
    response.status = 304;
    response.fixed = {};
  }
  return response;
}

}  // namespace platemark::http
