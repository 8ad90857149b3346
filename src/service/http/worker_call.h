/// The service's own functions, called so that nothing they throw gets out.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <vector>

#include "platemark/http/server.h"

namespace platemark::http {

/// What the call returns; when it throws, a 500 that names the request only, and the exception's
/// text in the log.
[[nodiscard]] std::optional<Response> attempt(const ServerOptions& options, const Request& request,
                                              const std::function<std::optional<Response>()>& call);

/// One upload: the sink and how it ended. Its members run on workers, one after another.
class UploadCall {
 public:
  UploadCall(const ServerOptions& options, const Request& request)
      : options_(options), request_(request) {}

  void open(const UploadOpener& opener);
  void write(std::string_view piece);
  void finish();
  void abort();
  /// No more is read; what the client is told, if anybody is left.
  void giveUp(std::optional<Response> response) { response_ = std::move(response); }

  [[nodiscard]] const std::optional<Response>& response() const { return response_; }
  /// Neither finished nor aborted.
  [[nodiscard]] bool isOpen() const { return sink_ != nullptr; }

 private:
  const ServerOptions& options_;
  const Request& request_;
  std::unique_ptr<UploadSink> sink_;
  std::optional<Response> response_;
};

/// One replay of missed events.
class ReplayCall {
 public:
  ReplayCall(const ServerOptions& options, const Request& request)
      : options_(options), request_(request) {}

  void run(const Replay& replay);

  [[nodiscard]] const std::optional<Response>& refusal() const { return refusal_; }
  [[nodiscard]] const std::vector<Event>& missed() const { return missed_; }

 private:
  const ServerOptions& options_;
  const Request& request_;
  std::vector<Event> missed_;
  std::optional<Response> refusal_;
};

}  // namespace platemark::http
