/// The cure chart of a load, for page and paper alike.
#pragma once

#include "platemark/figure/cure.h"
#include "platemark/intake/series.h"
#include "view.h"

namespace platemark::service::view {

/// What a chart of one load is drawn from.
struct ChartFile {
  LoadState load;
  Issued<Programme> programme;
  Issued<Machine> oven;
  std::optional<CureRecorded> recorded;  ///< the newest recording that counts
  Instant start;                         ///< the moment the load went in
};
[[nodiscard]] Result<ChartFile> chartFile(const Look& look, const std::string& load);
[[nodiscard]] double minutesSince(Instant start, Instant at);
/// The value of a figure of the newest chart reading, with its word on certainty.
[[nodiscard]] const FigureValue* chartValue(const LoadState& load, std::string_view name);
/// "soak 131 min, asked at least 120"
[[nodiscard]] std::string soakWords(const ChartFile& file);
/// The figure for a paper. Errors: intake.*, figure.*.
[[nodiscard]] Result<figure::CureChartInput> chartInput(const ChartFile& file,
                                                        const intake::Series& series,
                                                        const std::string& zone);

}  // namespace platemark::service::view
