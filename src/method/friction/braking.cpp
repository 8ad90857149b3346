#include "platemark/method/friction/braking.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <utility>

#include "../bad_input.h"

namespace platemark::method::friction {
namespace {

Share share(double value) { return Share::of(value, unit::one); }

double kilopascals(Pressure pressure) { return pressure.in(unit::kilopascal); }

Result<void> checkRule(const BrakingRule& rule) {
  const double shortest = rule.shortest.in(unit::second), settle = rule.settle.in(unit::second);
  const bool pressures =
      rule.off > Pressure() && rule.off <= rule.on && std::isfinite(kilopascals(rule.on));
  const bool times =
      settle >= 0 && shortest >= 0 && std::isfinite(shortest) && (settle < shortest || settle == 0);
  if (pressures && times) return {};
  return badInput("braking.rule", "rule",
                  fmt::format("On at {:g} kPa, off at {:g} kPa, shortest {:g} s, settle {:g} s.",
                              kilopascals(rule.on), kilopascals(rule.off), shortest, settle),
                  "0 < off ≤ on; 0 ≤ settle < shortest");
}

Result<void> checkGeometry(const BrakeGeometry& geometry, const BrakingRule& rule) {
  const bool sizes = geometry.pistons > Area() && geometry.effective_radius > Length() &&
                     geometry.efficiency > 0 && geometry.efficiency <= 1;
  if (sizes && geometry.threshold >= Pressure() && geometry.threshold < rule.off) return {};
  return badInput(
      "braking.geometry", "geometry",
      fmt::format("Pistons {:g} cm², radius {:g} mm, threshold {:g} kPa, efficiency "
                  "{:g}.",
                  geometry.pistons.in(unit::square_centimetre),
                  geometry.effective_radius.in(unit::millimetre), kilopascals(geometry.threshold),
                  geometry.efficiency),
      "pistons and radius above 0, threshold from 0 to below `off`, 0 < efficiency ≤ 1");
}

std::size_t samplesIn(Duration duration, double rate) {
  return static_cast<std::size_t>(std::ceil(duration.in(unit::second)*rate - 1e-9));
}

bool isFinite(const FrictionSample& sample) {
  return std::isfinite(sample.torque_nm + sample.pressure_kpa + sample.speed_m_s +
                       sample.temperature_c);
}

/// Sums over samples whose µ counts.
struct Sums {
  double n = 0, mu = 0, mu_speed = 0, speed = 0, pressure = 0, temperature = 0;
  float lowest = INFINITY, highest = -INFINITY, hottest = -INFINITY;

  void add(const Sums& other) {
    n += other.n;
    mu += other.mu;
    mu_speed += other.mu_speed;
    speed += other.speed;
    pressure += other.pressure;
    temperature += other.temperature;
    lowest = std::min(lowest, other.lowest);
    highest = std::max(highest, other.highest);
    hottest = std::max(hottest, other.hottest);
  }
  /// One value that is no number, or without end, shows in its sum.
  [[nodiscard]] bool isFinite() const {
    return std::isfinite(mu_speed + mu + pressure + temperature + speed);
  }
};

/// What turns a sample into its µ.
struct ToCoefficient {
  float threshold_kpa;
  double torque_factor;

  [[nodiscard]] float coefficient(const FrictionSample& sample) const {
    return std::abs(sample.torque_nm) * static_cast<float>(torque_factor) /
           (sample.pressure_kpa - threshold_kpa);
  }
};

Sums sumsOf(std::span<const FrictionSample> samples, const ToCoefficient& to) {
  Sums sums;
  for (const FrictionSample& sample : samples) {
    const float mu = to.coefficient(sample), speed = std::abs(sample.speed_m_s);
    sums.mu += mu;
    sums.mu_speed += static_cast<double>(mu) * speed;
    sums.speed += speed;
    sums.pressure += sample.pressure_kpa;
    sums.lowest = std::min(sums.lowest, mu);
    sums.highest = std::max(sums.highest, mu);
    sums.temperature += sample.temperature_c;
    sums.hottest = std::max(sums.hottest, sample.temperature_c);
  }
  sums.n = static_cast<double>(samples.size());
  return sums;
}

/// The place of the first sample that is not finite, or the number of samples.
std::size_t firstNotFinite(std::span<const FrictionSample> samples) {
  std::size_t place = 0;
  while (place < samples.size() && isFinite(samples[place])) ++place;
  return place;
}

}  // namespace

/// The sums of a braking's moments of settling, of what is taken and its outer thirds, of all.
struct BrakingFinder::Parts {
  Sums settling, first, last, taken, all;
};

Result<BrakingFinder> BrakingFinder::make(const BrakingRule& rule, const BrakeGeometry& geometry,
                                          double samples_per_second) {
  if (!(samples_per_second >= 1 && samples_per_second <= 1000))
    return badInput("braking.rate", "samples_per_second",
                    fmt::format("{:g} samples a second.", samples_per_second),
                    "1 to 1,000 samples a second");
  if (Result<void> checked = checkRule(rule); !checked) return checked.error();
  if (Result<void> checked = checkGeometry(geometry, rule); !checked) return checked.error();
  BrakingFinder finder;
  finder.on_kpa_ = static_cast<float>(kilopascals(rule.on));
  finder.off_kpa_ = static_cast<float>(kilopascals(rule.off));
  finder.threshold_kpa_ = static_cast<float>(kilopascals(geometry.threshold));
  // N·m over m²·m·kPa: a thousand pascals to the kilopascal.
  finder.torque_factor_ = 1 / (2000 * (geometry.pistons.in(unit::square_centimetre)*1e-4) *
                               geometry.effective_radius.in(unit::metre)*geometry.efficiency);
  finder.rate_ = samples_per_second;
  finder.shortest_ = std::max<std::size_t>(1, samplesIn(rule.shortest, samples_per_second));
  finder.settle_ = samplesIn(rule.settle, samples_per_second);
  return finder;
}

Error BrakingFinder::notFinite(std::int64_t place) const {
  return badInput("braking.not_finite", fmt::format("samples[{}]", place),
                  fmt::format("A value of sample {} ({:.3f} s) is no number.", place + 1,
                              static_cast<double>(place) / rate_),
                  "numbers while the brake is on", "Cut the recording before the fault.");
}

Result<void> BrakingFinder::take(std::span<const FrictionSample> samples) {
  const FrictionSample* at = samples.data();
  const FrictionSample* const end = at + samples.size();
  while (at != end) {
    const FrictionSample* const begin = at;
    // A pressure that is no number is neither below `on` nor below `off`: it is looked at.
    if (open_.empty()) {
      while (at != end && at->pressure_kpa < on_kpa_) ++at;
      if (at != end) open_at_ = found_.samples + (at - samples.data());
    }
    const FrictionSample* const run = open_.empty() ? at : begin;
    while (at != end && !(at->pressure_kpa < off_kpa_)) ++at;
    open_.insert(open_.end(), run, at);
    if (at == end || open_.empty()) break;
    if (Result<void> closed = close(); !closed) return closed;
  }
  found_.samples += std::ssize(samples);
  return {};
}

Result<void> BrakingFinder::close() {
  const Parts parts = partsOf();
  if (!parts.all.isFinite())
    return notFinite(open_at_ + static_cast<std::int64_t>(firstNotFinite(open_)));
  if (open_.size() < shortest_)
    ++found_.too_short;
  else
    found_.brakings.push_back(evaluated(parts));
  open_.clear();
  return {};
}

BrakingFinder::Parts BrakingFinder::partsOf() const {
  const ToCoefficient to{threshold_kpa_, torque_factor_};
  const std::span<const FrictionSample> all = open_;
  const std::size_t settle = std::min(settle_, all.size() - 1);
  const std::span<const FrictionSample> taken = all.subspan(settle);
  const std::size_t third = std::max<std::size_t>(1, taken.size() / 3);
  Parts parts{sumsOf(all.first(settle), to), sumsOf(taken.first(third), to), {}, {}, {}};
  parts.last = taken.size() > 1 ? sumsOf(taken.last(third), to) : parts.first;
  parts.taken = parts.first;
  if (taken.size() > 1) {
    parts.taken.add(sumsOf(taken.subspan(third, taken.size() - 2 * third), to));
    parts.taken.add(parts.last);
  }
  parts.all = parts.settling;
  parts.all.add(parts.taken);
  return parts;
}

Braking BrakingFinder::evaluated(const Parts& parts) const {
  const Sums& sums = parts.taken;
  Braking braking;
  braking.number = static_cast<int>(found_.brakings.size()) + 1;
  braking.begin = Duration::of(static_cast<double>(open_at_) / rate_, unit::second);
  braking.length = Duration::of(static_cast<double>(open_.size()) / rate_, unit::second);
  braking.over_time = share(sums.mu / sums.n);
  // A brake on a standing disc has no distance to weigh by.
  braking.over_distance = sums.speed > 0 ? share(sums.mu_speed / sums.speed) : braking.over_time;
  braking.lowest = share(sums.lowest);
  braking.highest = share(sums.highest);
  braking.rise = share((parts.last.mu - parts.first.mu) / parts.first.n);
  const std::size_t one_second = samplesIn(Duration::of(1, unit::second), rate_);
  if (one_second < open_.size())
    braking.after_one_second =
        share(ToCoefficient{threshold_kpa_, torque_factor_}.coefficient(open_[one_second]));
  braking.mean_pressure = Pressure::of(sums.pressure / sums.n, unit::kilopascal);
  braking.first_speed_m_s = open_.front().speed_m_s;
  braking.last_speed_m_s = open_.back().speed_m_s;
  braking.distance = Length::of(parts.all.speed / rate_, unit::metre);
  braking.begin_temperature = TemperaturePoint::of(open_.front().temperature_c, scale::celsius);
  braking.highest_temperature = TemperaturePoint::of(parts.all.hottest, scale::celsius);
  return braking;
}

Brakings BrakingFinder::finish() {
  found_.cut_off = !open_.empty();
  open_.clear();
  return std::exchange(found_, {});
}

}  // namespace platemark::method::friction
