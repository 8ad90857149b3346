#include "entries.h"

namespace platemark::catalogue {

namespace {

Entry bakeEntry() {
  Entry bake;
  bake.id = "coat.bake";
  bake.title = "Bake of a coat";
  bake.words =
      "For how long the metal of coated pads was at or above the temperature that the programme "
      "asks for.";
  bake.formula =
      "asked temperature T* = target − tolerance of the programme's longest soak. From a "
      "recording: "
      "the soak of the coldest metal channel, as cure.chart reads it, oven air left out. From "
      "typed "
      "readings (T_i, t_i): max t_i with T_i ≥ T* ≤ time ≤ min t_i with T_i ≤ T*";
  bake.outputs = {
      {"time_at_least", "t_min", "time of the metal at or above T*, at least", Kind::duration,
       "min", 1},
      {"time_at_most", "t_max", "time of the metal at or above T*, at most", Kind::duration, "min",
       1},
      {"hottest", "T_max", "highest metal temperature", Kind::temperature_point, "Cel", 1},
  };
  bake.validity =
      "Sensors on the metal. A lower limit stands against time_at_least, an upper one against "
      "time_at_most; a reading at T* itself, or a recording, gives both the same. Without a "
      "reading "
      "on the needed side the time is not known.";
  bake.uncertainty = "From a recording as cure.chart states it; typed readings carry none.";
  bake.source =
      "Order of the numbers. That the metal's temperature counts and not the air's is trade "
      "practice for powder coats; cards ask for 10 min at 200 °C metal and the like, and which "
      "card "
      "holds is the plan's to say.";
  bake.mark = Mark::own;
  bake.outside_check = "method/cases/coat_bake.csv";
  return bake;
}

}  // namespace

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
  return {chart, bakeEntry()};
}

}  // namespace platemark::catalogue
