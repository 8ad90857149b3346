#include "platemark/method/gauge/nested.h"

#include <fmt/format.h>

#include <cmath>
#include <span>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::gauge {
namespace {

Result<void> checkSizes(const NestedReadings& in) {
  if (in.runs >= 2 && in.artefacts >= 1 && in.days >= 2 && in.readings >= 2) return {};
  return badInput("gauge.levels", "runs",
                  fmt::format("{} runs, {} artefacts, {} days, {} readings.", in.runs, in.artefacts,
                              in.days, in.readings),
                  "2 runs, 1 artefact, 2 days and 2 readings or more");
}

Result<void> checkList(const std::vector<double>& list, std::size_t wanted, const char* field) {
  if (list.size() != wanted)
    return badInput("gauge.count", field, fmt::format("{} {} are given.", list.size(), field),
                    fmt::format("{}", wanted), "Read what is missing again.");
  for (std::size_t i = 0; i < list.size(); ++i)
    if (!std::isfinite(list[i]))
      return badInput("gauge.not_finite", fmt::format("{}[{}]", field, i),
                      fmt::format("Value {} is no number.", i + 1), "a number");
  return {};
}

Result<void> checkAll(const NestedReadings& in) {
  if (Result<void> sizes = checkSizes(in); !sizes) return sizes;
  const auto wanted = static_cast<std::size_t>(in.runs) * static_cast<std::size_t>(in.artefacts) *
                      static_cast<std::size_t>(in.days);
  if (Result<void> list = checkList(in.means, wanted, "means"); !list) return list;
  if (Result<void> list = checkList(in.spreads, wanted, "spreads"); !list) return list;
  for (std::size_t i = 0; i < wanted; ++i)
    if (in.spreads[i] < 0)
      return badInput("gauge.negative_spread", fmt::format("spreads[{}]", i),
                      fmt::format("A standard deviation is {:g}.", in.spreads[i]), "0 or more");
  return {};
}

/// Pooled by degrees of freedom.
NestedLevel pooled(const std::vector<NestedLevel>& parts) {
  double squares = 0;
  int degrees = 0;
  for (const NestedLevel& part : parts) {
    squares += part.degrees * part.s * part.s;
    degrees += part.degrees;
  }
  return {std::sqrt(squares / degrees), degrees};
}

std::span<const double> daysOf(const NestedReadings& in, const std::vector<double>& list, int run,
                               int artefact) {
  const auto days = static_cast<std::size_t>(in.days);
  return std::span(list).subspan(static_cast<std::size_t>(run * in.artefacts + artefact) * days,
                                 days);
}

NestedLevel shortTermOf(const NestedReadings& in, int run) {
  std::vector<NestedLevel> parts;
  for (int artefact = 0; artefact < in.artefacts; ++artefact)
    for (const double s : daysOf(in, in.spreads, run, artefact))
      parts.push_back({s, in.readings - 1});
  return pooled(parts);
}

NestedLevel dayOf(const NestedReadings& in, int run) {
  std::vector<NestedLevel> parts;
  for (int artefact = 0; artefact < in.artefacts; ++artefact)
    parts.push_back({*statistics::summary(daysOf(in, in.means, run, artefact))->s, in.days - 1});
  return pooled(parts);
}

NestedLevel runOf(const NestedReadings& in, int artefact) {
  std::vector<double> runs;
  for (int run = 0; run < in.runs; ++run)
    runs.push_back(statistics::summary(daysOf(in, in.means, run, artefact))->mean);
  return {*statistics::summary(runs)->s, in.runs - 1};
}

}  // namespace

Result<NestedGauge> nestedGaugeStudy(const NestedReadings& in) {
  if (Result<void> checked = checkAll(in); !checked) return checked.error();
  NestedGauge found;
  for (int run = 0; run < in.runs; ++run) {
    found.short_term_by_run.push_back(shortTermOf(in, run));
    found.day_by_run.push_back(dayOf(in, run));
  }
  for (int artefact = 0; artefact < in.artefacts; ++artefact)
    found.run_by_artefact.push_back(runOf(in, artefact));
  found.short_term = pooled(found.short_term_by_run);
  found.day = pooled(found.day_by_run);
  found.run = pooled(found.run_by_artefact);
  return found;
}

}  // namespace platemark::method::gauge
