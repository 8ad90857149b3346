/// How a coat was baked: the recorder's file, or typed readings of the metal.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

/// The method that makes figures of a bake; its lines stand at the final gate.
inline constexpr std::string_view bake_method = "coat.bake";

/// A recorder's file, as it was read.
struct BakeRecording {
  std::string attachment;
  std::string file_name;
  std::string layout;
  std::int64_t layout_issue = 0;
  std::int64_t rows = 0;
  std::int64_t skipped = 0;
  std::vector<std::string> skipped_why;  ///< the first hundred
  Instant from;
  Instant to;
  template <class V>
  void describe(V& v) {
    v("attachment", attachment);
    v("file_name", file_name);
    v("layout", layout);
    v("layout_issue", layout_issue);
    v("rows", rows);
    v("skipped", skipped);
    v("skipped_why", skipped_why);
    v("from", from);
    v("to", to);
  }
};

/// For how long the metal was at or above a temperature.
struct MetalTime {
  Measure metal;  ///< °C
  Measure time;   ///< min
  template <class V>
  void describe(V& v) {
    v("metal", metal);
    v("time", time);
  }
};

/// Either a recording or typed readings. The figures follow as figure.computed.
struct BakeRecorded {
  std::string batch;
  std::string operation;  ///< that put the coat on
  std::string machine;    ///< oven or line
  std::string programme;
  std::int64_t programme_issue = 0;
  std::int64_t pads = 0;
  std::optional<BakeRecording> recording;
  std::vector<MetalTime> readings;
  std::optional<Measure> hottest;    ///< metal, °C; of typed readings
  std::optional<std::string> gauge;  ///< that the readings were taken with
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("programme", programme);
    v("programme_issue", programme_issue);
    v("pads", pads);
    v("recording", recording);
    v("readings", readings);
    v("hottest", hottest);
    v("gauge", gauge);
    v("remark", remark);
  }
};

/// One bake of a batch, for its state.
struct BakeDone {
  Sequence fact = 0;
  std::string operation;
  std::string machine;
  std::string programme;
  std::int64_t pads = 0;
  Instant happened;
  std::optional<Sequence> corrected_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("operation", operation);
    v("machine", machine);
    v("programme", programme);
    v("pads", pads);
    v("happened", happened);
    v("corrected_by", corrected_by);
  }
};

}  // namespace platemark
