/// What people decide when a batch cannot simply be released. A verdict only
/// compares; each of these is a signed fact, within the reaction that the
/// control plan allows. The verdict stays as it was given.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

/// Done once more, and measured anew: what was measured before for these characteristics no longer
/// counts.
struct ReworkOrdered {
  std::string rework;  ///< "W-0007"
  std::string batch;
  Gate gate = Gate::final;
  Sequence verdict = 0;
  std::vector<std::string> characteristics;
  std::string instruction;
  template <class V>
  void describe(V& v) {
    v("rework", rework);
    v("batch", batch);
    v("gate", gate);
    v("verdict", verdict);
    v("characteristics", characteristics);
    v("instruction", instruction);
  }
};

struct ReworkDone {
  std::string rework;
  std::string machine;
  Counts counts;  ///< of all the batch's pads: what is good again, what was lost
  std::optional<std::string> printed;  ///< in place of what was printed before
  std::vector<SpotPut> spots;          ///< in place of those put on before
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("rework", rework);
    v("machine", machine);
    v("counts", counts);
    v("printed", printed);
    v("spots", spots);
    v("remark", remark);
  }
};

/// An authority accepts what is outside, for so many pads, until a day.
struct ConcessionGranted {
  std::string concession;  ///< "N-0003"
  std::string batch;
  Gate gate = Gate::final;
  Sequence verdict = 0;
  std::vector<std::string> characteristics;
  std::string authority;  ///< who accepts: "customer Oxbow Motors, supplier quality"
  std::string reference;  ///< the authority's own number
  std::int64_t pads = 0;
  Day until;
  template <class V>
  void describe(V& v) {
    v("concession", concession);
    v("batch", batch);
    v("gate", gate);
    v("verdict", verdict);
    v("characteristics", characteristics);
    v("authority", authority);
    v("reference", reference);
    v("pads", pads);
    v("until", until);
  }
};

struct ScrapSigned {
  std::string batch;
  std::int64_t pads = 0;
  std::string reason;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("pads", pads);
    v("reason", reason);
  }
};

/// Another way of working, allowed for one part, that ends by itself.
struct DeviationAllowed {
  std::string deviation;  ///< "V-0002"
  std::string part;
  Step step = Step::cure;
  std::string instead_of;  ///< what route or part says: a programme, an adhesive
  std::string use;         ///< what may be used: a code of the same kind
  std::string reason;
  std::int64_t batches = 0;  ///< for so many batches, counted when the step is done with it
  Day from;
  Day until;
  template <class V>
  void describe(V& v) {
    v("deviation", deviation);
    v("part", part);
    v("step", step);
    v("instead_of", instead_of);
    v("use", use);
    v("reason", reason);
    v("batches", batches);
    v("from", from);
    v("until", until);
  }
};

// What they add up to.

struct Rework {
  Sequence order_fact = 0;
  ReworkOrdered ordered;
  std::optional<Sequence> done_fact;
  std::optional<ReworkDone> done;
  template <class V>
  void describe(V& v) {
    v("order_fact", order_fact);
    v("ordered", ordered);
    v("done_fact", done_fact);
    v("done", done);
  }
};

struct Concession {
  Sequence fact = 0;
  ConcessionGranted granted;
  std::int64_t packed = 0;  ///< pads boxed under it
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("granted", granted);
    v("packed", packed);
  }
};

struct Scrapped {
  Sequence fact = 0;
  ScrapSigned signed_off;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("signed_off", signed_off);
  }
};

/// All dispositions of one batch but its releases, which stand with their gates.
struct DispositionState {
  std::vector<Rework> reworks;
  std::vector<Concession> concessions;
  std::vector<Scrapped> scraps;
  template <class V>
  void describe(V& v) {
    v("reworks", reworks);
    v("concessions", concessions);
    v("scraps", scraps);
  }
  [[nodiscard]] std::int64_t scrapped() const {
    std::int64_t pads = 0;
    for (const Scrapped& s : scraps) pads += s.signed_off.pads;
    return pads;
  }
};

struct DeviationState {
  Sequence fact = 0;
  DeviationAllowed allowed;
  std::vector<std::string> used_by;  ///< batches
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("allowed", allowed);
    v("used_by", used_by);
  }
};

namespace projection {
inline constexpr std::string_view disposition = "disposition", rework = "rework",
                                  deviation = "deviation";
}

}  // namespace platemark
