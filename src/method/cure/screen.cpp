#include "screen.h"

#include <algorithm>
#include <cmath>
#include <map>

namespace platemark::method::cure {
namespace {

/// Counts readings of one kind and remembers where they lie.
struct Tally {
  std::size_t count = 0;
  Stretch where{0, 0};
  void take(double at) {
    if (count++ == 0) where.from = at;
    where.to = at;
  }
};

void markTally(Chart& chart, const Line& line, FaultKind kind, const Tally& tally, bool usable) {
  if (tally.count == 0) return;
  ChartFault& fault = chart.mark(kind, tally.where, &line);
  fault.count = tally.count;
  fault.usable = usable;
}

/// The one value of readings with the same time; nothing when they differ.
struct Moment {
  double at;
  std::optional<double> celsius;
  std::size_t readings = 1;
};

void addMoment(std::vector<Moment>& moments, double at, double celsius) {
  if (moments.empty() || moments.back().at != at) {
    moments.push_back({at, celsius});
    return;
  }
  Moment& same = moments.back();
  ++same.readings;
  if (same.celsius != celsius) same.celsius.reset();
}

bool isPlausible(const Screening& s, double celsius) {
  return celsius >= s.plausible_from_celsius && celsius <= s.plausible_to_celsius;
}

double allowedPerMs(const Screening& s, const Line& line) {
  return (line.isLoad() ? s.load_k_per_min : s.air_k_per_min) / ms_per_minute;
}

/// May heat have brought the channel from reading i's level to `celsius` at `at`?
class Physics {
 public:
  Physics(const Chart& chart, const Line& line)
      : least_(std::max(chart.screening().jump_least_k, 6 * line.noise)),
        per_ms_(allowedPerMs(chart.screening(), line)) {}
  [[nodiscard]] bool allows(double change, double ms) const {
    return std::abs(change) <= least_ + per_ms_ * ms;
  }

 private:
  double least_;
  double per_ms_;
};

void markJump(Chart& chart, Line& line, Stretch where, double change, double level) {
  ChartFault& fault = chart.mark(FaultKind::jump, where, &line);
  fault.figure = change;
  fault.unit = "K";
  fault.level = level;
  fault.usable = false;
  line.unusable.push_back(where);
}

/// Index of the last reading before a return to the level of reading i, or the last of all.
std::size_t lastAway(const Track& track, const Physics& physics, std::size_t i) {
  for (std::size_t k = i + 1; k + 1 < track.size(); ++k) {
    const bool jumps =
        !physics.allows(track.celsius[k + 1] - track.celsius[k], track.at[k + 1] - track.at[k]);
    const bool is_back =
        physics.allows(track.celsius[k + 1] - track.celsius[i], track.at[k + 1] - track.at[i]);
    if (jumps && is_back) return k;
  }
  return track.size() - 1;
}

/// A recorder that is switched on may begin with a wrong value; then the short
/// beginning is wrong, not the long rest.
std::size_t falseStart(const Track& track, const Physics& physics) {
  constexpr std::size_t few = 3;
  for (std::size_t i = std::min(few, track.size() > 4 * few ? few : 0); i > 0; --i)
    if (!physics.allows(track.celsius[i] - track.celsius[i - 1], track.at[i] - track.at[i - 1]) &&
        lastAway(track, physics, i - 1) == track.size() - 1)
      return i;
  return 0;
}

double witnessMove(const Track& track, Stretch where) {
  const auto from = std::ranges::lower_bound(track.at, where.from) - track.at.begin();
  const auto to = std::ranges::upper_bound(track.at, where.to) - track.at.begin();
  if (to - from < 2) return 0;
  // A tenth at either end, by its middle reading: a single wild reading moves nothing.
  const auto part = std::max<std::ptrdiff_t>(1, (to - from) / 10);
  const auto middle = [&](std::ptrdiff_t first) {
    std::vector<double> some(track.celsius.begin() + first, track.celsius.begin() + first + part);
    std::ranges::nth_element(some, some.begin() + part / 2);
    return some[static_cast<std::size_t>(part / 2)];
  };
  return std::abs(middle(to - part) - middle(from));
}

bool standsStill(const Line& line, Stretch where) {
  const Track& track = line.read;
  const auto from = std::ranges::lower_bound(track.at, where.from) - track.at.begin();
  const auto to = std::ranges::upper_bound(track.at, where.to) - track.at.begin();
  if (to <= from) return true;
  const auto [low, high] =
      std::minmax_element(track.celsius.begin() + from, track.celsius.begin() + to);
  return *high - *low <= line.resolution * 1.001;
}

double levelIn(const Track& track, Stretch where) {
  const auto from = std::ranges::lower_bound(track.at, where.from) - track.at.begin();
  const auto to = std::ranges::upper_bound(track.at, where.to) - track.at.begin();
  return track.celsius[static_cast<std::size_t>(from + (to - from) / 2)];
}

/// The programme moved on and away. A preheated oven that stands where the
/// programme goes is ahead of it and not broken.
bool programmeLeaves(const Chart& chart, const Line& line, Stretch where, double needed) {
  const auto from = windowAt(chart.input->programme, where.from / ms_per_minute);
  const auto to = windowAt(chart.input->programme, where.to / ms_per_minute);
  return from && to && std::abs(to->target_celsius - from->target_celsius) >= needed &&
         std::abs(to->target_celsius - levelIn(line.read, where)) >= needed;
}

/// What moves must have moved before the stretch is half as long as it takes to
/// call a channel stuck: what moves only then has no time to show.
Stretch withoutLag(Stretch where, double least) { return {where.from, where.to - least / 2}; }

/// Air answers to other air and to the programme; the load to everything.
/// The programme is asked only where no other channel moves at all: an oven that
/// waits for its load is behind its programme and not broken.
bool shouldHaveMoved(const Chart& chart, const Line& line, Stretch where) {
  const double needed = std::max(chart.screening().stuck_witness_k, 6 * line.noise);
  bool all_stand_still = true;
  for (const Line& other : chart.lines) {
    if (&other == &line || (other.isLoad() && !line.isLoad())) continue;
    if (witnessMove(other.read, where) >= needed) return true;
    all_stand_still = all_stand_still && standsStill(other, where);
  }
  return all_stand_still && programmeLeaves(chart, line, where, needed);
}

/// Runs within `band` of each other that last at least `least` ms without a gap inside.
std::vector<Run> stillRuns(const Track& track, double band, double least, double bridge) {
  std::vector<Run> runs;
  for (std::size_t i = 0; i < track.size();) {
    double low = track.celsius[i];
    double high = low;
    std::size_t k = i;
    while (k + 1 < track.size() && track.at[k + 1] - track.at[k] <= bridge) {
      low = std::min(low, track.celsius[k + 1]);
      high = std::max(high, track.celsius[k + 1]);
      if (high - low > band) break;
      ++k;
    }
    if (k - i >= 3 && track.at[k] - track.at[i] >= least) runs.push_back({i, k});
    i = k + 1;
  }
  return runs;
}

/// How often a channel repeats its reading near a temperature.
class Habit {
 public:
  explicit Habit(const Track& track) {
    for (std::size_t i = 0; i + 1 < track.size(); ++i) {
      Counts& counts = by_degree_[std::lround(track.celsius[i])];
      const double change = track.celsius[i + 1] - track.celsius[i];
      counts.steps += 1;
      counts.repeats += change == 0 ? 1 : 0;
      if (i == 0) continue;
      const double before = track.celsius[i] - track.celsius[i - 1];
      counts.turns += change * before < 0 ? 1 : 0;
      counts.after_repeat += before == 0 ? 1 : 0;
      counts.again += before == 0 && change == 0 ? 1 : 0;
    }
  }

  /// True when this channel, by what it does elsewhere at this temperature, would
  /// repeat itself `steps` times in a row less than once in ten million times.
  [[nodiscard]] bool isBrokenBy(double celsius, std::size_t steps) const {
    constexpr double enough_steps = 50;
    constexpr double least_turns = 0.1;  // a smooth approach to a set point is no chatter
    const auto in_a_row = static_cast<double>(steps);
    Counts other = around(std::lround(celsius));
    other.steps -= in_a_row;
    other.repeats -= in_a_row;
    other.after_repeat -= in_a_row;
    other.again -= in_a_row - 1;
    if (other.steps < enough_steps || other.turns < least_turns * other.steps) return false;
    return std::pow(other.shareOfRepeats(), in_a_row) < 1e-7;
  }

 private:
  struct Counts {
    double steps = 0;
    double repeats = 0;
    double turns = 0;
    double after_repeat = 0;  // steps after a repeat
    double again = 0;         // of these, repeats

    /// A repeat is likelier after a repeat: the channel is then at its usual value.
    [[nodiscard]] double shareOfRepeats() const {
      return std::max(repeats / steps, after_repeat > 0 ? again / after_repeat : 0);
    }
  };

  [[nodiscard]] Counts around(long degree) const {
    Counts sum;
    for (auto it = by_degree_.lower_bound(degree - 1); it != by_degree_.upper_bound(degree + 1);
         ++it) {
      sum.steps += it->second.steps;
      sum.repeats += it->second.repeats;
      sum.turns += it->second.turns;
      sum.after_repeat += it->second.after_repeat;
      sum.again += it->second.again;
    }
    return sum;
  }

  std::map<long, Counts> by_degree_;
};

void markStuck(Chart& chart, Line& line, Stretch where, double level) {
  ChartFault& fault = chart.mark(FaultKind::stuck, where, &line);
  fault.figure = where.length() / ms_per_minute;
  fault.unit = "min";
  fault.level = level;
  fault.usable = false;
  line.unusable.push_back(where);
}

Stretch stretchOf(const Track& track, const Run& run) {
  return {track.at[run.first], track.at[run.last]};
}

}  // namespace

void takeReadings(Chart& chart, Line& line) {
  const Series& series = line.channel->series;
  Tally implausible;
  std::vector<Moment> moments;
  for (std::size_t i = 0; i < series.at_ms.size(); ++i) {
    if (std::isnan(series.celsius[i])) continue;
    const auto at = static_cast<double>(series.at_ms[i] - chart.load_in_ms);
    if (isPlausible(chart.screening(), series.celsius[i]))
      addMoment(moments, at, series.celsius[i]);
    else
      implausible.take(at);
  }
  Tally doubled;
  bool all_agree = true;
  for (const Moment& moment : moments) {
    if (moment.readings > 1) doubled.take(moment.at);
    if (moment.celsius)
      line.read.add(moment.at, *moment.celsius);
    else
      all_agree = false;
  }
  line.noise = noiseOf(line.read);
  line.resolution = resolutionOf(line.read);
  markTally(chart, line, FaultKind::implausible, implausible, false);
  markTally(chart, line, FaultKind::duplicate_time, doubled, all_agree);
}

void findGaps(Chart& chart, const Line& line) {
  const double least = chart.screening().gap_steps * usualStep(line.read);
  double before = 0;
  const auto visit = [&](double next) {
    const Stretch where{before, next};
    before = std::max(before, next);
    if (where.length() <= 0 || where.length() < least) return;
    ChartFault& fault = chart.mark(FaultKind::gap, where, &line);
    fault.figure = where.length() / ms_per_minute;
    fault.unit = "min";
    fault.limit = chart.limits().bridge_minutes;
    fault.usable = where.length() <= chart.bridge;
  };
  for (const double at : line.read.at) visit(at);
  visit(chart.end);
}

void findJumps(Chart& chart, Line& line) {
  // A sensor that comes loose from a stuck stretch steps to where it belongs.
  const Track track = without(line.read, line.unusable);
  const Physics physics(chart, line);
  std::size_t i = falseStart(track, physics);
  if (i > 0)
    markJump(chart, line, {track.at[0], track.at[i - 1]}, track.celsius[i] - track.celsius[i - 1],
             track.celsius[i - 1]);
  for (; i + 1 < track.size(); ++i) {
    const double change = track.celsius[i + 1] - track.celsius[i];
    if (physics.allows(change, track.at[i + 1] - track.at[i])) continue;
    const std::size_t last = lastAway(track, physics, i);
    markJump(chart, line, {track.at[i + 1], track.at[last]}, change, track.celsius[i]);
    i = last;
  }
}

void findStuck(Chart& chart, Line& line) {
  const Track& track = line.read;
  const Screening& s = chart.screening();
  const double least = (line.isLoad() ? s.stuck_load_minutes : s.stuck_air_minutes) * ms_per_minute;
  Stretches stuck;
  for (const Run& run : stillRuns(track, line.resolution * 1.001, least, chart.bridge))
    if (shouldHaveMoved(chart, line, withoutLag(stretchOf(track, run), least)))
      stuck.push_back(stretchOf(track, run));

  const Habit habit(track);
  for (const Run& run : stillRuns(track, 0, least, chart.bridge))
    if (habit.isBrokenBy(track.celsius[run.first], run.last - run.first))
      stuck.push_back(stretchOf(track, run));

  for (const Stretch& where : joined(std::move(stuck), 0))
    markStuck(chart, line, where, levelIn(track, where));
}

}  // namespace platemark::method::cure
