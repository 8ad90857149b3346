#include "platemark/intake/byte_source.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <cerrno>
#include <cstring>
#include <system_error>

#include "fault.h"

namespace platemark::intake {
namespace {

Error fileFault(std::string code, const std::string& path, int number) {
  Error error = fault(std::move(code),
                      {"The file cannot be read: " + std::generic_category().message(number) + ".",
                       "a file that this computer may read",
                       "Check the path, the rights and the disk, then try again."});
  error.fault = Fault::environment;
  error.where.file = path;
  return error;
}

class FileSource final : public ByteSource {
 public:
  FileSource(std::string path, int handle, std::uint64_t size)
      : path_(std::move(path)), handle_(handle), size_(size) {}
  ~FileSource() override { ::close(handle_); }
  FileSource(const FileSource&) = delete;
  FileSource& operator=(const FileSource&) = delete;

  [[nodiscard]] std::string name() const override { return path_; }
  [[nodiscard]] std::optional<std::uint64_t> size() const override { return size_; }

  Result<std::size_t> read(std::uint64_t offset, std::span<char> into) override {
    std::size_t done = 0;
    while (done < into.size()) {
      const ssize_t got = ::pread(handle_, into.data() + done, into.size() - done,
                                  static_cast<off_t>(offset + done));
      if (got < 0 && errno == EINTR) continue;
      if (got < 0) return fileFault("intake.read_failed", path_, errno);
      if (got == 0) break;
      done += static_cast<std::size_t>(got);
    }
    return done;
  }

 private:
  std::string path_;
  int handle_;
  std::uint64_t size_;
};

}  // namespace

Result<std::size_t> MemorySource::read(std::uint64_t offset, std::span<char> into) {
  if (offset >= bytes_.size()) return std::size_t{0};
  const std::size_t from = static_cast<std::size_t>(offset);
  const std::size_t n = std::min(into.size(), bytes_.size() - from);
  std::memcpy(into.data(), bytes_.data() + from, n);
  return n;
}

Result<std::unique_ptr<ByteSource>> openFile(const std::string& path) {
  // Without O_NONBLOCK the opening of a pipe would wait for a writer.
  const int handle = ::open(path.c_str(), O_RDONLY | O_CLOEXEC | O_NONBLOCK);
  if (handle < 0) return fileFault("intake.cannot_open", path, errno);
  struct stat facts {};
  if (::fstat(handle, &facts) != 0 || !S_ISREG(facts.st_mode)) {
    ::close(handle);
    return fault("intake.no_file",
                 {"This is a folder or a device and not a file.",
                  "the file that the instrument wrote", "Choose the file itself."},
                 {.file = path, .line = 0, .column = {}, .field = {}});
  }
  return std::unique_ptr<ByteSource>(
      std::make_unique<FileSource>(path, handle, static_cast<std::uint64_t>(facts.st_size)));
}

}  // namespace platemark::intake
