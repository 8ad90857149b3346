/// The layers of compound on one pad: the friction layer, and where the part has one the
/// underlayer, which lies between it and the plate.
#pragma once

#include "platemark/plant/describe.h"

namespace platemark {

enum class Layer { friction, underlayer };
template <>
struct EnumWords<Layer> {
  static constexpr std::array<std::string_view, 2> words{"friction layer", "underlayer"};
};

/// The underlayer of a part; the part's own volume and thickness are those of its friction layer.
struct Underlayer {
  std::string compound;
  Measure volume;     ///< on one pressed and cured pad
  Measure thickness;  ///< of the same
  template <class V>
  void describe(V& v) {
    v("compound", compound);
    v("volume", volume);
    v("thickness", thickness);
  }
};

/// One issue of a compound.
struct CompoundIssue {
  std::string compound;
  std::int64_t issue = 0;
  friend bool operator==(const CompoundIssue&, const CompoundIssue&) = default;
  template <class V>
  void describe(V& v) {
    v("compound", compound);
    v("issue", issue);
  }
};

}  // namespace platemark
