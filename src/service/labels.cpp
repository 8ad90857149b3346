#include "platemark/service/labels.h"

#include <fmt/format.h>
#include <fmt/ranges.h>

#include <algorithm>
#include <set>

#include "labels_parts.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/container.h"
#include "platemark/plant/sscc.h"

namespace platemark::service {
namespace {

using view::Look;
using words::say;

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
  paper::Label label = blankLabel(look, say("labels.title_lot"), id, at);
  label.size = paper::LabelSize::floor;
  label.under = labels::nameOf<Material>(look, projection::material, received.material);
  label.facts = {{say("labels.supplier"), received.supplier},
                 {say("labels.their_lot"), received.supplier_lot, true},
                 {say("labels.quantity"), format(received.quantity)},
                 {say("labels.received"), view::dayAndTime(look, at).substr(0, 10)},
                 {say("labels.use_by"),
                  received.use_by ? formatDay(*received.use_by) : say("labels.no_date")}};
  label.foot += " " + say("labels.scan_first");
  return label;
}

Result<paper::Label> containerLabel(const Look& look, const std::string& id) {
  const auto container = labels::required<ContainerState>(look, projection::container, id);
  if (!container) return container.error();
  const Result<LotState> lot = labels::required<LotState>(look, projection::lot, container->lot);
  if (!lot) return lot.error();
  const Sequence last = container->returned_fact.value_or(lot->received_fact);
  const LotReceived& received = lot->received;
  paper::Label label =
      blankLabel(look, say("labels.title_container"), id, labels::happened(look, last));
  label.size = paper::LabelSize::floor;
  label.under = container->lot;
  label.under_code = true;
  label.facts = {{say("labels.material"),
                  labels::nameOf<Material>(look, projection::material, received.material)},
                 {say("labels.holds"), format(container->quantity)},
                 {container->returned_fact ? say("labels.returned") : say("labels.received"),
                  view::dayAndTime(look, labels::happened(look, last)).substr(0, 10)},
                 {say("labels.use_by"),
                  received.use_by ? formatDay(*received.use_by) : say("labels.no_date")}};
  label.foot += " " + say("labels.scan_first");
  return label;
}

Result<paper::Label> mixLabel(const Look& look, const std::string& id) {
  const Result<MixState> mix = labels::required<MixState>(look, projection::mix, id);
  if (!mix) return mix.error();
  paper::Label label = blankLabel(look, say("labels.title_mix"), id, mix->opened_at);
  label.size = paper::LabelSize::floor;
  label.under = labels::compoundWords(look, mix->opened.compound, mix->opened.compound_issue);
  label.facts = {{say("labels.batch"), mix->opened.batch, true},
                 {say("labels.mixer"), mix->opened.machine},
                 {say("labels.mass"), format(mix->opened.mass)},
                 {say("labels.opened"), view::dayAndTime(look, mix->opened_at)},
                 {say("labels.mixed"), mix->finished_at ? view::dayAndTime(look, *mix->finished_at)
                                                        : say("labels.not_mixed")}};
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
  return say("labels.place", {{"tier", clamp.tier}, {"position", clamp.position}});
}

/// A run that names its cavities, without the sample's, did not press it.
bool mayHavePressed(const StepDone& run, const Sample& sample) {
  return run.step == Step::press && !run.corrected_by &&
         (!sample.cavity || run.cavities.empty() ||
          std::find(run.cavities.begin(), run.cavities.end(), *sample.cavity) !=
              run.cavities.end());
}

/// The tools that may have pressed the sample, each once.
std::string toolsOf(const BatchState& batch, const Sample& sample) {
  std::vector<std::string> tools;
  for (const StepDone& run : batch.steps)
    if (mayHavePressed(run, sample) &&
        std::find(tools.begin(), tools.end(), run.what) == tools.end())
      tools.push_back(run.what);
  return fmt::format("{}", fmt::join(tools, ", "));
}

Result<paper::Label> sampleLabel(const Look& look, const std::string& id, const std::string& name) {
  const Result<BatchState> batch = labels::required<BatchState>(look, projection::batch, id);
  if (!batch) return batch.error();
  const auto sample = std::find_if(batch->samples.begin(), batch->samples.end(),
                                   [&](const Sample& s) { return s.sample == name; });
  if (sample == batch->samples.end()) return labels::noPart("sample", name, "batch " + id);
  Instant drawn = batch->opened_at;
  for (const StepDone& step : batch->steps)
    if (step.step == Step::sample && !step.corrected_by) drawn = step.happened;
  const std::string tool = toolsOf(*batch, *sample);
  paper::Label label = blankLabel(look, say("labels.title_sample", {{"sample", name}}), id, drawn);
  label.barcode->data = id + "/" + name;
  label.under = labels::partWords(look, batch->opened.part);
  if (!tool.empty()) label.facts.push_back({say("labels.tool"), tool, true});
  if (sample->cavity) label.facts.push_back({say("labels.cavity"), *sample->cavity, true});
  if (!sample->clamp.empty()) label.facts.push_back({say("labels.clamp"), sample->clamp, true});
  if (const auto at = clampOf(look, *batch, sample->clamp)) {
    label.facts.push_back({say("labels.load"), at->first, true});
    label.facts.push_back({say("labels.in_the_oven"), placeWords(at->second)});
  }
  label.facts.push_back({say("labels.drawn"), view::dayAndTime(look, drawn)});
  return label;
}

Result<paper::Label> clampLabel(const Look& look, const std::string& id, const std::string& name) {
  const Result<LoadState> load = labels::required<LoadState>(look, projection::load, id);
  if (!load) return load.error();
  const auto& clamps = load->built.clamps;
  const auto clamp =
      std::find_if(clamps.begin(), clamps.end(), [&](const Clamp& c) { return c.clamp == name; });
  if (clamp == clamps.end()) return labels::noPart("clamp", name, "load " + id);
  paper::Label label = blankLabel(look, say("labels.title_clamp"), name, load->built_at);
  label.size = paper::LabelSize::floor;
  label.under = clamp->batch;
  label.under_code = true;
  label.barcode->data = id + "/" + name;
  label.facts = {{say("labels.load"), id, true},
                 {say("labels.oven"), load->built.oven},
                 {say("labels.in_the_oven"), placeWords(*clamp)},
                 {say("labels.pads"), view::grouped(clamp->pads)},
                 {say("labels.built"), view::dayAndTime(look, load->built_at)}};
  for (const Clamp& other : clamps)
    if (other.clamp == name && other.batch != clamp->batch)
      label.warning = say("labels.two_batches", {{"one", clamp->batch}, {"other", other.batch}});
  return label;
}

std::string setsWords(std::int64_t sets, std::int64_t pads) {
  return say("labels.sets_pads", {{"sets", sets}, {"pads", pads}});
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
  paper::Label label =
      blankLabel(look, say("labels.title_box"), id, facts.front().happened.instant);
  label.size = paper::LabelSize::floor;
  label.under = packed.batch;
  label.under_code = true;
  label.facts = {{say("labels.part"), labels::partWords(look, batch->opened.part)},
                 {say("labels.sets"), setsWords(packed.sets, packed.pads)}};
  if (packed.size) label.facts.push_back({say("labels.box_size"), *packed.size});
  label.facts.push_back(
      {say("labels.packed"), view::dayAndTime(look, facts.front().happened.instant)});
  label.facts.push_back({say("labels.packer"), fmt::format("{:04}", facts.front().person)});
  if (packed.concession) label.warning = say("labels.concession", {{"number", *packed.concession}});
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
  paper::Label label =
      blankLabel(look, say("labels.title_carton"),
                 "… " + sscc->substr(10, 4) + " " + sscc->substr(14), carton->packed_at);
  label.size = paper::LabelSize::shipping;
  label.under = joined(in.parts);
  label.barcode = paper::Barcode{paper::Barcode::Kind::sscc, *sscc};
  label.facts = {{say("labels.boxes"), view::grouped(in.boxes)},
                 {say("labels.sets"), setsWords(in.sets, in.pads)},
                 {in.batches.size() == 1 ? say("labels.batch") : say("labels.batches"),
                  joined(in.batches), true},
                 {say("labels.packed"), view::dayAndTime(look, carton->packed_at)},
                 {say("labels.packer"), fmt::format("{:04}", carton->packed_by)}};
  if (!in.concessions.empty())
    label.warning = say("labels.concession", {{"number", joined(in.concessions)}});
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
  if (what == "container") return drawn(containerLabel(look, id));
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
  error.expected =
      "lot, container, mix, sample, clamp, box, carton, charge-sheet, load-sheet, traveller";
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
