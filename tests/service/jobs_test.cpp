/// Computations in threads of their own: begun once, watched, stopped, and never the service's end.
#include "../../src/service/heat/jobs.h"

#include <doctest/doctest.h>

#include <chrono>
#include <stdexcept>

namespace platemark::service {
namespace {

/// Waits as a page does: by asking.
Jobs::Standing ended(const Jobs& jobs, const std::string& number) {
  for (int tries = 0; tries < 5000; ++tries) {
    const auto standing = jobs.standing(number);
    REQUIRE(standing);
    if (standing->done) return *standing;
    std::this_thread::sleep_for(std::chrono::milliseconds(2));
  }
  FAIL("the job did not end");
  return {};
}

/// Goes on until it is told to stop.
Result<Value> endless(const std::function<bool(double)>& go_on) {
  while (go_on(0.5)) std::this_thread::sleep_for(std::chrono::milliseconds(1));
  return Value("stopped");
}

}  // namespace

TEST_CASE("a computation asked for twice is begun once, and stopped when it is asked to") {
  Jobs jobs;
  const auto first = jobs.begin("load heat N-1", endless),
             again = jobs.begin("load heat N-1", endless);
  REQUIRE((first && again));
  CHECK(*first == *again);
  CHECK_FALSE(jobs.standing(*first)->done);
  CHECK(jobs.cancel(*first));
  const Jobs::Standing standing = ended(jobs, *first);
  REQUIRE(*standing.result);
  CHECK(**standing.result == Value("stopped"));
  CHECK_FALSE(jobs.cancel("99"));
  CHECK_FALSE(jobs.standing("99"));
}

TEST_CASE("too many at once are refused, and all stop with the service") {
  Jobs jobs;
  int begun = 0;
  std::string code;
  for (int n = 0; n < 50 && code.empty(); ++n) {
    const auto job = jobs.begin("load " + std::to_string(n), endless);
    if (job)
      ++begun;
    else
      code = job.error().code;
  }
  CHECK(begun >= 1);
  CHECK(code == "job.busy");
}

TEST_CASE("a computation that breaks off says so and ends nothing else") {
  Jobs jobs;
  const auto job = jobs.begin(
      "breaks", [](const auto&) -> Result<Value> { throw std::runtime_error("out of memory"); });
  REQUIRE(job);
  const Jobs::Standing standing = ended(jobs, *job);
  REQUIRE_FALSE(*standing.result);
  CHECK(standing.result->error().code == "job.broken");
  CHECK(standing.result->error().what.find("out of memory") != std::string::npos);
}

}  // namespace platemark::service
