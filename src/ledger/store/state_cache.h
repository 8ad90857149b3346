/// The states that the writer works on: read from the tables once, kept in their own type, written
/// once for each group of acts. Used by the writer alone, inside its transaction.
#pragma once

#include <map>
#include <set>
#include <vector>

#include "tables.h"

namespace platemark::ledger {

class StateCache {
 public:
  explicit StateCache(WritableTables& tables) : tables_(tables) {}

  /// Null when there is no such state. Throws std::logic_error on one that `type` cannot read.
  [[nodiscard]] std::shared_ptr<const void> find(std::string_view projection, std::string_view key,
                                                 const StateType& type);
  void put(std::string_view projection, std::string_view key, std::shared_ptr<const void> state,
           const StateType& type);
  void erase(std::string_view projection, std::string_view key);

  /// undo() goes back to the last mark().
  void mark() { undo_.clear(); }
  void undo();

  /// Writes the changed states of a projection, for a query over the tables.
  void show(std::string_view projection);
  /// Writes every changed state.
  void write();
  /// What was kept may no longer be what the tables say.
  void forget();

 private:
  using Name = std::pair<std::string, std::string>;
  struct Kept {
    std::shared_ptr<const void> state;  ///< null: erased, or never there
    const StateType* type = nullptr;
    std::optional<std::string> text;  ///< on the tables, "" for none; nothing when not known
  };

  Kept& kept(std::string_view projection, std::string_view key);
  void change(const Name& name, std::shared_ptr<const void> state, const StateType* type);
  static std::string textOf(const Kept& kept);
  void putOnTables(const Name& name, const std::string& text);

  WritableTables& tables_;
  std::map<Name, Kept> kept_;
  std::set<Name> changed_;
  std::vector<std::pair<Name, Kept>> undo_;
};

}  // namespace platemark::ledger
