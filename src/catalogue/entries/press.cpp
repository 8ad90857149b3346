#include <cmath>

#include "platemark/method/forming/press_log.h"
#include "platemark/method/forming/two_station.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

Result<int> wholePads(const Inputs& inputs) {
  const double pads = si(one(inputs, "pads"));
  if (pads == std::floor(pads)) return static_cast<int>(pads);
  Error error;
  error.code = "two_station.pads";
  error.what = fmt::format("{:g} is not a whole number of pads.", pads);
  error.where.field = "numbers.pads";
  error.expected = "1, 2, 3, …";
  return error;
}

Duration timeNamed(const Inputs& inputs, const std::string& name) {
  return Duration::of(si(one(inputs, name)), unit::second);
}

std::string whoWaits(const method::StrokeRhythm& rhythm) {
  switch (rhythm.waits) {
    case method::Waits::press_for_crew:
      return "The press waits for the crew.";
    case method::Waits::crew_for_press:
      return "The crew waits for the press.";
    default:
      return "Neither waits for the other.";
  }
}

std::string substituted(const method::StationTimes& times, const method::StrokeRhythm& rhythm) {
  const double p = times.press.in(unit::second), c = times.change_over.in(unit::second),
               l = times.load.in(unit::second), stroke = rhythm.stroke.in(unit::second);
  if (times.crews == method::Crews::one)
    return fmt::format("T = max({:g} s + {:g} s, {:g} s) = {:g} s", p, c, l, stroke);
  return fmt::format("T = max({:g} s + {:g} s, ({:g} s + {:g} s)/2) = {:g} s", p, c, p, l, stroke);
}

Result<Evaluation> evaluateTwoStation(const Entry& entry, const Inputs& inputs) {
  const Result<int> pads = wholePads(inputs);
  if (!pads) return pads.error();
  const method::StationTimes times{
      timeNamed(inputs, "press_time"), timeNamed(inputs, "change_over"),
      timeNamed(inputs, "load_time"), *pads,
      inputs.choices.at("crews") == "two" ? method::Crews::two : method::Crews::one};
  const Result<method::StrokeRhythm> rhythm = method::twoStationRhythm(times);
  if (!rhythm) return atInput(rhythm.error());
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "stroke_time", rhythm->stroke.in(unit::second)),
                        output(entry, "pads_per_hour", rhythm->pads_per_hour),
                        output(entry, "press_waits", rhythm->press_waits.in(unit::one)),
                        output(entry, "crew_waits", rhythm->crew_waits.in(unit::one))};
  evaluation.substituted_formula = substituted(times, *rhythm);
  evaluation.notes = {whoWaits(*rhythm)};
  return evaluation;
}

Entry twoStationEntry() {
  Entry entry;
  entry.id = "forming.two_station";
  entry.version = method::two_station_version;
  entry.title = "Rhythm of a press with two stations";
  entry.words =
      "How often the press closes when one station is unloaded and loaded while the other is "
      "pressed, and who waits for whom.";
  entry.formula =
      "one crew: T = max(p + c, l);  two crews: T = max(p + c, (p + l)/2);  n·3600 s/T pads per "
      "hour;  press waits 1 − (p + c)/T;  crew waits 1 − l/T, each of two 1 − l/(2·T)";
  entry.inputs = {
      value("press_time", "p",
            "from closing until the press is open again, vent strokes and holds included",
            Kind::duration, "s", 0),
      value("change_over", "c", "from open on one station until it can close on the other",
            Kind::duration, "s", 0),
      value("load_time", "l",
            "from the press open on a station until it is unloaded, cleaned, loaded and clear, "
            "the crew's way to it included",
            Kind::duration, "s", 0),
      value("pads", "n", "pads of one stroke: cavities filled", Kind::number, "1", 1, 1000)};
  entry.choices = {{"crews", "one crew for both stations, or one at each", {"one", "two"}, "one"}};
  entry.outputs = {
      {"stroke_time", "T", "time per stroke in steady state", Kind::duration, "s", 1},
      {"pads_per_hour", "", "pads per hour", Kind::number, "1", 1},
      {"press_waits", "", "share of time the press waits", Kind::number, "%", 1},
      {"crew_waits", "", "share of time the crew waits, or each of two", Kind::number, "%", 1}};
  entry.validity =
      "Times that do not vary, the same at both stations, which take turns; no break, no tool "
      "change, no fault. It is what the rhythm allows, not what a shift makes. Each of two crews "
      "also stands while its own station is pressed.";
  entry.uncertainty = "Not propagated.";
  entry.source =
      "The longest loop of press, station and crew, derived in the method's header; its limits "
      "are the worker–machine chart of work-study textbooks: common practice, remembered, not "
      "verified.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/two_station.csv";
  entry.example.numbers = {{"press_time", typedList({"210"}, "s")},
                           {"change_over", typedList({"15"}, "s")},
                           {"load_time", typedList({"180"}, "s")},
                           {"pads", typedList({"4"}, "1")}};
  entry.example.choices = {{"crews", "one"}};
  entry.evaluate = evaluateTwoStation;
  return entry;
}

constexpr std::string_view run_members[] = {"station", "start", "end", "strokes", "pads"};

/// Every list says something of each run, in the same order.
Result<void> checkRunLists(const Inputs& inputs) {
  const std::size_t runs = inputs.numbers.at("start").size();
  for (const std::string_view member : run_members) {
    if (inputs.numbers.at(std::string(member)).size() == runs) continue;
    Error error;
    error.code = "press_log.count";
    error.what = fmt::format("There are {} starts, and {} of '{}'.", runs,
                             inputs.numbers.at(std::string(member)).size(), member);
    error.where.field = fmt::format("numbers.{}", member);
    error.expected = "one for each run";
    return error;
  }
  return {};
}

std::vector<method::LoggedRun> loggedRuns(const Inputs& inputs) {
  const auto of = [&](const char* name, std::size_t i) { return si(inputs.numbers.at(name)[i]); };
  const double press_s = si(one(inputs, "press_time"));
  std::vector<method::LoggedRun> runs;
  for (std::size_t i = 0; i < inputs.numbers.at("start").size(); ++i)
    runs.push_back({fmt::format("{:g}", of("station", i)), of("start", i), of("end", i),
                    static_cast<int>(of("strokes", i)), static_cast<int>(of("pads", i)),
                    Duration::of(press_s, unit::second)});
  return runs;
}

Result<Evaluation> evaluatePressLog(const Entry& entry, const Inputs& inputs) {
  if (Result<void> checked = checkRunLists(inputs); !checked) return checked.error();
  const Result<method::PressLog> log = method::pressLog(loggedRuns(inputs));
  if (!log) return atInput(log.error());
  const double stretch_h = log->stretch.in(unit::second) / 3600,
               running_h = log->running.in(unit::second) / 3600;
  Evaluation evaluation;
  evaluation.outputs = {output(entry, "pads_per_hour", log->pads_per_hour),
                        output(entry, "strokes_per_hour", log->strokes_per_hour),
                        output(entry, "stands", log->stands.in(unit::one)),
                        output(entry, "waits", log->waits->in(unit::one)),
                        output(entry, "both", log->both.in(unit::second))};
  evaluation.substituted_formula = fmt::format(
      "{} pads/{:g} h = {:g} pads per hour;  {} strokes/{:g} h = {:g} strokes per hour", log->pads,
      stretch_h, log->pads_per_hour, log->strokes, running_h, log->strokes_per_hour);
  return evaluation;
}

Entry pressLogEntry() {
  Entry entry;
  entry.id = "forming.press_log";
  entry.version = method::press_log_version;
  entry.title = "Output and waiting of a press";
  entry.words =
      "What a press made in a stretch of time, how long it stood, and how long it waited while it "
      "ran, by the times of its own runs.";
  entry.formula =
      "pads per hour Σn/τ;  strokes per hour of running time Σk/R;  stands 1 − R/τ;  waits "
      "1 − Σ(k·p)/R";
  entry.inputs = {
      listOf(value("station", "", "number of each run's station; 1 where the press has none",
                   Kind::number, "1", 1, 100)),
      listOf(value("start", "", "start of each run, from any common moment", Kind::duration, "min",
                   0)),
      listOf(value("end", "", "end of each run, from the same moment", Kind::duration, "min", 0)),
      listOf(value("strokes", "k", "strokes of each run", Kind::number, "1", 1)),
      listOf(value("pads", "n", "good pads of each run", Kind::number, "1", 0)),
      value("press_time", "p", "from closing until the press is open again", Kind::duration, "s",
            0)};
  entry.outputs = {
      {"pads_per_hour", "", "pads per hour of the stretch", Kind::number, "1", 1},
      {"strokes_per_hour", "", "strokes per hour of running time", Kind::number, "1", 1},
      {"stands", "", "share of the stretch in which no run is on record", Kind::number, "%", 1},
      {"waits", "", "share of the running time in which the press waits", Kind::number, "%", 1},
      {"both", "B", "time in which runs of two stations go on at once", Kind::duration, "min", 1}};
  entry.validity =
      "A press closes on one station at a time. τ lasts from the first start to the last end; R is "
      "the length of the union of all runs.";
  entry.uncertainty = "Not propagated; that of the clock that gave the times.";
  entry.source = "Counting of this project: intervals and their union.";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/press_log.csv";
  entry.example.numbers = {
      {"station", typedList({"1", "2"}, "1")}, {"start", typedList({"0", "30"}, "min")},
      {"end", typedList({"60", "90"}, "min")}, {"strokes", typedList({"60", "60"}, "1")},
      {"pads", typedList({"60", "60"}, "1")},  {"press_time", typedList({"20"}, "s")}};
  entry.evaluate = evaluatePressLog;
  return entry;
}

}  // namespace

std::vector<Entry> pressEntries() { return {twoStationEntry(), pressLogEntry()}; }

}  // namespace platemark::catalogue
