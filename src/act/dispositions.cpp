/// What is decided about a batch that cannot simply be released: rework, concession, scrap; and
/// deviations from the route that end by themselves.
#include <fmt/format.h>

#include <algorithm>

#include "finishing.h"
#include "platemark/gate/counts.h"
#include "platemark/gate/disposition.h"

namespace platemark::act {
namespace {

Result<void> checkGate(Gate gate) {
  if (gate == Gate::cure || gate == Gate::final) return {};
  return badInput("gate.not_of_a_batch",
                  fmt::format("A batch does not meet the {} gate here.", word(gate)), "gate",
                  "cure, final");
}

/// What rework and concession have in common in what a person says.
template <class Body>
Result<gate::DispositionFile> fileFor(const Context& context, const Body& in) {
  if (Result<void> c = checkGate(in.gate); !c) return c.error();
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return Error(batch.error()).at({"", 0, "", "batch"});
  const auto plan = requireIssue<ControlPlan>(context, projection::plan, batch->opened.plan,
                                              batch->opened.plan_issue);
  if (!plan) return plan.error();
  const auto part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  gate::DispositionFile file;
  file.batch = in.batch;
  file.gate = in.gate;
  file.state = in.gate == Gate::cure ? batch->cure : batch->final;
  file.verdict_named = in.verdict;
  file.plan = plan->noun;
  file.redo = gate::redoOf(part->noun);
  file.so_far = dispositionsOf(context, in.batch);
  file.characteristics = in.characteristics;
  file.today = context.today();
  if (file.state.verdict == in.verdict) {
    Result<VerdictGiven> verdict = fromValue<VerdictGiven>(context.snapshot.fact(in.verdict)->body);
    if (!verdict) return verdict.error();
    file.verdict = std::move(*verdict);
  }
  return file;
}

struct OrderRework {
  std::string batch;
  Gate gate = Gate::final;
  Sequence verdict = 0;
  std::vector<std::string> characteristics;
  std::string instruction;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("gate", gate);
    v("verdict", verdict);
    v("characteristics", characteristics);
    v("instruction", instruction);
  }
};

Decision orderRework(const Context& context, OrderRework in) {
  if (in.instruction.empty())
    return badInput("rework.instruction", "A rework needs its instruction.", "instruction",
                    "what is done, on which machine, to what");
  Result<gate::DispositionFile> file = fileFor(context, in);
  if (!file) return file.error();
  if (gate::Obstacles obstacles = gate::mayRework(*file); !obstacles.empty())
    return gate::refusal(fmt::format("Rework of batch {} is refused.", in.batch),
                         std::move(obstacles));
  const ReworkOrdered ordered{nextNumber(context.snapshot, "rework.ordered", "W-", 4),
                              in.batch,
                              in.gate,
                              in.verdict,
                              in.characteristics,
                              in.instruction};
  return std::vector<NewFact>{fact(context, "rework.ordered", ordered,
                                   {batchSubject(in.batch), {"rework", ordered.rework}})};
}

/// The pads of the batch as the steps and what was decided left them.
std::int64_t padsNow(const BatchState& batch, const DispositionState& so_far) {
  return gate::goodPads(batch, so_far);
}

std::int64_t sumOf(const Counts& counts) {
  std::int64_t sum = counts.good + counts.samples + counts.rework;
  for (const auto& [reason, pads] : counts.scrap) sum += pads;
  return sum;
}

bool names(const ReworkOrdered& ordered, std::string_view characteristic) {
  const auto& all = ordered.characteristics;
  return std::find(all.begin(), all.end(), characteristic) != all.end();
}

/// A report says what was put on anew, and nothing that was not ordered.
Result<void> checkRedone(const ReworkOrdered& ordered, const ReworkDone& in) {
  const bool print = names(ordered, "print"), spots = names(ordered, "spots");
  if (print != in.printed.has_value())
    return badInput("rework.printed",
                    print ? fmt::format("Rework {} prints anew; what was printed?", in.rework)
                          : fmt::format("Rework {} prints nothing.", in.rework),
                    "printed", print ? "the text or mark" : "nothing");
  if (spots != !in.spots.empty())
    return badInput("rework.spots",
                    spots ? fmt::format("Rework {} puts spots on anew; which?", in.rework)
                          : fmt::format("Rework {} puts on no spots.", in.rework),
                    "spots", spots ? "place and lot of each" : "nothing");
  return {};
}

/// May the print and the spots be put on now, as in their operation? A mark needs its cover again.
Result<gate::Obstacles> mayRedo(const Context& context, const BatchState& batch, ReworkDone& in) {
  gate::Obstacles obstacles;
  const auto part =
      requireIssue<Part>(context, projection::part, batch.opened.part, batch.opened.part_issue);
  if (!part) return part.error();
  const FinishingNeed* print = gate::needToRedo(part->noun, "print");
  if (in.printed && print != nullptr && !in.remark.corrects)
    append(obstacles, gate::mayMark(part->noun, print->operation,
                                    coverFile(context.snapshot, batch, part->noun, context.day()),
                                    context.day()));
  if (Result<void> s =
          checkSpots(context, in.spots, gate::needToRedo(part->noun, "spots"), obstacles);
      !s)
    return s.error();
  return obstacles;
}

std::vector<Subject> subjectsOf(const std::string& batch, const ReworkDone& in) {
  std::vector<Subject> subjects{batchSubject(batch), {"rework", in.rework}};
  for (const SpotPut& spot : in.spots)
    if (std::find(subjects.begin(), subjects.end(), lotSubject(spot.lot)) == subjects.end())
      subjects.push_back(lotSubject(spot.lot));
  return subjects;
}

Decision reportRework(const Context& context, ReworkDone in) {
  Result<ReworkOrdered> ordered = require<ReworkOrdered>(context, projection::rework, in.rework);
  if (!ordered) return Error(ordered.error()).at({"", 0, "", "rework"});
  if (Result<void> c = checkCounts(in.counts); !c) return c.error();
  if (Result<void> c = checkCorrection(context, in.remark, "rework.done", {"rework", in.rework});
      !c)
    return c.error();
  if (Result<void> c = checkRedone(*ordered, in); !c) return c.error();
  DispositionState so_far = dispositionsOf(context, ordered->batch);
  gate::Obstacles obstacles;
  for (Rework& rework : so_far.reworks) {
    if (rework.ordered.rework != in.rework) continue;
    if (rework.done && !in.remark.corrects)
      obstacles.push_back(
          {fmt::format("Rework {} was reported by fact {}.", in.rework, *rework.done_fact),
           "finishing crew", "correct that report if it was wrong"});
    rework.done.reset();  // a correction is counted against what there was before it
  }
  const Result<BatchState> batch = require<BatchState>(context, projection::batch, ordered->batch);
  if (!batch) return batch.error();
  Result<gate::Obstacles> redo = mayRedo(context, *batch, in);
  if (!redo) return redo.error();
  append(obstacles, std::move(*redo));
  const std::int64_t pads = padsNow(*batch, so_far);
  if (sumOf(in.counts) != pads)
    obstacles.push_back({fmt::format("Batch {} has {} pads, {} are accounted for.", ordered->batch,
                                     pads, sumOf(in.counts)),
                         "finishing crew", "count again"});
  if (Result<void> p = permitOrReport(fmt::format("The report on rework {} is refused.", in.rework),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  std::vector<NewFact> facts{fact(context, "rework.done", in, subjectsOf(ordered->batch, in))};
  holdIfIrregular(facts, context, in.remark, batchSubject(ordered->batch));
  return facts;
}

struct GrantConcession {
  std::string batch;
  Gate gate = Gate::final;
  Sequence verdict = 0;
  std::vector<std::string> characteristics;
  std::string authority;
  std::string reference;
  std::int64_t pads = 0;
  Day until;
  template <class V>
  void describe(V& v) {
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

Decision grantConcession(const Context& context, GrantConcession in) {
  if (in.authority.empty() || in.reference.empty())
    return badInput("concession.reference",
                    "A concession needs the authority that accepts, and its own reference.",
                    in.authority.empty() ? "authority" : "reference");
  if (in.pads <= 0)
    return badInput("concession.pads", "A concession is for a count of pads.", "pads",
                    "a whole number above 0");
  Result<gate::DispositionFile> file = fileFor(context, in);
  if (!file) return file.error();
  if (gate::Obstacles obstacles = gate::mayConcede(*file, in.until); !obstacles.empty())
    return gate::refusal(fmt::format("A concession for batch {} is refused.", in.batch),
                         std::move(obstacles));
  const ConcessionGranted granted{nextNumber(context.snapshot, "concession.granted", "N-", 4),
                                  in.batch,
                                  in.gate,
                                  in.verdict,
                                  in.characteristics,
                                  in.authority,
                                  in.reference,
                                  in.pads,
                                  in.until};
  return std::vector<NewFact>{fact(context, "concession.granted", granted,
                                   {batchSubject(in.batch), {"concession", granted.concession}})};
}

Decision signScrap(const Context& context, ScrapSigned in) {
  if (in.reason.empty())
    return badInput("scrap.reason", "Scrap needs its reason.", "reason", "the trade's word for it");
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.batch);
  if (!batch) return Error(batch.error()).at({"", 0, "", "batch"});
  const std::int64_t left = padsNow(*batch, dispositionsOf(context, in.batch)) - batch->boxed;
  if (in.pads <= 0 || in.pads > left)
    return badInput("scrap.pads",
                    fmt::format("Batch {} has {} pads that are not boxed; {} cannot be scrapped.",
                                in.batch, left, in.pads),
                    "pads", fmt::format("1 to {}", left));
  return std::vector<NewFact>{fact(context, "scrap.signed", in, {batchSubject(in.batch)})};
}

struct AllowDeviation {
  std::string part;
  Step step = Step::cure;
  std::string instead_of;
  std::string use;
  std::string reason;
  std::int64_t batches = 0;
  Day from;
  Day until;
  template <class V>
  void describe(V& v) {
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

/// Two cure programmes on record.
Result<void> checkProgrammes(const Context& context, const AllowDeviation& in) {
  for (const auto& [field, code] : {std::pair{"instead_of", in.instead_of}, {"use", in.use}})
    if (!context.snapshot.state(projection::programme, ledger::nowKey(code)))
      return Error(unknown(projection::programme, code)).at({"", 0, "", field});
  return {};
}

Result<void> insteadOfNamed(const AllowDeviation& in, const std::optional<std::string>& named) {
  if (named == in.instead_of) return {};
  return badInput(
      "deviation.not_named",
      fmt::format("Part {} does not ask for '{}' at '{}'.", in.part, in.instead_of, word(in.step)),
      "instead_of", named.value_or("nothing: the part names none"));
}

/// Another adhesive on record in place of the part's.
Result<void> checkAdhesives(const Context& context, const Part& part, const AllowDeviation& in) {
  if (Result<void> n = insteadOfNamed(in, part.adhesive); !n) return n;
  const auto use =
      stateAs<Issued<Material>>(context.snapshot, projection::material, ledger::nowKey(in.use));
  if (!use) return Error(unknown(projection::material, in.use)).at({"", 0, "", "use"});
  if (use->noun.material_class == MaterialClass::adhesive) return {};
  return badInput("deviation.no_adhesive", fmt::format("{} is no adhesive.", in.use), "use",
                  "a material of the class 'adhesive'");
}

/// Another programme of the press; which there are is known to the press.
Result<void> checkPressProgramme(const Part& part, const AllowDeviation& in) {
  const auto press = std::find_if(part.route.begin(), part.route.end(),
                                  [](const RouteStep& s) { return s.step == Step::press; });
  if (Result<void> n =
          insteadOfNamed(in, press == part.route.end() ? std::nullopt : press->programme);
      !n)
    return n;
  if (!in.use.empty()) return {};
  return badInput("deviation.use", "Say which programme is used.", "use", "the press's programme");
}

/// What the step works with, and what may be taken in its place.
Result<void> checkAlternative(const Context& context, const Part& part, const AllowDeviation& in) {
  if (in.step == Step::cure) return checkProgrammes(context, in);
  if (in.step == Step::plates) return checkAdhesives(context, part, in);
  if (in.step == Step::press) return checkPressProgramme(part, in);
  return badInput("deviation.step",
                  "A deviation is allowed for the programme of a cure or a press, or for the "
                  "adhesive of the plates.",
                  "step", "cure, press, plates");
}

Decision allowDeviation(const Context& context, AllowDeviation in) {
  const auto part = requireNoun<Part>(context, projection::part, in.part);
  if (!part) return Error(part.error()).at({"", 0, "", "part"});
  if (Result<void> c = checkAlternative(context, part->noun, in); !c) return c.error();
  if (in.reason.empty())
    return badInput("deviation.reason", "A deviation needs its reason.", "reason");
  if (in.batches <= 0)
    return badInput("deviation.batches", "A deviation ends by itself: say for how many batches.",
                    "batches", "a whole number above 0");
  if (in.until < in.from)
    return badInput("deviation.dates", "The last day lies before the first.", "until",
                    "a day from " + formatDay(in.from) + " on");
  const DeviationAllowed allowed{nextNumber(context.snapshot, "deviation.allowed", "V-", 4),
                                 in.part,
                                 in.step,
                                 in.instead_of,
                                 in.use,
                                 in.reason,
                                 in.batches,
                                 in.from,
                                 in.until};
  return std::vector<NewFact>{fact(context, "deviation.allowed", allowed,
                                   {{"deviation", allowed.deviation}, {"part", in.part}})};
}

Operation gatePermit(const Value& input) {
  return input.text("gate") == word(Gate::final) ? Operation::final_gate : Operation::cure_gate;
}

constexpr Kind atGate(Kind kind) {
  kind.operation_for = gatePermit;
  return kind;
}

}  // namespace

std::span<const Kind> dispositionVerbs() {
  static constexpr Kind list[] = {
      atGate(verb<OrderRework, orderRework>(
          "rework order", Operation::cure_gate,
          "order that a batch is worked once more, and measured anew", true)),
      verb<ReworkDone, reportRework>("rework report", Operation::finishing,
                                     "record that a rework is done, with its counts"),
      atGate(verb<GrantConcession, grantConcession>(
          "concession grant", Operation::cure_gate,
          "record that an authority accepts what is outside, for so many pads, until a day", true)),
      verb<ScrapSigned, signScrap>("scrap sign", Operation::final_gate,
                                   "sign that pads of a batch are scrap, with the reason", true),
      verb<AllowDeviation, allowDeviation>(
          "deviation allow", Operation::adoption,
          "allow another programme or adhesive for a part, for so many batches, until a day", true),
  };
  return list;
}

}  // namespace platemark::act
