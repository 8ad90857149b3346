#include <algorithm>

#include "fold.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/container.h"
#include "platemark/plant/cure.h"

namespace platemark::ledger {
namespace {

std::string codeOf(const Person& person) { return std::to_string(person.number); }
template <class Noun>
std::string codeOf(const Noun& noun) {
  return noun.code;
}

template <class Noun>
Projection nounProjection(std::string_view name) {
  const std::string kind = std::string(name) + ".issued";
  return {name, [kind](const Fact& fact, ProjectionView& view) {
            if (fact.kind != kind) return;
            const auto issued = bodyOf<Issued<Noun>>(fact);
            const std::string code = codeOf(issued.noun);
            view.put(nowKey(code), fact.body);
            view.put(issueKey(code, issued.issue), fact.body);
          }};
}

std::string upper(std::string text) {
  std::transform(text.begin(), text.end(), text.begin(), [](char c) {
    return static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
  });
  return text;
}

/// Facts that bring a code into the world, with the member that holds it.
struct CodeRow {
  std::string_view fact, kind, member;
};
constexpr CodeRow code_rows[] = {
    {"lot.received", "lot", "lot"},
    {"batch.opened", "batch", "batch"},
    {"mix.opened", "mix", "mix"},
    {"load.built", "load", "load"},
    {"box.packed", "box", "box"},
    {"carton.packed", "carton", "carton"},
    {"shipment.sent", "shipment", "shipment"},
    {"set-up.made", "set-up", "set_up"},
    {"rework.ordered", "rework", "rework"},
    {"concession.granted", "concession", "concession"},
    {"deviation.allowed", "deviation", "deviation"},
    {"material.issued", "material", "code"},
    {"compound.issued", "compound", "code"},
    {"part.issued", "part", "code"},
    {"machine.issued", "machine", "code"},
    {"gauge.issued", "gauge", "code"},
    {"plan.issued", "plan", "code"},
    {"programme.issued", "programme", "code"},
    {"approval.issued", "approval", "code"},
    {"layout.issued", "layout", "code"},
    {"numbering.issued", "numbering", "code"},
    {"place.issued", "place", "code"},
    {"kinetics.issued", "kinetics", "code"},
    {"survey.issued", "survey", "code"},
    {"stacking.issued", "stacking", "code"},
};

}  // namespace

void foldNouns(std::vector<Projection>& list) {
  list.push_back(nounProjection<Material>(projection::material));
  list.push_back(nounProjection<Compound>(projection::compound));
  list.push_back(nounProjection<Part>(projection::part));
  list.push_back(nounProjection<Machine>(projection::machine));
  list.push_back(nounProjection<Gauge>(projection::gauge));
  list.push_back(nounProjection<Person>(projection::person));
  list.push_back(nounProjection<ControlPlan>(projection::plan));
  list.push_back(nounProjection<Programme>(projection::programme));
  list.push_back(nounProjection<Approval>(projection::approval));
  list.push_back(nounProjection<Layout>(projection::layout));
  list.push_back(nounProjection<Numbering>(projection::numbering));
  list.push_back(nounProjection<StorePlace>(projection::place));
  list.push_back(nounProjection<Kinetics>(projection::kinetics));
  list.push_back(nounProjection<Survey>(projection::survey));
  list.push_back(nounProjection<Stacking>(projection::stacking));
}

Projection codeProjection() {
  return {projection::code, [](const Fact& fact, ProjectionView& view) {
            for (const CodeRow& row : code_rows) {
              if (row.fact != fact.kind) continue;
              const Value& holder = row.member == "code" ? fact.body["noun"] : fact.body;
              const std::string id = holder.text(row.member);
              view.put(upper(id), toValue(Subject{std::string(row.kind), id}));
            }
            if (fact.kind == "container.labelled")
              for (const Container& c : bodyOf<ContainersLabelled>(fact).containers)
                view.put(upper(c.container), toValue(Subject{"container", c.container}));
          }};
}

/// How many of each numbered thing there are: the next number is one more.
Projection counterProjection() {
  return {projection::counter, [](const Fact& fact, ProjectionView& view) {
            for (const std::string_view kind :
                 {"batch.opened", "mix.opened", "load.built", "box.packed", "carton.packed",
                  "shipment.sent", "lot.received", "paper.issued", "rework.ordered",
                  "concession.granted", "deviation.allowed", "set-up.made"}) {
              if (fact.kind != kind || correctedBy(fact)) continue;
              const std::optional<Value> before = view.get(projection::counter, kind);
              const std::int64_t* n = before ? before->asInteger() : nullptr;
              view.put(kind, Value((n == nullptr ? 0 : *n) + 1));
            }
          }};
}

Projection adoptionProjection() {
  return {projection::adoption, [](const Fact& fact, ProjectionView& view) {
            if (fact.kind != "limit.adopted") return;
            const auto adopted = bodyOf<LimitAdopted>(fact);
            view.put(adopted.plan + "/" + std::to_string(adopted.plan_issue) + "/" +
                         adopted.characteristic,
                     toValue(Adoption{fact.sequence, adopted, fact.person}));
          }};
}

/// By "code/issue": a new issue of a set must be adopted anew.
Projection kineticsAdoptionProjection() {
  return {projection::kinetics_adoption, [](const Fact& fact, ProjectionView& view) {
            if (fact.kind != "kinetics.adopted") return;
            const auto adopted = bodyOf<KineticsAdopted>(fact);
            view.put(adopted.kinetics + "/" + std::to_string(adopted.issue),
                     toValue(KineticsAdoption{fact.sequence, fact.person, adopted}));
          }};
}

}  // namespace platemark::ledger
