#include "platemark/method/cure/fault.h"

#include <array>

#include "platemark/quantity/decimal.h"

namespace platemark::method::cure {
namespace {

std::string number(std::optional<double> value) {
  return value ? Decimal::fixed(*value, 1).text() : "?";
}

std::string minutes(std::optional<double> value) { return number(value) + " min"; }

std::string most(const ChartFault& f) { return f.limit ? ", at most " + number(f.limit) : ""; }

}  // namespace

std::string_view faultName(FaultKind kind) {
  static constexpr std::array<std::string_view, 15> names{
      "gap",           "implausible", "duplicate_time",  "jump",     "stuck",          "parted",
      "apart_in_soak", "interrupted", "heated_too_fast", "overshot", "outside_window", "put_in_hot",
      "opened_hot",    "short_time",  "truncated"};
  return names.at(static_cast<std::size_t>(kind));
}

std::string sentence(const ChartFault& f) {
  switch (f.kind) {
    case FaultKind::gap:
      return f.channel + " has no readings for " + minutes(f.figure) +
             (f.usable ? "; short enough to bridge." : "; too long to bridge.");
    case FaultKind::implausible:
      return f.channel + " has " + std::to_string(f.count) +
             " readings that no oven reaches; not used.";
    case FaultKind::duplicate_time:
      return f.channel + " has " + std::to_string(f.count) + " moments with more than one reading" +
             (f.usable ? ", all alike." : "; where they differ none is used.");
    case FaultKind::jump:
      return f.channel + " jumped by " + number(f.figure) + " K from " + number(f.level) +
             " °C; not used until it was back.";
    case FaultKind::stuck:
      return f.channel + " stood still for " + minutes(f.figure) + " at " + number(f.level) +
             " °C; not used for that time.";
    case FaultKind::parted:
      return f.channel + " and " + f.other + " part by " + number(f.figure) +
             " K; either may be wrong.";
    case FaultKind::apart_in_soak:
      return f.channel + " and " + f.other + " are " + number(f.figure) + " K apart in the soak" +
             most(f) + " K.";
    case FaultKind::interrupted:
      return "The soak was interrupted: " + (f.channel.empty() ? "a channel" : f.channel) +
             " fell " + number(f.figure) + " K below the band.";
    case FaultKind::heated_too_fast:
      return f.channel + " was heated at " + number(f.figure) + " K/min" + most(f) + " K/min.";
    case FaultKind::overshot:
      return f.channel + " went " + number(f.figure) + " K above the set point" + most(f) + " K.";
    case FaultKind::outside_window:
      return f.channel + " was up to " + number(f.figure) + " K outside the programme window.";
    case FaultKind::put_in_hot:
      return "The load was put in hot: " + f.channel + " read " + number(f.figure) + " °C" +
             most(f) + " °C.";
    case FaultKind::opened_hot:
      return "The door was opened hot: " + f.channel + " read " + number(f.figure) + " °C" +
             most(f) + " °C.";
    case FaultKind::short_time:
      return "The load was in the oven for " + minutes(f.figure) + ", at least " +
             minutes(f.limit) + ".";
    case FaultKind::truncated:
      return "The recording ends before the soak is known to be over; " + minutes(f.figure) +
             " of " + minutes(f.limit) + " are shown.";
  }
  return {};
}

}  // namespace platemark::method::cure
