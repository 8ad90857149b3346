#include "platemark/service/labels.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "labels_parts.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/sscc.h"

namespace platemark::service {
namespace {

using view::Look;

paper::Label blankLabel(const Look& look, const std::string& what, const std::string& big,
                        Instant created) {
  paper::Label label;
  label.what = what;
  label.big = big;
  label.barcode = paper::Barcode{paper::Barcode::Kind::code128, big};
  label.foot = labels::foot(look);
  label.program_version = labels::program();
  label.created = created;
  return label;
}

Result<paper::Label> lotLabel(const Look& look, const std::string& id) {
  const Result<LotState> lot = labels::required<LotState>(look, projection::lot, id);
  if (!lot) return lot.error();
  const LotReceived& received = lot->received;
  const Instant at = labels::happened(look, lot->received_fact);
  paper::Label label = blankLabel(look, "LOT", id, at);
  label.size = paper::LabelSize::floor;
  label.under = labels::nameOf<Material>(look, projection::material, received.material);
  label.facts = {{"Supplier", received.supplier},
                 {"Their lot", received.supplier_lot, true},
                 {"Quantity", format(received.quantity)},
                 {"Received", view::dayAndTime(look, at).substr(0, 10)},
                 {"Use by", received.use_by ? formatDay(*received.use_by) : "no date"}};
  label.foot += " Scan before use: whether it may be used does not stand here.";
  return label;
}

Result<paper::Label> mixLabel(const Look& look, const std::string& id) {
  const Result<MixState> mix = labels::required<MixState>(look, projection::mix, id);
  if (!mix) return mix.error();
  paper::Label label = blankLabel(look, "MIX", id, mix->opened_at);
  label.size = paper::LabelSize::floor;
  label.under = labels::compoundWords(look, mix->opened.compound, mix->opened.compound_issue);
  label.facts = {{"Batch", mix->opened.batch, true},
                 {"Mixer", mix->opened.machine},
                 {"Mass", format(mix->opened.mass)},
                 {"Opened", view::dayAndTime(look, mix->opened_at)},
                 {"Mixed", mix->finished_at ? view::dayAndTime(look, *mix->finished_at)
                                            : "not yet when this was drawn"}};
  return label;
}

/// Where in the oven the clamp of a sample stood; the newest load that has it.
std::optional<std::pair<std::string, Clamp>> clampOf(const Look& look, const BatchState& batch,
                                                     const std::string& clamp) {
  for (auto load = batch.loads.rbegin(); load != batch.loads.rend(); ++load) {
    const auto state = ledger::stateAs<LoadState>(look.snapshot, projection::load, *load);
    if (!state) continue;
    for (const Clamp& c : state->built.clamps)
      if (c.clamp == clamp && c.batch == batch.opened.batch) return std::pair{*load, c};
  }
  return {};
}

std::string placeWords(const Clamp& clamp) {
  return fmt::format("tier {}, position {}", clamp.tier, clamp.position);
}

Result<paper::Label> sampleLabel(const Look& look, const std::string& id, const std::string& name) {
  const Result<BatchState> batch = labels::required<BatchState>(look, projection::batch, id);
  if (!batch) return batch.error();
  const auto sample = std::find_if(batch->samples.begin(), batch->samples.end(),
                                   [&](const Sample& s) { return s.sample == name; });
  if (sample == batch->samples.end()) return labels::noPart("sample", name, "batch " + id);
  Instant drawn = batch->opened_at;
  std::string tool;
  for (const StepDone& step : batch->steps) {
    if (step.corrected_by) continue;
    if (step.step == Step::press) tool = step.what;
    if (step.step == Step::sample) drawn = step.happened;
  }
  paper::Label label = blankLabel(look, "SAMPLE " + name, id, drawn);
  label.barcode->data = id + "/" + name;
  label.under = labels::partWords(look, batch->opened.part);
  if (!tool.empty()) label.facts.push_back({"Tool", tool, true});
  if (!sample->clamp.empty()) label.facts.push_back({"Clamp", sample->clamp, true});
  if (const auto at = clampOf(look, *batch, sample->clamp)) {
    label.facts.push_back({"Load", at->first, true});
    label.facts.push_back({"In the oven", placeWords(at->second)});
  }
  label.facts.push_back({"Drawn", view::dayAndTime(look, drawn)});
  return label;
}

Result<paper::Label> clampLabel(const Look& look, const std::string& id, const std::string& name) {
  const Result<LoadState> load = labels::required<LoadState>(look, projection::load, id);
  if (!load) return load.error();
  const auto& clamps = load->built.clamps;
  const auto clamp =
      std::find_if(clamps.begin(), clamps.end(), [&](const Clamp& c) { return c.clamp == name; });
  if (clamp == clamps.end()) return labels::noPart("clamp", name, "load " + id);
  paper::Label label = blankLabel(look, "CLAMP", name, load->built_at);
  label.size = paper::LabelSize::floor;
  label.under = clamp->batch;
  label.under_code = true;
  label.barcode->data = id + "/" + name;
  label.facts = {{"Load", id, true},
                 {"Oven", load->built.oven},
                 {"In the oven", placeWords(*clamp)},
                 {"Pads", view::grouped(clamp->pads)},
                 {"Built", view::dayAndTime(look, load->built_at)}};
  for (const Clamp& other : clamps)
    if (other.clamp == name && other.batch != clamp->batch)
      label.warning = "Two batches in this clamp: " + clamp->batch + " and " + other.batch;
  return label;
}

/// What a box is called on labels, with the fact that packed it.
Result<paper::Label> boxLabel(const Look& look, const std::string& id) {
  const Result<BoxState> box = labels::required<BoxState>(look, projection::box, id);
  if (!box) return box.error();
  const BoxPacked& packed = box->packed;
  const Result<BatchState> batch =
      labels::required<BatchState>(look, projection::batch, packed.batch);
  if (!batch) return batch.error();
  const std::vector<Fact> facts = look.snapshot.factsOf({"box", id}, 0, 1);
  if (facts.empty()) return labels::noPart("box", id, "the record");
  paper::Label label = blankLabel(look, "BOX", id, facts.front().happened.instant);
  label.size = paper::LabelSize::floor;
  label.under = packed.batch;
  label.under_code = true;
  label.facts = {{"Part", labels::partWords(look, batch->opened.part)},
                 {"Sets", fmt::format("{}  ({} pads)", packed.sets, packed.pads)}};
  if (packed.size) label.facts.push_back({"Box size", *packed.size});
  label.facts.push_back({"Packed", view::dayAndTime(look, facts.front().happened.instant)});
  label.facts.push_back({"Packer", fmt::format("{:04}", facts.front().person)});
  if (packed.concession) label.warning = "CONCESSION " + *packed.concession;
  return label;
}

struct InCarton {
  std::int64_t pads = 0, sets = 0, boxes = 0;
  std::set<std::string> parts, batches, concessions;
};

InCarton contentsOf(const Look& look, const CartonState& carton) {
  InCarton in;
  for (const std::string& id : carton.boxes) {
    const auto box = ledger::stateAs<BoxState>(look.snapshot, projection::box, id);
    if (!box || box->carton != carton.carton) continue;
    ++in.boxes;
    in.pads += box->packed.pads;
    in.sets += box->packed.sets;
    in.batches.insert(box->packed.batch);
    if (box->packed.concession) in.concessions.insert(*box->packed.concession);
    if (const auto batch =
            ledger::stateAs<BatchState>(look.snapshot, projection::batch, box->packed.batch))
      in.parts.insert(batch->opened.part);
  }
  return in;
}

std::string joined(const std::set<std::string>& words) {
  std::string all;
  for (const std::string& word : words) all += (all.empty() ? "" : ", ") + word;
  return all;
}

Result<paper::Label> cartonLabel(const Look& look, const std::string& typed) {
  const Result<std::string> sscc = readSscc(typed);
  if (!sscc) return sscc.error();
  const Result<CartonState> carton = labels::required<CartonState>(look, projection::carton, *sscc);
  if (!carton) return carton.error();
  const InCarton in = contentsOf(look, *carton);
  // The last digits tell cartons of one plant apart; all of them stand under the bars.
  paper::Label label = blankLabel(
      look, "CARTON", "… " + sscc->substr(10, 4) + " " + sscc->substr(14), carton->packed_at);
  label.size = paper::LabelSize::shipping;
  label.under = joined(in.parts);
  label.barcode = paper::Barcode{paper::Barcode::Kind::sscc, *sscc};
  label.facts = {{"Boxes", view::grouped(in.boxes)},
                 {"Sets", fmt::format("{}  ({} pads)", in.sets, in.pads)},
                 {in.batches.size() == 1 ? "Batch" : "Batches", joined(in.batches), true},
                 {"Packed", view::dayAndTime(look, carton->packed_at)},
                 {"Packer", fmt::format("{:04}", carton->packed_by)}};
  if (!in.concessions.empty()) label.warning = "CONCESSION " + joined(in.concessions);
  return label;
}

Result<std::vector<std::byte>> drawn(const Result<paper::Label>& label) {
  if (!label) return label.error();
  return paper::label(*label);
}
Result<std::vector<std::byte>> drawn(const Result<paper::FloorSheet>& sheet) {
  if (!sheet) return sheet.error();
  return paper::floorSheet(*sheet);
}

Result<std::vector<std::byte>> drawnAs(const Look& look, const std::string& what,
                                       const std::string& id, const std::string& part) {
  if (what == "lot") return drawn(lotLabel(look, id));
  if (what == "mix") return drawn(mixLabel(look, id));
  if (what == "sample") return drawn(sampleLabel(look, id, part));
  if (what == "clamp") return drawn(clampLabel(look, id, part));
  if (what == "box") return drawn(boxLabel(look, id));
  if (what == "carton") return drawn(cartonLabel(look, id));
  if (what == "charge-sheet") return drawn(labels::chargeSheet(look, id));
  if (what == "load-sheet") return drawn(labels::loadSheet(look, id));
  if (what == "traveller") return drawn(labels::traveller(look, id));
  Error error;
  error.fault = Fault::not_found;
  error.code = "label.unknown";
  error.what = fmt::format("There is no label '{}'.", what);
  error.expected = "lot, mix, sample, clamp, box, carton, charge-sheet, load-sheet, traveller";
  return error;
}

}  // namespace

Result<DrawnLabel> drawLabel(const House& house, const std::string& what, const std::string& id,
                             const std::string& part) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const Look look{*snapshot, house.card, {}, *house.people};
  Result<std::vector<std::byte>> pdf = drawnAs(look, what, id, part);
  if (!pdf) return pdf.error();
  std::string name = what + "-" + id + (part.empty() ? "" : "-" + part) + ".pdf";
  std::replace_if(
      name.begin(), name.end(),
      [](char c) { return c <= ' ' || c == '/' || c == '"' || c == '\\'; }, '-');
  return DrawnLabel{std::move(*pdf), std::move(name)};
}

}  // namespace platemark::service
