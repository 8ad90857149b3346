#include <chrono>

#include "platemark/ledger/store.h"

namespace platemark::ledger {
namespace {

class SystemClock final : public Clock {
 public:
  [[nodiscard]] Instant now() const override {
    const auto since = std::chrono::system_clock::now().time_since_epoch();
    return Instant::fromUnixMs(
        std::chrono::duration_cast<std::chrono::milliseconds>(since).count());
  }
};

}  // namespace

std::shared_ptr<Clock> systemClock() { return std::make_shared<SystemClock>(); }

}  // namespace platemark::ledger
