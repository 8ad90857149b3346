#include "jobs.h"

#include <algorithm>
#include <exception>

namespace platemark::service {
namespace {

Error busy() {
  Error error;
  error.fault = Fault::environment;
  error.code = "job.busy";
  error.what = "Other computations are running.";
  error.remedy = "Wait until one of them is done.";
  return error;
}

Error broken(const std::exception& e) {
  Error error;
  error.fault = Fault::environment;
  error.code = "job.broken";
  error.what = std::string("The computation broke off: ") + e.what();
  error.remedy = "Ask for it again; nothing was recorded.";
  return error;
}

}  // namespace

Jobs::~Jobs() { end(); }

std::shared_ptr<Jobs::Job> Jobs::named(const std::string& number) const {
  const std::lock_guard lock(mutex_);
  const auto found = std::find_if(jobs_.begin(), jobs_.end(),
                                  [&](const auto& job) { return job->number == number; });
  return found == jobs_.end() ? nullptr : *found;
}

/// The oldest that are done go; the lock is held.
void Jobs::forgetOld() {
  while (jobs_.size() >= kept) {
    const auto old =
        std::find_if(jobs_.begin(), jobs_.end(), [](const auto& job) { return job->done.load(); });
    if (old == jobs_.end()) return;
    if ((*old)->thread.joinable()) (*old)->thread.join();
    jobs_.erase(old);
  }
}

Result<std::string> Jobs::begin(const std::string& about, Work work) {
  const std::lock_guard lock(mutex_);
  std::size_t running = 0;
  for (const auto& job : jobs_) {
    if (job->done) continue;
    if (job->about == about && !job->stop) return job->number;
    ++running;
  }
  if (running >= at_once) return busy();
  forgetOld();
  auto job = std::make_shared<Job>();
  job->number = std::to_string(++last_);
  job->about = about;
  jobs_.push_back(job);
  job->thread = std::thread([job, work = std::move(work)] {
    // Nobody stands above this thread: what nobody can handle would end the service.
    try {
      job->result = work([&job](double share) {
        job->share = share;
        return !job->stop.load();
      });
    } catch (const std::exception& e) {
      job->result = broken(e);
    }
    job->share = 1;
    job->done = true;
  });
  return job->number;
}

std::optional<Jobs::Standing> Jobs::standing(const std::string& number) const {
  const std::shared_ptr<Job> job = named(number);
  if (!job) return {};
  Standing standing{job->about, job->share, job->done, {}};
  if (standing.done) standing.result = job->result;
  return standing;
}

bool Jobs::cancel(const std::string& number) {
  const std::shared_ptr<Job> job = named(number);
  if (job) job->stop = true;
  return job != nullptr;
}

void Jobs::end() {
  std::list<std::shared_ptr<Job>> all;
  {
    const std::lock_guard lock(mutex_);
    all.swap(jobs_);
  }
  for (const auto& job : all) job->stop = true;
  for (const auto& job : all)
    if (job->thread.joinable()) job->thread.join();
}

}  // namespace platemark::service
