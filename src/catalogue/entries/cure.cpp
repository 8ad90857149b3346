#include "entries.h"

namespace platemark::catalogue {

std::vector<Entry> cureEntries() {
  Entry chart;
  chart.id = "cure.chart";
  chart.title = "Reading a cure chart";
  chart.words =
      "Whether a load was in its programme window long enough, from the recorder's channels.";
  chart.formula =
      "soak = time for which every evidence channel is at or above set point − tolerance; T linear "
      "between neighbouring usable readings";
  chart.outputs = {
      {"soak_start", "t_s", "soak start after load in", Kind::duration, "min", 1},
      {"soak_end", "t_e", "soak end after load in", Kind::duration, "min", 1},
      {"soak", "t_soak", "soak time of the coldest channel", Kind::duration, "min", 1},
      {"overshoot", "ΔT_o", "highest excess over the set point", Kind::temperature_difference, "K",
       1},
      {"difference", "ΔT_c", "channels apart in the soak, at most", Kind::temperature_difference,
       "K", 1},
      {"longest_gap", "t_gap", "longest gap in the soak", Kind::duration, "min", 1},
      {"air_at_load_in", "T_in", "air when the load went in", Kind::temperature_point, "Cel", 1},
      {"peak", "T_max", "highest temperature of an evidence channel", Kind::temperature_point,
       "Cel", 1},
      {"fastest_ramp", "β_max", "fastest heating over five minutes", Kind::temperature_rate,
       "K/min", 2},
  };
  chart.validity =
      "Air and load sensors of an oven. It says what the sensors saw, not what the pads saw.";
  chart.uncertainty =
      "Half-width: every sensor off by its tolerance in the worst direction; divided by √3 for a "
      "standard uncertainty.";
  chart.source =
      "Definitions of this project after trade practice in oven pyrometry: the clock starts when "
      "the coldest part is at temperature. Sensor tolerances: IEC 60584-1.";
  chart.mark = Mark::own;
  chart.outside_check = "method/cases/cure_chart.csv";
  return {chart};
}

}  // namespace platemark::catalogue
