#include "oven_air.h"

#include <algorithm>

#include "platemark/method/cure/correction.h"
#include "platemark/method/cure/thermocouple.h"
#include "platemark/quantity/measure.h"

namespace platemark::service {
namespace {

namespace cure = method::cure;

std::vector<cure::CorrectionRow> rowsOf(const Channel& channel) {
  std::vector<cure::CorrectionRow> rows;
  for (const Correction& c : channel.corrections)
    rows.push_back({temperatureFrom(c.at)->in(scale::celsius),
                    temperatureDifferenceFrom(c.add)->in(unit::kelvin)});
  return rows;
}

std::vector<double> correctedBy(const Channel& known, std::span<const double> values) {
  const std::vector<cure::CorrectionRow> rows = rowsOf(known);
  std::vector<double> out(values.size());
  std::transform(values.begin(), values.end(), out.begin(),
                 [&](double t) { return cure::corrected(rows, t); });
  return out;
}

const Channel* named(const Machine& oven, const std::string& name) {
  const auto found = std::find_if(oven.channels.begin(), oven.channels.end(),
                                  [&](const Channel& c) { return c.name == name; });
  return found == oven.channels.end() ? nullptr : &*found;
}

}  // namespace

std::optional<double> toleranceOf(const Channel& channel, double celsius) {
  if (channel.sensor_tolerance)
    return temperatureDifferenceFrom(*channel.sensor_tolerance)->in(unit::kelvin);
  if (!channel.sensor) return {};
  const Result<double> tolerance =
      cure::thermocoupleTolerance(static_cast<cure::ThermocoupleType>(channel.sensor->type),
                                  static_cast<int>(channel.sensor->tolerance_class), celsius);
  return tolerance ? std::optional(*tolerance) : std::nullopt;
}

OvenAir ovenAir(const intake::Series& series, const Machine& oven, double celsius) {
  OvenAir air;
  air.celsius.reserve(series.columns.size());  // the channels look into it
  for (const intake::SeriesColumn& column : series.columns) {
    if (column.kind != Kind::temperature_point) continue;
    const Channel* known = named(oven, column.meaning);
    cure::Channel channel{
        column.meaning, cure::ChannelRole::record, {series.times, column.values}, {}};
    if (known != nullptr && !known->corrections.empty()) {
      air.celsius.push_back(correctedBy(*known, column.values));
      channel.series.celsius = air.celsius.back();
    }
    if (known != nullptr) {
      channel.role = static_cast<cure::ChannelRole>(static_cast<int>(known->role));
      channel.tolerance_k = toleranceOf(*known, celsius);
    }
    air.channels.push_back(std::move(channel));
  }
  return air;
}

}  // namespace platemark::service
