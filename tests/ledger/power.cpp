#include "power.h"

#include <fcntl.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <atomic>
#include <cstring>
#include <fstream>
#include <new>
#include <sstream>

namespace ledger_test {
namespace {

/// SQLite allocates this and, right behind it, the real file.
struct LayerFile {
  sqlite3_file base;
  Disk* disk;
  std::string path;
  [[nodiscard]] sqlite3_file* real() { return reinterpret_cast<sqlite3_file*>(this + 1); }
};

LayerFile& of(sqlite3_file* file) { return *reinterpret_cast<LayerFile*>(file); }
Disk& diskOf(sqlite3_vfs* vfs) { return *static_cast<Disk*>(vfs->pAppData); }

int closeFile(sqlite3_file* file) {
  LayerFile& f = of(file);
  const int result = f.real()->pMethods->xClose(f.real());
  f.path.~basic_string();
  return result;
}
int readFile(sqlite3_file* f, void* to, int n, sqlite3_int64 at) {
  return of(f).disk->read(of(f).path, to, n, at);
}
int writeFile(sqlite3_file* f, const void* from, int n, sqlite3_int64 at) {
  return of(f).disk->write(of(f).path, from, n, at);
}
int truncateFile(sqlite3_file* f, sqlite3_int64 n) { return of(f).disk->truncate(of(f).path, n); }
int syncFile(sqlite3_file* f, int) { return of(f).disk->sync(of(f).path); }
int fileSize(sqlite3_file* f, sqlite3_int64* n) { return of(f).disk->size(of(f).path, n); }
int lock(sqlite3_file* f, int l) { return of(f).real()->pMethods->xLock(of(f).real(), l); }
int unlock(sqlite3_file* f, int l) { return of(f).real()->pMethods->xUnlock(of(f).real(), l); }
int reserved(sqlite3_file* f, int* out) {
  return of(f).real()->pMethods->xCheckReservedLock(of(f).real(), out);
}
int control(sqlite3_file*, int, void*) { return SQLITE_NOTFOUND; }
int sectorSize(sqlite3_file* f) { return of(f).disk->sectorBytes(); }
/// As SQLite assumes of every disk: a write does not damage what lies beside it.
int characteristics(sqlite3_file*) { return SQLITE_IOCAP_POWERSAFE_OVERWRITE; }
int shmMap(sqlite3_file* f, int page, int size, int extend, void volatile** out) {
  return of(f).real()->pMethods->xShmMap(of(f).real(), page, size, extend, out);
}
int shmLock(sqlite3_file* f, int offset, int n, int flags) {
  return of(f).real()->pMethods->xShmLock(of(f).real(), offset, n, flags);
}
void shmBarrier(sqlite3_file* f) { of(f).real()->pMethods->xShmBarrier(of(f).real()); }
int shmUnmap(sqlite3_file* f, int remove) {
  return of(f).real()->pMethods->xShmUnmap(of(f).real(), remove);
}

const sqlite3_io_methods methods = {
    2,       closeFile,  readFile, writeFile, truncateFile, syncFile,        fileSize,
    lock,    unlock,     reserved, control,   sectorSize,   characteristics, shmMap,
    shmLock, shmBarrier, shmUnmap, nullptr,   nullptr};

int openLayer(sqlite3_vfs* vfs, const char* name, sqlite3_file* file, int flags, int* out) {
  Disk& disk = diskOf(vfs);
  if (disk.dead()) return SQLITE_IOERR;
  LayerFile* f = new (file) LayerFile{{nullptr}, &disk, name == nullptr ? "" : name};
  const int result = disk.real()->xOpen(disk.real(), name, f->real(), flags, out);
  if (result != SQLITE_OK) {
    f->path.~basic_string();
    return result;
  }
  f->base.pMethods = &methods;
  return disk.open(f->path, f->real());
}

int deleteLayer(sqlite3_vfs* vfs, const char* name, int sync_folder) {
  Disk& disk = diskOf(vfs);
  if (disk.dead()) return SQLITE_IOERR;
  disk.forget(name);
  return disk.real()->xDelete(disk.real(), name, sync_folder);
}

void writeReal(const std::string& path, std::int64_t offset, const std::string& bytes) {
  const int file = ::open(path.c_str(), O_WRONLY);
  if (file < 0) return;
  if (::pwrite(file, bytes.data(), bytes.size(), offset) < 0) std::abort();
  ::close(file);
}

std::string contentOf(const std::string& path) {
  std::ifstream file(path, std::ios::binary);
  std::ostringstream all;
  all << file.rdbuf();
  return all.str();
}

}  // namespace

Disk::Disk(int at_sync, unsigned seed, int sector_bytes)
    : real_(sqlite3_vfs_find(nullptr)),
      at_sync_(at_sync),
      sector_bytes_(sector_bytes),
      random_(seed) {
  static std::atomic<int> count{0};
  name_ = "losing-power-" + std::to_string(++count);
  layer_ = *real_;
  layer_.szOsFile = static_cast<int>(sizeof(LayerFile)) + real_->szOsFile;
  layer_.pNext = nullptr;
  layer_.zName = name_.c_str();
  layer_.pAppData = this;
  layer_.xOpen = openLayer;
  layer_.xDelete = deleteLayer;
  // The real layer's own functions look at its own data.
  layer_.xAccess = [](sqlite3_vfs* v, const char* n, int f, int* out) {
    return diskOf(v).real()->xAccess(diskOf(v).real(), n, f, out);
  };
  layer_.xFullPathname = [](sqlite3_vfs* v, const char* n, int size, char* out) {
    return diskOf(v).real()->xFullPathname(diskOf(v).real(), n, size, out);
  };
  sqlite3_vfs_register(&layer_, 0);
}

Disk::~Disk() { sqlite3_vfs_unregister(&layer_); }

int Disk::open(const std::string& path, sqlite3_file*) {
  const std::lock_guard guard(mutex_);
  if (!files_.contains(path)) files_[path].now = contentOf(path);
  return SQLITE_OK;
}

int Disk::read(const std::string& path, void* to, int amount, sqlite3_int64 offset) {
  const std::lock_guard guard(mutex_);
  if (dead_) return SQLITE_IOERR_READ;
  const std::string& now = files_[path].now;
  const auto from = std::min(now.size(), static_cast<std::size_t>(offset));
  const auto there = std::min(now.size() - from, static_cast<std::size_t>(amount));
  std::memcpy(to, now.data() + from, there);
  std::memset(static_cast<char*>(to) + there, 0, static_cast<std::size_t>(amount) - there);
  return there == static_cast<std::size_t>(amount) ? SQLITE_OK : SQLITE_IOERR_SHORT_READ;
}

int Disk::write(const std::string& path, const void* from, int amount, sqlite3_int64 offset) {
  const std::lock_guard guard(mutex_);
  if (dead_) return SQLITE_IOERR_WRITE;
  const std::string bytes(static_cast<const char*>(from), static_cast<std::size_t>(amount));
  Content& content = files_[path];
  const std::size_t end = static_cast<std::size_t>(offset) + bytes.size();
  if (content.now.size() < end) content.now.resize(end);
  content.now.replace(static_cast<std::size_t>(offset), bytes.size(), bytes);
  content.unsynced.push_back({offset, bytes, false});
  return SQLITE_OK;
}

int Disk::truncate(const std::string& path, sqlite3_int64 size) {
  const std::lock_guard guard(mutex_);
  if (dead_) return SQLITE_IOERR_TRUNCATE;
  files_[path].now.resize(static_cast<std::size_t>(size));
  files_[path].unsynced.push_back({size, {}, true});
  return SQLITE_OK;
}

int Disk::sync(const std::string& path) {
  const std::lock_guard guard(mutex_);
  if (dead_) return SQLITE_IOERR_FSYNC;
  if (++syncs_ == at_sync_) {
    losePowerLocked();
    return SQLITE_IOERR_FSYNC;
  }
  settle(path, files_[path]);
  return SQLITE_OK;
}

int Disk::size(const std::string& path, sqlite3_int64* bytes) {
  const std::lock_guard guard(mutex_);
  if (dead_) return SQLITE_IOERR_FSTAT;
  *bytes = static_cast<sqlite3_int64>(files_[path].now.size());
  return SQLITE_OK;
}

void Disk::forget(const std::string& path) {
  const std::lock_guard guard(mutex_);
  files_.erase(path);
}

void Disk::settle(const std::string& path, Content& content) {
  for (const Change& change : content.unsynced)
    if (!change.cuts)
      writeReal(path, change.offset, change.bytes);
    else if (::truncate(path.c_str(), change.offset) != 0)
      std::abort();
  content.unsynced.clear();
}

/// A write as the sectors it covers; the midst of a sector may be where it stopped.
std::vector<Disk::Change> Disk::piecesOf(const Change& change) {
  std::vector<Change> pieces;
  for (std::size_t at = 0; at < change.bytes.size();) {
    const std::int64_t place = change.offset + static_cast<std::int64_t>(at);
    const auto left = static_cast<std::size_t>(sector_bytes_ - place % sector_bytes_);
    std::string bytes = change.bytes.substr(at, left);
    at += left;
    if (random_() % 8 == 0) bytes.resize(random_() % (bytes.size() + 1));
    pieces.push_back({place, bytes, false});
  }
  return pieces;
}

void Disk::losePower() {
  const std::lock_guard guard(mutex_);
  losePowerLocked();
}

/// How much of what was unsynced had reached the platter: nothing, all, or each write by chance.
void Disk::losePowerLocked() {
  dead_ = true;
  const unsigned kept_of_8 = std::array{0U, 8U, 1U, 4U, 7U}[random_() % 5];
  const bool torn = random_() % 2 == 0;
  for (auto& [path, content] : files_) {
    std::vector<Change> reached;
    for (const Change& change : content.unsynced)
      for (const Change& piece : torn && !change.cuts ? piecesOf(change) : std::vector{change})
        if (random_() % 8 < kept_of_8) reached.push_back(piece);
    content.unsynced = std::move(reached);
    settle(path, content);
  }
}

}  // namespace ledger_test
