/// The sieve chart: how much passes, over the aperture on a logarithmic axis.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"

namespace platemark::figure {

struct SievePoint {
  double aperture_um = 0.0;  ///< > 0
  double passing = 0.0;      ///< percent by mass, 0…100
};
struct SieveBand {
  double aperture_um = 0.0;
  std::optional<double> low;   ///< percent; none: no lower limit at this aperture
  std::optional<double> high;  ///< percent; none: no upper limit
};
/// The aperture under which a share of the mass passes, e.g. D50.
struct SieveSize {
  std::string name;  ///< "D50"
  double aperture_um = 0.0;
  double passing = 0.0;  ///< 50
  std::string words;     ///< "212 µm"
};
struct SieveChartInput {
  std::string title;
  std::string reading;
  std::vector<SievePoint> own;  ///< apertures rising
  std::string own_name = "own";
  std::vector<SievePoint> certificate;  ///< the supplier's values beside own; may be empty
  std::string certificate_name = "certificate";
  std::vector<SieveBand> band;  ///< apertures rising; may be empty
  std::vector<SieveSize> sizes;
};

/// 640 x 380 px. Errors: figure.empty (neither own nor certificate);
/// figure.out_of_range (aperture not > 0, percent outside 0…100);
/// figure.not_rising.
[[nodiscard]] Result<Scene> sieveChart(const SieveChartInput& input);

}  // namespace platemark::figure
