#include "platemark/ledger/files.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sys/file.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstring>
#include <filesystem>

namespace platemark::ledger {
namespace {

Error fileFault(std::string_view doing, const std::string& path) {
  Error error;
  error.fault = Fault::environment;
  error.code = "file.cannot_write";
  error.what = fmt::format("{} failed: {}", doing, std::strerror(errno));
  error.where.file = path;
  error.remedy = "Check that the disk is there, has room and may be written.";
  return error;
}

class SystemFile final : public Files::Open {
 public:
  SystemFile(int descriptor, std::string path) : descriptor_(descriptor), path_(std::move(path)) {}
  ~SystemFile() override { ::close(descriptor_); }
  SystemFile(const SystemFile&) = delete;
  SystemFile& operator=(const SystemFile&) = delete;

  Result<void> write(std::span<const std::byte> bytes) override {
    while (!bytes.empty()) {
      const ssize_t n = ::write(descriptor_, bytes.data(), bytes.size());
      if (n < 0 && errno == EINTR) continue;
      if (n < 0) return fileFault("writing", path_);
      bytes = bytes.subspan(static_cast<std::size_t>(n));
    }
    return {};
  }
  Result<void> sync() override {
    return ::fsync(descriptor_) == 0 ? Result<void>{} : fileFault("syncing", path_);
  }

 private:
  int descriptor_;
  std::string path_;
};

Result<void> syncPath(const std::string& path, int flags) {
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | flags);
  if (descriptor < 0) return fileFault("opening", path);
  Result<void> synced = ::fsync(descriptor) == 0 ? Result<void>{} : fileFault("syncing", path);
  ::close(descriptor);
  return synced;
}

/// The lock of who writes goes with the program, however it ends.
bool isAbandoned(const std::string& path) {
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_CLOEXEC);
  if (descriptor < 0) return false;
  const bool free = ::flock(descriptor, LOCK_EX | LOCK_NB) == 0;
  ::close(descriptor);
  return free;
}

class SystemFiles final : public Files {
 public:
  Result<std::unique_ptr<Open>> create(const std::string& path) override {
    std::error_code ignored;
    std::filesystem::create_directories(std::filesystem::path(path).parent_path(), ignored);
    const int descriptor = ::open(path.c_str(), O_WRONLY | O_CREAT | O_TRUNC | O_CLOEXEC, 0640);
    if (descriptor < 0) return fileFault("creating", path);
    // As long as it is written to, nobody takes it for one that was left behind.
    (void)::flock(descriptor, LOCK_EX | LOCK_NB);
    return std::unique_ptr<Open>(std::make_unique<SystemFile>(descriptor, path));
  }
  Result<void> rename(const std::string& from, const std::string& to) override {
    std::error_code ignored;
    std::filesystem::create_directories(std::filesystem::path(to).parent_path(), ignored);
    return std::rename(from.c_str(), to.c_str()) == 0 ? Result<void>{} : fileFault("renaming", to);
  }
  Result<void> syncFolder(const std::string& folder) override {
    return syncPath(folder, O_DIRECTORY);
  }
  Result<void> sync(const std::string& path) override { return syncPath(path, 0); }
  void remove(const std::string& path) override {
    std::error_code ignored;
    std::filesystem::remove(path, ignored);
  }
  void removeAbandoned(const std::string& folder) override {
    std::error_code none;
    for (const auto& entry : std::filesystem::directory_iterator(folder, none))
      if (entry.is_regular_file(none) && isAbandoned(entry.path().string()))
        remove(entry.path().string());
  }
};

}  // namespace

std::shared_ptr<Files> systemFiles() { return std::make_shared<SystemFiles>(); }

}  // namespace platemark::ledger
