/// Reads a request's body piece by piece, within its limit and its deadline.
#pragma once

#include "engine.h"

#include <boost/beast/core/flat_buffer.hpp>
#include <boost/beast/core/tcp_stream.hpp>
#include <boost/beast/http/buffer_body.hpp>
#include <boost/beast/http/parser.hpp>
#include <string_view>
#include <vector>

namespace platemark::http {

namespace beast = boost::beast;
using Parser = beast::http::request_parser<beast::http::buffer_body>;

/// Time that a transfer of n bytes may take.
[[nodiscard]] Clock::duration timeFor(const Limits& limits, std::uint64_t bytes);

struct Piece {
  enum class Kind { more, end, too_large, malformed, lost };
  Kind kind = Kind::end;
  std::string_view bytes;  ///< with `more`; valid until the next read
};

class BodyReader {
 public:
  BodyReader(beast::tcp_stream& stream, beast::flat_buffer& buffer, Parser& parser,
             const Limits& limits, std::uint64_t body_limit);

  /// Known from Content-Length before a byte is read.
  [[nodiscard]] bool isTooLarge() const;
  [[nodiscard]] std::uint64_t limit() const { return body_limit_; }
  [[nodiscard]] asio::awaitable<Piece> next();

 private:
  [[nodiscard]] std::size_t pieceSize() const;
  [[nodiscard]] asio::awaitable<error_code> fill();

  beast::tcp_stream& stream_;
  beast::flat_buffer& buffer_;
  Parser& parser_;
  const Limits& limits_;
  std::uint64_t body_limit_;
  std::uint64_t received_ = 0;
  Clock::duration waited_{};  ///< for the client; our own work on a piece is not its fault
  std::vector<char> piece_;
};

}  // namespace platemark::http
