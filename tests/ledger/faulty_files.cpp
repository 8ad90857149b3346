#include "faulty_files.h"

#include <filesystem>
#include <fstream>

namespace ledger_test {

using platemark::Error;
using platemark::Fault;
using platemark::Result;
namespace fs = std::filesystem;

class FaultyFiles::Handle final : public Open {
 public:
  Handle(FaultyFiles& files, std::shared_ptr<Inode> inode)
      : files_(files), inode_(std::move(inode)) {}
  Result<void> write(std::span<const std::byte> bytes) override {
    if (Result<void> alive = files_.step(); !alive) return alive;
    inode_->content.append(reinterpret_cast<const char*>(bytes.data()), bytes.size());
    return {};
  }
  Result<void> sync() override {
    if (Result<void> alive = files_.step(); !alive) return alive;
    if (files_.manner_.syncs_content) inode_->synced = inode_->content.size();
    return {};
  }

 private:
  FaultyFiles& files_;
  std::shared_ptr<Inode> inode_;
};

Result<void> FaultyFiles::step() {
  if (++steps_ == manner_.dies_at) dead_ = true;
  if (!dead_) return {};
  Error error;
  error.fault = Fault::environment;
  error.code = "file.no_power";
  return error;
}

void FaultyFiles::keepFolderOf(const std::string& path) {
  folders_now_.insert(fs::path(path).parent_path().string());
}

Result<std::unique_ptr<FaultyFiles::Open>> FaultyFiles::create(const std::string& path) {
  if (Result<void> alive = step(); !alive) return alive.error();
  keepFolderOf(path);
  now_[path] = std::make_shared<Inode>();
  return std::unique_ptr<Open>(std::make_unique<Handle>(*this, now_[path]));
}

Result<void> FaultyFiles::rename(const std::string& from, const std::string& to) {
  if (Result<void> alive = step(); !alive) return alive;
  keepFolderOf(to);
  now_[to] = now_.at(from);
  now_.erase(from);
  return {};
}

Result<void> FaultyFiles::syncFolder(const std::string& folder) {
  if (Result<void> alive = step(); !alive) return alive;
  if (!manner_.syncs_names) return {};
  for (const auto& [path, inode] : now_)
    if (fs::path(path).parent_path() == folder) durable_[path] = inode;
  for (const std::string& inner : folders_now_)
    if (fs::path(inner).parent_path() == folder) folders_durable_.insert(inner);
  return {};
}

Result<void> FaultyFiles::sync(const std::string& path) {
  if (Result<void> alive = step(); !alive) return alive;
  now_.at(path)->synced = now_.at(path)->content.size();
  return {};
}

void FaultyFiles::remove(const std::string& path) {
  if (!dead_) now_.erase(path);
}

void FaultyFiles::startAgain() {
  for (const std::string& folder : folders_now_)
    if (random_() % 2 == 0) folders_durable_.insert(folder);
  for (const auto& [path, inode] : now_)
    if (random_() % 2 == 0) durable_[path] = inode;
  for (const auto& [path, inode] : durable_) {
    const fs::path folder = fs::path(path).parent_path();
    if (!folders_durable_.contains(folder.string())) continue;
    fs::create_directories(folder);
    const std::size_t unsynced = inode->content.size() - inode->synced;
    std::ofstream(path, std::ios::binary)
        << inode->content.substr(0, inode->synced + random_() % (unsynced + 1));
  }
}

}  // namespace ledger_test
