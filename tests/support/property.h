/// A RapidCheck property as a doctest check.
#pragma once

#include <doctest/doctest.h>
#include <rapidcheck.h>

#include <algorithm>
#include <cmath>
#include <string>

namespace platemark::test {

template <class Property>
void holds(const std::string& sentence, Property property) {
  CHECK_MESSAGE(rc::check(sentence, property), sentence);
}

/// A whole number from `low` to `high`, both included, times `step`: numbers as instruments show
/// them.
inline double drawn(int low, int high, double step) {
  return *rc::gen::inRange(low, high + 1) * step;
}

/// Near in relation to the greater of both.
inline bool near(double a, double b, double relative = 1e-12) {
  return std::abs(a - b) <= relative * std::max(std::abs(a), std::abs(b));
}

}  // namespace platemark::test
