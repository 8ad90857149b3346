#include "web_assets.h"

#include <array>
#include <filesystem>
#include <fstream>
#include <sstream>

#include "embedded.h"
#include "platemark/plant/digest.h"

namespace platemark::service {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 8> content_types{{
    {".html", "text/html; charset=utf-8"},
    {".js", "text/javascript; charset=utf-8"},
    {".css", "text/css; charset=utf-8"},
    {".svg", "image/svg+xml"},
    {".json", "application/json"},
    {".png", "image/png"},
    {".ico", "image/x-icon"},
    {".map", "application/json"},
}};

http::Asset asset(const std::string& path, std::string_view bytes) {
  http::Asset made;
  made.path = path;
  made.bytes = bytes;
  made.content_type = contentTypeOf(path);
  made.etag = sha256Hex(bytes).substr(0, 16);
  made.immutable = path.starts_with("/assets/");
  return made;
}

}  // namespace

std::string contentTypeOf(const std::string& path) {
  for (const auto& [ending, type] : content_types)
    if (path.ends_with(ending)) return std::string(type);
  return "application/octet-stream";
}

std::vector<http::Asset> builtInAssets() {
  std::vector<http::Asset> assets;
  for (const EmbeddedFile& file : embeddedFiles())
    assets.push_back(asset(std::string(file.path), file.bytes));
  return assets;
}

std::vector<http::Asset> WebFolder::load(const std::string& folder) {
  namespace fs = std::filesystem;
  std::vector<http::Asset> assets;
  for (const fs::directory_entry& entry : fs::recursive_directory_iterator(folder)) {
    if (!entry.is_regular_file()) continue;
    std::ifstream file(entry.path(), std::ios::binary);
    std::ostringstream all;
    all << file.rdbuf();
    contents_.push_back(std::move(all).str());
    assets.push_back(
        asset("/" + fs::relative(entry.path(), folder).generic_string(), contents_.back()));
  }
  return assets;
}

}  // namespace platemark::service
