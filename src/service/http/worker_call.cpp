#include "worker_call.h"

#include <exception>
#include <stdexcept>
#include <utility>

#include "platemark/http/problem.h"

namespace platemark::http {
namespace {

Response failed(const ServerOptions& options, const Request& request, const char* what) {
  if (options.on_exception) options.on_exception(request.id, what);
  return problem(
      {.fault = Fault::environment,
       .code = "http.internal",
       .what = "something went wrong in the server; it is in its log as request " + request.id,
       .remedy = "tell whoever looks after the server the number of the request"},
      500);
}

}  // namespace

std::optional<Response> attempt(const ServerOptions& options, const Request& request,
                                const std::function<std::optional<Response>()>& call) {
  try {
    return call();
  } catch (const std::exception& exception) {
    return failed(options, request, exception.what());
  } catch (...) {
    return failed(options, request, "an exception of unknown type");
  }
}

void UploadCall::open(const UploadOpener& opener) {
  response_ = attempt(options_, request_, [&]() -> std::optional<Response> {
    auto opened = opener(request_);
    if (!opened) return problem(opened.error());
    if (!*opened) throw std::logic_error("an upload was opened without a sink");
    sink_ = std::move(*opened);
    return std::nullopt;
  });
}

void UploadCall::write(std::string_view piece) {
  response_ = attempt(options_, request_, [&]() -> std::optional<Response> {
    const Result<void> written = sink_->write(piece);
    if (!written) return problem(written.error());
    return std::nullopt;
  });
}

void UploadCall::finish() {
  response_ = attempt(options_, request_, [&]() -> std::optional<Response> {
    Response response = sink_->finish();
    sink_.reset();
    return response;
  });
}

void UploadCall::abort() {
  const auto thrown = attempt(options_, request_, [&]() -> std::optional<Response> {
    sink_->abort();
    return std::nullopt;
  });
  if (thrown && !response_) response_ = thrown;
  sink_.reset();
}

void ReplayCall::run(const Replay& replay) {
  refusal_ = attempt(options_, request_, [&]() -> std::optional<Response> {
    auto missed = replay(request_, std::string(request_.header("last-event-id").value_or("")));
    if (!missed) return problem(missed.error());
    missed_ = std::move(*missed);
    return std::nullopt;
  });
}

}  // namespace platemark::http
