#include <map>

#include "engine.h"
#include "memory_tables.h"
#include "platemark/ledger/chain.h"
#include "platemark/plant/digest.h"

namespace platemark::ledger {
namespace {

Error unknownAttachment(std::string_view hash) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "attachment.unknown";
  error.what = "There is no attachment " + std::string(hash) + ".";
  return error;
}

class MemoryStore final : public Store {
 public:
  explicit MemoryStore(StoreOptions options)
      : options_(options), engine_(tables_, std::move(options)) {
    published_ = tables_.view();
    engine_.after_commit = [this] { publish(); };
  }

  std::unique_ptr<Snapshot> read() const override {
    return std::make_unique<TablesSnapshot>(published(), options_, options_.clock->now(), shelf_);
  }

  Result<Receipt> submit(Act act) override { return engine_.submit(std::move(act)); }

  std::unique_ptr<AttachmentSink> attach() override { return std::make_unique<Sink>(*this); }

  Result<std::string> attachment(std::string_view hash) const override {
    const std::lock_guard lock(mutex_);
    const auto found = contents_.find(hash);
    if (found == contents_.end()) return unknownAttachment(hash);
    return found->second;
  }
  Result<std::string> attachmentPath(std::string_view hash) const override {
    return unknownAttachment(hash);
  }

  Verification verify(const std::optional<Anchor>& anchor) const override {
    return verifyChain(*published(), options_, anchor, [this](const std::string& hash) {
      const Result<std::string> content = attachment(hash);
      if (!content) return "its attachment " + hash + " is missing.";
      return sha256Hex(*content) == hash ? std::string()
                                         : "the bytes of its attachment " + hash + " were changed.";
    });
  }

  Result<void> rebuildProjections() override {
    return engine_.exclusively(
        [this](WritableTables& tables) { return rebuild(tables, options_); });
  }
  std::string projectionDigest() const override { return digestOfStates(*published()); }
  Result<void> backUp(const std::string&) const override {
    Error error;
    error.fault = Fault::environment;
    error.code = "store.memory";
    error.what = "A record in memory has nothing to copy.";
    return error;
  }

 private:
  class Sink final : public AttachmentSink {
   public:
    explicit Sink(MemoryStore& store) : store_(store) {}
    Result<void> write(std::span<const std::byte> bytes) override {
      content_.append(reinterpret_cast<const char*>(bytes.data()), bytes.size());
      return {};
    }
    Result<Attachment> finish() override {
      const Attachment attachment{sha256Hex(content_), static_cast<std::int64_t>(content_.size())};
      {
        const std::lock_guard lock(store_.mutex_);
        store_.contents_[attachment.hash] = content_;
      }
      Result<void> added = store_.engine_.exclusively([&](WritableTables& tables) {
        tables.addAttachment(attachment);
        return Result<void>{};
      });
      if (!added) return added.error();
      return attachment;
    }

   private:
    MemoryStore& store_;
    std::string content_;
  };

  void publish() {
    auto view = tables_.view();
    const std::lock_guard lock(mutex_);
    published_ = std::move(view);
  }
  std::shared_ptr<const Tables> published() const {
    const std::lock_guard lock(mutex_);
    return published_;
  }

  StoreOptions options_;
  MemoryTables tables_;
  std::shared_ptr<StateShelf> shelf_ = std::make_shared<StateShelf>();
  mutable std::mutex mutex_;
  std::shared_ptr<const Tables> published_;
  std::map<std::string, std::string, std::less<>> contents_;
  Engine engine_;
};

}  // namespace

std::unique_ptr<Store> openMemoryStore(StoreOptions options) {
  return std::make_unique<MemoryStore>(std::move(options));
}

}  // namespace platemark::ledger
