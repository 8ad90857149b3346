/// The temperature channels of an oven's recorder, and what is known of their sensors.
#pragma once

#include "platemark/plant/describe.h"
#include "platemark/plant/fact.h"

namespace platemark {

/// A temperature channel of an oven's recorder.
enum class ChannelRole { control, record, load, over_temperature };
template <>
struct EnumWords<ChannelRole> {
  static constexpr std::array<std::string_view, 4> words{"control", "record", "load",
                                                         "over-temperature"};
};
enum class ThermocoupleLetter { k, n, j, t, e };
template <>
struct EnumWords<ThermocoupleLetter> {
  static constexpr std::array<std::string_view, 5> words{"K", "N", "J", "T", "E"};
};
/// A sensor by type and tolerance class of IEC 60584-1.
struct SensorClass {
  ThermocoupleLetter type = ThermocoupleLetter::k;
  std::int64_t tolerance_class = 1;
  template <class V>
  void describe(V& v) {
    v("type", type);
    v("class", tolerance_class);
  }
};
struct Correction {
  Measure at;   ///< °C
  Measure add;  ///< K, to a reading near `at`
  template <class V>
  void describe(V& v) {
    v("at", at);
    v("add", add);
  }
};
struct Channel {
  std::string name;
  ChannelRole role = ChannelRole::record;
  std::optional<Measure> sensor_tolerance;  ///< K; goes before the class
  std::optional<SensorClass> sensor;
  std::vector<Correction> corrections;  ///< of sensor and recorder together, by rising temperature
  std::optional<Day> calibrated;
  std::optional<Day> calibration_due;
  std::optional<std::string> calibration;  ///< certificate that says so
  template <class V>
  void describe(V& v) {
    v("name", name);
    v("role", role);
    v("sensor_tolerance", sensor_tolerance);
    v("sensor", sensor);
    v("corrections", corrections);
    v("calibrated", calibrated);
    v("calibration_due", calibration_due);
    v("calibration", calibration);
  }
};

}  // namespace platemark
