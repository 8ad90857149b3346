#include "figure/samples.h"

#include <cmath>

namespace samples {

StripInput density() {
  StripInput in;
  in.name = "Density";
  in.unit = "g/cm³";
  in.lower = StripLimit{2.18, "2.180"};
  in.upper = StripLimit{2.3, "2.300"};
  in.readings = {2.188, 2.193, 2.197};
  in.result = 2.188;
  in.result_words = "2.188";
  in.uncertainty = 0.011;
  in.uncertainty_words = "0.011";
  in.finding = Finding::too_close;
  return in;
}

StripInput shear() {
  StripInput in;
  in.name = "Shear of the bond, cold";
  in.unit = "N/cm²";
  in.lower = StripLimit{320, "320"};
  in.one_sided_span = 280;
  in.further = {{250, "250", false}};
  in.readings = {421, 436, 452};
  in.result = 421;
  in.result_words = "421";
  in.finding = Finding::missing;
  return in;
}

StripInput hardness() {
  StripInput in;
  in.name = "Hardness";
  in.unit = "HRR";
  in.lower = StripLimit{60, "60"};
  in.upper = StripLimit{95, "95"};
  in.target = 78;
  in.readings = {71, 75, 77, 80, 84};
  in.result = 77.4;
  in.result_words = "77";
  in.uncertainty = 3;
  in.uncertainty_words = "3";
  in.finding = Finding::inside;
  return in;
}

StripInput compressibility() {
  StripInput in;
  in.name = "Compressibility, cold";
  in.unit = "µm";
  in.upper = StripLimit{150, "150"};
  in.one_sided_span = 120;
  in.readings = {148, 155, 158};
  in.result = 158;
  in.result_words = "158";
  in.uncertainty = 5;
  in.uncertainty_words = "5";
  in.finding = Finding::outside_above;
  return in;
}

double programme(double hours) {
  if (hours < 1.5) return 24 + 86 * hours / 1.5;
  if (hours < 2.4) return 110;
  if (hours < 3.5) return 110 + 70 * (hours - 2.4) / 1.1;
  if (hours < 5.7) return 180;
  return 180 - 68 * (hours - 5.7);
}

CureChartInput cure() {
  CureChartInput in;
  in.title = "Cure of load N-0412";
  in.reading =
      "The least cured of 3 840 pads reached 0.973; it needs 0.950 and had 22 min to spare.";
  in.start = Instant::fromUnixMs(1795466400000);  // 2026-11-23T20:40:00Z
  in.zone = "Europe/Berlin";
  in.zone_words = "UTC+1";
  in.hours = 7.3;
  for (double h = 0; h <= 7.3; h += 0.1) {
    in.window.push_back({h, programme(h) - 6, programme(h) + 8});
  }
  Trace one{"channel 1", false, {}};
  Trace two{"channel 2", true, {}};
  Trace least{"least cured pad", true, {}};
  Trace hottest{"hottest pad", false, {}};
  double core = 24;
  double skin = 24;
  for (int minute = 0; minute <= 438; ++minute) {
    const double h = minute / 60.0;
    core += (programme(h) - core) / 32;
    skin += (programme(h) - skin) / 6;
    const bool gap = minute >= 266 && minute <= 277;
    one.points.push_back({h, programme(h) + 3 + 0.8 * std::sin(minute * 0.9)});
    two.points.push_back({h, gap ? NAN : programme(h) - 1 + 0.8 * std::sin(minute * 0.7)});
    least.points.push_back({h, core});
    hottest.points.push_back({h, skin});
  }
  in.recorded = {one, two};
  in.calculated = {least, hottest};
  in.limits = {{186, "at most 186"}, {175, "soak from 175"}};
  in.flags = {{1, 1.7, 113}, {2, 2.55, 122}};
  in.gaps = {{4.43, 4.62, 3}};
  in.moments = {
      {3.47, "soak starts 01:08"}, {5.3, "0.950 reached 02:58"}, {5.66, "soak ends 03:19"}};
  in.soak = CureBracket{3.47, 5.66, "soak 131 min, asked at least 120"};
  CureDegree degree;
  Trace d1{"least cured pad", true, {}};
  Trace d2{"hottest pad", false, {}};
  for (double h = 0; h <= 7.3; h += 0.05) {
    const double y = 0.973 / (1 + std::exp(-3.2 * (h - 4.25)));
    d1.points.push_back({h, y});
    d2.points.push_back({h, 0.985 / (1 + std::exp(-3.4 * (h - 3.4)))});
    degree.band.push_back({h, y - 0.02, std::min(y + 0.02, 1.0)});
  }
  degree.traces = {d1, d2};
  degree.limit = CureLimit{0.95, "at least 0.950"};
  degree.spare = CureBracket{5.3, 5.66, "22 min to spare ± 12 min"};
  in.degree = degree;
  return in;
}

SieveChartInput sieve() {
  SieveChartInput in;
  in.title = "Sieving of lot R-2310, barite";
  in.reading =
      "Lot R-2310 passes within its limits at every aperture; D50 is 24 µm, the certificate says "
      "22 µm.";
  in.own = {{5, 8}, {10, 22}, {20, 43}, {32, 61}, {45, 76}, {63, 89}, {100, 97}, {150, 100}};
  in.own_name = "own";
  in.certificate = {{10, 25}, {20, 46}, {45, 79}, {100, 98}};
  in.band = {{5, 2, 15}, {10, 14, 32}, {20, 34, 54}, {45, 66, 86}, {100, 92, std::nullopt}};
  in.sizes = {
      {"D10", 5.6, 10, "5.6 µm"}, {"D50", 24.3, 50, "24.3 µm"}, {"D90", 65.5, 90, "65.5 µm"}};
  return in;
}

}  // namespace samples
