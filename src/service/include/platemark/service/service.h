/// The web service of one plant: pages, interface, live events. It parses,
/// asks an act or a view, and answers; it knows no rule of the trade.
#pragma once

#include <cstdint>
#include <memory>
#include <string>
#include <vector>

#include "platemark/service/house.h"

namespace platemark::service {

struct ServiceOptions {
  std::string address = "127.0.0.1";
  std::uint16_t port = 8140;
  std::string web_folder;  ///< pages from disk instead of the built-in ones, for development
  std::vector<std::string> hosts;  ///< names the service is called by, besides this machine's own
  bool behind_tls = false;
};

class Service {
 public:
  Service(House house, ServiceOptions options);
  ~Service();
  Service(const Service&) = delete;
  Service& operator=(const Service&) = delete;
  [[nodiscard]] Result<void> start();
  void stop();
  [[nodiscard]] std::uint16_t port() const;

 private:
  struct Core;
  std::unique_ptr<Core> core_;
};

}  // namespace platemark::service
