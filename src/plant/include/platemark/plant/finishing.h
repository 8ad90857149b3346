/// What a finishing operation puts on the pad, as the part asks for it and as it was reported; and
/// which pieces of an operation are measured.
#pragma once

#include "platemark/plant/describe.h"

namespace platemark {

/// A material that an operation puts on every pad.
struct PutOn {
  std::string material;
  std::optional<std::int64_t> pieces;  ///< on one pad, where they are counted: shims, clips
  template <class V>
  void describe(V& v) {
    v("material", material);
    v("pieces", pieces);
  }
};

/// A spot of thermal paint: it shows afterwards that the pad was hotter there than its threshold.
struct Spot {
  std::string place;  ///< "plate edge, left"
  Measure threshold;  ///< °C, at which the paint changes
  std::string material;
  template <class V>
  void describe(V& v) {
    v("place", place);
    v("threshold", threshold);
    v("material", material);
  }
};

/// What the part asks of one finishing operation of its route.
struct FinishingNeed {
  std::string operation;
  std::vector<PutOn> materials;
  std::optional<std::string> bake;   ///< programme in which the coat is baked
  std::optional<std::string> print;  ///< text or mark; "{batch}" in it stands for the plate stamp
  std::vector<Spot> spots;
  bool redo = false;  ///< a wrong print or spot may be taken off and put on again, as a rework
  template <class V>
  void describe(V& v) {
    v("operation", operation);
    v("materials", materials);
    v("bake", bake);
    v("print", print);
    v("spots", spots);
    v.defaulted("redo", redo);
  }
};

/// Which pieces of a finishing operation a line of the plan wants measured. Pieces are numbered in
/// the order they went through; a reading names its piece as its sample.
struct PieceSampling {
  std::string operation;
  bool first_and_last = false;
  std::optional<std::int64_t> every;  ///< at least one of so many pieces in a row
  template <class V>
  void describe(V& v) {
    v("operation", operation);
    v.defaulted("first_and_last", first_and_last);
    v("every", every);
  }
};

/// A lot that was used in one run of an operation.
struct UsedLot {
  std::string lot;
  std::optional<std::int64_t> pieces;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("pieces", pieces);
  }
};

/// A spot as it was put on.
struct SpotPut {
  std::string place;
  std::string lot;
  std::optional<Measure> threshold;  ///< from the lot's material when it is not given
  template <class V>
  void describe(V& v) {
    v("place", place);
    v("lot", lot);
    v("threshold", threshold);
  }
};

}  // namespace platemark
