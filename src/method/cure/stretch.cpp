#include "stretch.h"

#include <algorithm>

namespace platemark::method::cure {
namespace {

void appendWithin(Stretches& stretches, Stretch next, double slack) {
  if (!stretches.empty() && next.from - stretches.back().to <= slack)
    stretches.back().to = std::max(stretches.back().to, next.to);
  else
    stretches.push_back(next);
}

/// The first stretch that ends after `at`.
auto firstEndingAfter(const Stretches& stretches, double at) {
  return std::ranges::upper_bound(stretches, at, {}, &Stretch::to);
}

}  // namespace

void append(Stretches& stretches, Stretch next) { appendWithin(stretches, next, 0); }

Stretches joined(Stretches stretches, double slack) {
  std::ranges::sort(stretches, {}, &Stretch::from);
  Stretches result;
  for (const Stretch& stretch : stretches) appendWithin(result, stretch, slack);
  return result;
}

Stretches intersect(const Stretches& a, const Stretches& b) {
  Stretches both;
  for (auto i = a.begin(), j = b.begin(); i != a.end() && j != b.end();) {
    const Stretch shared{std::max(i->from, j->from), std::min(i->to, j->to)};
    if (shared.from < shared.to) append(both, shared);
    if (i->to < j->to)
      ++i;
    else
      ++j;
  }
  return both;
}

Stretches unite(const Stretches& a, const Stretches& b) {
  Stretches all = a;
  all.insert(all.end(), b.begin(), b.end());
  return joined(std::move(all), 0);
}

Stretches complement(const Stretches& stretches, Stretch within) {
  Stretches rest;
  double from = within.from;
  for (const Stretch& stretch : stretches) {
    const double to = std::min(stretch.from, within.to);
    if (from < to) rest.push_back({from, to});
    from = std::max(from, stretch.to);
  }
  if (from < within.to) rest.push_back({from, within.to});
  return rest;
}

bool overlaps(const Stretches& stretches, Stretch other) {
  const auto next = firstEndingAfter(stretches, other.from);
  return next != stretches.end() && next->from < other.to;
}

}  // namespace platemark::method::cure
