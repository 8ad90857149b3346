/// What the presses made and how long they waited, by their own times.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/act/press_runs.h"
#include "platemark/method/forming/press_log.h"
#include "station.h"

namespace platemark::service::view {
namespace {

constexpr std::int64_t day_ms = 24LL * 3600 * 1000;
constexpr std::size_t shown_runs = 20;

std::string percent(const Share& share) {
  return format(Measure{Decimal::fixed(share.in(unit::one)*100, 0), "%"});
}

std::string perHour(double n) { return Decimal::fixed(n, 0).text(); }

std::int64_t ms(const Duration& time) {
  return static_cast<std::int64_t>(time.in(unit::second)*1000 + 0.5);
}

/// "2 h 05 min"
std::string hours(const Duration& time) {
  return lasted(Instant::fromUnixMs(0), Instant::fromUnixMs(ms(time)));
}

method::LoggedRun loggedRun(const gate::RunOnPress& of) {
  const StepDone& run = of.run;
  method::LoggedRun logged;
  logged.station = run.station.value_or("");
  logged.start_s = static_cast<double>(run.started->unixMs()) / 1000;
  logged.end_s = static_cast<double>(run.ended->unixMs()) / 1000;
  logged.strokes = static_cast<int>(*run.strokes);
  logged.pads = static_cast<int>(run.counts.good);
  if (run.press_time)
    if (const Result<Duration> time = durationFrom(*run.press_time)) logged.press_time = *time;
  return logged;
}

/// One stroke after the other at the same station; what is not pressing is unloading, loading and
/// waiting.
std::string cycleWords(const gate::RunOnPress& of) {
  const StepDone& run = of.run;
  const double s = static_cast<double>(run.ended->unixMs() - run.started->unixMs()) / 1000 /
                   static_cast<double>(*run.strokes);
  const std::string cycle = format(Measure{Decimal::fixed(s, 0), "s"});
  const Result<Duration> time =
      run.press_time ? durationFrom(*run.press_time) : Result<Duration>(Error{});
  if (!time) return cycle;
  return say("service.press.cycle",
             {{"cycle", cycle},
              {"pressed", format(Measure{Decimal::fixed(time->in(unit::second), 0), "s"})},
              {"open", format(Measure{Decimal::fixed(s - time->in(unit::second), 0), "s"})}});
}

Value runValue(const Look& look, const gate::RunOnPress& of) {
  const StepDone& run = of.run;
  return Value::Object{{"fact", run.fact},
                       {"batch", of.batch},
                       {"station", run.station.value_or("")},
                       {"from", dayAndTime(look, *run.started)},
                       {"to", clockTime(look, *run.ended)},
                       {"strokes", *run.strokes},
                       {"pads", run.counts.good},
                       {"cycle", cycleWords(of)}};
}

/// One sentence each: what came out, how long it stood and waited, who loaded meanwhile.
std::vector<std::string> logWords(const method::PressLog& log, bool stations) {
  std::vector<std::string> words{
      say("service.press.output", {{"pads", grouped(log.pads)},
                                   {"time", hours(log.stretch)},
                                   {"per_hour", perHour(log.pads_per_hour)},
                                   {"strokes", perHour(log.strokes_per_hour)}}),
      say("service.press.stood", {{"share", percent(log.stands)}})};
  words.push_back(log.waits ? say("service.press.waited", {{"share", percent(*log.waits)}})
                            : say("service.press.waiting_unknown"));
  if (stations) words.push_back(say("service.press.both", {{"time", hours(log.both)}}));
  return words;
}

std::vector<gate::RunOnPress> standing(const Look& look, const std::string& machine, Instant from) {
  std::vector<gate::RunOnPress> runs =
      act::pressRuns(look.snapshot, machine, from, look.snapshot.now());
  std::erase_if(runs, [](const gate::RunOnPress& r) { return r.run.corrected_by.has_value(); });
  return runs;
}

Value logValue(const Look& look, const Machine& machine, Instant from) {
  const std::vector<gate::RunOnPress> runs = standing(look, machine.code, from);
  std::vector<method::LoggedRun> logged;
  std::transform(runs.begin(), runs.end(), std::back_inserter(logged), loggedRun);
  Value::Array rows;
  for (auto run = runs.rbegin(); run != runs.rend() && rows.size() < shown_runs; ++run)
    rows.push_back(runValue(look, *run));
  const Result<method::PressLog> log = method::pressLog(logged);
  std::vector<std::string> words;
  if (log)
    words = logWords(*log, machine.stations.size() > 1);
  else
    words.push_back(runs.empty() ? say("service.press.none") : log.error().what);
  return Value::Object{{"machine", machine.code},
                       {"name", machine.name},
                       {"words", toValue(words)},
                       {"runs", std::move(rows)}};
}

}  // namespace

Value pressLog(const Look& look, const Machine& machine) {
  // The newest day with a run, so that the page says something on a Monday too.
  constexpr std::int64_t weeks_back = 14 * day_ms;
  const Instant since = Instant::fromUnixMs(look.snapshot.now().unixMs() - weeks_back);
  const std::vector<gate::RunOnPress> runs = standing(look, machine.code, since);
  if (runs.empty()) return logValue(look, machine, since);
  return logValue(look, machine, Instant::fromUnixMs(runs.back().run.started->unixMs() - day_ms));
}

Value::Array pressesOfShift(const Look& look) {
  constexpr std::int64_t shift_ms = 12LL * 3600 * 1000;
  const Instant since = Instant::fromUnixMs(look.snapshot.now().unixMs() - shift_ms);
  Value::Array list;
  for (const Issued<Machine>& m : act::allOf<Machine>(look.snapshot, projection::machine))
    if (m.noun.machine_class == MachineClass::press && !standing(look, m.noun.code, since).empty())
      list.push_back(logValue(look, m.noun, since));
  return list;
}

}  // namespace platemark::service::view
