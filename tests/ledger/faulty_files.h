/// A file system that can lose power between any two operations: content that
/// was not synced is cut anywhere, names that were not synced are there or not.
#pragma once

#include <map>
#include <memory>
#include <random>
#include <set>
#include <string>

#include "platemark/ledger/files.h"

namespace ledger_test {

class FaultyFiles final : public platemark::ledger::Files {
 public:
  /// `honest` false: says "synced" and is not, to prove that a loss would be seen.
  struct Manner {
    int dies_at = 0;  ///< operation, from 1
    unsigned seed = 1;
    bool syncs_content = true;
    bool syncs_names = true;
  };
  explicit FaultyFiles(Manner manner) : manner_(manner), random_(manner.seed) {}

  platemark::Result<std::unique_ptr<Open>> create(const std::string& path) override;
  platemark::Result<void> rename(const std::string& from, const std::string& to) override;
  platemark::Result<void> syncFolder(const std::string& folder) override;
  platemark::Result<void> sync(const std::string& path) override;
  void remove(const std::string& path) override;
  /// Nothing stands on this disk that was left behind by another.
  void removeAbandoned(const std::string&) override {}

  [[nodiscard]] bool dead() const { return dead_; }
  /// Writes to the real disk what a machine would find that starts again.
  void startAgain();

 private:
  struct Inode {
    std::string content;
    std::size_t synced = 0;
  };
  class Handle;
  using Names = std::map<std::string, std::shared_ptr<Inode>>;

  [[nodiscard]] platemark::Result<void> step();
  void keepFolderOf(const std::string& path);

  Manner manner_;
  std::mt19937 random_;
  int steps_ = 0;
  bool dead_ = false;
  Names now_, durable_;
  std::set<std::string> folders_now_, folders_durable_;
};

}  // namespace ledger_test
