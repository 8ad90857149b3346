/// Documents are issued, never edited: each issue is checked as a whole before it is kept.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "noun_check.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/sscc.h"
#include "support.h"

namespace platemark::act {
namespace {

template <class Noun>
struct IssueInput {
  Noun noun;
  std::optional<Day> effective;
  std::string why;
  template <class V>
  void describe(V& v) {
    v("noun", noun);
    v("effective", effective);
    v("why", why);
  }
};

Checked codeGiven(const std::string& code) {
  if (!code.empty() && code.find('/') == std::string::npos && code.find(' ') == std::string::npos)
    return {};
  return badInput("code.bad", fmt::format("'{}' cannot be a code.", code), "noun.code",
                  "letters, digits and hyphens, without spaces or slashes");
}

template <class Noun>
Checked exists(const Context& context, std::string_view projection, const std::string& code,
               const std::string& field) {
  if (context.snapshot.state(projection, ledger::nowKey(code))) return {};
  return Error(unknown(projection, code)).at({"", 0, "", field});
}

/// Three edges, each a length above zero.
template <class Block>
Checked checkBlock(const Block& block, const std::string& field) {
  for (const auto& [edge, name] :
       {std::pair{&block.length, ".length"}, {&block.width, ".width"}, {&block.height, ".height"}})
    if (Checked c = measured(*edge, platemark::Kind::length, field + name); !c) return c;
  return {};
}

Checked checkSet(const PadSet& set) {
  if (set.pads < 1)
    return badInput("set.pads", "A set has at least one pad.", "noun.set.pads",
                    "a whole number above 0");
  if (Checked c = checkBlock(set, "noun.set"); !c) return c;
  if (set.clearance.value.value() < 0)
    return badInput("value.negative", "The clearance must not be below zero.", "noun.set.clearance",
                    "0 mm or more");
  return measured(set.clearance, platemark::Kind::length, "noun.set.clearance", false);
}

Checked checkThermalPaint(const Material& m) {
  if (m.changes_at.has_value() != (m.material_class == MaterialClass::thermal_paint))
    return badInput("material.changes_at",
                    "A thermal paint has a temperature at which it changes, and nothing else has.",
                    "noun.changes_at", "a temperature, of a thermal paint");
  if (!m.changes_at) return {};
  return measured(*m.changes_at, platemark::Kind::temperature_point, "noun.changes_at", false);
}

Checked check(const Context& context, const Material& m) {
  if (m.inside && m.material_class != MaterialClass::box)
    return badInput("material.inside", "Only a box has a free room inside.", "noun.inside");
  if (m.inside)
    if (Checked c = checkBlock(*m.inside, "noun.inside"); !c) return c;
  if (Checked c = checkThermalPaint(m); !c) return c;
  if (m.density)
    if (Checked c = measured(*m.density, platemark::Kind::density, "noun.density"); !c) return c;
  if (m.plan)
    if (Checked c = exists<ControlPlan>(context, projection::plan, *m.plan, "noun.plan"); !c)
      return c;
  for (std::size_t i = 0; i < m.band.size(); ++i) {
    const std::string field = fmt::format("noun.band[{}]", i);
    if (Checked c = measured(m.band[i].aperture, platemark::Kind::length, field + ".aperture"); !c)
      return c;
    for (const Measure* share : {&m.band[i].passing_min, &m.band[i].passing_max})
      if (Checked c = measured(*share, platemark::Kind::number, field, false); !c) return c;
  }
  return {};
}

Checked checkLine(const Context& context, const FormulaLine& line, const std::string& field) {
  const auto material = stateAs<Issued<Material>>(context.snapshot, projection::material,
                                                  ledger::nowKey(line.material));
  if (!material)
    return Error(unknown(projection::material, line.material)).at({"", 0, "", field + ".material"});
  if (!material->noun.density)
    return badInput(
        "compound.density_missing",
        fmt::format("{} has no true density on record; the void-free density cannot be computed.",
                    line.material),
        field);
  if (line.parts.value() <= 0)
    return badInput("value.not_positive",
                    fmt::format("The parts of {} must be above zero.", line.material),
                    field + ".parts");
  return measured(line.tolerance, platemark::Kind::number, field + ".tolerance");
}

Checked check(const Context& context, const Compound& c) {
  if (c.formula.empty())
    return badInput("compound.empty", "The formula has no lines.", "noun.formula");
  for (std::size_t i = 0; i < c.formula.size(); ++i) {
    if (Checked line = checkLine(context, c.formula[i], fmt::format("noun.formula[{}]", i)); !line)
      return line;
    for (std::size_t k = 0; k < i; ++k)
      if (c.formula[k].material == c.formula[i].material)
        return badInput("compound.doubled",
                        fmt::format("{} stands twice in the formula.", c.formula[i].material),
                        fmt::format("noun.formula[{}].material", i));
  }
  if (Checked d = measured(c.target_density, platemark::Kind::density, "noun.target_density"); !d)
    return d;
  if (Checked m = measured(c.mix_mass, platemark::Kind::mass, "noun.mix_mass"); !m) return m;
  return measured(c.loss, platemark::Kind::number, "noun.loss", false);
}

/// The material is on record and of one of these classes.
Checked ofClass(const Context& context, const std::string& code,
                std::initializer_list<MaterialClass> classes, const std::string& field) {
  const auto material =
      stateAs<Issued<Material>>(context.snapshot, projection::material, ledger::nowKey(code));
  if (!material) return Error(unknown(projection::material, code)).at({"", 0, "", field});
  if (std::find(classes.begin(), classes.end(), material->noun.material_class) != classes.end())
    return {};
  std::string names;
  for (const MaterialClass c : classes) names += (names.empty() ? "" : ", ") + std::string(word(c));
  return badInput(
      "part.material_class",
      fmt::format("{} is of the class '{}'.", code, word(material->noun.material_class)), field,
      names);
}

Checked checkPutOn(const Context& context, const PutOn& put, const std::string& field) {
  if (Checked c = ofClass(
          context, put.material,
          {MaterialClass::shim, MaterialClass::clip, MaterialClass::coating, MaterialClass::ink},
          field + ".material");
      !c)
    return c;
  const auto material = stateAs<Issued<Material>>(context.snapshot, projection::material,
                                                  ledger::nowKey(put.material));
  const MaterialClass of = material->noun.material_class;
  const bool counted = of == MaterialClass::shim || of == MaterialClass::clip;
  if (counted != put.pieces.has_value() || (put.pieces && *put.pieces < 1))
    return badInput("part.pieces",
                    "Shims and clips are counted on each pad; powder and ink are not.",
                    field + ".pieces", counted ? "a whole number above 0" : "nothing");
  return {};
}

Checked checkSpot(const Context& context, const Spot& spot, const std::string& field) {
  if (spot.place.empty())
    return badInput("part.spot_place", "A spot needs its place.", field + ".place");
  if (Checked c =
          measured(spot.threshold, platemark::Kind::temperature_point, field + ".threshold", false);
      !c)
    return c;
  if (Checked c =
          ofClass(context, spot.material, {MaterialClass::thermal_paint}, field + ".material");
      !c)
    return c;
  const auto paint = stateAs<Issued<Material>>(context.snapshot, projection::material,
                                               ledger::nowKey(spot.material));
  const double off = *siValue(*paint->noun.changes_at, platemark::Kind::temperature_point) -
                     *siValue(spot.threshold, platemark::Kind::temperature_point);
  if (std::abs(off) < 1e-6) return {};
  return badInput("part.spot_threshold",
                  fmt::format("{} changes at {}, not at {}.", spot.material,
                              format(*paint->noun.changes_at), format(spot.threshold)),
                  field + ".threshold", format(*paint->noun.changes_at));
}

Checked checkNeed(const Context& context, const FinishingNeed& need, const RouteStep& step,
                  const std::string& field) {
  if (std::find(step.operations.begin(), step.operations.end(), need.operation) ==
      step.operations.end())
    return badInput("part.need_operation",
                    fmt::format("'{}' is not an operation of this step.", need.operation),
                    field + ".operation", "one of its operations");
  for (std::size_t i = 0; i < need.materials.size(); ++i) {
    const std::string at = fmt::format("{}.materials[{}]", field, i);
    if (Checked c = checkPutOn(context, need.materials[i], at); !c) return c;
    for (std::size_t k = 0; k < i; ++k)
      if (need.materials[k].material == need.materials[i].material)
        return badInput("part.material_doubled",
                        fmt::format("{} stands twice.", need.materials[i].material), at);
  }
  for (std::size_t i = 0; i < need.spots.size(); ++i) {
    const std::string at = fmt::format("{}.spots[{}]", field, i);
    if (Checked c = checkSpot(context, need.spots[i], at); !c) return c;
    for (std::size_t k = 0; k < i; ++k)
      if (need.spots[k].place == need.spots[i].place)
        return badInput("part.spot_doubled", fmt::format("'{}' stands twice.", need.spots[i].place),
                        at + ".place");
  }
  if (need.print && need.print->empty())
    return badInput("part.print", "An empty print is none.", field + ".print", "the text or mark");
  return need.bake ? exists<Programme>(context, projection::programme, *need.bake, field + ".bake")
                   : Checked{};
}

/// What is redone must be told by its characteristic alone.
Checked checkRedo(const RouteStep& step, const std::string& field) {
  std::int64_t prints = 0, spots = 0;
  for (std::size_t i = 0; i < step.needs.size(); ++i) {
    const FinishingNeed& need = step.needs[i];
    if (need.redo && !need.print && need.spots.empty())
      return badInput("part.redo",
                      fmt::format("'{}' has no print and no spot to redo.", need.operation),
                      fmt::format("{}.needs[{}].redo", field, i));
    prints += need.redo && need.print;
    spots += need.redo && !need.spots.empty();
  }
  if (prints <= 1 && spots <= 1) return {};
  return badInput("part.redo", "Only one operation's print, and one's spots, may be redone.",
                  field + ".needs");
}

Checked checkNeeds(const Context& context, const RouteStep& step, const std::string& field) {
  for (std::size_t i = 0; i < step.needs.size(); ++i) {
    const std::string at = fmt::format("{}.needs[{}]", field, i);
    if (Checked c = checkNeed(context, step.needs[i], step, at); !c) return c;
    for (std::size_t k = 0; k < i; ++k)
      if (step.needs[k].operation == step.needs[i].operation)
        return badInput("part.need_doubled",
                        fmt::format("'{}' stands twice.", step.needs[i].operation),
                        at + ".operation");
  }
  return checkRedo(step, field);
}

Checked checkRoute(const Context& context, const Part& part) {
  if (part.route.empty()) return badInput("part.no_route", "The part has no route.", "noun.route");
  for (std::size_t i = 0; i < part.route.size(); ++i) {
    const RouteStep& step = part.route[i];
    const std::string field = fmt::format("noun.route[{}]", i);
    if (i > 0 && part.route[i - 1].step >= step.step)
      return badInput("part.route_order",
                      fmt::format("'{}' cannot come after '{}'.", word(step.step),
                                  word(part.route[i - 1].step)),
                      field, "the order of the chain");
    for (std::size_t k = 0; k < step.windows.size(); ++k)
      if (Checked c = measured(step.windows[k].at_most, platemark::Kind::duration,
                               fmt::format("{}.windows[{}].at_most", field, k));
          !c)
        return c;
    if (Checked c = checkNeeds(context, step, field); !c) return c;
    if (step.step != Step::cure) continue;
    if (!step.programme)
      return badInput("part.no_programme", "A cure needs its programme.", field + ".programme");
    if (Checked c = exists<Programme>(context, projection::programme, *step.programme,
                                      field + ".programme");
        !c)
      return c;
  }
  return {};
}

/// Each marking and customer once; what puts a marking on is on the route.
Checked checkNeeds(const Part& part) {
  std::set<std::string> operations, seen;
  for (const RouteStep& step : part.route) {
    if (step.step == Step::plates) operations.emplace(word(Step::plates));
    operations.insert(step.operations.begin(), step.operations.end());
  }
  for (std::size_t i = 0; i < part.markings.size(); ++i) {
    const PartMarking& m = part.markings[i];
    const std::string field = fmt::format("noun.markings[{}]", i);
    if (m.marking.empty() || !seen.insert(m.marking).second)
      return badInput("part.marking", "A marking has text and stands once.", field + ".marking");
    if (m.operation && !operations.contains(*m.operation))
      return badInput("part.marking_operation",
                      fmt::format("'{}' is no operation of the part's route.", *m.operation),
                      field + ".operation", fmt::format("{}", fmt::join(operations, ", ")));
  }
  for (std::size_t i = 0; i < part.customers.size(); ++i)
    if (part.customers[i].empty() ||
        std::count(part.customers.begin(), part.customers.end(), part.customers[i]) > 1)
      return badInput("part.customer", "A customer has a name and stands once.",
                      fmt::format("noun.customers[{}]", i));
  return {};
}

Checked check(const Context& context, const Part& part, const Underlayer& u) {
  if (Checked c =
          exists<Compound>(context, projection::compound, u.compound, "noun.underlayer.compound");
      !c)
    return c;
  if (u.compound == part.compound)
    return badInput("part.one_compound", fmt::format("Both layers are named as {}.", part.compound),
                    "noun.underlayer.compound", "the compound of the underlayer");
  if (Checked c = measured(u.volume, platemark::Kind::volume, "noun.underlayer.volume"); !c)
    return c;
  return measured(u.thickness, platemark::Kind::length, "noun.underlayer.thickness");
}

Checked check(const Context& context, const Part& p) {
  if (Checked c = exists<Compound>(context, projection::compound, p.compound, "noun.compound"); !c)
    return c;
  if (Checked c = exists<Material>(context, projection::material, p.plate, "noun.plate"); !c)
    return c;
  if (p.adhesive)
    if (Checked c = exists<Material>(context, projection::material, *p.adhesive, "noun.adhesive");
        !c)
      return c;
  if (Checked c = exists<ControlPlan>(context, projection::plan, p.plan, "noun.plan"); !c) return c;
  for (const auto& [measure, name] :
       {std::pair{&p.friction_area, "noun.friction_area"}, {&p.bond_area, "noun.bond_area"}})
    if (Checked c = measured(*measure, platemark::Kind::area, name); !c) return c;
  for (const auto& [measure, name] : {std::pair{&p.plate_thickness, "noun.plate_thickness"},
                                      {&p.friction_thickness, "noun.friction_thickness"}})
    if (Checked c = measured(*measure, platemark::Kind::length, name); !c) return c;
  if (Checked c = measured(p.pad_volume, platemark::Kind::volume, "noun.pad_volume"); !c) return c;
  if (p.underlayer)
    if (Checked c = check(context, p, *p.underlayer); !c) return c;
  if (p.set)
    if (Checked c = checkSet(*p.set); !c) return c;
  if (Checked c = checkNeeds(p); !c) return c;
  return checkRoute(context, p);
}

/// A station is part of how a first piece is found again: a code, and once on its machine.
Checked checkStations(const Machine& m) {
  if (!m.stations.empty() && m.machine_class != MachineClass::press)
    return badInput("machine.stations", "Only a press has stations.", "noun.stations", "nothing");
  std::set<std::string> seen;
  for (std::size_t i = 0; i < m.stations.size(); ++i) {
    const std::string field = fmt::format("noun.stations[{}]", i);
    if (Checked c = codeGiven(m.stations[i]); !c) return Error(c.error()).at({"", 0, "", field});
    if (!seen.insert(m.stations[i]).second)
      return badInput("machine.station_doubled",
                      fmt::format("Station '{}' is named twice.", m.stations[i]), field,
                      "each station once");
  }
  return {};
}

Checked check(const Context&, const Machine& m) {
  if (Checked c = checkOven(m); !c) return c;
  return checkStations(m);
}

Checked check(const Context& context, const Kinetics& k) { return checkKinetics(context, k); }
Checked check(const Context& context, const Survey& s) { return checkSurvey(context, s); }
Checked check(const Context& context, const Stacking& s) { return checkStacking(context, s); }

Checked check(const Context&, const Gauge& g) {
  const Result<UnitRow> unit = findUnit(g.unit);
  if (!unit) return Error(unit.error()).at({"", 0, "", "noun.unit"});
  const platemark::Kind difference = differenceOf(unit->kind);
  if (Checked c = measuredIn(g.resolution, difference, g.unit, "noun.resolution"); !c) return c;
  if (g.daily_check) {
    if (g.daily_check->reference.empty())
      return badInput("gauge.reference", "A daily check needs its reference.",
                      "noun.daily_check.reference", "what the gauge is checked with");
    if (Checked c = measured(g.daily_check->nominal, unit->kind, "noun.daily_check.nominal", false);
        !c)
      return c;
    if (Checked c = measured(g.daily_check->tolerance, difference, "noun.daily_check.tolerance");
        !c)
      return c;
  }
  return g.standard_uncertainty
             ? measuredIn(*g.standard_uncertainty, difference, g.unit, "noun.standard_uncertainty")
             : Checked{};
}

Checked check(const Context&, const Person& p) {
  if (p.number <= 0)
    return badInput("person.number", "A person's number must be above zero.", "noun.number");
  return {};
}

Checked check(const Context&, const ControlPlan& plan) { return checkPlan(plan); }

Checked check(const Context&, const Programme& p) {
  if (p.segments.empty())
    return badInput("programme.empty", "The programme has no segments.", "noun.segments");
  for (std::size_t i = 0; i < p.segments.size(); ++i) {
    const std::string field = fmt::format("noun.segments[{}]", i);
    if (Checked c = measured(p.segments[i].target, platemark::Kind::temperature_point,
                             field + ".target", false);
        !c)
      return c;
    if (Checked c = measured(p.segments[i].tolerance, platemark::Kind::temperature_difference,
                             field + ".tolerance");
        !c)
      return c;
    if (p.segments[i].ramp)
      if (Checked c =
              measured(*p.segments[i].ramp, platemark::Kind::temperature_rate, field + ".ramp");
          !c)
        return c;
  }
  if (Checked c = measured(p.longest_gap, platemark::Kind::duration, "noun.longest_gap"); !c)
    return c;
  return measured(p.load_in_below, platemark::Kind::temperature_point, "noun.load_in_below", false);
}

/// Each code names a noun on record, each once, and there is at least one where one is needed.
template <class Noun>
Checked checkCodes(const Context& context, std::string_view projection,
                   const std::vector<std::string>& codes, const std::string& field, bool needed) {
  if (needed && codes.empty())
    return badInput("approval.scope", "An approval says what it covers.", field,
                    fmt::format("at least one {}", projection));
  for (std::size_t i = 0; i < codes.size(); ++i) {
    const std::string at = fmt::format("{}[{}]", field, i);
    if (Checked c = exists<Noun>(context, projection, codes[i], at); !c) return c;
    if (std::count(codes.begin(), codes.end(), codes[i]) > 1)
      return badInput("approval.doubled", fmt::format("{} stands twice.", codes[i]), at);
  }
  return {};
}

Checked checkClass(const Context& context, const std::vector<std::string>& codes,
                   MaterialClass wanted, const std::string& field) {
  if (Checked c = checkCodes<Material>(context, projection::material, codes, field,
                                       wanted == MaterialClass::plate);
      !c)
    return c;
  for (std::size_t i = 0; i < codes.size(); ++i) {
    const auto material =
        stateAs<Issued<Material>>(context.snapshot, projection::material, ledger::nowKey(codes[i]));
    if (material && material->noun.material_class != wanted)
      return badInput("approval.material",
                      fmt::format("{} is no {}, but of class {}.", codes[i], word(wanted),
                                  word(material->noun.material_class)),
                      fmt::format("{}[{}]", field, i), fmt::format("a {}", word(wanted)));
  }
  return {};
}

Checked checkCompounds(const Context& context, const std::vector<ApprovedCompound>& compounds) {
  if (compounds.empty())
    return badInput("approval.scope", "An approval says what it covers.", "noun.compounds",
                    "at least one compound with its issues");
  for (std::size_t i = 0; i < compounds.size(); ++i) {
    const ApprovedCompound& c = compounds[i];
    if (c.issue_from < 1 || c.issue_to < c.issue_from)
      return badInput(
          "approval.issues",
          fmt::format("Issues {} to {} of {} are no range.", c.issue_from, c.issue_to, c.compound),
          fmt::format("noun.compounds[{}]", i), "from 1 on, the first not above the last");
    if (Checked known = exists<Compound>(context, projection::compound, c.compound,
                                         fmt::format("noun.compounds[{}].compound", i));
        !known)
      return known;
  }
  return {};
}

Checked check(const Context& context, const Approval& a) {
  if (a.marking && (a.kind != ApprovalKind::type_approval || a.marking->empty()))
    return badInput("approval.marking", "Only a type approval gives a marking, and it has text.",
                    "noun.marking");
  if (a.valid_until && *a.valid_until < a.valid_from)
    return badInput("approval.dates", "The approval ends before it begins.", "noun.valid_until");
  if (Checked c = checkCodes<Part>(context, projection::part, a.parts, "noun.parts", true); !c)
    return c;
  if (Checked c = checkCompounds(context, a.compounds); !c) return c;
  if (Checked c = checkClass(context, a.plates, MaterialClass::plate, "noun.plates"); !c) return c;
  return checkClass(context, a.adhesives, MaterialClass::adhesive, "noun.adhesives");
}

Checked check(const Context&, const Layout&) { return {}; }
Checked check(const Context&, const StorePlace&) { return {}; }

Checked check(const Context&, const Numbering& n) {
  if (n.source.empty())
    return badInput("numbering.no_source", "A company prefix needs its source.", "noun.source",
                    "the document by which GS1 gave the prefix");
  // The first code it would give says whether it can give any.
  if (const Result<std::string> first = ssccNumber(n.extension, n.company_prefix, n.first_serial);
      !first)
    return Error(first.error()).at({"", 0, "", "noun.company_prefix"});
  return {};
}

std::string codeOf(const Person& p) { return std::to_string(p.number); }
template <class Noun>
std::string codeOf(const Noun& noun) {
  return noun.code;
}

template <class Noun>
struct NounName;
#define PLATEMARK_NOUN(Type, text)                 \
  template <>                                      \
  struct NounName<Type> {                          \
    static constexpr std::string_view name = text; \
  }
PLATEMARK_NOUN(Material, "material");
PLATEMARK_NOUN(Compound, "compound");
PLATEMARK_NOUN(Part, "part");
PLATEMARK_NOUN(Machine, "machine");
PLATEMARK_NOUN(Gauge, "gauge");
PLATEMARK_NOUN(Person, "person");
PLATEMARK_NOUN(ControlPlan, "plan");
PLATEMARK_NOUN(Programme, "programme");
PLATEMARK_NOUN(Approval, "approval");
PLATEMARK_NOUN(Layout, "layout");
PLATEMARK_NOUN(Numbering, "numbering");
PLATEMARK_NOUN(StorePlace, "place");
PLATEMARK_NOUN(Kinetics, "kinetics");
PLATEMARK_NOUN(Survey, "survey");
PLATEMARK_NOUN(Stacking, "stacking");
#undef PLATEMARK_NOUN

template <class Noun>
Decision issue(const Context& context, IssueInput<Noun> in) {
  const std::string name(NounName<Noun>::name), code = codeOf(in.noun);
  if (Checked c = codeGiven(code); !c) return c.error();
  if (Checked c = check(context, in.noun); !c) return c.error();
  const auto before = stateAs<Issued<Noun>>(context.snapshot, name, ledger::nowKey(code));
  if (before && in.why.empty())
    return badInput("issue.why_missing", "A new issue needs a word on what changed.", "why");
  const Issued<Noun> issued{std::move(in.noun), before ? before->issue + 1 : 1, in.effective,
                            in.why};
  return std::vector<NewFact>{fact(context, name + ".issued", issued, {{name, code}})};
}

}  // namespace

std::span<const Kind> nounVerbs() {
  static constexpr Kind list[] = {
      verb<IssueInput<Material>, issue<Material>>(
          "material issue", Operation::documents,
          "issue a material: ingredient, plate, adhesive, coating or box"),
      verb<IssueInput<Compound>, issue<Compound>>("compound issue", Operation::documents,
                                                  "issue a compound's formula"),
      verb<IssueInput<Part>, issue<Part>>("part issue", Operation::documents,
                                          "issue a part with geometry and route"),
      verb<IssueInput<Machine>, issue<Machine>>("machine issue", Operation::documents,
                                                "issue a machine or an oven with its channels"),
      verb<IssueInput<Gauge>, issue<Gauge>>("gauge issue", Operation::gauges,
                                            "issue a gauge, or record its calibration"),
      verb<IssueInput<Person>, issue<Person>>("person issue", Operation::people,
                                              "issue what a person may do, and until when"),
      verb<IssueInput<ControlPlan>, issue<ControlPlan>>("plan issue", Operation::documents,
                                                        "issue a control plan"),
      verb<IssueInput<Programme>, issue<Programme>>("programme issue", Operation::documents,
                                                    "issue a cure programme"),
      verb<IssueInput<Approval>, issue<Approval>>("approval issue", Operation::approvals,
                                                  "enter an approval and what it covers"),
      verb<IssueInput<Layout>, issue<Layout>>("layout issue", Operation::documents,
                                              "save the layout of an instrument's file"),
      verb<IssueInput<Numbering>, issue<Numbering>>(
          "numbering issue", Operation::documents,
          "issue the company prefix that the plant's cartons are numbered with"),
      verb<IssueInput<StorePlace>, issue<StorePlace>>("place issue", Operation::documents,
                                                      "issue a place of the store"),
      verb<IssueInput<Kinetics>, issue<Kinetics>>("kinetics issue", Operation::documents,
                                                  "issue how fast a compound cures"),
      verb<IssueInput<Survey>, issue<Survey>>("survey issue", Operation::documents,
                                              "issue the survey of an oven's uniformity"),
      verb<IssueInput<Stacking>, issue<Stacking>>(
          "stacking issue", Operation::documents,
          "issue how pads are stacked in an oven, and how heat comes to them"),
  };
  return list;
}

}  // namespace platemark::act
