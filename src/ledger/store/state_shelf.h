/// States as their types read them, shared by all snapshots of a store.
#pragma once

#include <map>
#include <memory>
#include <mutex>
#include <string>

#include "platemark/ledger/store.h"

namespace platemark::ledger {

/// Reading a state of a batch takes longer than all that is asked of it. A state is kept under its
/// name with the text it was read from: who brings the same text is given what was read before, so
/// that a snapshot never sees another moment's state. Any thread.
class StateShelf {
 public:
  /// Null when the text is no such state.
  [[nodiscard]] std::shared_ptr<const void> read(std::string_view projection, std::string_view key,
                                                 std::string text, const StateType& type);

 private:
  struct Kept {
    const StateType* type = nullptr;
    std::string text;
    std::shared_ptr<const void> state;
  };
  std::shared_ptr<const void> kept(const std::string& name, const std::string& text,
                                   const StateType& type);
  void keep(std::string name, Kept state);

  std::mutex mutex_;
  std::map<std::string, Kept> kept_;
  std::size_t bytes_ = 0;
};

}  // namespace platemark::ledger
