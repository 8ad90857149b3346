#include "platemark/service/bake_file.h"

#include <fmt/format.h>

#include "platemark/gate/finishing.h"
#include "recorded_chart.h"

namespace platemark::service {
namespace {

using ledger::stateAs;

Error notAsked(const std::string& part, const std::string& operation) {
  Error error;
  error.code = "bake.not_asked";
  error.what = fmt::format("Part {} asks for no bake of '{}'.", part, operation);
  error.where.field = "operation";
  error.expected = "an operation with a bake in the part's route";
  return error;
}

/// The programme that the batch's part asks for, at its newest issue.
Result<Issued<Programme>> programmeOf(const ledger::Snapshot& snapshot, const BakeAsked& asked) {
  const auto batch = stateAs<BatchState>(snapshot, projection::batch, asked.batch);
  if (!batch) return unknownThing("batch", asked.batch);
  const BatchOpened& opened = batch->opened;
  const auto part = stateAs<Issued<Part>>(snapshot, projection::part,
                                          ledger::issueKey(opened.part, opened.part_issue));
  if (!part) return unknownThing("part", opened.part);
  const FinishingNeed* need = gate::needOf(part->noun, asked.operation);
  if (need == nullptr || !need->bake) return notAsked(opened.part, asked.operation);
  auto programme =
      stateAs<Issued<Programme>>(snapshot, projection::programme, ledger::nowKey(*need->bake));
  if (!programme) return unknownThing("programme", *need->bake);
  return std::move(*programme);
}

/// From a recording both sides of the time are the soak of the coldest metal channel.
FigureComputed figureOf(const BakeAsked& asked, const method::cure::ChartReading& reading) {
  FigureComputed figure;
  figure.subject = {"batch", asked.batch};
  figure.method = bake_method;
  figure.inputs_hash = asked.attachment;
  figure.values = {
      figureValue("time_at_least", reading.soak_minutes, "min"),
      figureValue("time_at_most", reading.soak_minutes, "min"),
      figureValue("hottest", highest(reading, &method::cure::ChannelFigures::peak_celsius), "Cel")};
  figure.marks = marksOf(reading);
  return figure;
}

}  // namespace

Result<Value> bakeInput(const House& house, const BakeAsked& asked) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const Result<Issued<Programme>> programme = programmeOf(*snapshot, asked);
  if (!programme) return programme.error();
  const auto oven =
      stateAs<Issued<Machine>>(*snapshot, projection::machine, ledger::nowKey(asked.machine));
  if (!oven) return unknownThing("machine", asked.machine);
  const Result<RecordedChart> chart =
      readRecorded(house, *snapshot, {asked.attachment, asked.file_name, asked.layout},
                   {programme->noun, oven->noun, {}, true});
  if (!chart) return chart.error();
  BakeRecorded recorded;
  recorded.batch = asked.batch;
  recorded.operation = asked.operation;
  recorded.machine = asked.machine;
  recorded.programme = programme->noun.code;
  recorded.programme_issue = programme->issue;
  recorded.pads = asked.pads;
  recorded.recording = BakeRecording{asked.attachment,    asked.file_name, chart->layout,
                                     chart->layout_issue, chart->rows,     chart->skipped,
                                     chart->skipped_why,  chart->from,     chart->to};
  recorded.remark = asked.remark;
  return Value(Value::Object{{"recorded", toValue(recorded)},
                             {"figure", toValue(figureOf(asked, chart->reading))}});
}

}  // namespace platemark::service
