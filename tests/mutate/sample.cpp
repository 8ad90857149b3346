#include "sample.h"

namespace platemark::sample {
namespace {

static_assert(unit::minute.seconds > unit::second.seconds);

template <class T>
bool isLess(T a, T b) {
  return a < b;
}

std::vector<Missing> holds(bool held) {
  if (!held) return {};
  return {{"the hold must be lifted"}};
}

}  // namespace

bool isInside(int value, int low, int high) { return low <= value && value <= high; }

int secondsLeft(int minutes_allowed, int seconds_passed) {
  const int allowed = minutes_allowed * unit::minute.seconds;
  if (isLess(allowed, seconds_passed)) return 0;
  return allowed - seconds_passed;
}

std::vector<Missing> mayPack(int pads, bool released, bool held) {
  std::vector<Missing> missing = holds(held);
  if (!released) missing.push_back({"the batch must be released"});
  if (pads < 1) missing.push_back({"no pads"});
  return missing;
}

}  // namespace platemark::sample
