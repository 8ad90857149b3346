#include "platemark/plant/fact.h"

#include <algorithm>

#include "platemark/plant/bake.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/container.h"
#include "platemark/plant/cure.h"
#include "platemark/plant/disposition.h"
#include "platemark/plant/gauge_check.h"
#include "platemark/plant/gauge_trust.h"
#include "platemark/plant/line.h"
#include "platemark/plant/set_up.h"

namespace platemark {
namespace {

template <class Body>
Result<void> check(const Value& body) {
  if (Result<Body> read = fromValue<Body>(body); !read) return read.error();
  return {};
}

/// Of a kind that is in its first version.
Value unchanged(Value body, int) { return body; }

/// Version 1 named one part, compound, plate and adhesive; its kind stood in free words.
Value approvalOfOne(Value body, int) {
  const Value old = body["noun"];
  const bool customers = old.text("kind").find("ustomer") != std::string::npos;
  Value::Object noun{
      {"code", old["code"]},
      {"kind", customers ? "customer approval" : "type approval"},
      {"parts", Value::Array{old["part"]}},
      {"compounds", Value::Array{Value::Object{{"compound", old["compound"]},
                                               {"issue_from", old["compound_issue_from"]},
                                               {"issue_to", old["compound_issue_to"]}}}},
      {"plates", Value::Array{old["plate"]}},
      {"valid_from", old["valid_from"]}};
  if (!old["adhesive"].isNull()) noun.emplace("adhesives", Value::Array{old["adhesive"]});
  if (!old["valid_until"].isNull()) noun.emplace("valid_until", old["valid_until"]);
  if (Value::Object* members = body.asObject()) members->insert_or_assign("noun", std::move(noun));
  return body;
}

template <class Body>
constexpr FactKind kind(std::string_view name, std::string_view words,
                        bool must_be_signed = false) {
  return {name, 1, words, must_be_signed, &check<Body>, &unchanged, &fieldsOf<Body>};
}
constexpr FactKind inVersion(int version, Value (*lift)(Value, int), FactKind kind) {
  kind.version = version;
  kind.lift = lift;
  return kind;
}

constexpr FactKind kinds[] = {
    kind<Issued<Material>>("material.issued", "a material was issued"),
    kind<Issued<Compound>>("compound.issued", "a compound was issued"),
    kind<Issued<Part>>("part.issued", "a part was issued"),
    kind<Issued<Machine>>("machine.issued", "a machine was issued"),
    kind<Issued<Gauge>>("gauge.issued", "a gauge was issued or calibrated"),
    kind<Issued<Person>>("person.issued", "a person's permits were issued"),
    kind<Issued<ControlPlan>>("plan.issued", "a control plan was issued"),
    kind<Issued<Programme>>("programme.issued", "a cure programme was issued"),
    inVersion(2, &approvalOfOne,
              kind<Issued<Approval>>("approval.issued", "an approval was entered")),
    kind<Issued<Layout>>("layout.issued", "a file layout was issued"),
    kind<Issued<Numbering>>("numbering.issued", "the numbering of cartons was issued"),
    kind<Issued<StorePlace>>("place.issued", "a place of the store was issued"),
    kind<Issued<Kinetics>>("kinetics.issued", "the kinetics of a compound's cure were issued"),
    kind<Issued<Survey>>("survey.issued", "the survey of an oven was issued"),
    kind<Issued<Stacking>>("stacking.issued", "the stacking of pads in an oven was issued"),
    kind<LotReceived>("lot.received", "a lot was received"),
    kind<LotDecided>("lot.decided", "a lot was cleared, held or refused"),
    kind<LotExtended>("lot.extended", "a lot's use-by day was moved after a retest"),
    kind<ContainersLabelled>("container.labelled", "containers of a lot were labelled"),
    kind<ContainerReturned>("container.returned", "a part-used container came back"),
    kind<GaugeChecked>("gauge.checked", "a gauge was checked"),
    kind<GaugeStudied>("gauge.studied", "a gauge was studied"),
    kind<GaugeAccepted>("gauge.accepted", "a gauge was accepted after its study", true),
    kind<GaugeFoundWrong>("gauge.found_wrong", "a gauge was found wrong"),
    kind<GaugeAssessed>("gauge.assessed", "what becomes of a wrong gauge's results was signed",
                        true),
    kind<SetUpMade>("set-up.made", "a machine was set up and made its first piece"),
    kind<BatchOpened>("batch.opened", "a batch was opened"),
    kind<PlatesBlasted>("plates.blasted", "plates were blasted"),
    kind<LineCleared>("line.cleared", "a machine was cleared of its last run"),
    kind<PlatesPrepared>("plates.prepared", "plates were prepared"),
    kind<MixOpened>("mix.opened", "a mix was opened"),
    kind<Weighed>("mix.weighed", "an ingredient was weighed"),
    kind<MixFinished>("mix.finished", "a mix was finished"),
    kind<PressRun>("press.run", "pads were pressed"),
    kind<LoadBuilt>("load.built", "a load was clamped and put together"),
    kind<CureRecorded>("cure.recorded", "a cure was recorded"),
    kind<HeatComputed>("heat.computed", "what the pads of a load saw was computed"),
    kind<Unclamped>("load.unclamped", "the pads of a batch came out of the oven"),
    kind<SamplesDrawn>("samples.drawn", "samples were drawn"),
    kind<ReadingTaken>("reading.taken", "a reading was taken"),
    kind<FigureComputed>("figure.computed", "a figure was computed"),
    kind<VerdictGiven>("verdict.given", "a verdict was given"),
    kind<ReleaseSigned>("release.signed", "a release was signed", true),
    kind<LimitAdopted>("limit.adopted", "an unconfirmed limit was adopted", true),
    kind<KineticsAdopted>("kinetics.adopted", "the kinetics of a compound were adopted", true),
    kind<ReworkOrdered>("rework.ordered", "a rework was ordered", true),
    kind<ReworkDone>("rework.done", "a rework was done"),
    kind<ConcessionGranted>("concession.granted", "a concession was granted", true),
    kind<ScrapSigned>("scrap.signed", "pads were scrapped", true),
    kind<DeviationAllowed>("deviation.allowed", "a deviation was allowed", true),
    kind<Finished>("batch.finished", "a finishing step was done"),
    kind<BakeRecorded>("bake.recorded", "the bake of a coat was recorded"),
    kind<BoxPacked>("box.packed", "a box was packed"),
    kind<CartonPacked>("carton.packed", "a carton was packed"),
    kind<CartonStored>("carton.stored", "a carton was put into the store"),
    kind<CartonTaken>("carton.taken", "a carton was taken out of the store"),
    kind<Shipped>("shipment.sent", "boxes were shipped"),
    kind<HoldPlaced>("hold.placed", "a hold was placed"),
    kind<HoldLifted>("hold.lifted", "a hold was lifted"),
    kind<PaperIssued>("paper.issued", "a paper was issued"),
    kind<ClockSteppedBack>("clock.stepped_back", "the clock stepped back"),
};

}  // namespace

std::span<const FactKind> factKinds() { return kinds; }

const FactKind* findFactKind(std::string_view name) {
  const auto found = std::find_if(std::begin(kinds), std::end(kinds),
                                  [&](const FactKind& k) { return k.name == name; });
  return found == std::end(kinds) ? nullptr : found;
}

}  // namespace platemark
