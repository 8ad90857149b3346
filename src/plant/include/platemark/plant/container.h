/// Bags, drums and bins of a lot, each with its own label; part-used ones come back.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

struct Container {
  std::string container;  ///< its label
  Measure quantity;
  template <class V>
  void describe(V& v) {
    v("container", container);
    v("quantity", quantity);
  }
};

struct ContainersLabelled {
  std::string lot;
  std::vector<Container> containers;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("containers", containers);
  }
};

/// A part-used container went back to the store, weighed.
struct ContainerReturned {
  std::string container;
  Measure mass;      ///< of what is left in it
  Measure expected;  ///< what it held, less what was weighed out of it
  std::string gauge;
  std::optional<std::string> attachment;  ///< the balance's file, where it was read from one
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("container", container);
    v("mass", mass);
    v("expected", expected);
    v("gauge", gauge);
    v("attachment", attachment);
    v("remark", remark);
  }
};

struct ContainerState {
  std::string lot;
  Measure quantity;  ///< as labelled, or as weighed at the last return
  Measure used;      ///< weighed out since, in the unit of the quantity
  std::optional<Sequence> returned_fact;
  std::optional<Measure> difference;  ///< at the last return: weighed less expected
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("quantity", quantity);
    v("used", used);
    v("returned_fact", returned_fact);
    v("difference", difference);
  }
};

namespace projection {
inline constexpr std::string_view container = "container";
}

}  // namespace platemark
