/// What a machine was last used for, and that it was cleared in between: copper carried over from
/// the last compound, or two parts on one grinder, are found by nobody afterwards.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

/// Plates of a batch were blasted; the time to coating runs from here.
struct PlatesBlasted {
  std::string batch;
  std::string plate_lot;
  std::string machine;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("plate_lot", plate_lot);
    v("machine", machine);
    v("remark", remark);
  }
};

/// Nothing of the last run is left on the machine and around it.
struct LineCleared {
  std::string machine;
  std::string cleaned;             ///< how: "blown out, flushed with 5 kg barite, flush scrapped"
  std::vector<std::string> found;  ///< what was still there: "3 pads under the guard"
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("machine", machine);
    v("cleaned", cleaned);
    v.defaulted("found", found);
    v("remark", remark);
  }
};

/// The last use of one machine, and whether it was cleared since.
struct LineState {
  std::string batch;
  std::string part;
  std::string compound;
  Sequence used_fact = 0;
  Instant used_at;
  std::optional<Sequence> cleared_fact;
  std::string cleaned;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("part", part);
    v("compound", compound);
    v("used_fact", used_fact);
    v("used_at", used_at);
    v("cleared_fact", cleared_fact);
    v("cleaned", cleaned);
  }
};

namespace projection {
inline constexpr std::string_view line = "line";
}

}  // namespace platemark
