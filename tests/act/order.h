/// Two writers in a set order. The writer stands still; the act that takes the ground away queues,
/// then the act that needs it; then the writer goes on and commits both together. Whoever decided
/// before the writer's turn, or on what was committed before the group, would grant the second for
/// sure.
#pragma once

#include <latch>
#include <semaphore>
#include <string>
#include <thread>
#include <vector>

#include "act/plant_fixture.h"

namespace platemark::test {

struct Ask {
  std::string name;
  std::string input;
  bool is_signed = false;
};

inline Result<ledger::Receipt> asked(Plant& plant, const Ask& a) {
  return a.is_signed ? plant.sign(a.name, a.input) : plant.ask(a.name, a.input);
}

/// The writer's thread, held in a decision until it is let go.
class Standstill {
 public:
  explicit Standstill(Plant& plant) : plant_(plant) {
    plant_.queued = [this] { queued_.release(); };
    holder_ = std::thread([this] {
      const auto wait = [this](const ledger::Snapshot&) -> ledger::Decision {
        standing_.count_down();
        go_.wait();
        return std::vector<NewFact>{};
      };
      (void)plant_.store->submit({"stand still", "", "", 1, wait, {}});
    });
    queued_.acquire();
    standing_.wait();
  }
  ~Standstill() {
    goOn();
    plant_.queued = nullptr;
  }
  Standstill(const Standstill&) = delete;
  Standstill& operator=(const Standstill&) = delete;

  /// Returns when the act stands in the queue; its answer comes after goOn().
  void queue(const Ask& ask, Result<ledger::Receipt>& answer) {
    asking_.emplace_back([this, ask, &answer] { answer = asked(plant_, ask); });
    queued_.acquire();
  }
  void goOn() {
    if (!holder_.joinable()) return;
    go_.count_down();
    for (std::thread& t : asking_) t.join();
    holder_.join();
  }

 private:
  Plant& plant_;
  std::counting_semaphore<> queued_{0};
  std::latch standing_{1}, go_{1};
  std::thread holder_;
  std::vector<std::thread> asking_;
};

struct Answers {
  Result<ledger::Receipt> first = Error{}, second = Error{};
};
inline Answers inOrder(Plant& plant, const Ask& first, const Ask& second) {
  Answers answers;
  Standstill writer(plant);
  writer.queue(first, answers.first);
  writer.queue(second, answers.second);
  writer.goOn();
  return answers;
}

/// The ground is there when both are asked, and gone when the second has its turn.
inline void takenFirst(Plant& plant, const Ask& taking, const Ask& use,
                       const std::string& refused_with) {
  CAPTURE(taking.name);
  CAPTURE(use.name);
  const Answers answers = inOrder(plant, taking, use);
  REQUIRE_MESSAGE(bool(answers.first), (answers.first ? "" : describe(answers.first.error())));
  checkRefused(answers.second, refused_with);
}
/// The same pair the other way round is granted: what refuses is the order and nothing else.
inline void usedFirst(Plant& plant, const Ask& use, const Ask& taking) {
  CAPTURE(use.name);
  const Answers answers = inOrder(plant, use, taking);
  REQUIRE_MESSAGE(bool(answers.first), (answers.first ? "" : describe(answers.first.error())));
}

}  // namespace platemark::test
