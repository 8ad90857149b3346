/// A disk that can lose power: a file layer for SQLite that keeps what was not
/// synced in memory. At a chosen sync the power goes: of every write that was
/// not synced, some are dropped, some kept, some torn at sectors or in the midst
/// of one. What the real files then hold is what a machine would find.
///
/// Simplified: names of new and deleted files are durable at once.
#pragma once

#include <sqlite3.h>

#include <cstdint>
#include <map>
#include <mutex>
#include <random>
#include <string>
#include <vector>

namespace ledger_test {

class Disk {
 public:
  /// Loses power at the sync number `at_sync` (from 1; 0: never by itself).
  Disk(int at_sync, unsigned seed, int sector_bytes);
  ~Disk();
  Disk(const Disk&) = delete;
  Disk& operator=(const Disk&) = delete;

  /// The name under which SQLite finds it.
  [[nodiscard]] const std::string& vfs() const { return name_; }
  void losePower();
  [[nodiscard]] bool dead() const { return dead_; }
  [[nodiscard]] int syncs() const { return syncs_; }

  // What the file layer calls.
  int open(const std::string& path, sqlite3_file* real);
  int read(const std::string& path, void* to, int amount, sqlite3_int64 offset);
  int write(const std::string& path, const void* from, int amount, sqlite3_int64 offset);
  int truncate(const std::string& path, sqlite3_int64 size);
  int sync(const std::string& path);
  int size(const std::string& path, sqlite3_int64* bytes);
  void forget(const std::string& path);
  [[nodiscard]] int sectorBytes() const { return sector_bytes_; }
  [[nodiscard]] sqlite3_vfs* real() const { return real_; }

 private:
  struct Change {
    std::int64_t offset = 0;
    std::string bytes;
    bool cuts = false;  ///< truncates to `offset`
  };
  struct Content {
    std::string now;
    std::vector<Change> unsynced;
  };
  void settle(const std::string& path, Content& content);
  std::vector<Change> piecesOf(const Change& change);
  void losePowerLocked();

  sqlite3_vfs* real_;
  sqlite3_vfs layer_{};
  std::string name_;
  int at_sync_, sector_bytes_, syncs_ = 0;
  bool dead_ = false;
  std::mt19937 random_;
  std::mutex mutex_;
  std::map<std::string, Content> files_;
};

}  // namespace ledger_test
