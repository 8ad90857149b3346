#include "prepare.h"

#include <algorithm>
#include <cmath>
#include <set>

#include "screen.h"
#include "series.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

bool isEvidence(ChannelRole role, Evidence rule) {
  switch (role) {
    case ChannelRole::load:
      return true;
    case ChannelRole::record:
      return rule != Evidence::load_only;
    case ChannelRole::control:
      return rule == Evidence::control_record_and_load;
    case ChannelRole::over_temperature:
      return false;
  }
  return false;
}

bool isNegative(double value) { return !(value >= 0 && std::isfinite(value)); }

Result<void> checkLimits(const Limits& limits) {
  const bool is_wrong = !std::isfinite(limits.soak_celsius) || isNegative(limits.below_k) ||
                        isNegative(limits.soak_minutes) || isNegative(limits.bridge_minutes) ||
                        limits.bridge_minutes == 0;
  if (is_wrong)
    return wrongInput("cure.limits_range", "a limit is missing, negative or not a number", "limits",
                      "set point, band and soak of 0 or more; a bridge above 0 minutes",
                      "take the limits from the process card");
  return {};
}

Result<void> checkRules(const Rules& rules) {
  const bool is_right =
      rules.chord_from_celsius < rules.chord_to_celsius && rules.rate_window_minutes > 0;
  if (!is_right)
    return wrongInput("cure.rules_range",
                      "the ramp is measured between temperatures or over a time that are none",
                      "rules", "chord_from below chord_to, a window above 0 minutes",
                      "correct the rules");
  return {};
}

Result<void> checkScreening(const Screening& s) {
  const auto all = {s.gap_steps,       s.jump_least_k,      s.air_k_per_min,
                    s.load_k_per_min,  s.stuck_air_minutes, s.stuck_load_minutes,
                    s.stuck_witness_k, s.parted_k,          s.parted_minutes};
  const auto is_positive = [](double value) { return value > 0; };
  if (std::ranges::all_of(all, is_positive) && s.plausible_from_celsius < s.plausible_to_celsius)
    return {};
  return wrongInput("cure.screening_range",
                    "a number that decides which readings are believed is none", "screening",
                    "values above 0, and a plausible range",
                    "correct the screening, or leave it out");
}

Result<void> checkChannels(const ChartInput& input) {
  if (input.channels.empty())
    return wrongInput("cure.no_channels", "the recording has no channel", "channels",
                      "at least one channel", "name the columns of the recorder's file");
  std::set<std::string> names;
  for (const Channel& channel : input.channels) {
    if (!names.insert(channel.name).second)
      return wrongInput("cure.channel_twice", "two channels are called " + channel.name, "channels",
                        "a name of its own for each channel", "rename one of them");
    if (isNegative(channel.tolerance_k.value_or(0)))
      return wrongInput("cure.tolerance_range",
                        "the tolerance of " + channel.name + " is impossible", "channels",
                        "0 K or more", "take it from the sensor's certificate");
    if (Result<void> ok = checkSeries(channel.series, channel.name); !ok) return ok;
  }
  return {};
}

Result<void> checkEvidence(const ChartInput& input) {
  const auto counts = [&](const Channel& c) { return isEvidence(c.role, input.rules.evidence); };
  if (std::ranges::none_of(input.channels, counts))
    return wrongInput("cure.no_evidence", "no channel counts as evidence of cure", "channels",
                      "a channel in a role that the evidence rule names",
                      "set the roles of the channels or choose another evidence rule");
  return {};
}

Result<void> checkInput(const ChartInput& input) {
  if (Result<void> ok = checkChannels(input); !ok) return ok;
  if (Result<void> ok = checkEvidence(input); !ok) return ok;
  if (Result<void> ok = checkLimits(input.limits); !ok) return ok;
  if (Result<void> ok = checkRules(input.rules); !ok) return ok;
  if (Result<void> ok = checkScreening(input.screening); !ok) return ok;
  return checkProgramme(input.programme);
}

struct Clocks {
  std::int64_t first;
  std::int64_t last;
};

/// First and last moment at which an evidence channel reads anything.
std::optional<Clocks> clocksOf(const ChartInput& input) {
  std::optional<Clocks> clocks;
  for (const Channel& channel : input.channels) {
    if (!isEvidence(channel.role, input.rules.evidence)) continue;
    for (std::size_t i = 0; i < channel.series.at_ms.size(); ++i) {
      if (!std::isfinite(channel.series.celsius[i])) continue;
      const std::int64_t at = channel.series.at_ms[i];
      if (!clocks) clocks = Clocks{at, at};
      clocks = Clocks{std::min(clocks->first, at), std::max(clocks->last, at)};
    }
  }
  return clocks;
}

Result<void> checkMoments(const ChartInput& input, const Clocks& clocks) {
  if (input.load_in_ms && (!isMoment(*input.load_in_ms) || *input.load_in_ms > clocks.last))
    return wrongInput("cure.load_in_outside", "the load went in after the recording ends",
                      "load_in_ms", "a moment before the last reading",
                      "check the clock of the recorder and the load's record");
  const std::int64_t start = input.load_in_ms.value_or(clocks.first);
  if (input.door_open_ms && (!isMoment(*input.door_open_ms) || *input.door_open_ms < start))
    return wrongInput("cure.door_open_outside", "the door was opened before the load went in",
                      "door_open_ms", "a moment after load in", "check the load's record");
  return {};
}

/// What lies between load in and the end and is not known. Ends shorter than
/// the bridge are forgiven: channels are not read at one and the same moment.
Stretches unknownOf(const Chart& chart, const Track& usable) {
  Stretches unknown = complement(knownOf(usable, chart.bridge), chart.whole());
  const auto is_edge = [&](const Stretch& s) {
    return (s.from == 0 || s.to == chart.end) && s.length() <= chart.bridge;
  };
  if (usable.size() > 1) std::erase_if(unknown, is_edge);
  return unknown;
}

void findUsable(Chart& chart, Line& line) {
  line.unusable = joined(std::move(line.unusable), 0);
  line.usable = clipped(without(line.read, line.unusable), chart.whole(), chart.bridge);
  line.unknown = unknownOf(chart, line.usable);
}

void screen(Chart& chart) {
  for (Line& line : chart.lines) takeReadings(chart, line);
  for (Line& line : chart.lines) {
    findGaps(chart, line);
    findStuck(chart, line);
    findJumps(chart, line);
  }
  for (Line& line : chart.lines) findUsable(chart, line);
}

}  // namespace

std::int64_t Chart::clock(double at) const { return load_in_ms + std::llround(at); }

std::vector<const Line*> Chart::evidence() const {
  std::vector<const Line*> chosen;
  for (const Line& line : lines)
    if (line.evidence) chosen.push_back(&line);
  return chosen;
}

bool Chart::evidenceKnown(Stretch within) const {
  return std::ranges::none_of(
      lines, [&](const Line& line) { return line.evidence && overlaps(line.unknown, within); });
}

ChartFault& Chart::mark(FaultKind kind, Stretch where, const Line* line) {
  ChartFault fault;
  fault.kind = kind;
  if (line) fault.channel = line->name();
  fault.from_ms = clock(where.from);
  fault.to_ms = clock(where.to);
  return faults.emplace_back(std::move(fault));
}

Result<Chart> prepare(const ChartInput& input) {
  if (Result<void> ok = checkInput(input); !ok) return ok.error();
  const std::optional<Clocks> clocks = clocksOf(input);
  if (!clocks)
    return wrongInput("cure.no_readings", "no evidence channel has a single reading", "channels",
                      "at least one reading", "check the file layout: is the right column mapped?");
  if (Result<void> ok = checkMoments(input, *clocks); !ok) return ok.error();

  Chart chart;
  chart.input = &input;
  chart.load_in_ms = input.load_in_ms.value_or(clocks->first);
  chart.end = static_cast<double>(clocks->last - chart.load_in_ms);
  chart.bridge = input.limits.bridge_minutes * ms_per_minute;
  for (const Channel& channel : input.channels)
    chart.lines.push_back(
        {.channel = &channel, .evidence = isEvidence(channel.role, input.rules.evidence)});
  std::ranges::sort(chart.lines, {}, [](const Line& line) { return line.name(); });
  screen(chart);
  return chart;
}

}  // namespace platemark::method::cure
