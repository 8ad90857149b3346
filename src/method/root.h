/// The root of a rising function, halved until neighbouring doubles are left.
#pragma once

namespace platemark::method {

template <class Rising>
double rootOf(Rising rising, double low, double high) {
  for (;;) {
    const double middle = low + (high - low) / 2;
    if (middle <= low || middle >= high) return middle;
    (rising(middle) < 0 ? low : high) = middle;
  }
}

}  // namespace platemark::method
