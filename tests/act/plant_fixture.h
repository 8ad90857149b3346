/// A small invented plant in a store of its own, with a clock that the test turns.
#pragma once

#include <doctest/doctest.h>
#include <sodium.h>

#include <atomic>
#include <functional>
#include <memory>
#include <string>

#include "platemark/act/act.h"
#include "platemark/act/files.h"

namespace platemark::test {

class ManualClock final : public ledger::Clock {
 public:
  [[nodiscard]] Instant now() const override { return Instant::fromUnixMs(ms_.load()); }
  void forward(std::int64_t ms) { ms_ += ms; }

 private:
  std::atomic<std::int64_t> ms_{parseInstant("2026-03-02T08:00:00Z")->unixMs()};
};

inline constexpr std::int64_t one_day_ms = 24LL * 3600 * 1000;

/// An Ed25519 key as a person's password would open it.
struct Key {
  std::string public_key = std::string(crypto_sign_PUBLICKEYBYTES, '\0');
  std::string secret = std::string(crypto_sign_SECRETKEYBYTES, '\0');
  Key();
  [[nodiscard]] std::string hex() const;
  [[nodiscard]] ledger::Signer signer() const;
};

/// What stands around a request besides its name and input.
struct How {
  PersonNumber person = 1;
  std::string token;  ///< a new one when empty
  std::optional<std::string> at;
  std::optional<std::string> late_because;
  std::optional<ledger::Signer> signer;
};

class Plant {
 public:
  /// In memory, or in the folder when one is named.
  explicit Plant(const std::string& folder = "");

  [[nodiscard]] Result<ledger::Receipt> ask(const std::string& name, const std::string& input,
                                            How how = {});
  /// Must succeed; the last sequence of the receipt.
  Sequence done(const std::string& name, const std::string& input, How how = {});
  /// Signed with the key of person 1.
  [[nodiscard]] Result<ledger::Receipt> sign(const std::string& name, const std::string& input,
                                             How how = {});

  template <class State>
  [[nodiscard]] State state(std::string_view projection, const std::string& key) const {
    const auto found = ledger::stateAs<State>(*store->read(), projection, key);
    const std::string which = std::string(projection) + " " + key;
    REQUIRE_MESSAGE(found.has_value(), which);
    return *found;
  }
  [[nodiscard]] BatchState batch(const std::string& id) const {
    return state<BatchState>(projection::batch, id);
  }
  [[nodiscard]] LotState lot(const std::string& id) const {
    return state<LotState>(projection::lot, id);
  }

  /// A new issue of the part: a type approval T-1 whose marking this operation puts on, and the
  /// approval itself.
  void needsApproval(const std::string& operation, const std::string& more = "",
                     const std::string& adhesive = "glue-1");
  /// An issue of T-1 for the part with glue-1; `more` are further members.
  [[nodiscard]] static std::string typeApproval(const std::string& more);
  void clearedLot(const std::string& lot, const std::string& material);
  std::string openBatch();
  void plates(const std::string& batch);
  void mix(const std::string& batch);
  void press(const std::string& batch);
  std::string load(const std::string& batch);
  void cure(const std::string& load, const std::string& batch);
  [[nodiscard]] std::string cureInput(const std::string& load, const std::string& soak_minutes,
                                      const std::string& remark = "{}");
  void samples(const std::string& batch);
  Sequence shear(const std::string& batch, const std::string& sample,
                 const std::string& force = "24000 N", const std::string& remark = "{}");
  /// Judges and signs; must conform.
  void release(const std::string& batch, const std::string& gate);
  void finish(const std::string& batch);
  /// A batch up to a step, everything good: "pressed", "loaded", "cured", "sampled", "cure
  /// released", "finished", "released".
  std::string batchUpTo(const std::string& step);
  std::string box(const std::string& batch, int pads = 8);
  /// One batch to its shipment.
  std::string wholeBatch();

  std::function<void()> queued;  ///< called when an act stands in the writer's queue
  std::shared_ptr<ManualClock> clock = std::make_shared<ManualClock>();
  std::unique_ptr<ledger::Store> store;
  Key key;
  std::string attachment;  ///< a stored recorder file

 private:
  void documents();
  std::atomic<int> tokens_{0};
};

/// Every text of what is missing, for CHECKs.
[[nodiscard]] std::string missingWords(const Error& error);
/// "permission.refused", and somebody named who can supply what is missing, and the words stand in
/// it.
void checkRefused(const Result<ledger::Receipt>& answer, const std::string& words);
void checkCode(const Result<ledger::Receipt>& answer, const std::string& code);

}  // namespace platemark::test
