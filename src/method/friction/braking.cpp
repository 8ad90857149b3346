#include "platemark/method/friction/braking.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

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

/// Sums over the samples whose µ counts.
struct Sums {
  double n = 0, mu = 0, mu_speed = 0, speed = 0, pressure = 0;
  double lowest = INFINITY, highest = -INFINITY;

  void take(double coefficient, const FrictionSample& sample) {
    n += 1;
    mu += coefficient;
    mu_speed += coefficient * std::abs(sample.speed_m_s);
    speed += std::abs(sample.speed_m_s);
    pressure += sample.pressure_kpa;
    lowest = std::min(lowest, coefficient);
    highest = std::max(highest, coefficient);
  }
};

}  // namespace

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

float BrakingFinder::coefficient(const FrictionSample& sample) const {
  return static_cast<float>(torque_factor_ * std::abs(static_cast<double>(sample.torque_nm)) /
                            static_cast<double>(sample.pressure_kpa - threshold_kpa_));
}

Result<void> BrakingFinder::take(std::span<const FrictionSample> samples) {
  for (std::size_t i = 0; i < samples.size(); ++i) {
    const FrictionSample& sample = samples[i];
    // A pressure that is no number is neither below `on` nor below `off`: it is looked at.
    if (sample.pressure_kpa < (open_.empty() ? on_kpa_ : off_kpa_)) {
      if (!open_.empty()) close();
      continue;
    }
    const std::int64_t place = found_.samples + static_cast<std::int64_t>(i);
    if (!isFinite(sample)) return notFinite(place);
    if (open_.empty()) open_at_ = place;
    open_.push_back(sample);
  }
  found_.samples += static_cast<std::int64_t>(samples.size());
  return {};
}

void BrakingFinder::close() {
  if (open_.size() < shortest_)
    ++found_.too_short;
  else
    found_.brakings.push_back(evaluated(std::min(settle_, open_.size() - 1)));
  open_.clear();
}

Braking BrakingFinder::evaluated(std::size_t settle) const {
  Sums sums;
  const std::size_t taken = open_.size() - settle, third = std::max<std::size_t>(1, taken / 3);
  double first = 0, last = 0, distance = 0, hottest = open_.front().temperature_c;
  for (std::size_t i = 0; i < open_.size(); ++i) {
    const FrictionSample& sample = open_[i];
    distance += std::abs(sample.speed_m_s) / rate_;
    hottest = std::max(hottest, static_cast<double>(sample.temperature_c));
    if (i < settle) continue;
    const double mu = coefficient(sample);
    sums.take(mu, sample);
    if (i < settle + third) first += mu;
    if (i >= open_.size() - third) last += mu;
  }
  Braking braking;
  braking.number = static_cast<int>(found_.brakings.size()) + 1;
  braking.begin = Duration::of(static_cast<double>(open_at_) / rate_, unit::second);
  braking.length = Duration::of(static_cast<double>(open_.size()) / rate_, unit::second);
  braking.over_time = share(sums.mu / sums.n);
  // A brake on a standing disc has no distance to weigh by.
  braking.over_distance = sums.speed > 0 ? share(sums.mu_speed / sums.speed) : braking.over_time;
  braking.lowest = share(sums.lowest);
  braking.highest = share(sums.highest);
  braking.rise = share((last - first) / static_cast<double>(third));
  const std::size_t one_second = samplesIn(Duration::of(1, unit::second), rate_);
  if (one_second < open_.size()) braking.after_one_second = share(coefficient(open_[one_second]));
  braking.mean_pressure = Pressure::of(sums.pressure / sums.n, unit::kilopascal);
  braking.first_speed_m_s = open_.front().speed_m_s;
  braking.last_speed_m_s = open_.back().speed_m_s;
  braking.distance = Length::of(distance, unit::metre);
  braking.begin_temperature = TemperaturePoint::of(open_.front().temperature_c, scale::celsius);
  braking.highest_temperature = TemperaturePoint::of(hottest, scale::celsius);
  return braking;
}

Brakings BrakingFinder::finish() {
  found_.cut_off = !open_.empty();
  open_.clear();
  return std::exchange(found_, {});
}

}  // namespace platemark::method::friction
