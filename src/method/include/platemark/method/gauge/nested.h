/// Gauge study over days and runs: three levels of spread of one gauge on check artefacts.
///
/// Formula      s1² = mean of the squared standard deviations of the short-term readings
///              s2² = mean over runs and artefacts of the variance of the daily means
///              s3² = mean over artefacts of the variance of the runs' means
/// Symbols      s1 short-term, s2 from day to day, s3 from run to run, in the unit of the readings;
///              degrees of freedom: runs·artefacts·days·(readings − 1), runs·artefacts·(days − 1),
///              artefacts·(runs − 1)
/// Valid        each artefact on each day of each run, equally many short-term readings, 2 or more
///              of each but of artefacts, of which one will do.
/// Uncertainty  of each s about s/√(2·degrees of freedom)
/// Source       NIST/SEMATECH e-Handbook of Statistical Methods, 2.6.1 and its printed results,
/// read
///              through a text that quotes the page
/// Errors       gauge.levels, gauge.count, gauge.not_finite, gauge.negative_spread
/// Pure.
#pragma once

#include <vector>

#include "platemark/quantity/result.h"

namespace platemark::method::gauge {

inline constexpr int nested_gauge_version = 1;

struct NestedReadings {
  int runs = 0;
  int artefacts = 0;
  int days = 0;
  int readings = 0;             ///< behind each mean
  std::vector<double> means;    ///< run by run, in it artefact by artefact, in it day by day
  std::vector<double> spreads;  ///< standard deviation behind each mean, in the same order
};

struct NestedLevel {
  double s = 0;
  int degrees = 0;
};

struct NestedGauge {
  NestedLevel short_term, day, run;
  std::vector<NestedLevel> short_term_by_run, day_by_run;
  std::vector<NestedLevel> run_by_artefact;
};

[[nodiscard]] Result<NestedGauge> nestedGaugeStudy(const NestedReadings& in);

}  // namespace platemark::method::gauge
