#include "attachments.h"

#include <fmt/format.h>
#include <sodium.h>
#include <unistd.h>

#include <atomic>
#include <filesystem>
#include <fstream>
#include <sstream>

namespace platemark::ledger {
namespace {

std::string hexOf(const unsigned char (&hash)[crypto_hash_sha256_BYTES]) {
  char hex[2 * sizeof hash + 1];
  sodium_bin2hex(hex, sizeof hex, hash, sizeof hash);
  return hex;
}

class FileSink final : public AttachmentSink {
 public:
  FileSink(std::string folder, std::shared_ptr<Files> files, Registrar registrar)
      : folder_(std::move(folder)), files_(std::move(files)), registrar_(std::move(registrar)) {
    static std::atomic<std::uint64_t> counter{0};
    temporary_ = fmt::format("{}/{}-{}-{:08x}", incomingFolder(folder_), ::getpid(), counter++,
                             randombytes_random());
    crypto_hash_sha256_init(&hashing_);
  }
  ~FileSink() override {
    open_.reset();
    if (!finished_) files_->remove(temporary_);
  }
  FileSink(const FileSink&) = delete;
  FileSink& operator=(const FileSink&) = delete;

  Result<void> write(std::span<const std::byte> bytes) override {
    if (!open_) {
      Result<std::unique_ptr<Files::Open>> opened = files_->create(temporary_);
      if (!opened) return opened.error();
      open_ = std::move(*opened);
    }
    crypto_hash_sha256_update(&hashing_, reinterpret_cast<const unsigned char*>(bytes.data()),
                              bytes.size());
    size_ += static_cast<std::int64_t>(bytes.size());
    return open_->write(bytes);
  }

  /// The order matters: content first, then its name, then the folder that holds the name; only
  /// then may a fact speak of it.
  Result<Attachment> finish() override {
    if (!open_)
      if (Result<void> empty = write({}); !empty) return empty.error();
    if (Result<void> synced = open_->sync(); !synced) return synced.error();
    open_.reset();
    unsigned char hash[crypto_hash_sha256_BYTES];
    crypto_hash_sha256_final(&hashing_, hash);
    const Attachment attachment{hexOf(hash), size_};
    const std::string final_name = attachmentFile(folder_, attachment.hash);
    if (Result<void> renamed = files_->rename(temporary_, final_name); !renamed)
      return renamed.error();
    finished_ = true;
    const std::string shelf = std::filesystem::path(final_name).parent_path().string();
    for (const std::string& folder : {shelf, folder_})
      if (Result<void> synced = files_->syncFolder(folder); !synced) return synced.error();
    if (Result<void> registered = registrar_(attachment); !registered) return registered.error();
    return attachment;
  }

 private:
  std::string folder_;
  std::shared_ptr<Files> files_;
  Registrar registrar_;
  std::string temporary_;
  std::unique_ptr<Files::Open> open_;
  crypto_hash_sha256_state hashing_{};
  std::int64_t size_ = 0;
  bool finished_ = false;
};

}  // namespace

std::unique_ptr<AttachmentSink> fileSink(const std::string& folder, std::shared_ptr<Files> files,
                                         Registrar registrar) {
  return std::make_unique<FileSink>(folder, std::move(files), std::move(registrar));
}

std::string incomingFolder(const std::string& folder) { return folder + "/incoming"; }

std::string attachmentFile(const std::string& folder, std::string_view hash) {
  return fmt::format("{}/{}/{}", folder, hash.substr(0, 2), hash);
}

std::string attachmentFileFault(const std::string& folder, std::string_view hash) {
  std::ifstream file(attachmentFile(folder, hash), std::ios::binary);
  if (!file) return fmt::format("its attachment {} is missing.", hash);
  crypto_hash_sha256_state hashing;
  crypto_hash_sha256_init(&hashing);
  char buffer[65536];
  while (file.read(buffer, sizeof buffer) || file.gcount() > 0)
    crypto_hash_sha256_update(&hashing, reinterpret_cast<const unsigned char*>(buffer),
                              static_cast<unsigned long long>(file.gcount()));
  unsigned char found[crypto_hash_sha256_BYTES];
  crypto_hash_sha256_final(&hashing, found);
  return hexOf(found) == hash ? ""
                              : fmt::format("the bytes of its attachment {} were changed.", hash);
}

Result<std::string> readWhole(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  if (!file) {
    Error error;
    error.fault = Fault::environment;
    error.code = "file.cannot_read";
    error.what = "The file cannot be read.";
    error.where.file = path;
    return error;
  }
  std::ostringstream all;
  all << file.rdbuf();
  return std::move(all).str();
}

}  // namespace platemark::ledger
