#include "session.h"

#include <algorithm>
#include <array>
#include <boost/asio/write.hpp>
#include <boost/beast/http/error.hpp>
#include <boost/beast/http/read.hpp>
#include <limits>

#include "admission.h"
#include "platemark/http/problem.h"
#include "target.h"
#include "wire.h"

namespace platemark::http {
namespace {

constexpr std::size_t buffer_limit = 64 * 1024;
constexpr std::chrono::seconds linger_time{2};

/// As read_some, but says how it went instead of throwing.
asio::awaitable<error_code> readSome(beast::tcp_stream& stream, beast::flat_buffer& buffer) {
  error_code error;
  const auto space = buffer.prepare(4096);
  const std::size_t got =
      co_await stream.async_read_some(space, asio::redirect_error(asio::use_awaitable, error));
  buffer.commit(got);
  co_return error;
}

Response tooLarge(std::uint64_t limit) {
  return problem({.code = "http.body_too_large",
                  .what = "the body is larger than this address takes",
                  .expected = "at most " + std::to_string(limit) + " bytes"},
                 413);
}

Response malformedBody() {
  return problem({.code = "http.bad_body", .what = "the body is not proper HTTP"}, 400);
}

/// What ends a body early, as an answer; none when nobody is left to read it.
std::optional<Response> bodyProblem(Piece::Kind kind, std::uint64_t limit) {
  if (kind == Piece::Kind::too_large) return tooLarge(limit);
  if (kind == Piece::Kind::malformed) return malformedBody();
  return std::nullopt;
}

bool isHttpError(error_code error) {
  return error.category() == make_error_code(beast::http::error::bad_version).category() &&
         error != beast::http::error::end_of_stream && error != beast::http::error::partial_message;
}

}  // namespace

Session::Session(asio::ip::tcp::socket socket, Engine& engine, std::string peer)
    : engine_(engine),
      peer_(std::move(peer)),
      stream_(std::move(socket)),
      buffer_(buffer_limit),
      wake_(engine.io) {}

void Session::windDown() {
  if (phase_ != Phase::serving) cut();
}

void Session::cut() {
  gone_ = true;
  error_code ignored;
  stream_.socket().close(ignored);
  wake_.cancel();
}

asio::awaitable<void> Session::run() {
  for (bool go_on = true; go_on; ++served_) {
    const bool keep = co_await serveNext();
    if (buffer_.size() == 0) buffer_.shrink_to_fit();  // a quiet connection costs little
    go_on = keep && !engine_.stopping;
    phase_ = Phase::waiting;
  }
  if (!engine_.stopping && stream_.socket().is_open()) co_await linger();
  cut();
}

/// False when the connection is to end.
asio::awaitable<bool> Session::serveNext() {
  const bool begun = co_await awaitFirstByte();
  if (!begun) co_return false;
  Parser parser;
  const error_code error = co_await readHeader(parser);
  if (error) {
    co_await refuseHeader(error);
    co_return false;
  }
  phase_ = Phase::serving;
  Exchange exchange = newExchange(parser);
  const bool answered = co_await answer(exchange, parser);
  co_return answered&& exchange.keep_alive;
}

/// A kept connection may be quiet for long; a new one has only the header's time.
asio::awaitable<bool> Session::awaitFirstByte() {
  if (served_ == 0 || buffer_.size() > 0) co_return true;
  stream_.expires_after(engine_.limits().idle);
  const error_code error = co_await readSome(stream_, buffer_);
  co_return !error;
}

asio::awaitable<error_code> Session::readHeader(Parser& parser) {
  parser.header_limit(static_cast<std::uint32_t>(engine_.limits().header_bytes));
  // Each route has its own limit. Not boost::none: in 1.74 every length exceeds that.
  parser.body_limit(std::numeric_limits<std::uint64_t>::max());
  stream_.expires_after(engine_.limits().header_deadline);
  error_code error;
  co_await beast::http::async_read_header(stream_, buffer_, parser,
                                          asio::redirect_error(asio::use_awaitable, error));
  co_return error;
}

asio::awaitable<void> Session::refuseHeader(error_code error) {
  if (!isHttpError(error)) co_return;
  const bool too_large = error == beast::http::error::header_limit;
  const Response response =
      too_large
          ? problem(
                {.code = "http.header_too_large",
                 .what = "the request's header is too large",
                 .expected = "at most " + std::to_string(engine_.limits().header_bytes) + " bytes"},
                431)
          : problem({.code = "http.malformed", .what = "this is not proper HTTP"}, 400);
  Exchange exchange;
  exchange.begin = Clock::now();
  exchange.request.id = engine_.newId();
  exchange.request.peer = peer_;
  co_await send(exchange, response);
}

Session::Exchange Session::newExchange(Parser& parser) {
  Exchange exchange;
  exchange.begin = Clock::now();
  exchange.request = requestFrom(parser);
  exchange.request.id = engine_.newId();
  exchange.request.peer = peer_;
  exchange.keep_alive = parser.get().keep_alive() && parser.get().version() == 11;
  exchange.expects_continue =
      lowered(exchange.request.header("expect").value_or("")) == "100-continue";
  return exchange;
}

/// False when nobody is left to answer.
asio::awaitable<bool> Session::answer(Exchange& exchange, Parser& parser) {
  Admission admission = admit(exchange.request, parser, engine_.router, engine_.options.hosts);
  std::optional<Response> response;
  if (const auto* route = std::get_if<const Route*>(&admission)) {
    const std::optional<Response> kept_out = co_await askDoorkeeper(exchange, **route);
    if (kept_out) {
      exchange.keep_alive = exchange.keep_alive && parser.is_done();
      co_await send(exchange, *kept_out);
      co_return true;
    }
    const auto& target = (*route)->target;
    if (const auto* events = std::get_if<EventTarget>(&target)) {
      co_await stream(exchange, *events);
      co_return false;
    }
    BodyReader body(stream_, buffer_, parser, engine_.limits(), (*route)->body_limit);
    if (body.isTooLarge())
      response = tooLarge((*route)->body_limit);
    else if (const auto* sink = std::get_if<UploadTarget>(&target))
      response = co_await upload(exchange, body, *sink);
    else
      response = co_await handle(exchange, body, std::get<Handler>(target));
  } else {
    response = std::move(std::get<Response>(admission));
  }
  if (!response) {
    log(exchange, 0, 0, false);
    co_return false;
  }
  // What is left of a body that was not wanted cannot be told from the next request.
  exchange.keep_alive = exchange.keep_alive && parser.is_done() && !engine_.stopping;
  co_await send(exchange, *response);
  co_return true;
}

asio::awaitable<std::optional<Response>> Session::askDoorkeeper(const Exchange& exchange,
                                                                const Route& route) {
  std::optional<Response> refusal;
  if (!engine_.router.isKept(route)) co_return refusal;  // no worker need be waited for
  const std::function<void()> job = [&] {
    refusal = attempt(engine_.options, exchange.request,
                      [&] { return engine_.router.refusal(route, exchange.request); });
  };
  co_await engine_.onWorker(job);
  co_return refusal;
}

asio::awaitable<std::optional<Response>> Session::handle(Exchange& exchange, BodyReader& body,
                                                         const Handler& handler) {
  const bool asked_for = co_await sendContinue(exchange);
  if (!asked_for) co_return std::nullopt;
  const Piece::Kind end = co_await collect(body, exchange.request.body);
  if (end != Piece::Kind::end) co_return bodyProblem(end, body.limit());
  std::optional<Response> response;
  const std::function<void()> job = [&] {
    response = attempt(engine_.options, exchange.request,
                       [&]() -> std::optional<Response> { return handler(exchange.request); });
  };
  co_await engine_.onWorker(job);
  co_return response;
}

asio::awaitable<Piece::Kind> Session::collect(BodyReader& body, std::string& into) {
  for (;;) {
    const Piece piece = co_await body.next();
    if (piece.kind != Piece::Kind::more) co_return piece.kind;
    into.append(piece.bytes);
  }
}

asio::awaitable<std::optional<Response>> Session::upload(Exchange& exchange, BodyReader& body,
                                                         const UploadTarget& target) {
  UploadCall call(engine_.options, exchange.request);
  const std::function<void()> open = [&] { call.open(target.open); };
  co_await engine_.onWorker(open);
  if (!call.response()) {
    const bool asked_for = co_await sendContinue(exchange);
    if (asked_for) co_await feed(body, call);
  }
  const std::function<void()> abort = [&] { call.abort(); };
  if (call.isOpen()) co_await engine_.onWorker(abort);
  co_return call.response();
}

/// Piece by piece into the sink, reading on only when it has taken the last one.
asio::awaitable<void> Session::feed(BodyReader& body, UploadCall& call) {
  while (!call.response()) {
    const Piece piece = co_await body.next();
    const bool more = piece.kind == Piece::Kind::more;
    if (!more && piece.kind != Piece::Kind::end) {
      call.giveUp(bodyProblem(piece.kind, body.limit()));
      co_return;
    }
    const std::function<void()> step = [&] { more ? call.write(piece.bytes) : call.finish(); };
    co_await engine_.onWorker(step);
  }
}

asio::awaitable<bool> Session::sendContinue(const Exchange& exchange) {
  if (!exchange.expects_continue) co_return true;
  const bool sent = co_await write("HTTP/1.1 100 Continue\r\n\r\n", {});
  co_return sent;
}

asio::awaitable<void> Session::send(Exchange& exchange, const Response& response) {
  const std::string head = headText(response, {.id = exchange.request.id,
                                               .keep_alive = exchange.keep_alive,
                                               .behind_tls = engine_.options.behind_tls});
  const bool has_body = carriesBody(response.status) && exchange.request.method != "HEAD";
  const std::string_view body = has_body ? response.content() : std::string_view{};
  const bool delivered = co_await write(head, body);
  exchange.keep_alive = exchange.keep_alive && delivered;
  log(exchange, response.status, body.size(), delivered);
}

asio::awaitable<bool> Session::write(std::string_view head, std::string_view body) {
  const std::array<asio::const_buffer, 2> parts{asio::buffer(head.data(), head.size()),
                                                asio::buffer(body.data(), body.size())};
  stream_.expires_after(timeFor(engine_.limits(), head.size() + body.size()));
  error_code error;
  co_await asio::async_write(stream_, parts, asio::redirect_error(asio::use_awaitable, error));
  co_return !error;
}

/// Closing with unread input would make the network discard an answer the client has not read
/// yet: say that we are done, then read on for a moment.
asio::awaitable<void> Session::linger() {
  error_code error;
  stream_.socket().shutdown(asio::ip::tcp::socket::shutdown_send, error);
  stream_.expires_after(linger_time);
  while (!error) {
    buffer_.clear();
    error = co_await readSome(stream_, buffer_);
  }
}

void Session::log(const Exchange& exchange, int status, std::uint64_t bytes, bool delivered) {
  if (!engine_.options.on_access) return;
  const std::chrono::duration<double, std::milli> spent = Clock::now() - exchange.begin;
  engine_.options.on_access({exchange.request.id, exchange.request.peer, exchange.request.method,
                             exchange.request.path, status, spent.count(), bytes, delivered});
}

}  // namespace platemark::http
