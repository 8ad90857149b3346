/// Which address is answered by what.
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <variant>
#include <vector>

#include "platemark/http/assets.h"
#include "platemark/http/event_hub.h"
#include "platemark/http/message.h"
#include "platemark/quantity/result.h"

namespace platemark::http {

/// Runs on a worker thread, several at once. An exception is answered with 500 and logged; its
/// text never leaves the house.
using Handler = std::function<Response(const Request&)>;

/// Takes an upload piece by piece. One call at a time, on worker threads, in order; the next piece
/// is not read from the network before write() has returned. Exactly one of finish() and abort()
/// ends it, except that abort() also follows a finish() that threw.
class UploadSink {
 public:
  virtual ~UploadSink() = default;
  /// At most 64 kB. An error ends the upload and is sent to the client.
  [[nodiscard]] virtual Result<void> write(std::string_view piece) = 0;
  /// All has arrived.
  [[nodiscard]] virtual Response finish() = 0;
  /// The client went away, was too slow, sent too much, or write() failed: undo.
  virtual void abort() = 0;
};

/// Opens a sink, or refuses before a byte of the body is read.
using UploadOpener = std::function<Result<std::unique_ptr<UploadSink>>(const Request&)>;

/// Events a returning client has missed, oldest first. `last_id` is empty for a new client. An
/// error refuses the stream. Events that are published meanwhile are not lost, and those with an
/// id given here are not sent twice.
using Replay =
    std::function<Result<std::vector<Event>>(const Request&, const std::string& last_id)>;

/// Asked on a worker before every route that is not opened to all. What it answers is sent in the
/// route's place, before a byte of a body is read.
using Doorkeeper = std::function<std::optional<Response>(const Request&)>;

struct UploadTarget {
  UploadOpener open;
};
struct EventTarget {
  std::shared_ptr<EventHub> hub;
  Replay replay;
};

struct Route {
  std::string method;
  std::vector<std::string> pattern;  ///< parts; "{name}" takes any one part
  std::variant<Handler, UploadTarget, EventTarget> target;
  std::uint64_t body_limit = 0;  ///< bytes
  bool open_to_all = false;      ///< the doorkeeper is not asked
};

inline constexpr std::uint64_t default_body_limit = std::uint64_t{1} << 20U;    // 1 MB
inline constexpr std::uint64_t default_upload_limit = std::uint64_t{4} << 30U;  // 4 GB

/// Patterns such as "/api/lots/{id}". A literal part wins over a named one. HEAD is answered by
/// the GET route. Registering a wrong pattern, or one twice, throws std::invalid_argument: it is a
/// mistake in the program.
class Router {
 public:
  Router& on(const std::string& method, const std::string& pattern, Handler handler,
             std::uint64_t body_limit = default_body_limit);
  Router& get(const std::string& pattern, Handler handler);
  Router& post(const std::string& pattern, Handler handler,
               std::uint64_t body_limit = default_body_limit);
  Router& upload(const std::string& method, const std::string& pattern, UploadOpener open,
                 std::uint64_t body_limit = default_upload_limit);
  Router& events(const std::string& pattern, std::shared_ptr<EventHub> hub, Replay replay = {});
  /// Assets are open to all.
  Router& assets(std::span<const Asset> assets, std::string index = "/index.html");
  Router& doorkeeper(Doorkeeper keeper);
  /// A route that exists; throws std::invalid_argument otherwise.
  Router& openToAll(const std::string& method, const std::string& pattern);

  /// `route` when found; otherwise `allowed` names the methods the path has, if any.
  struct Match {
    const Route* route = nullptr;
    Fields params;
    std::vector<std::string> allowed;
  };
  /// `parts`: the path's decoded parts.
  [[nodiscard]] Match find(std::string_view method, const std::vector<std::string>& parts) const;
  [[nodiscard]] const AssetShelf& shelf() const { return shelf_; }
  /// What the doorkeeper has against it; nothing when the route is open or nobody keeps the door.
  /// Whether the doorkeeper is asked at all.
  [[nodiscard]] bool isKept(const Route& route) const;
  [[nodiscard]] std::optional<Response> refusal(const Route& route, const Request& request) const;

 private:
  Router& add(Route route);

  std::vector<Route> routes_;
  Doorkeeper doorkeeper_;
  AssetShelf shelf_;
};

}  // namespace platemark::http
