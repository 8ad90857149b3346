/// What the record holds for saying what the pads of a load saw: gathered for the computation, and
/// once more when its results are recorded.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/ledger/projections.h"
#include "platemark/plant/state.h"

namespace platemark::act {

/// One batch of the load: its pads, how they cure, and what they had before.
struct HeatBatch {
  std::string batch;
  Part part;
  std::string compound;
  std::optional<Issued<Kinetics>> kinetics;  ///< none: the degree of cure is not known
  bool adopted = false;
  double degree_before = 0;             ///< of the least cured pad, from an earlier cure
  std::optional<double> soaked_before;  ///< min, of the shortest soaked pad; none: first cure
  std::int64_t soak_asked = 0;          ///< min, by the programme of the part's route
  std::optional<double> degree_asked;   ///< the lower limit of its control plan
};

struct HeatFiles {
  LoadState load;
  CureRecorded recorded;
  Sequence recording = 0;
  Day cured;
  Issued<Machine> oven;
  Issued<Programme> programme;
  Issued<Survey> survey;
  Issued<Stacking> stacking;
  std::vector<HeatBatch> batches;
};

/// The survey of the oven that had been made by that day, the newest one; else the first there is.
[[nodiscard]] std::optional<Issued<Survey>> surveyOf(const ledger::Snapshot& snapshot,
                                                     std::string_view oven, Day day);
/// On the day of the cure in the plant's zone. Errors: load.unknown, heat.missing (it says what,
/// who supplies it, how).
[[nodiscard]] Result<HeatFiles> heatFiles(const ledger::Snapshot& snapshot, std::string_view load,
                                          std::string_view zone);

}  // namespace platemark::act
