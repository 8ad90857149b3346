/// The set-up gate: the first piece of a run is judged before the run.
#pragma once

#include "platemark/plant/state.h"

namespace platemark {

/// A machine was set up for a batch and made its first piece.
struct SetUpMade {
  std::string set_up;  ///< "E-0012"
  std::string batch;
  std::string operation;  ///< "press", or a finishing operation of the route
  std::string machine;
  std::optional<std::string> station;  ///< of a press that has stations
  std::string tool;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("set_up", set_up);
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("station", station);
    v.defaulted("tool", tool);
    v("remark", remark);
  }
};

struct SetUpState {
  SetUpMade made;
  Sequence made_fact = 0;
  std::vector<Evidence> evidence;
  GateState gate;
  template <class V>
  void describe(V& v) {
    v("made", made);
    v("made_fact", made_fact);
    v("evidence", evidence);
    v("gate", gate);
  }
};

namespace projection {
/// By number; and the newest number for "batch/operation/machine", or with "/station".
inline constexpr std::string_view set_up = "set-up", set_up_for = "set-up for";
}  // namespace projection

[[nodiscard]] inline std::string setUpKey(const std::string& batch, const std::string& operation,
                                          const std::string& machine,
                                          const std::optional<std::string>& station) {
  return batch + "/" + operation + "/" + machine + (station ? "/" + *station : "");
}

}  // namespace platemark
