/// The states that the writer works on, against a plain model of what a transaction means.
#include "store/state_cache.h"

#include <doctest/doctest.h>

#include <random>

#include "store/memory_tables.h"

using namespace platemark;
using namespace platemark::ledger;

namespace {

struct Tally {
  std::int64_t sum = 0;
  template <class V>
  void describe(V& v) {
    v("sum", sum);
  }
};

using Model = std::map<std::pair<std::string, std::string>, std::int64_t>;

Model onTables(const Tables& tables) {
  Model found;
  tables.eachState([&](std::string_view name, std::string_view key, std::string_view text) {
    found[{std::string(name), std::string(key)}] = fromValue<Tally>(*parseJson(text))->sum;
  });
  return found;
}

/// One tables, one cache, and beside them the model that every look is compared with.
class Trial {
 public:
  explicit Trial(unsigned seed) : random_(seed) {}

  void transaction() {
    tables_.begin();
    const Model before = now_;
    for (int acts = pick(1, 5); acts > 0; --acts) act();
    if (pick(0, 5) == 0) {
      tables_.rollback();
      states_.forget();
      now_ = before;
    } else {
      states_.write();
      tables_.commit();
    }
    CHECK(onTables(tables_) == now_);
  }

 private:
  int pick(int from, int to) { return std::uniform_int_distribution<int>(from, to)(random_); }

  void act() {
    tables_.savepoint();
    states_.mark();
    const Model before = now_;
    for (int steps = pick(0, 6); steps > 0; --steps) step();
    if (pick(0, 2) == 0) {
      tables_.rollbackToSavepoint();
      states_.undo();
      now_ = before;
    } else {
      tables_.release();
    }
  }

  void step() {
    const std::string projection = pick(0, 1) == 0 ? "lot" : "mix";
    const std::string key(1, static_cast<char>('a' + pick(0, 3)));
    switch (pick(0, 4)) {
      case 0:
        states_.erase(projection, key);
        now_.erase({projection, key});
        break;
      case 1:
        look(projection, key);
        break;
      case 2:
        scan(projection);
        break;
      default:
        const Tally put{pick(0, 3)};
        states_.put(projection, key, std::make_shared<const Tally>(put), state_type<Tally>);
        now_[{projection, key}] = put.sum;
    }
  }

  void look(const std::string& projection, const std::string& key) {
    const auto expected = now_.find({projection, key});
    const auto typed =
        std::static_pointer_cast<const Tally>(states_.find(projection, key, state_type<Tally>));
    const auto plain =
        std::static_pointer_cast<const Value>(states_.find(projection, key, state_type<Value>));
    REQUIRE((typed != nullptr) == (expected != now_.end()));
    REQUIRE((plain != nullptr) == (expected != now_.end()));
    if (typed == nullptr) return;
    CHECK(typed->sum == expected->second);
    CHECK(*(*plain)["sum"].asInteger() == expected->second);
  }

  void scan(const std::string& projection) {
    states_.show(projection);
    Model found;
    for (const auto& [key, text] : tables_.states(projection, "", "", 100))
      found[{projection, key}] = fromValue<Tally>(*parseJson(text))->sum;
    Model expected;
    for (const auto& [name, sum] : now_)
      if (name.first == projection) expected[name] = sum;
    CHECK(found == expected);
  }

  std::mt19937 random_;
  MemoryTables tables_;
  StateCache states_{tables_};
  Model now_;
};

}  // namespace

TEST_CASE("kept states are what a transaction says, whatever is undone, scanned or rolled back") {
  for (unsigned seed = 0; seed < 400; ++seed) {
    CAPTURE(seed);
    Trial trial(seed);
    for (int i = 0; i < 20; ++i) trial.transaction();
  }
}

TEST_CASE("a state that its reader cannot read is a broken record, not a missing state") {
  MemoryTables tables;
  StateCache states(tables);
  tables.begin();
  tables.putState("lot", "a", R"({"sum":"three"})");
  CHECK_THROWS_AS((void)states.find("lot", "a", state_type<Tally>), std::logic_error);
  CHECK(states.find("lot", "a", state_type<Value>) != nullptr);
}
