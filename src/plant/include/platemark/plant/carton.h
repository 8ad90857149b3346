/// From the box to the lorry: cartons with their shipping code, and the places where they stand.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

/// How the plant numbers its cartons: what GS1 has given it. Only digits; see plant/sscc.h.
struct Numbering {
  std::string code;
  std::string name;
  std::string company_prefix;     ///< "9521234"
  std::int64_t extension = 0;     ///< the first digit of the code, free to choose
  std::int64_t first_serial = 1;  ///< where the count of cartons begins
  std::string source;             ///< the document that gave the prefix
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("company_prefix", company_prefix);
    v.defaulted("extension", extension);
    v("first_serial", first_serial);
    v("source", source);
  }
};

/// Where cartons stand in the store: "A-03-2".
struct StorePlace {
  std::string code;
  std::string name;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
  }
};

struct CartonPacked {
  std::string carton;  ///< its SSCC, 18 digits
  std::vector<std::string> boxes;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("carton", carton);
    v("boxes", boxes);
    v("remark", remark);
  }
};

struct CartonStored {
  std::string carton;
  std::string place;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("carton", carton);
    v("place", place);
    v("remark", remark);
  }
};

struct CartonTaken {
  std::string carton;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("carton", carton);
    v("remark", remark);
  }
};

/// One movement of a carton; an empty place is out of the store.
struct CartonMove {
  Sequence fact = 0;
  std::string place;
  Instant happened;
  std::optional<Sequence> corrected_by;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("place", place);
    v("happened", happened);
    v("corrected_by", corrected_by);
  }
};

struct CartonState {
  std::string carton;
  std::vector<std::string>
      boxes;  ///< as reported; one that a later carton took names that one itself
  Instant packed_at;
  PersonNumber packed_by = 0;
  std::vector<CartonMove> moves;
  std::string shipment;
  template <class V>
  void describe(V& v) {
    v("carton", carton);
    v("boxes", boxes);
    v("packed_at", packed_at);
    v("packed_by", packed_by);
    v("moves", moves);
    v("shipment", shipment);
  }
  /// Where it stands; "" when it is not in the store.
  [[nodiscard]] std::string place() const {
    if (!shipment.empty()) return "";
    for (auto move = moves.rbegin(); move != moves.rend(); ++move)
      if (!move->corrected_by) return move->place;
    return "";
  }
};

/// What stands in one place, oldest first.
struct PlaceState {
  std::vector<std::string> cartons;
  template <class V>
  void describe(V& v) {
    v("cartons", cartons);
  }
};

namespace projection {
inline constexpr std::string_view numbering = "numbering", place = "place", carton = "carton",
                                  stored = "stored";
}

}  // namespace platemark
