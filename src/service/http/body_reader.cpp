#include "body_reader.h"

#include <algorithm>
#include <boost/beast/core/error.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/read.hpp>

namespace platemark::http {
namespace {

constexpr std::size_t piece_limit = 64 * 1024;

/// The peer's fault in what it said, as against a connection that went away.
bool isMalformed(error_code error) {
  return error.category() == make_error_code(beast::http::error::bad_chunk).category() &&
         error != beast::http::error::partial_message && error != beast::http::error::end_of_stream;
}

}  // namespace

Clock::duration timeFor(const Limits& limits, std::uint64_t bytes) {
  const double seconds = static_cast<double>(bytes) / static_cast<double>(limits.slowest_rate);
  return limits.grace +
         std::chrono::duration_cast<Clock::duration>(std::chrono::duration<double>(seconds));
}

BodyReader::BodyReader(beast::tcp_stream& stream, beast::flat_buffer& buffer, Parser& parser,
                       const Limits& limits, std::uint64_t body_limit)
    : stream_(stream),
      buffer_(buffer),
      parser_(parser),
      limits_(limits),
      body_limit_(body_limit),
      piece_(pieceSize()) {
  buffer_.reserve(piece_.size());  // it reads as much as it has room for, 512 bytes otherwise
}

bool BodyReader::isTooLarge() const {
  const auto length = parser_.content_length();
  return length && *length > body_limit_;
}

std::size_t BodyReader::pieceSize() const {
  const auto length = parser_.content_length();
  if (!length) return piece_limit;
  return static_cast<std::size_t>(std::clamp<std::uint64_t>(*length, 1, piece_limit));
}

asio::awaitable<error_code> BodyReader::fill() {
  auto& body = parser_.get().body();
  body.data = piece_.data();
  body.size = piece_.size();
  body.more = true;
  stream_.expires_after(timeFor(limits_, received_ + piece_.size()) - waited_);
  error_code error;
  const auto begin = Clock::now();
  co_await beast::http::async_read(stream_, buffer_, parser_,
                                   asio::redirect_error(asio::use_awaitable, error));
  waited_ += Clock::now() - begin;
  if (error == beast::http::error::need_buffer) error = {};
  co_return error;
}

asio::awaitable<Piece> BodyReader::next() {
  if (parser_.is_done()) co_return Piece{Piece::Kind::end, {}};
  const error_code error = co_await fill();
  if (error) co_return Piece{isMalformed(error) ? Piece::Kind::malformed : Piece::Kind::lost, {}};
  const std::size_t got = piece_.size() - parser_.get().body().size;
  if (got == 0 && parser_.is_done()) co_return Piece{Piece::Kind::end, {}};
  received_ += got;
  if (received_ > body_limit_) co_return Piece{Piece::Kind::too_large, {}};
  co_return Piece{Piece::Kind::more, {piece_.data(), got}};
}

}  // namespace platemark::http
