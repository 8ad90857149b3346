/// Boxes, shipment and the papers that go with them.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/gate/counts.h"
#include "platemark/gate/disposition.h"
#include "support.h"

namespace platemark::act {
namespace {

struct OfBatch {
  BatchState batch;
  Part part;
  gate::CoverFile cover;
  DispositionState dispositions;
};

Result<OfBatch> ofBatch(const Context& context, const std::string& id) {
  Result<BatchState> batch = require<BatchState>(context, projection::batch, id);
  if (!batch) return batch.error();
  Result<Issued<Part>> part =
      requireIssue<Part>(context, projection::part, batch->opened.part, batch->opened.part_issue);
  if (!part) return part.error();
  OfBatch of{std::move(*batch), std::move(part->noun), {}, {}};
  of.dispositions = dispositionsOf(context, id);
  of.cover = coverFile(context.snapshot, of.batch, of.part, context.day());
  return of;
}

struct PackBox {
  std::string batch;
  std::int64_t pads = 0;
  std::int64_t sets = 0;
  std::optional<std::string> size;  ///< material code of the box
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("pads", pads);
    v("sets", sets);
    v("size", size);
    v("remark", remark);
  }
};

Decision pack(const Context& context, PackBox in) {
  Result<OfBatch> of = ofBatch(context, in.batch);
  if (!of) return of.error();
  if (in.pads <= 0 || in.sets <= 0)
    return badInput("box.count", "A box needs its count of pads and sets.", "pads",
                    "whole numbers above 0");
  const std::string number = numberOf(context, in.remark, "box.packed", "box",
                                      nextNumber(context.snapshot, "box.packed", "X-", 6));
  if (Result<void> c = checkCorrection(context, in.remark, "box.packed", {"box", number}); !c)
    return c.error();
  const auto before = stateAs<BoxState>(context.snapshot, projection::box, number);
  if (before && before->packed.batch == in.batch) of->batch.boxed -= before->packed.pads;
  gate::Obstacles obstacles = gate::mayLeave(of->batch, of->part, of->cover, context.day());
  for (Missing& missing :
       gate::concessionCovers(of->batch, of->dispositions, in.pads, context.day()))
    obstacles.push_back(std::move(missing));
  const std::int64_t left = gate::goodPads(of->batch, of->dispositions) - of->batch.boxed;
  if (before && !before->shipment.empty())
    obstacles.push_back({fmt::format("Box {} left with shipment {}.", number, before->shipment),
                         "packing crew", "tell the customer, and report what was in it"});
  if (in.pads > left)
    obstacles.push_back(
        {fmt::format("Batch {} has {} good pads left to pack, not {}.", in.batch, left, in.pads),
         "packing crew", "count again"});
  Result<gate::Obstacles> unfit = boxObstacles(context, of->part, in.pads, in.sets, in.size);
  if (!unfit) return unfit.error();
  obstacles.insert(obstacles.end(), unfit->begin(), unfit->end());
  if (Result<void> p = permitOrReport(fmt::format("Boxing batch {} is refused.", in.batch),
                                      std::move(obstacles), in.remark);
      !p)
    return p.error();
  BoxPacked packed{number, in.batch, in.pads, in.sets, {}, in.size, in.remark};
  if (const Concession* concession = gate::concessionInForce(of->batch, of->dispositions))
    packed.concession = concession->granted.concession;
  std::vector<Subject> subjects{{"box", packed.box}, batchSubject(in.batch)};
  if (before && before->packed.batch != in.batch)
    subjects.push_back(batchSubject(before->packed.batch));
  std::vector<NewFact> facts{fact(context, "box.packed", packed, subjects)};
  for (const Subject& subject : subjects)
    if (subject.kind == "batch") holdIfIrregular(facts, context, in.remark, subject);
  return facts;
}

struct SendShipment {
  std::string customer;
  std::string order;
  std::vector<std::string> boxes;  ///< loose ones
  std::vector<std::string> cartons;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("customer", customer);
    v("order", order);
    v("boxes", boxes);
    v("cartons", cartons);
    v("remark", remark);
  }
};

/// What stands in the way of each box, and the batches in them.
struct ShipCheck {
  std::string shipment;
  std::string customer;
  gate::Obstacles obstacles;
  std::set<std::string> batches;
  std::set<std::string> boxes;
};

Result<void> checkBox(const Context& context, const std::string& id, const std::string& field,
                      ShipCheck& check) {
  if (!check.boxes.insert(id).second)
    return badInput("shipment.doubled", fmt::format("Box {} stands twice.", id), field);
  Result<BoxState> box = require<BoxState>(context, projection::box, id);
  if (!box) return Error(box.error()).at({"", 0, "", field});
  if (!box->shipment.empty() && box->shipment != check.shipment)
    check.obstacles.push_back({fmt::format("Box {} left with shipment {}.", id, box->shipment),
                               "packing crew", "scan the box again"});
  if (!check.batches.insert(box->packed.batch).second) return {};
  const Result<OfBatch> of = ofBatch(context, box->packed.batch);
  if (!of) return of.error();
  append(check.obstacles,
         gate::mayShip(of->batch, of->part, of->cover, check.customer, context.day()));
  return {};
}

Decision send(const Context& context, SendShipment in) {
  if (in.boxes.empty() && in.cartons.empty())
    return badInput("shipment.empty", "A shipment needs its boxes or cartons.", "boxes");
  if (in.customer.empty())
    return badInput("shipment.customer", "A shipment needs its customer.", "customer");
  const std::string number = numberOf(context, in.remark, "shipment.sent", "shipment",
                                      nextNumber(context.snapshot, "shipment.sent", "D-", 5));
  if (Result<void> c = checkCorrection(context, in.remark, "shipment.sent", {"shipment", number});
      !c)
    return c.error();
  Result<CartonsSent> cartons = cartonsToSend(context, number, in.boxes, in.cartons);
  if (!cartons) return cartons.error();
  ShipCheck check{number, in.customer, std::move(cartons->obstacles), {}, {}};
  in.boxes.insert(in.boxes.end(), cartons->boxes.begin(), cartons->boxes.end());
  for (std::size_t i = 0; i < in.boxes.size(); ++i)
    if (Result<void> c = checkBox(context, in.boxes[i], fmt::format("boxes[{}]", i), check); !c)
      return c.error();
  if (Result<void> p =
          permitOrReport("The shipment is refused.", std::move(check.obstacles), in.remark);
      !p)
    return p.error();
  const Shipped shipped{number, in.customer, in.order, in.boxes, cartons->cartons, in.remark};
  std::vector<Subject> subjects{{"shipment", shipped.shipment}};
  for (const std::string& carton : cartons->cartons) subjects.push_back({"carton", carton});
  for (const std::string& box : in.boxes) subjects.push_back({"box", box});
  for (const std::string& batch : check.batches) subjects.push_back(batchSubject(batch));
  std::vector<NewFact> facts{fact(context, "shipment.sent", shipped, subjects)};
  for (const std::string& batch : check.batches)
    holdIfIrregular(facts, context, in.remark, batchSubject(batch));
  return facts;
}

/// The paper was drawn and stored before this is asked.
Decision issuePaper(const Context& context, PaperIssued in) {
  if (in.subject.kind != "batch")
    return badInput("paper.subject", "A paper is issued for a batch.", "subject");
  Result<BatchState> batch = require<BatchState>(context, projection::batch, in.subject.id);
  if (!batch) return batch.error();
  if (in.paper == "certificate" && !batch->final.open())
    return gate::refusal(fmt::format("No certificate can be issued for batch {}.", in.subject.id),
                         {{"the final gate is not released", "quality manager",
                           "judge the batch and sign its release"}});
  return std::vector<NewFact>{fact(context, "paper.issued", in, {in.subject})};
}

}  // namespace

Result<gate::Obstacles> mayLeaveNow(const Context& context, const std::string& batch) {
  const Result<OfBatch> of = ofBatch(context, batch);
  if (!of) return of.error();
  return gate::mayLeave(of->batch, of->part, of->cover, context.day());
}

std::span<const Kind> packingVerbs() {
  static constexpr Kind list[] = {
      verb<PackBox, pack>("box pack", Operation::packing, "pack pads of one batch into a box"),
      verb<SendShipment, send>("shipment send", Operation::shipping, "ship boxes to a customer"),
      verb<PaperIssued, issuePaper>("paper issue", Operation::final_gate,
                                    "issue a certificate or a batch record", false, true),
  };
  return list;
}

}  // namespace platemark::act
