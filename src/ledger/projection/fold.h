/// What the folds of this folder share.
#pragma once

#include <functional>
#include <optional>
#include <stdexcept>
#include <string>

#include "platemark/ledger/projections.h"

namespace platemark::ledger {

/// The body of a fact as its struct. Bodies are checked before they are stored;
/// one that cannot be read here means a broken program or a broken record.
template <class Body>
Body bodyOf(const Fact& fact) {
  Result<Body> body = fromValue<Body>(fact.body);
  if (!body)
    throw std::logic_error("fact " + std::to_string(fact.sequence) + " (" + fact.kind +
                           "): " + describe(body.error()));
  return std::move(*body);
}

template <class State>
std::optional<State> get(const ProjectionView& view, std::string_view projection,
                         std::string_view key) {
  return view.get<State>(projection, key);
}

/// Changes a state of the view's own projection, if there is one.
template <class State>
void change(ProjectionView& view, std::string_view projection, std::string_view key,
            const std::function<void(State&)>& with) {
  std::optional<State> state = get<State>(view, projection, key);
  if (!state) return;
  with(*state);
  view.put(key, *state);
}

/// A fact that the newest verdict of this gate did not see: the verdict is overtaken.
void overtake(GateState& gate, const Fact& fact, const std::string& why);
/// A new verdict stands by itself: what was signed before was signed for another one.
void giveVerdict(GateState& gate, const Fact& fact, const VerdictGiven& verdict);
void signRelease(GateState& gate, const Fact& fact);

/// Adds the figure; one that corrects another supersedes it.
void addEvidence(std::vector<Evidence>& evidence, const ProjectionView& view, const Fact& fact,
                 const FigureComputed& figure);
/// Marks what rests on the corrected fact; true when something did.
bool markCorrected(std::vector<Evidence>& evidence, Sequence corrected, Sequence by);
void placeHold(std::vector<Hold>& holds, const Fact& fact, const std::string& why);
void liftHold(std::vector<Hold>& holds, Sequence hold, Sequence by);

/// The sequence a report corrects, if it does.
std::optional<Sequence> correctedBy(const Fact& fact);
/// In words, for overtaken verdicts: "fact 412 (a reading was taken) came afterwards".
std::string cameAfterwards(const Fact& fact);

void foldNouns(std::vector<Projection>& list);
Projection codeProjection();
Projection counterProjection();
Projection lotProjection();
Projection mixProjection();
Projection loadProjection();
Projection batchProjection();
Projection boxProjection();
Projection cartonProjection();
Projection storedProjection();
Projection dispositionProjection();
Projection reworkProjection();
Projection deviationProjection();
Projection lineProjection();
Projection setUpProjection();
Projection pressedProjection();
Projection setUpForProjection();
Projection containerProjection();
Projection gaugeCheckProjection();
Projection gaugesOfProjection();
Projection trendProjection();
Projection gaugeUseProjection();
Projection gaugeTrustProjection();
Projection shipmentProjection();
Projection adoptionProjection();
Projection kineticsAdoptionProjection();
Projection ovenLoadsProjection();

}  // namespace platemark::ledger
