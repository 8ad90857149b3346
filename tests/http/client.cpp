#include "client.h"

#include <arpa/inet.h>
#include <doctest/doctest.h>
#include <netinet/in.h>
#include <netinet/tcp.h>
#include <poll.h>
#include <sys/socket.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <charconv>

namespace platemark::http::testing {
namespace {

bool isReady(int socket, short what, Clock::time_point end) {
  const auto left = std::chrono::duration_cast<Milliseconds>(end - Clock::now()).count();
  pollfd wanted{socket, what, 0};
  return ::poll(&wanted, 1, static_cast<int>(std::max<long long>(left, 0))) == 1;
}

std::string lowered(std::string text) {
  for (char& c : text) c = static_cast<char>(std::tolower(static_cast<unsigned char>(c)));
  return text;
}

Answer parseHead(const std::string& head) {
  Answer answer;
  answer.head = head;
  REQUIRE(head.rfind("HTTP/1.1 ", 0) == 0);
  answer.status = std::stoi(head.substr(9, 3));
  for (std::size_t at = head.find("\r\n") + 2; at < head.size();) {
    const std::size_t end = head.find("\r\n", at);
    const std::size_t colon = head.find(": ", at);
    REQUIRE(colon < end);
    answer.headers[lowered(head.substr(at, colon - at))] = head.substr(colon + 2, end - colon - 2);
    at = end + 2;
  }
  return answer;
}

}  // namespace

Client::Client(std::uint16_t port, int receive_buffer)
    : socket_(::socket(AF_INET, SOCK_STREAM | SOCK_CLOEXEC, 0)) {
  REQUIRE(socket_ >= 0);
  const int one = 1;
  ::setsockopt(socket_, IPPROTO_TCP, TCP_NODELAY, &one, sizeof one);
  if (receive_buffer > 0) {
    ::setsockopt(socket_, SOL_SOCKET, SO_RCVBUF, &receive_buffer, sizeof receive_buffer);
  }
  sockaddr_in address{};
  address.sin_family = AF_INET;
  address.sin_port = htons(port);
  address.sin_addr.s_addr = htonl(INADDR_LOOPBACK);
  REQUIRE(::connect(socket_, reinterpret_cast<const sockaddr*>(&address), sizeof address) == 0);
}

Client::~Client() { close(); }

void Client::close() {
  if (socket_ >= 0) ::close(socket_);
  socket_ = -1;
}

void Client::reset() {
  const linger now{1, 0};
  ::setsockopt(socket_, SOL_SOCKET, SO_LINGER, &now, sizeof now);
  close();
}

bool Client::send(std::string_view text, Milliseconds within) {
  const auto end = Clock::now() + within;
  while (!text.empty()) {
    if (!isReady(socket_, POLLOUT, end)) return false;
    const ssize_t sent = ::send(socket_, text.data(), text.size(), MSG_NOSIGNAL | MSG_DONTWAIT);
    if (sent < 0 && errno != EAGAIN) return false;
    if (sent > 0) text.remove_prefix(static_cast<std::size_t>(sent));
  }
  return true;
}

Client::Got Client::receive(Milliseconds within) {
  if (!isReady(socket_, POLLIN, Clock::now() + within)) return Got::nothing;
  std::array<char, 65536> chunk{};
  const ssize_t got = ::recv(socket_, chunk.data(), chunk.size(), 0);
  if (got <= 0) return Got::closed;
  pending_.append(chunk.data(), static_cast<std::size_t>(got));
  return Got::bytes;
}

bool Client::waitFor(std::string_view text, Milliseconds within) {
  const auto end = Clock::now() + within;
  while (pending_.find(text) == std::string::npos) {
    const auto left = std::chrono::duration_cast<Milliseconds>(end - Clock::now());
    if (left <= 0ms || receive(left) != Got::bytes) return false;
  }
  return true;
}

bool Client::waitForClose(Milliseconds within) {
  const auto end = Clock::now() + within;
  for (;;) {
    const auto left = std::chrono::duration_cast<Milliseconds>(end - Clock::now());
    const Got got = receive(std::max(left, 0ms));
    if (got == Got::closed) return true;
    if (got == Got::nothing || left <= 0ms) return false;
  }
}

std::optional<Answer> Client::read(bool head_only, Milliseconds within) {
  const auto end = Clock::now() + within;
  if (!waitFor("\r\n\r\n", within)) return std::nullopt;
  const std::size_t head_size = pending_.find("\r\n\r\n") + 2;
  Answer answer = parseHead(pending_.substr(0, head_size));
  pending_.erase(0, head_size + 2);
  const std::string length = answer.header("content-length");
  const std::size_t size = head_only || length.empty() ? 0 : std::stoul(length);
  while (pending_.size() < size) {
    const auto left = std::chrono::duration_cast<Milliseconds>(end - Clock::now());
    if (left <= 0ms || receive(left) != Got::bytes) return std::nullopt;
  }
  answer.body = pending_.substr(0, size);
  pending_.erase(0, size);
  return answer;
}

std::optional<Answer> Client::ask(const std::string& request) {
  if (!send(request)) return std::nullopt;
  return read(request.rfind("HEAD ", 0) == 0);
}

std::string get(const std::string& path, const std::string& lines) {
  return "GET " + path + " HTTP/1.1\r\nHost: localhost\r\n" + lines + "\r\n";
}

std::string post(const std::string& path, const std::string& body, const std::string& lines) {
  return "POST " + path + " HTTP/1.1\r\nHost: localhost\r\nX-Platemark: 1\r\nContent-Length: " +
         std::to_string(body.size()) + "\r\n" + lines + "\r\n" + body;
}

Running::Running(Router router, ServerOptions options)
    : server(std::move(options), std::move(router)) {
  const auto started = server.start();
  REQUIRE(started);
}

}  // namespace platemark::http::testing
