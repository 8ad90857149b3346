#include "recorded_chart.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "heat/oven_air.h"
#include "platemark/method/cure/drift.h"
#include "platemark/service/cure_file.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;
using ledger::stateAs;

constexpr std::size_t kept_reasons = 100;

double inKelvin(const Measure& m) { return temperatureDifferenceFrom(m)->in(unit::kelvin); }
double inCelsius(const Measure& m) { return temperatureFrom(m)->in(scale::celsius); }

/// The soak that counts is the longest of the programme.
cure::Limits limitsOf(const Programme& programme) {
  const auto soak = std::max_element(
      programme.segments.begin(), programme.segments.end(),
      [](const auto& a, const auto& b) { return a.soak_minutes < b.soak_minutes; });
  cure::Limits limits;
  limits.soak_celsius = inCelsius(soak->target);
  limits.below_k = inKelvin(soak->tolerance);
  limits.soak_minutes = static_cast<double>(soak->soak_minutes);
  limits.bridge_minutes = durationFrom(programme.longest_gap)->in(unit::minute);
  limits.load_in_celsius = inCelsius(programme.load_in_below);
  return limits;
}

/// A half-width of a rectangular distribution as a standard uncertainty (GUM 4.3.7).
Measure standardUncertainty(double half_width, std::string_view unit) {
  return {Decimal::fromDouble(half_width / std::sqrt(3.0)), std::string(unit)};
}

/// "channel 2 was lost" as a sentence of its own.
std::string sentenceOf(std::string text) {
  if (text.empty()) return text;
  if (text.front() >= 'a' && text.front() <= 'z')
    text.front() = static_cast<char>(text.front() - 'a' + 'A');
  if (text.back() != '.') text += '.';
  return text;
}

std::vector<std::string> reasonsOf(const intake::Report& report) {
  std::vector<std::string> reasons;
  for (const intake::Tally& tally : report.tallies)
    for (const intake::Remark& remark : tally.first)
      if (reasons.size() < kept_reasons)
        reasons.push_back(fmt::format("line {}: {}", remark.line, intake::wordsFor(tally.code)));
  return reasons;
}

cure::ChartInput chartInput(const intake::Series& series, const OvenAir& air, const ChartOf& of) {
  cure::ChartInput chart;
  chart.channels = air.channels;
  chart.programme = windowOf(of.programme);
  chart.limits = limitsOf(of.programme);
  const std::optional<Instant>& in = of.load_in;
  if (in && !series.times.empty() && in->unixMs() >= series.times.front() &&
      in->unixMs() <= series.times.back())
    chart.load_in_ms = in->unixMs();
  if (!of.metal_only) return chart;
  chart.rules.evidence = cure::Evidence::load_only;
  chart.limits.load_in_celsius.reset();  // a line is hot when a pad comes in
  // One pad in a hot line heats faster than a stack in an oven.
  chart.screening.load_k_per_min = chart.screening.air_k_per_min;
  return chart;
}

/// In the soak air and load stand still enough for the channels to be compared.
std::vector<ChannelOffset> offsetsOf(const OvenAir& air, const cure::ChartReading& reading) {
  if (!reading.soak_start_minute.determined || !reading.soak_end_minute.determined) return {};
  std::vector<cure::Channel> channels;
  for (const cure::Channel& c : air.channels)
    if (c.role != cure::ChannelRole::over_temperature) channels.push_back(c);
  const auto at = [&](const cure::Figure& minute) {
    return reading.load_in_ms + static_cast<std::int64_t>(*minute.value * 60'000);
  };
  const auto offsets =
      cure::offsetsBetween(channels, at(reading.soak_start_minute), at(reading.soak_end_minute));
  std::vector<ChannelOffset> list;
  for (std::size_t i = 0; offsets && i < channels.size(); ++i)
    list.push_back({channels[i].name, {Decimal::fixed((*offsets)[i], 3), "K"}});
  return list;
}

}  // namespace

Error unknownThing(std::string_view kind, const std::string& id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = std::string(kind) + ".unknown";
  error.what = fmt::format("There is no {} '{}' on record.", kind, id);
  return error;
}

FigureValue figureValue(std::string name, const cure::Figure& figure, std::string unit) {
  FigureValue value{std::move(name),
                    {Decimal::fromDouble(figure.value.value_or(figure.at_least.value_or(0))), unit},
                    {},
                    figure.determined,
                    {},
                    {},
                    {}};
  if (figure.sensor_contribution && *figure.sensor_contribution > 0)
    value.u = standardUncertainty(*figure.sensor_contribution, unit == "Cel" ? "K" : unit);
  if (!figure.determined) {
    if (figure.at_least) value.at_least = Measure{Decimal::fromDouble(*figure.at_least), unit};
    if (figure.at_most) value.at_most = Measure{Decimal::fromDouble(*figure.at_most), unit};
    std::string why = sentenceOf(figure.reason);
    const std::string symbol(findUnit(unit)->symbol);
    if (figure.at_least) why += fmt::format(" At least {:.1f} {}.", *figure.at_least, symbol);
    if (figure.at_most) why += fmt::format(" At most {:.1f} {}.", *figure.at_most, symbol);
    value.why = why.empty() ? "It could not be determined from the usable readings." : why;
  }
  return value;
}

cure::Figure highest(const cure::ChartReading& reading,
                     cure::Figure cure::ChannelFigures::*member) {
  cure::Figure top;
  for (const cure::ChannelFigures& channel : reading.channels) {
    const cure::Figure& figure = channel.*member;
    if (!channel.evidence) continue;
    if (!top.value || figure.value.value_or(-1e9) > *top.value) {
      const bool determined = !top.value || top.determined;
      const std::string reason = top.reason;
      top = figure;
      if (!determined) {
        top.determined = false;
        top.reason = reason;
      }
    } else if (!figure.determined) {
      top.determined = false;
      top.reason = figure.reason;
    }
  }
  return top;
}

std::vector<ChartMark> marksOf(const cure::ChartReading& reading) {
  std::vector<ChartMark> marks;
  for (const cure::ChartFault& fault : reading.faults)
    marks.push_back({std::string(cure::faultName(fault.kind)), fault.channel,
                     Instant::fromUnixMs(fault.from_ms), Instant::fromUnixMs(fault.to_ms),
                     cure::sentence(fault)});
  return marks;
}

cure::Programme windowOf(const Programme& programme) {
  cure::Programme out;
  for (const ProgrammeSegment& s : programme.segments) {
    cure::Segment segment;
    segment.target_celsius = inCelsius(s.target);
    segment.below_k = segment.above_k = inKelvin(s.tolerance);
    if (s.ramp)
      segment.ramp_k_per_min = temperatureRateFrom(*s.ramp)->in(unit::kelvin_per_minute);
    else
      segment.ramp_minutes = 0;
    segment.soak_minutes = static_cast<double>(s.soak_minutes);
    out.segments.push_back(segment);
  }
  return out;
}

Result<RecordedChart> readRecorded(const House& house, const ledger::Snapshot& snapshot,
                                   const FileAsked& asked, const ChartOf& of) {
  const auto saved =
      stateAs<Issued<Layout>>(snapshot, projection::layout, ledger::nowKey(asked.layout));
  if (!saved) return unknownThing("layout", asked.layout);
  const Result<intake::FileLayout> layout = layoutFrom(saved->noun.mapping);
  if (!layout) return layout.error();
  const Result<intake::Series> series =
      readRecording(*house.store, asked.attachment, asked.file_name, *layout);
  if (!series) return series.error();
  const OvenAir air = ovenAir(*series, of.oven, limitsOf(of.programme).soak_celsius);
  Result<cure::ChartReading> reading = cure::readChart(chartInput(*series, air, of));
  if (!reading) return reading.error();
  return RecordedChart{saved->noun.code,
                       saved->issue,
                       static_cast<std::int64_t>(series->times.size()),
                       series->report.rowsLeftOut(),
                       reasonsOf(series->report),
                       Instant::fromUnixMs(series->times.front()),
                       Instant::fromUnixMs(series->times.back()),
                       *reading,
                       offsetsOf(air, *reading)};
}

}  // namespace platemark::service
