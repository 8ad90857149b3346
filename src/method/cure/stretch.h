/// Stretches of time and their algebra: what is known, in the band, in the soak.
#pragma once

#include <vector>

namespace platemark::method::cure {

/// Milliseconds since the load went in.
struct Stretch {
  double from;
  double to;
  [[nodiscard]] double length() const { return to - from; }
};

/// Sorted, apart from each other.
using Stretches = std::vector<Stretch>;

/// Adds a stretch that begins no earlier than the last one; joins what touches.
void append(Stretches& stretches, Stretch next);
/// Any order in; sorted out, with those at most `slack` apart joined.
[[nodiscard]] Stretches joined(Stretches stretches, double slack);
[[nodiscard]] Stretches intersect(const Stretches& a, const Stretches& b);
[[nodiscard]] Stretches unite(const Stretches& a, const Stretches& b);
/// What `within` holds beside `stretches`.
[[nodiscard]] Stretches complement(const Stretches& stretches, Stretch within);
/// True when they share more than a moment.
[[nodiscard]] bool overlaps(const Stretches& stretches, Stretch other);

}  // namespace platemark::method::cure
