/// Computations that take longer than a page waits: each in a thread of its own, with its progress,
/// and stopped when it is asked to or when the service ends.
#pragma once

#include <atomic>
#include <functional>
#include <list>
#include <memory>
#include <mutex>
#include <optional>
#include <string>
#include <thread>

#include "platemark/plant/value.h"
#include "platemark/quantity/result.h"
#include "platemark/service/heat_file.h"

namespace platemark::service {

class Jobs {
 public:
  using Work = std::function<Result<Value>(const HeatProgress&)>;
  struct Standing {
    std::string about;
    double share = 0;  ///< done, 0…1
    bool done = false;
    std::optional<Result<Value>> result;  ///< once it is done
  };

  Jobs() = default;
  ~Jobs();
  Jobs(const Jobs&) = delete;
  Jobs& operator=(const Jobs&) = delete;

  /// The job's number; of one about the same thing that still runs, that one's. Errors: job.busy.
  [[nodiscard]] Result<std::string> begin(const std::string& about, Work work);
  [[nodiscard]] std::optional<Standing> standing(const std::string& number) const;
  /// False when there is no such job.
  bool cancel(const std::string& number);
  /// Stops all and waits.
  void end();

 private:
  struct Job {
    std::string number, about;
    std::atomic<double> share{0};
    std::atomic<bool> stop{false}, done{false};
    std::optional<Result<Value>> result;  ///< written before `done`
    std::thread thread;
  };
  static constexpr std::size_t at_once = 2, kept = 50;

  [[nodiscard]] std::shared_ptr<Job> named(const std::string& number) const;
  void forgetOld();

  mutable std::mutex mutex_;
  std::list<std::shared_ptr<Job>> jobs_;
  int last_ = 0;
};

}  // namespace platemark::service
