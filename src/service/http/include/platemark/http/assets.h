/// The files of the pages: fixed bytes, known before the server starts.
#pragma once

#include <map>
#include <optional>
#include <span>
#include <string>
#include <string_view>

#include "platemark/http/message.h"

namespace platemark::http {

/// The bytes must outlive the server.
struct Asset {
  std::string path;  ///< "/assets/app-5f1c.js"
  std::string_view bytes;
  std::string content_type;
  std::string etag = {};      ///< without quotes; a hash of the bytes; empty: none
  bool immutable = false;     ///< the name carries the hash: cached for a year
  std::string_view brotli{};  ///< compressed variants, empty: none
  std::string_view gzip{};
};

/// Answers GET and HEAD from a set of assets, with ETag, 304 and the best variant accepted.
class AssetShelf {
 public:
  AssetShelf() = default;
  /// `index` is the path of the asset that answers for page addresses.
  AssetShelf(std::span<const Asset> assets, std::string index);

  /// The asset at the path; the index for any other address of a page, which is one outside /api/
  /// whose last part has no dot; otherwise none.
  [[nodiscard]] const Asset* find(std::string_view path) const;
  [[nodiscard]] static Response answer(const Asset& asset, const Request& request);

 private:
  std::map<std::string, Asset, std::less<>> assets_;
  std::string index_;
};

}  // namespace platemark::http
