/// Goods-in and the lot gate.
#include <fmt/format.h>

#include "support.h"

namespace platemark::act {
namespace {

Decision receive(const Context& context, LotReceived in) {
  if (in.lot.empty() || in.lot.find('/') != std::string::npos)
    return badInput("lot.label", "The lot needs its label.", "lot",
                    "the number on the container's label");
  const auto known = stateAs<LotState>(context.snapshot, projection::lot, in.lot);
  if (known && !in.remark.corrects) {
    Error error = badInput("lot.known", fmt::format("Lot {} is on record already.", in.lot), "lot");
    error.fault = Fault::conflict;
    error.remedy = "Check the label; to mend the receipt, name the fact it corrects.";
    return error;
  }
  if (Result<void> c = checkCorrection(context, in.remark, "lot.received", lotSubject(in.lot)); !c)
    return c.error();
  const auto material = requireNoun<Material>(context, projection::material, in.material);
  if (!material) return Error(material.error()).at({"", 0, "", "material"});
  if (in.density)
    if (const Result<Density> d = densityFrom(*in.density); !d)
      return Error(d.error()).at({"", 0, "", "density"});
  if (!in.use_by && material->noun.shelf_life_days)
    in.use_by = addDays(context.day(), static_cast<int>(*material->noun.shelf_life_days));
  in.remark.irregular.clear();
  return std::vector<NewFact>{
      fact(context, "lot.received", in, {lotSubject(in.lot), {"material", in.material}})};
}

struct JudgeLot {
  std::string lot;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
  }
};

Decision judge(const Context& context, JudgeLot in) {
  const Result<gate::LotFile> file = lotFile(context.snapshot, in.lot, context.today());
  if (!file) return file.error();
  return std::vector<NewFact>{
      fact(context, "verdict.given", gate::judgeLot(*file), {lotSubject(in.lot)})};
}

/// To clear a lot its newest verdict must say that it conforms and must have seen everything.
gate::Obstacles mayClear(const LotState& lot) {
  const std::string& id = lot.received.lot;
  if (!lot.gate.verdict)
    return {{fmt::format("Lot {} has not been judged.", id), "laboratory technician",
             "enter its results and judge the lot"}};
  if (lot.gate.overtaken_by)
    return {{fmt::format("The verdict on lot {} is overtaken: {}.", id, lot.gate.overtaken_why),
             "quality manager", "judge the lot again"}};
  if (lot.gate.outcome != Outcome::conforms)
    return {{fmt::format("The verdict on lot {} is '{}'.", id, word(lot.gate.outcome)),
             "quality manager", "settle its findings, or refuse the lot"}};
  return {};
}

Decision decideLot(const Context& context, LotDecided in) {
  const Result<LotState> lot = require<LotState>(context, projection::lot, in.lot);
  if (!lot) return lot.error();
  if (in.disposition == LotDisposition::clear) {
    if (gate::Obstacles obstacles = mayClear(*lot); !obstacles.empty())
      return gate::refusal(fmt::format("Lot {} cannot be cleared.", in.lot), std::move(obstacles));
    in.verdict = lot->gate.verdict;
  } else if (!in.why || in.why->empty()) {
    return badInput("lot.why_missing", "Holding or refusing a lot needs its reason.", "why");
  }
  return std::vector<NewFact>{fact(context, "lot.decided", in, {lotSubject(in.lot)})};
}

}  // namespace

std::span<const Kind> lotVerbs() {
  static constexpr Kind list[] = {
      verb<LotReceived, receive>("lot receive", Operation::goods_in,
                                 "record that a lot has arrived"),
      verb<JudgeLot, judge>("lot judge", Operation::lot_test,
                            "compare a lot's results with its control plan"),
      verb<LotDecided, decideLot>("lot decide", Operation::lot_gate, "clear, hold or refuse a lot"),
  };
  return list;
}

}  // namespace platemark::act
