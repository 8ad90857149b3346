/// Who is signed in: random tokens in memory, idle and absolute limits, a brake on guessing.
#pragma once

#include <map>
#include <mutex>
#include <optional>
#include <string>

#include "platemark/plant/fact.h"
#include "platemark/quantity/result.h"

namespace platemark::service {

class Sessions {
 public:
  /// A new session; its token has 256 random bits.
  [[nodiscard]] std::string begin(PersonNumber person, Instant now);
  /// Whether a person asks, or a page that is only open.
  enum class Use { counts, only_open };
  /// Whose session it is; nobody's when unknown, unused for 30 minutes or older than 10 hours.
  [[nodiscard]] std::optional<PersonNumber> person(std::string_view token, Instant now,
                                                   Use use = Use::counts);
  void end(std::string_view token);

  /// After five failures for one login or address, each further try waits: 1 s, 2 s, 4 s … up to 60
  /// s.
  [[nodiscard]] Result<void> mayTry(const std::string& who, Instant now);
  void failed(const std::string& who, Instant now);
  void succeeded(const std::string& who);

 private:
  struct Open {
    PersonNumber person = 0;
    Instant begun;
    Instant used;
  };
  struct Failures {
    int count = 0;
    Instant last;
  };
  std::mutex mutex_;
  std::map<std::string, Open, std::less<>> open_;
  std::map<std::string, Failures, std::less<>> failures_;
};

}  // namespace platemark::service
