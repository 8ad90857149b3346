/// The nouns of the plant that are issued, never edited in place: each issue is
/// a fact, the newest effective one counts, older ones stay readable.
#pragma once

#include "platemark/plant/approval.h"
#include "platemark/plant/channel.h"
#include "platemark/plant/describe.h"
#include "platemark/plant/fact.h"
#include "platemark/plant/finishing.h"
#include "platemark/plant/layer.h"
#include "platemark/plant/substance.h"

namespace platemark {

enum class MaterialClass {
  ingredient,
  plate,
  adhesive,
  coating,
  box,
  shim,
  clip,
  ink,
  thermal_paint
};
template <>
struct EnumWords<MaterialClass> {
  static constexpr std::array<std::string_view, 9> words{
      "ingredient", "plate", "adhesive", "coating", "box", "shim", "clip", "ink", "thermal paint"};
};

/// How much of a powder may pass one sieve.
struct SieveBand {
  Measure aperture;     ///< e.g. 63 µm
  Measure passing_min;  ///< %
  Measure passing_max;  ///< %
  template <class V>
  void describe(V& v) {
    v("aperture", aperture);
    v("passing_min", passing_min);
    v("passing_max", passing_max);
  }
};

/// The free room in a box.
struct BoxInside {
  Measure length;
  Measure width;
  Measure height;
  template <class V>
  void describe(V& v) {
    v("length", length);
    v("width", width);
    v("height", height);
  }
};

/// Anything that arrives in lots: ingredients, plates, adhesive, what finishing puts on, boxes.
struct Material {
  std::string code;  ///< "phenolic-resin"
  std::string name;
  MaterialClass material_class = MaterialClass::ingredient;
  std::optional<Measure> density;  ///< true density, not bulk
  std::optional<std::string> density_source;
  std::optional<std::int64_t> shelf_life_days;
  std::optional<std::string> plan;  ///< control plan of its lot gate
  std::vector<SieveBand> band;
  std::optional<BoxInside> inside;    ///< of a box that sets are packed in
  std::optional<Measure> changes_at;  ///< °C, at which a thermal paint changes
  std::vector<Substance> substances;  ///< that are limited and may be in it
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("class", material_class);
    v("density", density);
    v("density_source", density_source);
    v("shelf_life_days", shelf_life_days);
    v("plan", plan);
    v("band", band);
    v("inside", inside);
    v("changes_at", changes_at);
    v.defaulted("substances", substances);
  }
};

struct FormulaLine {
  std::string material;
  Decimal parts;      ///< mass parts
  Measure tolerance;  ///< of one weighing, % of the wanted mass
  template <class V>
  void describe(V& v) {
    v("material", material);
    v("parts", parts);
    v("tolerance", tolerance);
  }
};

enum class LossBasis { pad, charge };
template <>
struct EnumWords<LossBasis> {
  static constexpr std::array<std::string_view, 2> words{"pad", "charge"};
};

/// One issue of a compound: the formula in mass parts, in weighing order.
struct Compound {
  std::string code;  ///< "heron-3"
  std::string name;  ///< "Heron 3"
  std::vector<FormulaLine> formula;
  Measure target_density;  ///< of the pressed and cured compound
  Measure mix_mass;        ///< one mix of the mixer
  Measure loss;            ///< flash, moisture, volatiles, %
  LossBasis loss_basis = LossBasis::pad;
  std::int64_t mixing_minutes = 0;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("formula", formula);
    v("target_density", target_density);
    v("mix_mass", mix_mass);
    v("loss", loss);
    v("loss_basis", loss_basis);
    v("mixing_minutes", mixing_minutes);
  }
};

/// The steps a route may have, in the order of the chain.
enum class Step { plates, mix, press, clamp, cure, sample, finish, pack, ship };
template <>
struct EnumWords<Step> {
  static constexpr std::array<std::string_view, 9> words{
      "plates", "mix", "press", "clamp", "cure", "sample", "finish", "pack", "ship"};
};

/// What a time window may run from: the end of the work named.
enum class Since { blast, coat, mix, press, clamp, cure };
template <>
struct EnumWords<Since> {
  static constexpr std::array<std::string_view, 6> words{"blast", "coat",  "mix",
                                                         "press", "clamp", "cure"};
};

/// Left longer than this, a blasted plate rusts, a film ages, a mix hardens.
struct Window {
  Since since = Since::mix;
  Measure at_most;  ///< h
  friend bool operator==(const Window&, const Window&) = default;
  template <class V>
  void describe(V& v) {
    v("since", since);
    v("at_most", at_most);
  }
};

struct RouteStep {
  Step step = Step::plates;
  std::optional<std::string> programme;  ///< of a cure, or of the press
  std::vector<std::string> operations;   ///< of a finish: "grind", "slot", …
  std::vector<Window> windows;           ///< within which the step must begin
  std::vector<FinishingNeed> needs{};    ///< of a finish: what its operations put on
  template <class V>
  void describe(V& v) {
    v("step", step);
    v("programme", programme);
    v("operations", operations);
    v.defaulted("windows", windows);
    v("needs", needs);
  }
};

/// The pads of one axle as they are sold, wrapped.
struct PadSet {
  std::int64_t pads = 0;
  Measure length;
  Measure width;
  Measure height;
  Measure clearance;  ///< kept free at each wall of the box
  template <class V>
  void describe(V& v) {
    v("pads", pads);
    v("length", length);
    v("width", width);
    v("height", height);
    v("clearance", clearance);
  }
};

/// The mark of a type approval that a part's pads carry.
struct PartMarking {
  std::string marking;                   ///< as the type approval gives it
  std::optional<std::string> operation;  ///< that puts it on: "plates", or a finishing operation
  template <class V>
  void describe(V& v) {
    v("marking", marking);
    v("operation", operation);
  }
};

struct Part {
  std::string code;  ///< "MF-1041"
  std::string name;
  std::string compound;
  std::string plate;                    ///< material code
  std::optional<std::string> adhesive;  ///< material code; none for mechanical retention
  Measure plate_thickness;
  Measure friction_area;
  Measure bond_area;
  Measure pad_volume;          ///< of the friction layer, pressed and cured, before finishing
  Measure friction_thickness;  ///< of the same
  std::optional<Underlayer> underlayer;
  std::string plan;  ///< control plan
  std::vector<RouteStep> route;
  std::optional<PadSet> set;
  std::vector<PartMarking> markings;   ///< type approvals it needs
  std::vector<std::string> customers;  ///< whose own approval a shipment to them needs
  bool other_customers = false;        ///< the markings are enough for customers who are not named
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("compound", compound);
    v("plate", plate);
    v("adhesive", adhesive);
    v("plate_thickness", plate_thickness);
    v("friction_area", friction_area);
    v("bond_area", bond_area);
    v("pad_volume", pad_volume);
    v("friction_thickness", friction_thickness);
    v("underlayer", underlayer);
    v("plan", plan);
    v("route", route);
    v("set", set);
    v("markings", markings);
    v("customers", customers);
    v.defaulted("other_customers", other_customers);
  }
};

enum class MachineClass { mixer, coater, press, oven, finishing, friction_machine };
template <>
struct EnumWords<MachineClass> {
  static constexpr std::array<std::string_view, 6> words{"mixer", "coater",    "press",
                                                         "oven",  "finishing", "friction machine"};
};

struct Machine {
  std::string code;
  std::string name;
  MachineClass machine_class = MachineClass::press;
  std::vector<Channel> channels;
  std::vector<std::string> stations;   ///< of a press with several places for a tool: "A", "B"
  std::optional<Measure> drift_limit;  ///< K, of an oven: so far a channel may part from the others
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("class", machine_class);
    v("channels", channels);
    v("stations", stations);
    v("drift_limit", drift_limit);
  }
};

/// What a gauge is checked with before its first use on a day.
struct DailyCheck {
  std::string reference;  ///< "check mass 10 kg, class M1", "block 84.6 HRR"
  Measure nominal;
  Measure tolerance;
  template <class V>
  void describe(V& v) {
    v("reference", reference);
    v("nominal", nominal);
    v("tolerance", tolerance);
  }
};

struct Gauge {
  std::string code;  ///< "HR-1"
  std::string name;
  std::string unit;  ///< UCUM code of what it reads
  Measure resolution;
  std::optional<Measure> standard_uncertainty;
  Day calibration_due;
  std::string calibration;  ///< certificate that says so
  std::optional<DailyCheck> daily_check;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("unit", unit);
    v.plainToo("resolution", resolution);
    v.plainToo("standard_uncertainty", standard_uncertainty);
    v("calibration_due", calibration_due);
    v("calibration", calibration);
    v("daily_check", daily_check);
  }
};

/// What a person may be allowed to do; every act needs exactly one of these.
enum class Operation {
  documents,
  people,
  gauges,
  goods_in,
  lot_test,
  lot_gate,
  batch,
  plates,
  mixing,
  pressing,
  oven,
  sampling,
  laboratory,
  cure_gate,
  finishing,
  final_gate,
  packing,
  shipping,
  adoption,
  approvals,
  correction,
  set_up,
  clearance
};
template <>
struct EnumWords<Operation> {
  static constexpr std::array<std::string_view, 23> words{
      "documents",  "people",    "gauges",     "goods-in",   "lot test",      "lot gate",
      "batch",      "plates",    "mixing",     "pressing",   "oven",          "sampling",
      "laboratory", "cure gate", "finishing",  "final gate", "packing",       "shipping",
      "adoption",   "approvals", "correction", "set-up",     "line clearance"};
};

struct Permit {
  Operation operation = Operation::goods_in;
  Day until;
  template <class V>
  void describe(V& v) {
    v("operation", operation);
    v("until", until);
  }
};

/// A person in the record is a number with a duty and permits; the name lives elsewhere.
struct Person {
  PersonNumber number = 0;
  std::string duty;        ///< "laboratory technician 2"
  std::string public_key;  ///< hex of the Ed25519 key that signs for this number
  std::vector<Permit> permits;
  template <class V>
  void describe(V& v) {
    v("number", number);
    v("duty", duty);
    v("public_key", public_key);
    v("permits", permits);
  }
};

enum class Gate { lot, set_up, cure, final };
template <>
struct EnumWords<Gate> {
  static constexpr std::array<std::string_view, 4> words{"lot", "set-up", "cure", "final"};
};

/// Which of several results stands against the limit.
enum class Statistic { each, mean, lowest, highest };
template <>
struct EnumWords<Statistic> {
  static constexpr std::array<std::string_view, 4> words{"each", "mean", "lowest", "highest"};
};

enum class Reaction { retest, rework, concession, scrap };
template <>
struct EnumWords<Reaction> {
  static constexpr std::array<std::string_view, 4> words{"retest", "rework", "concession", "scrap"};
};

/// Where a limit comes from. An unconfirmed one decides nothing until quality adopts it.
struct LimitSource {
  std::string document;
  std::string edition;
  std::string clause;
  bool confirmed = false;
  bool legal = false;  ///< a legal or customer limit, not the plant's own
  template <class V>
  void describe(V& v) {
    v("document", document);
    v.defaulted("edition", edition);
    v.defaulted("clause", clause);
    v("confirmed", confirmed);
    v.defaulted("legal", legal);
  }
};

struct Limit {
  std::optional<Measure> lower;
  std::optional<Measure> upper;
  LimitSource source;
  template <class V>
  void describe(V& v) {
    v.plainToo("lower", lower);
    v.plainToo("upper", upper);
    v("source", source);
  }
};

/// How a result with its uncertainty is held against a limit: by the value alone, kept off the
/// limits by the expanded uncertainty, or by the probability that is asked.
enum class DecisionRule { simple, expanded, probability };
template <>
struct EnumWords<DecisionRule> {
  static constexpr std::array<std::string_view, 3> words{"simple", "expanded", "probability"};
};

/// Whether results of a line count only from gauges that were studied for it.
enum class GaugeStudyAsked { not_asked, required };
template <>
struct EnumWords<GaugeStudyAsked> {
  static constexpr std::array<std::string_view, 2> words{"not asked", "required"};
};

/// One characteristic of a control plan.
struct PlanLine {
  std::string characteristic;  ///< "shear"
  std::string words;           ///< "Shear strength of the bond, cold"
  Gate gate = Gate::cure;
  std::optional<std::string> operation;  ///< at the set-up gate: "press", or a finishing operation
  std::string method;                    ///< catalogue id: "bench.shear"
  std::string output;                    ///< which of its outputs
  Statistic statistic = Statistic::each;
  std::int64_t samples = 1;             ///< how many results are needed
  std::string sampling;                 ///< words: "5 pads a load, one a clamp"
  std::optional<PieceSampling> pieces;  ///< at the final gate: which pieces are measured
  std::vector<Limit> limits;            ///< all of them must hold
  std::optional<Decimal>
      probability;  ///< asked chance of being inside, e.g. 0.95; none: simple acceptance
  std::optional<DecisionRule> rule;  ///< none: as `probability` says
  std::optional<Measure> span;       ///< of a one-sided strip
  GaugeStudyAsked gauge_study = GaugeStudyAsked::not_asked;
  std::string who;  ///< who supplies it: "laboratory technician"
  std::vector<Reaction> reactions;
  template <class V>
  void describe(V& v) {
    v("characteristic", characteristic);
    v("words", words);
    v("gate", gate);
    v("operation", operation);
    v("method", method);
    v("output", output);
    v("statistic", statistic);
    v("samples", samples);
    v.defaulted("sampling", sampling);
    v("pieces", pieces);
    v("limits", limits);
    v("probability", probability);
    v("rule", rule);
    v.plainToo("span", span);
    v.defaulted("gauge_study", gauge_study);
    v.defaulted("who", who);
    v("reactions", reactions);
  }
};

struct ControlPlan {
  std::string code;
  std::string name;
  std::vector<PlanLine> lines;
  std::optional<std::int64_t> rework_loops;  ///< at most so many for one batch; none on file: none
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("lines", lines);
    v("rework_loops", rework_loops);
  }
};

struct ProgrammeSegment {
  Measure target;               ///< °C
  Measure tolerance;            ///< K
  std::optional<Measure> ramp;  ///< K/min
  std::int64_t soak_minutes = 0;
  template <class V>
  void describe(V& v) {
    v("target", target);
    v("tolerance", tolerance);
    v("ramp", ramp);
    v("soak_minutes", soak_minutes);
  }
};

/// A cure programme: the window in which the chart must lie.
struct Programme {
  std::string code;  ///< "P-180"
  std::string name;
  std::vector<ProgrammeSegment> segments;
  Measure longest_gap;           ///< min, that may be bridged
  Measure load_in_below;         ///< °C, the air must be below this when the load goes in
  bool adds_to_earlier = false;  ///< a rework cure: its soak is added to what the pads had before
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("segments", segments);
    v("longest_gap", longest_gap);
    v("load_in_below", load_in_below);
    v.defaulted("adds_to_earlier", adds_to_earlier);
  }
};

/// A saved mapping of an instrument's file; its members are those of the intake room's layout.
struct Layout {
  std::string code;
  std::string name;
  Value mapping;
  template <class V>
  void describe(V& v) {
    v("code", code);
    v("name", name);
    v("mapping", mapping);
  }
};

/// A noun as the record holds it: which issue, since when.
template <class Noun>
struct Issued {
  Noun noun;
  std::int64_t issue = 0;
  std::optional<Day> effective;
  std::string why;  ///< what changed
  template <class V>
  void describe(V& v) {
    v("noun", noun);
    v("issue", issue);
    v("effective", effective);
    v("why", why);
  }
};

}  // namespace platemark
