#include "platemark/service/service.h"

#include <fmt/format.h>

#include <algorithm>
#include <atomic>
#include <thread>

#include "context.h"
#include "platemark/http/server.h"
#include "web_assets.h"

namespace platemark::service {
namespace {

constexpr auto watch_every = std::chrono::milliseconds(200);
constexpr std::size_t replay_most = 500;

http::Event factEvent(const Fact& fact) {
  Value::Array subjects;
  for (const Subject& s : fact.subjects)
    subjects.push_back(Value::Object{{"kind", s.kind}, {"id", s.id}});
  return {"fact",
          canonicalJson(Value::Object{
              {"sequence", fact.sequence}, {"kind", fact.kind}, {"subjects", std::move(subjects)}}),
          std::to_string(fact.sequence)};
}

}  // namespace

struct Service::Core {
  Core(House opened, ServiceOptions chosen)
      : options(std::move(chosen)),
        context{std::move(opened), {}, {}, {}, {}, {}, options.behind_tls},
        hub(std::make_shared<http::EventHub>()) {}

  ServiceOptions options;
  Context context;
  std::shared_ptr<http::EventHub> hub;
  std::vector<http::Asset> assets;
  WebFolder folder;
  std::unique_ptr<http::Server> server;
  std::atomic<bool> watching{false};
  std::thread watcher;

  http::Router routes() {
    http::Router router;
    addSessionRoutes(router, context);
    addViewRoutes(router, context);
    addStationRoutes(router, context);
    addActRoutes(router, context);
    addFileRoutes(router, context);
    addExportRoutes(router, context);
    addLabelRoutes(router, context);
    addHeatRoutes(router, context);
    router.events("/api/events", hub, [this](const http::Request&, const std::string& last_id) {
      return missedSince(last_id);
    });
    keepDoor(router, context);
    if (!options.web_folder.empty())
      assets = folder.load(options.web_folder);
    else
      assets = builtInAssets();
    router.assets(assets);
    return router;
  }

  Result<std::vector<http::Event>> missedSince(const std::string& last_id) const {
    std::vector<http::Event> events;
    if (last_id.empty() || last_id.find_first_not_of("0123456789") != std::string::npos ||
        last_id.size() > 15)
      return events;
    for (const Fact& fact :
         context.house.store->read()->factsAfter(std::stoll(last_id), replay_most))
      events.push_back(factEvent(fact));
    return events;
  }

  /// Facts may come from other programs too (the terminal), so the record is watched, not this
  /// program's own acts.
  void watch() {
    Sequence seen = context.house.store->read()->sequence();
    while (watching) {
      std::this_thread::sleep_for(watch_every);
      for (const Fact& fact : context.house.store->read()->factsAfter(seen, replay_most)) {
        hub->publish(factEvent(fact));
        seen = fact.sequence;
      }
    }
  }
};

Service::Service(House house, ServiceOptions options)
    : core_(std::make_unique<Core>(std::move(house), std::move(options))) {}
Service::~Service() { stop(); }

Result<void> Service::start() {
  http::ServerOptions server;
  server.address = core_->options.address;
  server.port = core_->options.port;
  server.hosts = core_->options.hosts;
  server.behind_tls = core_->options.behind_tls;
  server.on_exception = [](const std::string& id, const std::string& what) {
    fmt::print(stderr, "request {}: {}\n", id, what);
  };
  core_->server = std::make_unique<http::Server>(std::move(server), core_->routes());
  if (Result<void> started = core_->server->start(); !started) return started;
  core_->watching = true;
  core_->watcher = std::thread([core = core_.get()] { core->watch(); });
  return {};
}

void Service::stop() {
  core_->watching = false;
  if (core_->watcher.joinable()) core_->watcher.join();
  core_->context.jobs.end();
  if (core_->server) core_->server->stop();
}

std::uint16_t Service::port() const { return core_->server ? core_->server->port() : 0; }

}  // namespace platemark::service
