/// A substance that laws or customers limit, as far as a material may hold it.
#pragma once

#include "platemark/plant/describe.h"

namespace platemark {

struct Substance {
  std::string substance;  ///< "copper"
  Measure at_most;        ///< of the material's mass, %
  std::string source;     ///< "supplier's declaration of 2026-01-12", "assay of lot I-0007"
  friend bool operator==(const Substance&, const Substance&) = default;
  template <class V>
  void describe(V& v) {
    v("substance", substance);
    v("at_most", at_most);
    v.defaulted("source", source);
  }
};

}  // namespace platemark
