/// Daily checks: a balance against its check mass, a hardness tester against its block.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

struct GaugeChecked {
  std::string gauge;
  std::vector<Measure> readings;
  bool passed = false;  ///< every reading within the tolerance of the reference
  Measure nominal;      ///< of the reference, as the gauge's issue had it
  Measure tolerance;
  std::optional<std::string> attachment;  ///< the gauge's file, where it was read from one
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("readings", readings);
    v("passed", passed);
    v("nominal", nominal);
    v("tolerance", tolerance);
    v("attachment", attachment);
    v("remark", remark);
  }
};

/// The newest check of one gauge on one day.
struct GaugeCheckState {
  Sequence fact = 0;
  GaugeChecked checked;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("checked", checked);
  }
};

namespace projection {
/// By "gauge/day".
inline constexpr std::string_view gauge_check = "gauge check";
}  // namespace projection

}  // namespace platemark
