/// What is needed to say what the pads of a load saw: how fast a compound cures, how an oven's air
/// differs from place to place, how pads are stacked; and what was computed from them.
#pragma once

#include "platemark/plant/event.h"

namespace platemark {

enum class KineticsModel { nth_order, autocatalytic, kamal };
template <>
struct EnumWords<KineticsModel> {
  static constexpr std::array<std::string_view, 3> words{"n-th order", "autocatalytic", "Kamal"};
};

/// k = A·exp(−Ea/(R·T)); the unit of A is the time unit of the set.
struct RateConstant {
  Measure factor;  ///< A, "/s" or "/min"
  Measure energy;  ///< Ea, "kJ/mol"
  template <class V>
  void describe(V& v) {
    v("factor", factor);
    v("energy", energy);
  }
};

/// Divides the rate by 1 + exp[C·(α − αc0 − αcT·T)].
struct DiffusionCeiling {
  Decimal steepness;
  Decimal critical_at_zero;
  Measure critical_per_kelvin;  ///< "/K"
  template <class V>
  void describe(V& v) {
    v("steepness", steepness);
    v("critical_at_zero", critical_at_zero);
    v("critical_per_kelvin", critical_per_kelvin);
  }
};

/// How fast one compound cures: a set of parameters with its source. It decides nothing until
/// quality has adopted this issue of it.
struct Kinetics {
  std::string code;  ///< "K-heron-3"
  std::string name;
  std::string compound;
  KineticsModel model = KineticsModel::nth_order;
  std::optional<RateConstant> plain;          ///< k1
  std::optional<RateConstant> autocatalytic;  ///< k2
  std::optional<Decimal> m;                   ///< exponent of the cured share
  Decimal n;                                  ///< exponent of the uncured share
  std::optional<DiffusionCeiling> diffusion;
  Decimal start;                      ///< degree of cure as the pads come to the oven
  std::optional<Measure> valid_from;  ///< °C; none: the source states no range
  std::optional<Measure> valid_to;
  Measure heat;    ///< of reaction, for a mass of binder
  Measure binder;  ///< %, of the compound's mass
  Measure rate_u;  ///< %, standard uncertainty of every rate constant
  Measure heat_u;  ///< %, of the heat of reaction
  std::string source;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("compound", compound);
    v("model", model);
    v("plain", plain);
    v("autocatalytic", autocatalytic);
    v("m", m);
    v("n", n);
    v("diffusion", diffusion);
    v("start", start);
    v("valid_from", valid_from);
    v("valid_to", valid_to);
    v("heat", heat);
    v("binder", binder);
    v("rate_u", rate_u);
    v("heat_u", heat_u);
    v("source", source);
  }
};

/// How much the air at one place of an oven differs from what a channel reads.
struct SurveyPlace {
  std::int64_t tier = 0;
  std::int64_t position = 0;
  std::string channel;  ///< of the oven, against which the offset was found
  Measure offset;       ///< K, the place's air less the channel's reading, in the soak
  Measure u;            ///< K, standard uncertainty of it
  template <class V>
  void describe(V& v) {
    v("tier", tier);
    v("position", position);
    v("channel", channel);
    v("offset", offset);
    v("u", u);
  }
};

/// The survey of an oven's uniformity: its map, and for how long it holds.
struct Survey {
  std::string code;  ///< "S-O-1"
  std::string name;
  std::string oven;
  Day surveyed;
  std::int64_t age_limit_days = 0;    ///< it may be relied on for so long
  Measure set_point;                  ///< °C, at which it was made
  std::optional<Measure> uniformity;  ///< K, asked of the oven: each place within ± of the channels
  std::vector<SurveyPlace> places;
  std::string source;  ///< the report of the survey
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("oven", oven);
    v("surveyed", surveyed);
    v("age_limit_days", age_limit_days);
    v("set_point", set_point);
    v("uniformity", uniformity);
    v("places", places);
    v("source", source);
  }
};

/// How a material takes up heat; slopes are shares of the value for each kelvin above 20 °C.
struct HeatProperties {
  Measure density;
  Measure conductivity;
  Measure capacity;
  std::optional<Measure> conductivity_slope;
  std::optional<Measure> capacity_slope;
  std::string source;
  template <class V>
  void describe(V& v) {
    v("density", density);
    v("conductivity", conductivity);
    v("capacity", capacity);
    v("conductivity_slope", conductivity_slope);
    v("capacity_slope", capacity_slope);
    v("source", source);
  }
};

struct FrictionHeat {
  std::string compound;
  HeatProperties properties;
  template <class V>
  void describe(V& v) {
    v("compound", compound);
    v("properties", properties);
  }
};

/// How pads lie on each other in a clamp of an oven, and how heat comes to them. The pad's own
/// layers are the part's.
struct Stacking {
  std::string code;  ///< "ST-O-1"
  std::string name;
  std::string oven;
  std::int64_t pads_in_stack = 0;    ///< on each other; a clamp with more has several stacks
  std::optional<Measure> end_plate;  ///< mm of steel at both ends
  std::optional<Measure> separator;  ///< mm of steel between two pads
  HeatProperties steel;              ///< backing plates, end plates, separators
  std::vector<FrictionHeat> friction;
  Measure film_ends;                       ///< W/(m²·K), radiation within
  Measure film_sides;                      ///< the same
  std::optional<Measure> area_over_girth;  ///< mm; none: of a square of the part's area
  std::optional<Measure> joint;            ///< W/(m²·K) between two pads; none: perfect contact
  Measure start;                           ///< °C, of the pads as they go in
  Measure film_u;                          ///< %, standard uncertainties
  Measure joint_u;
  Measure conductivity_u;
  Measure capacity_u;
  std::string source;  ///< of the coefficients
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("oven", oven);
    v("pads_in_stack", pads_in_stack);
    v("end_plate", end_plate);
    v("separator", separator);
    v("steel", steel);
    v("friction", friction);
    v("film_ends", film_ends);
    v("film_sides", film_sides);
    v("area_over_girth", area_over_girth);
    v("joint", joint);
    v("start", start);
    v("film_u", film_u);
    v("joint_u", joint_u);
    v("conductivity_u", conductivity_u);
    v("capacity_u", capacity_u);
    v("source", source);
  }
};

/// Quality has read where a set comes from and takes it for the plant's own.
struct KineticsAdopted {
  std::string kinetics;
  std::int64_t issue = 0;
  std::string document_read;  ///< title, edition, page
  std::string why;
  template <class V>
  void describe(V& v) {
    v("kinetics", kinetics);
    v("issue", issue);
    v("document_read", document_read);
    v("why", why);
  }
};

/// One issue that a computation rests on.
struct IssueUsed {
  std::string code;
  std::int64_t issue = 0;
  friend bool operator==(const IssueUsed&, const IssueUsed&) = default;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("issue", issue);
  }
};

struct KineticsUsed {
  std::string code;
  std::int64_t issue = 0;
  bool adopted = false;  ///< when it was computed
  friend bool operator==(const KineticsUsed&, const KineticsUsed&) = default;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("issue", issue);
    v("adopted", adopted);
  }
};

/// The worst pad of a load in one respect, and where it lay.
enum class PadExtreme { coldest, hottest, latest, shortest, least_cured, fastest };
template <>
struct EnumWords<PadExtreme> {
  static constexpr std::array<std::string_view, 6> words{
      "coldest", "hottest", "latest", "shortest soak", "least cured", "fastest heated"};
};
struct WorstPad {
  PadExtreme what = PadExtreme::coldest;
  std::string clamp;
  std::string batch;
  std::int64_t pad = 0;           ///< in the stack, 1 at its first end
  std::optional<Measure> value;   ///< none: never reached
  std::optional<Measure> u;       ///< standard uncertainty
  std::optional<Measure> margin;  ///< min, what the pad had more than it needs; below 0: less
  template <class V>
  void describe(V& v) {
    v("what", what);
    v("clamp", clamp);
    v("batch", batch);
    v("pad", pad);
    v("value", value);
    v("u", u);
    v("margin", margin);
  }
};

/// What the pads of a load saw, computed from its recording. The figures of its batches follow as
/// figure.computed.
struct HeatComputed {
  std::string load;
  Sequence recording = 0;  ///< the recording it rests on
  std::int64_t method_version = 1;
  std::string inputs_hash;  ///< of the load as the method took it
  std::int64_t oven_issue = 0;
  IssueUsed survey;
  IssueUsed stacking;
  std::vector<KineticsUsed> kinetics;
  std::int64_t pads = 0;
  std::vector<WorstPad> worst;
  std::vector<std::string> doubts;  ///< why its figures do not count
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("recording", recording);
    v("method_version", method_version);
    v("inputs_hash", inputs_hash);
    v("oven_issue", oven_issue);
    v("survey", survey);
    v("stacking", stacking);
    v("kinetics", kinetics);
    v("pads", pads);
    v("worst", worst);
    v("doubts", doubts);
  }
};

struct KineticsAdoption {
  Sequence fact = 0;
  PersonNumber person = 0;
  KineticsAdopted adopted;
  template <class V>
  void describe(V& v) {
    v("fact", fact);
    v("person", person);
    v("adopted", adopted);
  }
};

/// How the channels of an oven stood to each other in one load.
struct OvenLoad {
  std::string load;
  Instant at;  ///< the recording's first row
  std::vector<ChannelOffset> offsets;
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("at", at);
    v("offsets", offsets);
  }
};
/// The newest loads of an oven in which its channels could be compared, oldest first.
struct OvenState {
  std::vector<OvenLoad> loads;
  template <class V>
  void describe(V& v) {
    v("loads", loads);
  }
};

namespace projection {
/// The adoption by "code/issue", the loads of an oven by its code.
inline constexpr std::string_view oven_loads = "oven loads";
inline constexpr std::string_view kinetics = "kinetics", survey = "survey", stacking = "stacking",
                                  kinetics_adoption = "kinetics adoption";
}  // namespace projection

}  // namespace platemark
