/// How fast acts become durable: weighings through submit(), with chain, index and the plant's
/// projections, against plain SQLite inserts of the same bytes, one transaction each, with the same
/// syncing on the same file system; once with one sender, once with 32 that wait together.
/// Blocks of each are alternated; medians of the blocks. Prints one JSON line for each comparison.
///
///   bench_append [acts a block] [blocks] [folder]
#include <fmt/format.h>
#include <sqlite3.h>

#include <algorithm>
#include <atomic>
#include <chrono>
#include <cstdlib>
#include <filesystem>
#include <random>
#include <stdexcept>
#include <string>
#include <thread>
#include <vector>

#include "platemark/ledger/projections.h"
#include "platemark/ledger/store.h"
#include "platemark/plant/event.h"

using namespace platemark;
using namespace platemark::ledger;

namespace {

constexpr int senders = 32;

double seconds(auto&& work) {
  const auto begin = std::chrono::steady_clock::now();
  work();
  return std::chrono::duration<double>(std::chrono::steady_clock::now() - begin).count();
}

double median(std::vector<double> values) {
  std::sort(values.begin(), values.end());
  return values[values.size() / 2];
}

Measure kilograms(const std::string& text) {
  return *described::Codec<Measure>::read(text + " kg", "");
}

/// Twelve ingredients are weighed into each mix.
NewFact weighing(int n) {
  Weighed w;
  w.mix = fmt::format("mix {}", n / 12);
  w.material = fmt::format("M-{:02}", n % 12);
  w.lot = fmt::format("R-{}", 2300 + n % 40);
  w.wanted = kilograms("12.400");
  w.tolerance = kilograms("0.050");
  w.mass = kilograms(fmt::format("12.{:03}", 380 + n % 40));
  w.gauge = "scale 2";
  const Instant when = Instant::fromUnixMs(1'790'000'000'000 + n * 1000);
  return {"mix.weighed", 1, {when, "Europe/Berlin", "", {}}, 12, {{"mix", w.mix}, {"lot", w.lot}},
          toValue(w)};
}

NewFact opening(int mix) {
  MixOpened opened;
  opened.mix = fmt::format("mix {}", mix);
  opened.batch = "K7M4J-7";
  opened.compound = "C-114";
  opened.machine = "mixer 1";
  opened.mass = kilograms("148.8");
  const Instant when = Instant::fromUnixMs(1'790'000'000'000);
  return {"mix.opened",   1, {when, "Europe/Berlin", "", {}}, 12, {{"mix", opened.mix}},
          toValue(opened)};
}

void submitOrStop(Store& store, NewFact fact, const std::string& token) {
  Act act;
  act.name = "mix weigh";
  act.token = token;
  act.request = token;
  act.person = 12;
  act.decide = [&](const Snapshot&) -> Decision { return std::vector<NewFact>{fact}; };
  if (const Result<Receipt> kept = store.submit(std::move(act)); !kept)
    throw std::runtime_error(describe(kept.error()));
}

StoreOptions plantOptions(bool with_projections = true) {
  StoreOptions options;
  options.plant = "marrowfen";
  if (with_projections) options.projections = plantProjections();
  return options;
}

/// The bytes that a block of acts puts on record.
std::vector<std::string> bytesOf(int acts) {
  const auto store = openMemoryStore(plantOptions());
  for (int n = 0; n < acts; ++n) submitOrStop(*store, weighing(n), fmt::format("t{}", n));
  std::vector<std::string> bytes;
  for (const Fact& fact : store->read()->factsAfter(0, static_cast<std::size_t>(acts)))
    bytes.push_back(fact.bytes);
  return bytes;
}

/// Nothing but an insert and a commit.
class Plain {
 public:
  explicit Plain(const std::string& file) {
    sqlite3_open(file.c_str(), &db_);
    run("PRAGMA journal_mode = WAL");
    run("PRAGMA synchronous = FULL");
    run("CREATE TABLE fact (sequence INTEGER PRIMARY KEY, bytes BLOB NOT NULL) STRICT");
    sqlite3_prepare_v2(db_, "INSERT INTO fact (bytes) VALUES (?)", -1, &insert_, nullptr);
  }
  ~Plain() {
    sqlite3_finalize(insert_);
    sqlite3_close(db_);
  }
  Plain(const Plain&) = delete;
  Plain& operator=(const Plain&) = delete;

  void append(const std::string& bytes) {
    run("BEGIN IMMEDIATE");
    sqlite3_bind_blob(insert_, 1, bytes.data(), static_cast<int>(bytes.size()), SQLITE_STATIC);
    if (sqlite3_step(insert_) != SQLITE_DONE) throw std::runtime_error(sqlite3_errmsg(db_));
    sqlite3_reset(insert_);
    run("COMMIT");
  }

 private:
  void run(const char* sql) {
    if (sqlite3_exec(db_, sql, nullptr, nullptr, nullptr) != SQLITE_OK)
      throw std::runtime_error(sqlite3_errmsg(db_));
  }
  sqlite3* db_ = nullptr;
  sqlite3_stmt* insert_ = nullptr;
};

/// One store whose acts never repeat, however many blocks are sent.
class Sender {
 public:
  explicit Sender(Store& store) : store_(store) {}
  void block(int acts, int threads) {
    openMixes(acts);
    std::atomic<int> left{acts};
    std::vector<std::thread> running;
    const auto send = [&] {
      while (left-- > 0) {
        const int n = next_++;
        submitOrStop(store_, weighing(n), fmt::format("t{}", n));
      }
    };
    for (int t = 1; t < threads; ++t) running.emplace_back(send);
    send();
    for (std::thread& thread : running) thread.join();
  }
  /// Before the clock runs: mixes are opened once for many weighings.
  void openMixes(int acts) {
    for (const int last = (next_ + acts) / 12; mixes_ <= last; ++mixes_)
      submitOrStop(store_, opening(mixes_), fmt::format("m{}", mixes_));
  }

 private:
  Store& store_;
  std::atomic<int> next_{0};
  int mixes_ = 0;
};

struct Rates {
  std::vector<double> plain, one, many, bare;
};

void report(const std::string& name, double ours, double reference, double target,
            const std::string& note) {
  fmt::print(
      "{{\"name\":\"{}\",\"ours\":{:.0f},\"reference\":{:.0f},\"unit\":\"acts/"
      "s\",\"ratio\":{:.2f},\"target\":{},\"met\":{},\"note\":\"{}\"}}\n",
      name, ours, reference, ours / reference, target, ours / reference >= target, note);
}

Rates measure(const std::string& folder, int acts, int blocks) {
  const auto store = openSqliteStore(folder + "/record", plantOptions());
  if (!store) throw std::runtime_error(describe(store.error()));
  const std::vector<std::string> bytes = bytesOf(acts);
  Plain plain(folder + "/plain.sqlite");
  Sender sender(**store);
  const auto bare_store = openSqliteStore(folder + "/bare", plantOptions(false));
  if (!bare_store) throw std::runtime_error(describe(bare_store.error()));
  Sender bare(**bare_store);
  Rates rates;
  for (int block = 0; block < blocks; ++block) {
    rates.plain.push_back(acts / seconds([&] {
                            for (const std::string& b : bytes) plain.append(b);
                          }));
    sender.openMixes(acts);
    rates.one.push_back(acts / seconds([&] { sender.block(acts, 1); }));
    sender.openMixes(acts * 4);
    rates.many.push_back(acts * 4 / seconds([&] { sender.block(acts * 4, senders); }));
    bare.openMixes(acts * 4);
    rates.bare.push_back(acts * 4 / seconds([&] { bare.block(acts * 4, senders); }));
  }
  return rates;
}

}  // namespace

int main(int argc, char** argv) {
  const int acts = argc > 1 ? std::atoi(argv[1]) : 300, blocks = argc > 2 ? std::atoi(argv[2]) : 9;
  const std::string where = argc > 3 ? argv[3] : std::filesystem::temp_directory_path().string();
  const std::string folder = fmt::format("{}/platemark_bench_{}", where, std::random_device{}());
  std::filesystem::create_directories(folder);
  const Rates rates = measure(folder, acts, blocks);
  const std::string note = fmt::format(
      "medians of {} alternated blocks of {} acts; WAL, synchronous FULL", blocks, acts);
  report("ledger.append.one_sender", median(rates.one), median(rates.plain), 0.7,
         note + "; reference: plain inserts of the same bytes, a transaction each");
  report("ledger.append.32_senders", median(rates.many), median(rates.plain), 5,
         note + "; four times the acts; reference: the plain single writer");
  report("ledger.append.32_senders_no_states", median(rates.bare), median(rates.plain), 5,
         note + "; the same without folding states: what chain, index and tokens cost");
  std::filesystem::remove_all(folder);
}
