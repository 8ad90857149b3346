/// Boxes into cartons, cartons into the store and out of it.
#include "platemark/plant/carton.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/plant/sscc.h"
#include "support.h"

namespace platemark::act {
namespace {

Subject cartonSubject(std::string id) { return {"carton", std::move(id)}; }

/// A carton as it was typed or scanned.
Result<CartonState> cartonNamed(const Context& context, const std::string& typed,
                                const std::string& field) {
  const Result<std::string> sscc = readSscc(typed);
  if (!sscc) return Error(sscc.error()).at({"", 0, "", field});
  Result<CartonState> carton = require<CartonState>(context, projection::carton, *sscc);
  if (!carton) return Error(carton.error()).at({"", 0, "", field});
  return carton;
}

/// The boxes that are in it now: a later carton may have taken some.
std::vector<std::string> boxesIn(const Context& context, const CartonState& carton) {
  std::vector<std::string> boxes;
  for (const std::string& box : carton.boxes) {
    const auto state = stateAs<BoxState>(context.snapshot, projection::box, box);
    if (state && state->carton == carton.carton) boxes.push_back(box);
  }
  return boxes;
}

Missing leftAlready(const std::string& what, const std::string& id, const std::string& shipment) {
  return {fmt::format("{} {} left with shipment {}.", what, id, shipment), "packing crew",
          "scan it again"};
}

/// The numbering in force; several need a choice that nobody on the floor should make.
Result<Numbering> numberingInForce(const Context& context) {
  const auto all = allOf<Numbering>(context.snapshot, projection::numbering);
  if (all.size() == 1) return all.front().noun;
  Error error = badInput("numbering.not_one",
                         fmt::format("There are {} numberings of cartons on record.", all.size()),
                         "", "exactly one");
  error.fault = Fault::conflict;
  error.remedy = "Let the office issue the company prefix that the cartons are numbered with.";
  return error;
}

Result<std::string> nextSscc(const Context& context) {
  const Result<Numbering> numbering = numberingInForce(context);
  if (!numbering) return numbering.error();
  const std::string count = nextNumber(context.snapshot, "carton.packed", "", 1);
  Result<std::string> sscc = ssccNumber(numbering->extension, numbering->company_prefix,
                                        numbering->first_serial + std::stoll(count) - 1);
  if (!sscc || !context.snapshot.state(projection::carton, *sscc)) return sscc;
  Error error = badInput("carton.known", fmt::format("Carton {} is on record already.", *sscc), "");
  error.fault = Fault::conflict;
  error.remedy = "Let the office issue a numbering whose first number lies above those given.";
  return error;
}

/// A correction is about the carton of the report that it mends.
Result<std::string> cartonOf(const Context& context, const Remark& remark) {
  if (!remark.corrects) return nextSscc(context);
  const std::optional<Fact> mended = context.snapshot.fact(*remark.corrects);
  const std::string carton = mended ? mended->body.text("carton") : "";
  if (Result<void> c = checkCorrection(context, remark, "carton.packed", cartonSubject(carton)); !c)
    return c.error();
  const auto state = stateAs<CartonState>(context.snapshot, projection::carton, carton);
  if (state && state->shipment.empty()) return carton;
  Error error = badInput("carton.left", fmt::format("Carton {} has left the plant.", carton),
                         "remark.corrects");
  error.fault = Fault::conflict;
  error.remedy = "Put the batches on hold; what was shipped stays as it was reported.";
  return error;
}

struct PackCheck {
  gate::Obstacles obstacles;
  std::set<std::string> boxes, batches;
};

Result<void> checkPacked(const Context& context, const std::string& id, const std::string& carton,
                         const std::string& field, PackCheck& check) {
  if (!check.boxes.insert(id).second)
    return badInput("carton.doubled", fmt::format("Box {} stands twice.", id), field);
  const Result<BoxState> box = require<BoxState>(context, projection::box, id);
  if (!box) return Error(box.error()).at({"", 0, "", field});
  if (!box->shipment.empty()) check.obstacles.push_back(leftAlready("Box", id, box->shipment));
  if (!box->carton.empty() && box->carton != carton)
    check.obstacles.push_back({fmt::format("Box {} lies in carton {}.", id, box->carton),
                               "packing crew", "correct that carton, or take another box"});
  if (!check.batches.insert(box->packed.batch).second) return {};
  Result<gate::Obstacles> leaving = mayLeaveNow(context, box->packed.batch);
  if (!leaving) return leaving.error();
  check.obstacles.insert(check.obstacles.end(), leaving->begin(), leaving->end());
  return {};
}

struct PackCarton {
  std::vector<std::string> boxes;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("boxes", boxes);
    v("remark", remark);
  }
};

Decision pack(const Context& context, PackCarton in) {
  if (in.boxes.empty()) return badInput("carton.empty", "A carton needs its boxes.", "boxes");
  const Result<std::string> carton = cartonOf(context, in.remark);
  if (!carton) return carton.error();
  PackCheck check;
  for (std::size_t i = 0; i < in.boxes.size(); ++i)
    if (Result<void> c =
            checkPacked(context, in.boxes[i], *carton, fmt::format("boxes[{}]", i), check);
        !c)
      return c.error();
  if (Result<void> p =
          permitOrReport("Packing the carton is refused.", std::move(check.obstacles), in.remark);
      !p)
    return p.error();
  std::vector<Subject> subjects{cartonSubject(*carton)};
  for (const std::string& box : in.boxes) subjects.push_back({"box", box});
  for (const std::string& batch : check.batches) subjects.push_back(batchSubject(batch));
  std::vector<NewFact> facts{
      fact(context, "carton.packed", CartonPacked{*carton, in.boxes, in.remark}, subjects)};
  for (const std::string& batch : check.batches)
    holdIfIrregular(facts, context, in.remark, batchSubject(batch));
  return facts;
}

/// What does not fit is kept with its reason; nothing is held, for the pads are as good as before.
Decision moved(const Context& context, std::string_view kind, const CartonState& carton,
               gate::Obstacles obstacles, Remark& remark) {
  if (Result<void> c = checkCorrection(context, remark, kind, cartonSubject(carton.carton)); !c)
    return c.error();
  if (!carton.shipment.empty())
    obstacles.push_back(leftAlready("Carton", carton.carton, carton.shipment));
  if (Result<void> p = permitOrReport(fmt::format("Moving carton {} is refused.", carton.carton),
                                      std::move(obstacles), remark);
      !p)
    return p.error();
  return std::vector<NewFact>{};
}

Decision store(const Context& context, CartonStored in) {
  const Result<CartonState> carton = cartonNamed(context, in.carton, "carton");
  if (!carton) return carton.error();
  if (const auto place = requireNoun<StorePlace>(context, projection::place, in.place); !place)
    return Error(place.error()).at({"", 0, "", "place"});
  Decision decided = moved(context, "carton.stored", *carton, {}, in.remark);
  if (!decided) return decided;
  in.carton = carton->carton;
  decided->push_back(
      fact(context, "carton.stored", in, {cartonSubject(in.carton), {"place", in.place}}));
  return decided;
}

Decision take(const Context& context, CartonTaken in) {
  const Result<CartonState> carton = cartonNamed(context, in.carton, "carton");
  if (!carton) return carton.error();
  gate::Obstacles obstacles;
  const std::string place = carton->place();
  if (place.empty() && !in.remark.corrects)
    obstacles.push_back({fmt::format("Carton {} does not stand in the store.", carton->carton),
                         "packing crew", "scan it again"});
  Decision decided = moved(context, "carton.taken", *carton, std::move(obstacles), in.remark);
  if (!decided) return decided;
  in.carton = carton->carton;
  std::vector<Subject> subjects{cartonSubject(in.carton)};
  if (!place.empty()) subjects.push_back({"place", place});
  decided->push_back(fact(context, "carton.taken", in, subjects));
  return decided;
}

}  // namespace

Result<CartonsSent> cartonsToSend(const Context& context, const std::string& shipment,
                                  const std::vector<std::string>& loose,
                                  const std::vector<std::string>& cartons) {
  CartonsSent sent;
  for (const std::string& id : loose)
    if (const auto box = stateAs<BoxState>(context.snapshot, projection::box, id);
        box && !box->carton.empty())
      sent.obstacles.push_back({fmt::format("Box {} lies in carton {}.", id, box->carton),
                                "packing crew", "send the carton, or correct it first"});
  for (std::size_t i = 0; i < cartons.size(); ++i) {
    const std::string field = fmt::format("cartons[{}]", i);
    const Result<CartonState> carton = cartonNamed(context, cartons[i], field);
    if (!carton) return carton.error();
    const std::string& id = carton->carton;
    if (std::find(sent.cartons.begin(), sent.cartons.end(), id) != sent.cartons.end())
      return badInput("shipment.doubled", fmt::format("Carton {} stands twice.", id), field);
    sent.cartons.push_back(id);
    if (!carton->shipment.empty() && carton->shipment != shipment)
      sent.obstacles.push_back(leftAlready("Carton", id, carton->shipment));
    const std::vector<std::string> boxes = boxesIn(context, *carton);
    if (boxes.empty())
      sent.obstacles.push_back({fmt::format("Carton {} holds no box.", id), "packing crew",
                                "look into it, and correct its report"});
    sent.boxes.insert(sent.boxes.end(), boxes.begin(), boxes.end());
  }
  return sent;
}

std::span<const Kind> cartonVerbs() {
  static constexpr Kind list[] = {
      verb<PackCarton, pack>("carton pack", Operation::packing, "pack boxes into a carton"),
      verb<CartonStored, store>("carton store", Operation::packing, "put a carton into the store"),
      verb<CartonTaken, take>("carton take", Operation::packing, "take a carton out of the store"),
  };
  return list;
}

}  // namespace platemark::act
