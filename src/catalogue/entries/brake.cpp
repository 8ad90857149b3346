#include "platemark/method/brake/heating.h"

#include "entries.h"

namespace platemark::catalogue {

std::vector<Entry> brakeEntries() {
  Entry heating;
  heating.id = "brake.heating";
  heating.version = method::brake::heating_version;
  heating.title = "Heating of disc and pad in stops";
  heating.words = "How hot a disc becomes in one stop and in repeated stops.";
  heating.formula =
      "E = ½·k_rot·m·(v1² − v2²);  ΔT = γ·E_disc/(m_disc·c);  b = h·A·t_c/(m_disc·c);  "
      "T_n − T∞ = ΔT·(1 − e^(−n·b))/(1 − e^(−b));  surface: ΔT_max = 4·q0·√t_s/(3·√(2π)·e)";
  heating.outputs = {
      {"rise", "ΔT", "rise of the whole disc in one stop", Kind::temperature_difference, "K", 1},
      {"after", "T_n", "disc after each stop", Kind::temperature_point, "Cel", 1},
      {"limit", "T_lim", "disc after ever more stops", Kind::temperature_point, "Cel", 1},
      {"surface", "ΔT_max", "largest rise of the surface in one stop", Kind::temperature_difference,
       "K", 1},
      {"pad_share", "γ_pad", "share of the heat into the pad", Kind::number, "%", 1}};
  heating.validity =
      "A disc at one temperature between stops, constant cooling, equal stops from the air's "
      "temperature. The surface: while the heat has not crossed the disc.";
  heating.uncertainty =
      "The share between disc and pad and the cooling are assumptions; published formulas for the "
      "share differ.";
  heating.source =
      "R. Limpert, Brake Design and Safety, repeated braking; H. S. Carslaw, J. C. Jaeger, "
      "Conduction of Heat in Solids, 2nd ed. 1959.";
  heating.mark = Mark::remembered;
  heating.outside_check = "method/cases/brake_heating.csv";
  return {heating};
}

}  // namespace platemark::catalogue
