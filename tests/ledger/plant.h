/// A small plant for the record's tests: three kinds of fact, two projections,
/// a clock that is set by hand, folders that clean up after themselves.
#pragma once

#include <atomic>
#include <filesystem>
#include <fstream>
#include <memory>
#include <mutex>
#include <string>
#include <vector>

#include "platemark/ledger/chain.h"
#include "platemark/ledger/store.h"

namespace ledger_test {

using namespace platemark;
using namespace platemark::ledger;

class HandClock final : public Clock {
 public:
  [[nodiscard]] Instant now() const override { return Instant::fromUnixMs(ms); }
  std::atomic<std::int64_t> ms{1'790'000'000'000};
};

class Folder {
 public:
  Folder();
  ~Folder();
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  [[nodiscard]] std::string at(const std::string& name = "record") const {
    return path_ + "/" + name;
  }

 private:
  std::string path_;
};

/// "note.made" {text, attachment?, attachments?, more?}, "count.added" {thing, amount},
/// "seal.set" {meaning}, which must be signed; and the plant's own kinds.
[[nodiscard]] const FactKind* findTestKind(std::string_view name);
/// "total": per thing the sum of its counts; erased when it comes back to nothing.
/// "thing.parity": reads "total", so it depends on the order of projections.
[[nodiscard]] std::vector<Projection> testProjections();
[[nodiscard]] StoreOptions testOptions(std::shared_ptr<Clock> clock = std::make_shared<HandClock>(),
                                       const std::string& plant = "marrowfen");

[[nodiscard]] NewFact note(const std::string& text);
[[nodiscard]] NewFact noteWith(const std::string& text, const std::string& attachment);
[[nodiscard]] NewFact count(const std::string& thing, std::int64_t amount);
[[nodiscard]] NewFact seal(const std::string& meaning);
/// An act that appends these facts whatever the snapshot holds.
[[nodiscard]] Act actOf(std::vector<NewFact> facts, const std::string& token = "");
/// From a seed of 32 equal bytes.
[[nodiscard]] Signer testSigner(unsigned char seed_byte = 7);

/// The receipt, or a failed test with the error's text.
[[nodiscard]] Receipt must(const Result<Receipt>& result);
[[nodiscard]] Attachment attachText(Store& store, std::string_view text);
[[nodiscard]] std::vector<Fact> allFacts(const Store& store);

/// The two kinds of store, for tests that both must pass.
struct InMemory {
  std::shared_ptr<HandClock> clock = std::make_shared<HandClock>();
  std::unique_ptr<Store> store = openMemoryStore(testOptions(clock));
};
struct InSqlite {
  Folder folder;
  std::shared_ptr<HandClock> clock = std::make_shared<HandClock>();
  std::unique_ptr<Store> store = openAt(folder.at(), clock);
  [[nodiscard]] static std::unique_ptr<Store> openAt(const std::string& folder,
                                                     std::shared_ptr<Clock> clock);
};

}  // namespace ledger_test
