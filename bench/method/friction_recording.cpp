/// A ten-hour recording of a friction machine at 500 samples a second, 288 MB: read and evaluated
/// piece by piece, against a plain read() of the same file that looks at nothing; alternated,
/// medians of repetitions that follow one untimed run. Prints one JSON line.
///
///   bench_friction_recording [hours] [repetitions]
#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>
#include <chrono>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <random>
#include <vector>

#include "platemark/method/friction/braking.h"

using namespace platemark;
using namespace platemark::method::friction;

namespace {

constexpr double rate = 500;

double seconds(auto&& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

/// Five seconds on, ten seconds off, with noise on torque and pressure.
FrictionSample sampleAt(std::int64_t i, std::minstd_rand& noise) {
  const auto random = [&] { return static_cast<float>(noise() % 1000) * 0.001F; };
  const double into = static_cast<double>(i % 7500) / rate;
  if (into < 10) return {2 + random(), 15 + random(), 26, static_cast<float>(100 - into)};
  const auto t = static_cast<float>(into - 10);
  return {400 + 4 * t + 5 * random(), 2080 + 20 * random(), 26, 100 + 15 * t};
}

void write(const std::filesystem::path& path, std::int64_t samples) {
  std::ofstream out(path, std::ios::binary);
  std::minstd_rand noise(3);
  std::vector<FrictionSample> piece;
  for (std::int64_t i = 0; i < samples; ++i) {
    piece.push_back(sampleAt(i, noise));
    if (piece.size() < 65536 && i + 1 < samples) continue;
    out.write(reinterpret_cast<const char*>(piece.data()),
              static_cast<std::streamsize>(piece.size() * sizeof(FrictionSample)));
    piece.clear();
  }
}

/// Each piece of the file as it comes from read().
template <class Work>
void eachPiece(const std::filesystem::path& path, Work work) {
  static std::vector<FrictionSample> piece(65536);
  const int file = open(path.c_str(), O_RDONLY);
  for (;;) {
    const ssize_t got = read(file, piece.data(), piece.size() * sizeof(FrictionSample));
    if (got <= 0) break;
    work(std::span<const FrictionSample>(piece).first(static_cast<std::size_t>(got) /
                                                      sizeof(FrictionSample)));
  }
  close(file);
}

std::int64_t counted(const std::filesystem::path& path) {
  std::int64_t samples = 0;
  eachPiece(path, [&](std::span<const FrictionSample> piece) {
    samples += static_cast<std::int64_t>(piece.size());
  });
  return samples;
}

Brakings evaluated(const std::filesystem::path& path) {
  const BrakingRule rule{Pressure::of(200, unit::kilopascal), Pressure::of(100, unit::kilopascal),
                         Duration::of(1, unit::second), Duration::of(0.2, unit::second)};
  const BrakeGeometry geometry{Area::of(22.9, unit::square_centimetre),
                               Length::of(110, unit::millimetre), Pressure(), 1};
  auto finder = BrakingFinder::make(rule, geometry, rate);
  eachPiece(path, [&](std::span<const FrictionSample> samples) {
    if (!finder->take(samples)) std::exit(1);
  });
  return finder->finish();
}

}  // namespace

int main(int argc, char** argv) {
  const double hours = argc > 1 ? std::atof(argv[1]) : 10;
  const int repetitions = argc > 2 ? std::max(1, std::atoi(argv[2])) : 5;
  const auto samples = static_cast<std::int64_t>(hours * 3600 * rate);
  const auto path =
      std::filesystem::temp_directory_path() / fmt::format("platemark-friction-{}.bin", getpid());
  write(path, samples);
  std::vector<double> ours, plain;
  Brakings found;
  std::int64_t read_samples = 0;
  for (int i = 0; i <= repetitions; ++i) {
    const double b = seconds([&] { read_samples = counted(path); });
    const double a = seconds([&] { found = evaluated(path); });
    if (i == 0) continue;
    ours.push_back(a);
    plain.push_back(b);
  }
  std::filesystem::remove(path);
  const double megabytes = static_cast<double>(samples) * sizeof(FrictionSample) / 1e6;
  const double speed = megabytes / median(ours), reference = megabytes / median(plain);
  const bool complete = found.samples == samples && read_samples == samples &&
                        std::abs(static_cast<double>(found.brakings.size()) - hours * 240) < 2;
  fmt::print(
      R"({{"name": "method.friction_recording", "ours": {:.0f}, "reference": {:.0f}, "unit": )"
      R"("MB/s", "ratio": {:.2f}, "target": "at least a quarter of the speed of a plain read", "met": )"
      R"({}, "note": "{:g} hours at 500 Hz, {:.0f} MB in {:.0f} ms, {} brakings found"}})"
      "\n",
      speed, reference, speed / reference, complete && speed >= 0.25 * reference, hours, megabytes,
      1e3 * median(ours), found.brakings.size());
}
