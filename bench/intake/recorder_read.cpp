/// How fast a 500 MB recorder file is read: a plain cached read() of the bytes,
/// ours, and DuckDB's CSV reader on the same two threads, alternated; medians of runs that
/// each follow one untimed run in the same process.
/// Prints one JSON line for each comparison.
///
///   bench_recorder_read [megabytes] [repetitions]
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cmath>
#include <cstdio>
#include <cstdlib>
#include <filesystem>
#include <memory>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "platemark/intake/series.h"
#include "platemark/quantity/time.h"

using namespace platemark;
using namespace platemark::intake;

namespace {

constexpr int channels = 6;

struct Flavour {
  const char* name;
  char mark;
};

double seconds(auto&& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

/// An oven load every eight hours, sampled every second: a ramp, a soak, noise
/// on every channel, now and then a channel that is not connected.
std::string row(std::int64_t i, std::minstd_rand& noise, char mark) {
  const Instant at = Instant::fromUnixMs(1'700'000'000'000 + i * 1000);
  const auto t = *localTime(at, "Etc/UTC");
  std::string text = fmt::format("{:02}.{:02}.{:04} {:02}:{:02}:{:02}", t.day, t.month, t.year,
                                 t.hour, t.minute, t.second);
  const double into_load = static_cast<double>(i % 28800);
  const double programme = std::min(20.0 + into_load / 60.0 * 2.0, 180.0);
  for (int c = 0; c < channels; ++c) {
    const double value = programme - c * 1.5 + static_cast<double>(noise() % 1000) / 500.0;
    text += c == 5 && i % 500 == 0 ? ";---" : fmt::format(";{:.2f}", value);
  }
  std::replace(text.begin() + 19, text.end(), '.', mark);
  return text + "\r\n";
}

void generate(const std::filesystem::path& path, std::size_t bytes, char mark) {
  std::unique_ptr<std::FILE, int (*)(std::FILE*)> file(std::fopen(path.c_str(), "wb"),
                                                       &std::fclose);
  std::string block = "Time";
  for (int c = 1; c <= channels; ++c) block += fmt::format(";CH{} [degC]", c);
  block += "\r\n";
  std::minstd_rand noise(7);
  std::size_t written = 0;
  for (std::int64_t i = 0; written + block.size() < bytes; ++i) {
    block += row(i, noise, mark);
    if (block.size() < (1u << 20)) continue;
    written += std::fwrite(block.data(), 1, block.size(), file.get());
    block.clear();
  }
  std::fwrite(block.data(), 1, block.size(), file.get());
}

FileLayout layoutFor(char mark) {
  FileLayout layout;
  layout.decimal_mark = mark == ',' ? DecimalMark::comma : DecimalMark::point;
  layout.time = {.column = 1,
                 .clock_column = 0,
                 .form = StampForm::day_month_year,
                 .zone = "Europe/Berlin",
                 .elapsed_unit = "s"};
  for (int c = 1; c <= channels; ++c)
    layout.columns.push_back({c + 1, Role::reading, fmt::format("CH{} [degC]", c),
                              fmt::format("channel {}", c), "Cel", Kind::temperature_point, -50.0,
                              600.0});
  // The generator's clock runs in UTC, so no hour is repeated or skipped.
  layout.time.zone = "Etc/UTC";
  return layout;
}

void plainRead(const std::string& path) {
  auto source = openFile(path);
  std::vector<char> block(8u << 20);
  for (std::uint64_t offset = 0; offset < *(*source)->size();)
    offset += *(*source)->read(offset, block);
}

struct Sums {
  std::size_t rows = 0;
  std::int64_t last_ms = 0;
  std::array<double, channels> columns{};
};

Sums ourRead(const std::string& path, char mark, int threads, double& took) {
  Sums sums;
  took = seconds([&] {
    auto source = openFile(path);
    Limits limits;
    limits.threads = threads;
    const auto series = readSeries(**source, layoutFor(mark), limits);
    if (!series) {
      std::fputs(describe(series.error()).c_str(), stderr);
      std::exit(1);
    }
    sums.rows = series->times.size();
    sums.last_ms = series->times.back();
    for (std::size_t c = 0; c < channels; ++c)
      for (const double v : series->columns[c].values) sums.columns[c] += std::isnan(v) ? 0 : v;
  });
  return sums;
}

std::string run(const std::string& command) {
  std::unique_ptr<std::FILE, int (*)(std::FILE*)> pipe(::popen(command.c_str(), "r"), &::pclose);
  std::string text;
  std::array<char, 4096> block;
  while (const std::size_t got = std::fread(block.data(), 1, block.size(), pipe.get()))
    text.append(block.data(), got);
  return text;
}

/// The numbers of the JSON array behind `key`.
std::vector<double> numbersOf(const std::string& json, const std::string& key) {
  std::vector<double> numbers;
  auto at = json.find("\"" + key + "\":");
  if (at == std::string::npos) return numbers;
  at += key.size() + 3;
  for (char sign = json[at]; sign != ']' && sign != '}' && at < json.size();) {
    char* end = nullptr;
    if (json[at] == '[') ++at;
    numbers.push_back(std::strtod(json.c_str() + at, &end));
    at = static_cast<std::size_t>(end - json.c_str());
    sign = json[at];
    if (json[at - 1] != ']' && sign == ',' && json[at + 1] == '"') break;
    ++at;
  }
  return numbers;
}

/// A line without a target says null for it and for whether it is met.
void print(const std::string& name, double ours, double reference, std::optional<double> target,
           const std::string& note) {
  const double ratio = reference / ours;
  fmt::print(
      "{{\"name\":\"{}\",\"ours\":{:.4f},\"reference\":{:.4f},\"unit\":\"s\",\"ratio\":{:.3f},",
      name, ours, reference, ratio);
  fmt::print("\"target\":{},\"met\":{},\"note\":\"{}\"}}\n",
             target ? fmt::format("{}", *target) : "null",
             target ? (ratio >= *target ? "true" : "false") : "null", note);
  std::fflush(stdout);
}

bool agree(const Sums& ours, const std::string& json) {
  const auto sums = numbersOf(json, "sums");
  if (numbersOf(json, "rows") != std::vector<double>{static_cast<double>(ours.rows)}) return false;
  if (numbersOf(json, "last_ms") != std::vector<double>{static_cast<double>(ours.last_ms)})
    return false;
  for (std::size_t c = 0; c < channels; ++c)
    if (c >= sums.size() || std::abs(sums[c] - ours.columns[c]) > 1e-9 * std::abs(sums[c]))
      return false;
  return true;
}

void compare(const std::string& path, const Flavour& flavour, std::size_t megabytes,
             int repetitions) {
  std::vector<double> plain, two, one, kept, summed;
  bool same = true;
  const std::string duckdb = fmt::format("cd {} && node intake/duckdb_read.mjs {} ';' '{}' {} 2 2",
                                         PLATEMARK_BENCH_DIR, path, flavour.mark, channels);
  plainRead(path);
  for (int i = 0; i < repetitions; ++i) {
    double took = 0;
    plain.push_back(seconds([&] { plainRead(path); }));
    // Each reader runs once untimed first: memory that a process touches for
    // the first time costs it more than reading, most of all on a virtual machine.
    const Sums sums = ourRead(path, flavour.mark, 2, took);
    ourRead(path, flavour.mark, 2, took);
    two.push_back(took);
    ourRead(path, flavour.mark, 1, took);
    one.push_back(took);
    const std::string json = run(duckdb);
    same &= agree(sums, json);
    if (const auto times = numbersOf(json, "kept"); !times.empty()) kept.push_back(times.back());
    if (const auto times = numbersOf(json, "summed"); !times.empty())
      summed.push_back(times.back());
  }
  const std::string size = fmt::format("{} MB, {} channels, {}", megabytes, channels,
                                       same ? "rows, last time and sums equal" : "RESULTS DIFFER");
  const std::string name = fmt::format("intake.recorder_{}", flavour.name);
  if (kept.empty() || summed.empty()) {
    std::fputs("DuckDB gave no numbers: run 'npm ci' in bench/ first.\n", stderr);
    std::exit(1);
  }
  print(name + ".duckdb_table", median(two), median(kept), 1.0,
        size + "; 2 threads each; columns kept in memory");
  print(name + ".duckdb_sums", median(two), median(summed), 1.0,
        size + "; 2 threads each; the reference only sums while streaming");
  print(name + ".duckdb_table_one_thread", median(one), median(kept), 1.0,
        size + "; ours on 1 thread, reference on 2");
  print(name + ".plain_read", median(two), median(plain), std::nullopt,
        size + "; cached read() of the bytes on 1 thread, no target");
}

}  // namespace

int main(int argc, char** argv) {
  const std::size_t megabytes = argc > 1 ? std::strtoul(argv[1], nullptr, 10) : 500;
  const int repetitions = argc > 2 ? std::atoi(argv[2]) : 5;
  const auto folder = std::filesystem::temp_directory_path() /
                      fmt::format("platemark_bench_{}", std::random_device{}());
  std::filesystem::create_directories(folder);
  for (const Flavour flavour : {Flavour{"comma", ','}, Flavour{"point", '.'}}) {
    const auto path = folder / (std::string(flavour.name) + ".csv");
    generate(path, megabytes * 1'000'000, flavour.mark);
    compare(path.string(), flavour, megabytes, repetitions);
    std::filesystem::remove(path);
  }
  std::filesystem::remove_all(folder);
}
