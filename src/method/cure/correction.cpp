#include "platemark/method/cure/correction.h"

#include <algorithm>

namespace platemark::method::cure {

double corrected(std::span<const CorrectionRow> rows, double celsius) {
  if (rows.empty() || celsius != celsius) return celsius;
  const auto above =
      std::upper_bound(rows.begin(), rows.end(), celsius,
                       [](double t, const CorrectionRow& row) { return t < row.at_celsius; });
  if (above == rows.begin()) return celsius + rows.front().add_k;
  const CorrectionRow& low = *(above - 1);
  if (above == rows.end()) return celsius + low.add_k;
  const double share = (celsius - low.at_celsius) / (above->at_celsius - low.at_celsius);
  return celsius + low.add_k + share * (above->add_k - low.add_k);
}

}  // namespace platemark::method::cure
