#include "platemark/method/bench/pad_findings.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "../bad_input.h"
#include "platemark/method/statistics/summary.h"

namespace platemark::method::bench {
namespace {

Result<void> checkThickness(Length thickness, const char* field) {
  const double mm = thickness.in(unit::millimetre);
  if (mm > 0 && std::isfinite(mm)) return {};
  return badInput("swelling.thickness", field, fmt::format("A thickness is {:g} mm.", mm),
                  "above 0 mm");
}

Result<void> checkSwelling(const SwellingTest& test) {
  if (Result<void> t = checkThickness(test.before, "before"); !t) return t;
  if (Result<void> t = checkThickness(test.hot, "hot"); !t) return t;
  if (Result<void> t = checkThickness(test.after, "after"); !t) return t;
  if (Result<void> t = checkThickness(test.compound, "compound"); !t) return t;
  if (test.compound <= test.before) return {};
  return badInput("swelling.thickness", "compound",
                  fmt::format("Compound {:g} mm, pad {:g} mm.", test.compound.in(unit::millimetre),
                              test.before.in(unit::millimetre)),
                  "a compound not thicker than its pad");
}

Share over(Length change, Length thickness) { return Share::of(change / thickness, unit::one); }

}  // namespace

Result<Swelling> swelling(const SwellingTest& test) {
  if (Result<void> checked = checkSwelling(test); !checked) return checked.error();
  const Length swell = test.hot - test.before - test.rig_expansion;
  const Length growth = test.after - test.before;
  return Swelling{swell,
                  growth,
                  over(swell, test.compound),
                  over(growth, test.compound),
                  over(swell, test.before),
                  over(growth, test.before)};
}

Result<CompressionHardness> compressionHardness(std::span<const double> depths) {
  if (depths.empty())
    return badInput("compression.no_reading", "depths", "There is no reading.",
                    "one reading or more");
  for (std::size_t i = 0; i < depths.size(); ++i)
    if (!(depths[i] >= 0) || !std::isfinite(depths[i]))
      return badInput("compression.reading", fmt::format("depths[{}]", i),
                      fmt::format("A reading is {:g}.", depths[i]), "0 or more");
  const statistics::Summary found = *statistics::summary(depths);
  return CompressionHardness{found.mean, found.min, found.max, found.s};
}

Result<Acidity> acidity(std::span<const double> ph) {
  if (ph.empty())
    return badInput("acidity.no_reading", "ph", "There is no reading.", "one reading or more");
  for (std::size_t i = 0; i < ph.size(); ++i)
    if (!(ph[i] >= 0 && ph[i] <= 14))
      return badInput("acidity.reading", fmt::format("ph[{}]", i),
                      fmt::format("A pH is {:g}.", ph[i]), "0 to 14",
                      "Calibrate the electrode and read again.");
  const statistics::Summary found = *statistics::summary(ph);
  return Acidity{found.mean, found.max - found.min};
}

Result<ShearCheck> shearAgainst(std::span<const Pressure> pads, Pressure minimum, int fewest) {
  if (Result<void> plausible = plausibleShear(minimum); !plausible)
    return Error(plausible.error()).at({"", 0, "", "minimum"});
  if (fewest < 1)
    return badInput("shear.no_pad", "fewest", fmt::format("{} pads are asked for.", fewest),
                    "one pad or more");
  const Result<ShearSummary> summary = summariseShear(pads);
  if (!summary) return summary.error();
  const auto below =
      std::count_if(pads.begin(), pads.end(), [&](Pressure pad) { return pad < minimum; });
  return ShearCheck{*summary, static_cast<int>(below), summary->pads >= fewest};
}

Result<FailureMode> leadingFailure(const FailureShares& shares) {
  Share sum;
  for (const Share share : shares) {
    if (!(share >= Share() && share <= Share::of(1, unit::one)))
      return badInput("failure.share", "shares",
                      fmt::format("A share is {:g} %.", share.in(unit::percent)), "0 to 100 %");
    sum = sum + share;
  }
  if (std::abs(sum.in(unit::percent)-100) > 0.5)
    return badInput("failure.sum", "shares",
                    fmt::format("The modes are {:g} % together.", sum.in(unit::percent)),
                    "100 % together", "Read the whole bond area.");
  return static_cast<FailureMode>(std::max_element(shares.begin(), shares.end()) - shares.begin());
}

Result<Findings> countFindings(std::span<const int> severities) {
  if (severities.empty())
    return badInput("findings.none", "severities", "No part was looked at.", "one part or more");
  Findings found;
  for (std::size_t i = 0; i < severities.size(); ++i) {
    const int severity = severities[i];
    if (severity < 0 || severity > worst_severity)
      return badInput("findings.severity", fmt::format("severities[{}]", i),
                      fmt::format("A severity is {}.", severity), "0 to 4");
    ++found.parts[static_cast<std::size_t>(severity)];
    found.worst = std::max(found.worst, severity);
    found.with_finding += severity > 0 ? 1 : 0;
  }
  return found;
}

Result<Share> findingShare(Area found, Area looked_at) {
  if (looked_at > Area() && found >= Area() && found <= looked_at)
    return Share::of(found / looked_at, unit::one);
  return badInput("findings.area", "found",
                  fmt::format("{:g} of {:g} cm².", found.in(unit::square_centimetre),
                              looked_at.in(unit::square_centimetre)),
                  "from 0 to the whole area");
}

}  // namespace platemark::method::bench
