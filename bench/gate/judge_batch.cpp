/// How long judging a full batch takes when its figures are present: reading
/// the batch's states and comparing them with its plan, as an act does.
#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <cstdlib>
#include <vector>

#include "platemark/act/files.h"
#include "platemark/service/house.h"

int main(int argc, char** argv) {
  using namespace platemark;
  using Clock = std::chrono::steady_clock;
  if (argc != 2) {
    fmt::print(stderr, "use: bench_judge_batch <folder of a loaded demo>\n");
    return 64;
  }
  const Result<service::House> house = service::openHouse(argv[1]);
  if (!house) {
    fmt::print(stderr, "{}\n", describe(house.error()));
    return 1;
  }
  constexpr int rounds = 2000;
  std::vector<double> milliseconds;
  const auto snapshot = house->store->read();
  const std::string batch = snapshot->states(projection::batch, "", "", 1).front().key;
  std::string digest;
  for (int i = 0; i < rounds; ++i) {
    const auto start = Clock::now();
    const Result<gate::BatchFile> file =
        act::batchFile(*snapshot, batch, dayIn(snapshot->now(), house->card.zone));
    if (!file) return 1;
    digest = gate::judgeBatch(Gate::cure, *file).digest;
    milliseconds.push_back(std::chrono::duration<double, std::milli>(Clock::now() - start).count());
  }
  std::sort(milliseconds.begin(), milliseconds.end());
  const double p99 = milliseconds[static_cast<std::size_t>(rounds * 99 / 100)],
               median = milliseconds[rounds / 2];
  const double target = 5.0;
  fmt::print(
      R"({{"name":"judging a full batch, 99th percentile","ours":{:.3f},"reference":{:.1f},"unit":"ms","ratio":{:.3f},"target":"at most 5 ms","met":{},"note":"median {:.3f} ms over {} rounds, batch {}, digest {}"}})"
      "\n",
      p99, target, p99 / target, p99 <= target, median, rounds, batch, digest.substr(0, 12));
  return 0;
}
