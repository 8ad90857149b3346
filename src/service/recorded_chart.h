/// A recorder's file as a chart with its figures: what the cure of a load and the bake of a coat
/// share.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/method/cure/chart.h"
#include "platemark/plant/state.h"
#include "platemark/service/house.h"

namespace platemark::service {

struct FileAsked {
  std::string attachment;
  std::string file_name;
  std::string layout;  ///< code of a saved layout
};

/// What the chart is held against.
struct ChartOf {
  Programme programme;
  Machine oven;
  std::optional<Instant> load_in{};  ///< none, or outside the recording: the first reading
  bool metal_only = false;           ///< of a coat: oven air is no evidence
};

struct RecordedChart {
  std::string layout;
  std::int64_t layout_issue = 0;
  std::int64_t rows = 0;
  std::int64_t skipped = 0;
  std::vector<std::string> skipped_why;
  Instant from;
  Instant to;
  method::cure::ChartReading reading;
  std::vector<ChannelOffset> offsets;  ///< of the channels in the soak
};

/// Errors: layout.unknown, layout.*, attachment.unknown, intake.*, cure.*.
[[nodiscard]] Result<RecordedChart> readRecorded(const House& house,
                                                 const ledger::Snapshot& snapshot,
                                                 const FileAsked& asked, const ChartOf& of);

[[nodiscard]] FigureValue figureValue(std::string name, const method::cure::Figure& figure,
                                      std::string unit);
/// The highest of one figure over the evidence channels; undetermined as soon as one of them is.
[[nodiscard]] method::cure::Figure highest(
    const method::cure::ChartReading& reading,
    method::cure::Figure method::cure::ChannelFigures::*member);
[[nodiscard]] std::vector<ChartMark> marksOf(const method::cure::ChartReading& reading);
[[nodiscard]] Error unknownThing(std::string_view kind, const std::string& id);

}  // namespace platemark::service
