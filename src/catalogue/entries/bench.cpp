#include <fmt/format.h>

#include <algorithm>

#include "entries.h"
#include "platemark/method/bench/compressibility.h"
#include "platemark/method/bench/density.h"
#include "platemark/method/bench/hardness.h"
#include "platemark/method/bench/porosity.h"
#include "platemark/method/bench/shear.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::bench;

double kgPerM3(Density density) { return density.in(unit::kilogram_per_cubic_metre); }

// ---------------------------------------------------------------- density

const std::vector<std::string> coupon_uncertainties{"u_balance", "u_water_temperature"};
const std::vector<std::string> plate_uncertainties{"u_plate_mass", "u_plate_density"};

bool speaksOfPlate(const Inputs& inputs) {
  return isGiven(inputs, "plate_mass") || isGiven(inputs, "plate_density") ||
         isGiven(inputs, "u_plate_mass") || isGiven(inputs, "u_plate_density");
}

Result<Immersion> immersionFrom(const Inputs& inputs) {
  Immersion weighing{*massFrom(one(inputs, "in_air")),
                     *massFrom(one(inputs, "in_water")),
                     *temperatureFrom(one(inputs, "water_temperature")),
                     {},
                     inputs.choices.at("air_buoyancy") == "yes"};
  if (!speaksOfPlate(inputs)) return weighing;
  for (const char* name : {"plate_mass", "plate_density"})
    if (!isGiven(inputs, name))
      return missingInput(name, "To take the plate off, its mass and its density are needed.");
  weighing.plate =
      BondedPlate{*massFrom(one(inputs, "plate_mass")), *densityFrom(one(inputs, "plate_density"))};
  return weighing;
}

/// The uncertainties still missing for a full budget; all of them when none is given.
std::vector<std::string> missingUncertainties(const Inputs& inputs) {
  std::vector<std::string> needed = coupon_uncertainties;
  if (speaksOfPlate(inputs))
    needed.insert(needed.end(), plate_uncertainties.begin(), plate_uncertainties.end());
  std::erase_if(needed, [&](const std::string& name) { return isGiven(inputs, name); });
  return needed;
}

std::string missingUncertaintyNote(const std::vector<std::string>& missing) {
  std::string names;
  for (const std::string& name : missing) names += (names.empty() ? "" : ", ") + name;
  return "No uncertainty: " + names +
         " not given, and one from a part of its causes would be too small.";
}

ImmersionUncertainty uncertaintiesFrom(const Inputs& inputs) {
  ImmersionUncertainty u;
  u.balance = *massFrom(one(inputs, "u_balance"));
  u.water_temperature = *temperatureDifferenceFrom(one(inputs, "u_water_temperature"));
  if (!speaksOfPlate(inputs)) return u;
  u.plate_mass = *massFrom(one(inputs, "u_plate_mass"));
  u.plate_density = *densityFrom(one(inputs, "u_plate_density"));
  return u;
}

std::string densityInNumbers(const Inputs& inputs, const ImmersionDensity& result) {
  const bool air = inputs.choices.at("air_buoyancy") == "yes";
  const auto inAir = [&](const std::string& density) {
    return air ? "(" + density + " − 0.0012)" : density;
  };
  const std::string a = numberIn(one(inputs, "in_air"), "g");
  const std::string b = numberIn(one(inputs, "in_water"), "g");
  const std::string water =
      inAir(fmt::format("{:.5f}", result.water.in(unit::gram_per_cubic_centimetre)));
  const std::string sum = air ? " + 0.0012" : "";
  const double density = result.density.in(unit::gram_per_cubic_centimetre);
  if (!speaksOfPlate(inputs))
    return fmt::format("ρ = {} / (({} − {})/{}){} = {:.4f} g/cm³", a, a, b, water, sum, density);
  const std::string m = numberIn(one(inputs, "plate_mass"), "g");
  const std::string plate = inAir(numberIn(one(inputs, "plate_density"), "g/cm3"));
  return fmt::format("ρ = ({} − {}) / (({} − {})/{} − {}/{}){} = {:.4f} g/cm³", a, m, a, b, water,
                     m, plate, sum, density);
}

std::vector<WorkingLine> densityWorking(const Inputs& inputs, const ImmersionDensity& result) {
  std::vector<WorkingLine> lines{line("A", "pad in air", one(inputs, "in_air")),
                                 line("B", "pad in water", one(inputs, "in_water"))};
  if (speaksOfPlate(inputs)) {
    lines.push_back(line("m_p", "plate alone", one(inputs, "plate_mass")));
    lines.push_back(line("ρ_s", "density of the plate", one(inputs, "plate_density")));
  }
  lines.push_back(line("ρ_w", "density of water at " + format(one(inputs, "water_temperature")),
                       fromSi(kgPerM3(result.water), "g/cm3")));
  return lines;
}

void addBudget(std::vector<WorkingLine>& lines, const Inputs& inputs, const DensityUncertainty& u) {
  const auto add = [&](const char* symbol, const Measure& standard, double share) {
    const auto found = std::find_if(lines.begin(), lines.end(),
                                    [&](const WorkingLine& l) { return l.symbol == symbol; });
    found->u = standard;
    found->share_of_variance = share;
  };
  add("A", one(inputs, "u_balance"), u.shares.in_air);
  add("B", one(inputs, "u_balance"), u.shares.in_water);
  add("ρ_w", differenceFromSi(kgPerM3(u.water), "g/cm3"), u.shares.water_temperature);
  if (!speaksOfPlate(inputs)) return;
  add("m_p", one(inputs, "u_plate_mass"), u.shares.plate_mass);
  add("ρ_s", one(inputs, "u_plate_density"), u.shares.plate_density);
}

Result<Evaluation> evaluateDensity(const Entry& entry, const Inputs& inputs) {
  const Result<Immersion> weighing = immersionFrom(inputs);
  if (!weighing) return weighing.error();
  const Result<ImmersionDensity> density = immersionDensity(*weighing);
  if (!density) return atInput(density.error());
  Evaluation result;
  result.substituted_formula = densityInNumbers(inputs, *density);
  result.working = densityWorking(inputs, *density);
  const std::vector<std::string> missing = missingUncertainties(inputs);
  if (!missing.empty()) {
    result.outputs = {output(entry, "density", kgPerM3(density->density))};
    result.notes = {missingUncertaintyNote(missing)};
    return result;
  }
  const Result<DensityUncertainty> u = immersionUncertainty(*weighing, uncertaintiesFrom(inputs));
  if (!u) return atInput(u.error());
  result.outputs = {output(entry, "density", kgPerM3(density->density), kgPerM3(u->standard))};
  addBudget(result.working, inputs, *u);
  return result;
}

Entry density() {
  Entry entry;
  entry.id = "bench.density";
  entry.version = immersion_density_version;
  entry.title = "Density by immersion";
  entry.words =
      "Density of a pad, a coupon or the compound of a bonded pad by weighing in air and in water.";
  entry.formula = "ρ = (A − m_p) / ((A − B)/(ρ_w − ρ_a) − m_p/(ρ_s − ρ_a)) + ρ_a";
  entry.inputs = {
      value("in_air", "A", "pad in air", Kind::mass, "g", 0),
      value("in_water", "B", "pad in water", Kind::mass, "g", 0),
      value("water_temperature", "t", "temperature of the water", Kind::temperature_point, "Cel", 0,
            40),
      ifKnown(value("plate_mass", "m_p", "plate alone, in air", Kind::mass, "g", 0)),
      ifKnown(value("plate_density", "ρ_s", "density of the plate", Kind::density, "g/cm3", 1)),
      ifKnown(value("u_balance", "u(A), u(B)", "standard uncertainty of one weighing", Kind::mass,
                    "g", 0)),
      ifKnown(value("u_plate_mass", "u(m_p)", "standard uncertainty of the plate's mass",
                    Kind::mass, "g", 0)),
      ifKnown(value("u_plate_density", "u(ρ_s)", "standard uncertainty of the plate's density",
                    Kind::density, "g/cm3", 0)),
      ifKnown(value("u_water_temperature", "u(t)",
                    "standard uncertainty of the water's temperature", Kind::temperature_difference,
                    "K", 0))};
  entry.choices = {{"air_buoyancy", "take the air's buoyancy into account", {"yes", "no"}, "no"}};
  entry.outputs = {{"density", "ρ", "density", Kind::density, "g/cm3", 4}};
  entry.validity =
      "Water at 0 to 40 °C that wets the whole surface and does not enter the pores during the "
      "weighing. Without a plate m_p = 0; without air buoyancy ρ_a = 0, else 0.0012 g/cm³. "
      "Adhesive and coating count as compound.";
  entry.uncertainty =
      "First order from the weighings, the plate's mass and density and the water's temperature, "
      "taken as independent; given when all of them are given.";
  entry.source =
      "JIS D 4417:1986 (specific gravity times density of the water); water: Tanaka et al., "
      "Metrologia 38 (2001) 301–309; air buoyancy: instructions of a balance's density kit; plate "
      "taken off by algebra of this project";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/density.csv";
  entry.example.numbers = {{"in_air", {typed("361.84", "g")}},
                           {"in_water", {typed("271.30", "g")}},
                           {"water_temperature", {typed("22.6", "Cel")}},
                           {"plate_mass", {typed("226.40", "g")}},
                           {"plate_density", {typed("7.850", "g/cm3")}},
                           {"u_balance", {typed("0.010", "g")}},
                           {"u_plate_mass", {typed("0.45", "g")}},
                           {"u_plate_density", {typed("0.005", "g/cm3")}},
                           {"u_water_temperature", {typed("0.3", "K")}}};
  entry.evaluate = evaluateDensity;
  return entry;
}

// ---------------------------------------------------------------- porosity

Result<Evaluation> evaluatePorosity(const Entry& entry, const Inputs& inputs) {
  const Measure &dry = one(inputs, "dry"), &soaked = one(inputs, "soaked"),
                &fluid = one(inputs, "fluid_density"), &volume = one(inputs, "volume");
  const Result<Share> porosity =
      openPorosity(*massFrom(dry), *massFrom(soaked), *densityFrom(fluid), *volumeFrom(volume));
  if (!porosity) return atInput(porosity.error());
  Evaluation result;
  result.outputs = {output(entry, "porosity", porosity->in(unit::one))};
  result.substituted_formula =
      fmt::format("P = 100·({} − {})/({}·{}) = {:.2f} %", numberIn(soaked, "g"), numberIn(dry, "g"),
                  numberIn(fluid, "g/cm3"), numberIn(volume, "cm3"), porosity->in(unit::percent));
  result.working = {line("m_1", "dry piece", dry), line("m_2", "soaked piece, wiped", soaked),
                    line("ρ_f", "density of the fluid", fluid),
                    line("V", "volume of the piece", volume)};
  return result;
}

Entry porosity() {
  Entry entry;
  entry.id = "bench.porosity";
  entry.version = open_porosity_version;
  entry.title = "Open porosity";
  entry.words = "Volume of fluid a test piece takes up, in percent of its own volume.";
  entry.formula = "P = 100·(m_2 − m_1)/(ρ_f·V)";
  entry.inputs = {
      value("dry", "m_1", "mass of the dry piece", Kind::mass, "g", 0),
      value("soaked", "m_2", "mass after soaking and wiping", Kind::mass, "g", 0),
      value("fluid_density", "ρ_f", "density of the fluid", Kind::density, "g/cm3", 0),
      value("volume", "V", "volume of the piece with its pores", Kind::volume, "cm3", 0)};
  entry.outputs = {{"porosity", "P", "open porosity", Kind::number, "%", 2}};
  entry.validity =
      "Room 23 ± 2 °C, 50 ± 5 % relative humidity. Only results with the same fluid and the same "
      "soak compare. Closed pores are not seen.";
  entry.uncertainty = "Mostly the wiping: u(P) ≈ 100·u(m_2 − m_1)/(ρ_f·V).";
  entry.source = "JIS D 4418:1996, definition and room; the formula follows from the definition";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/porosity.csv";
  entry.example.numbers = {{"dry", {typed("24.130", "g")}},
                           {"soaked", {typed("24.815", "g")}},
                           {"fluid_density", {typed("0.861", "g/cm3")}},
                           {"volume", {typed("9.45", "cm3")}}};
  entry.evaluate = evaluatePorosity;
  return entry;
}

// ---------------------------------------------------------------- hardness

const char* const hardness_validity =
    "0 to 130 of one scale; scales are never converted. Compound under 5 mm thick lets the support "
    "through; the first two readings after a change of ball are discarded. Hardness shows "
    "sameness, it does not predict friction.";
const char* const hardness_source =
    "general Rockwell formula of a national laboratory's guide; balls and forces: ASTM D785 as "
    "tabulated by material data bases; use on linings: SAE J2654 (2015), through another text";

std::string unitOf(RockwellScale scale) {
  return "{" + std::string(rockwellBall(scale).symbol) + "}";
}

OutputValue hardnessOutput(const char* name, double number, RockwellScale scale) {
  return {name, fromSi(number, unitOf(scale)), {}, true, ""};
}

void noteUnverified(Evaluation& result, RockwellScale scale) {
  if (!rockwellBall(scale).verified)
    result.notes.push_back(fmt::format("Ball and forces of {} are remembered, not verified.",
                                       rockwellBall(scale).symbol));
}

std::vector<Rockwell> readingsFrom(const Inputs& inputs) {
  std::vector<Rockwell> readings;
  for (const Measure& measure : inputs.numbers.at("readings"))
    readings.push_back({si(measure), *rockwellScale(findUnit(measure.unit)->code)});
  return readings;
}

std::string meanInNumbers(const Inputs& inputs, const RockwellSummary& summary) {
  const std::vector<Measure>& readings = inputs.numbers.at("readings");
  std::string sum;
  for (const Measure& measure : readings) sum += (sum.empty() ? "" : " + ") + measure.value.text();
  return fmt::format("HR = ({})/{} = {:.1f} {}", sum, readings.size(), summary.mean,
                     rockwellBall(summary.scale).symbol);
}

Result<Evaluation> evaluateHardness(const Entry&, const Inputs& inputs) {
  const Result<RockwellSummary> summary = summariseRockwell(readingsFrom(inputs));
  if (!summary) return atInput(summary.error());
  const RockwellScale scale = summary->scale;
  Evaluation result;
  result.outputs = {hardnessOutput("hardness", summary->mean, scale),
                    hardnessOutput("lowest", summary->lowest, scale),
                    hardnessOutput("highest", summary->highest, scale)};
  if (summary->s) result.outputs.push_back(hardnessOutput("s", *summary->s, scale));
  result.substituted_formula = meanInNumbers(inputs, *summary);
  for (const Measure& measure : inputs.numbers.at("readings")) {
    const std::string index = std::to_string(result.working.size() + 1);
    result.working.push_back(line("HR_" + index, "reading " + index, measure));
  }
  if (!summary->s) result.notes.push_back("One reading has no standard deviation.");
  noteUnverified(result, scale);
  return result;
}

Entry hardness() {
  Entry entry;
  entry.id = "bench.hardness";
  entry.version = rockwell_version;
  entry.title = "Rockwell hardness";
  entry.words = "Mean, ends and spread of hardness readings in one Rockwell scale.";
  entry.formula = "HR = (HR_1 + … + HR_n)/n; s² = Σ(HR_i − HR)²/(n − 1)";
  entry.inputs = {listOf(
      value("readings", "HR_i", "readings, all in one scale", Kind::hardness, "{HRR}", 0, 130))};
  entry.outputs = {{"hardness", "HR", "mean hardness", Kind::hardness, "{HRR}", 1},
                   {"lowest", "HR_min", "lowest reading", Kind::hardness, "{HRR}", 1},
                   {"highest", "HR_max", "highest reading", Kind::hardness, "{HRR}", 1},
                   {"s", "s", "standard deviation of the readings", Kind::hardness, "{HRR}", 2}};
  entry.validity =
      std::string(hardness_validity) + " The results are in the scale of the readings.";
  entry.uncertainty = "Of the mean at least s/√n.";
  entry.source = hardness_source;
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/hardness_readings.csv";
  entry.example.numbers = {{"readings", typedList({"76", "79", "74", "78", "78"}, "{HRR}")}};
  entry.evaluate = evaluateHardness;
  return entry;
}

Result<Evaluation> evaluateHardnessDepth(const Entry&, const Inputs& inputs) {
  const Measure& depth = one(inputs, "depth");
  const Result<RockwellScale> scale = rockwellScale(inputs.choices.at("scale"));
  if (!scale) return scale.error();
  const Result<Rockwell> hardness = rockwellFromDepth(*lengthFrom(depth), *scale);
  if (!hardness) return atInput(hardness.error());
  Evaluation result;
  result.outputs = {hardnessOutput("hardness", hardness->number, *scale)};
  result.substituted_formula = fmt::format("HR = 130 − {}/0.002 = {:.1f} {}", numberIn(depth, "mm"),
                                           hardness->number, rockwellBall(*scale).symbol);
  result.working = {line("h", "permanent increase of depth", depth)};
  noteUnverified(result, *scale);
  return result;
}

Entry hardnessDepth() {
  Entry entry;
  entry.id = "bench.hardness_depth";
  entry.version = rockwell_version;
  entry.title = "Rockwell hardness from depth";
  entry.words = "Hardness in a Rockwell ball scale from the permanent increase of depth.";
  entry.formula = "HR = 130 − h/0.002 mm";
  entry.inputs = {value("depth", "h", "permanent increase of depth", Kind::length, "mm", 0, 0.26)};
  Choice scale{"scale", "Rockwell scale", {}, ""};
  for (const RockwellBall& ball : rockwellBalls()) scale.options.emplace_back(ball.symbol);
  entry.choices = {scale};
  entry.outputs = {{"hardness", "HR", "hardness", Kind::hardness, "{HRR}", 1}};
  entry.validity = std::string(hardness_validity) + " The result is in the scale chosen.";
  entry.uncertainty = "u(HR) = u(h)/0.002 mm.";
  entry.source = hardness_source;
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/hardness.csv";
  entry.example.numbers = {{"depth", {typed("0.084", "mm")}}};
  entry.example.choices = {{"scale", "HRR"}};
  entry.evaluate = evaluateHardnessDepth;
  return entry;
}

// ---------------------------------------------------------------- shear

Result<Evaluation> evaluateShear(const Entry& entry, const Inputs& inputs) {
  const Measure &force = one(inputs, "force"), &area = one(inputs, "bond_area");
  const Result<Pressure> shear = method::bench::shearStrength(*forceFrom(force), *areaFrom(area));
  if (!shear) return atInput(shear.error());
  Evaluation result;
  result.outputs = {output(entry, "shear_strength", shear->in(unit::pascal))};
  result.substituted_formula =
      fmt::format("τ = {}/{} = {:.1f} N/cm²", numberIn(force, "N"), numberIn(area, "cm2"),
                  shear->in(unit::newton_per_square_centimetre));
  result.working = {line("F", "force at failure", force), line("A", "bond area", area)};
  if (!isGiven(inputs, "bond_line_share")) return result;
  const Measure& read = one(inputs, "bond_line_share");
  const Result<Share> share = bondLineShare(*shareFrom(read));
  if (!share) return atInput(share.error());
  result.outputs.push_back(output(entry, "bond_line_share", share->in(unit::one)));
  result.working.push_back(line("a", "share of bond-line failure", read));
  return result;
}

Entry shear() {
  Entry entry;
  entry.id = "bench.shear";
  entry.version = shear_version;
  entry.title = "Shear strength of the bond";
  entry.words =
      "Force at failure over the bond area of one pad, and how much failed in the bond line.";
  entry.formula = "τ = F/A";
  entry.inputs = {value("force", "F", "force at failure", Kind::force, "N", 0),
                  value("bond_area", "A", "bond area", Kind::area, "cm2", 0),
                  ifKnown(value("bond_line_share", "a", "share of bond-line failure", Kind::number,
                                "%", 0, 100))};
  entry.outputs = {{"shear_strength", "τ", "shear strength", Kind::pressure, "N/cm2", 1},
                   {"bond_line_share", "a", "share of bond-line failure", Kind::number, "%", 0}};
  entry.validity =
      "One pad up to 3000 N/cm² (30 MPa); above it a unit was mistaken. Load rate 4500 ± 1000 N/s "
      "or 10 ± 1 mm/min; shims removed. The lowest pad, not only the mean, meets the limit.";
  entry.uncertainty = "(u(τ)/τ)² = (u(F)/F)² + (u(A)/A)².";
  entry.source =
      "ISO 6312:2001, 3.3 and 3.4 (definition); ISO 6312:2010 (load rate); SAE J840 through "
      "another "
      "text (shims); the bound of 30 MPa is a definition of this project";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/shear.csv";
  entry.example.numbers = {{"force", {typed("27400", "N")}},
                           {"bond_area", {typed("47.2", "cm2")}},
                           {"bond_line_share", {typed("18", "%")}}};
  entry.evaluate = evaluateShear;
  return entry;
}

// ---------------------------------------------------------------- compressibility

std::vector<Length> lengthsFrom(const Inputs& inputs, const std::string& name) {
  std::vector<Length> list;
  for (const double metres : siList(inputs, name)) list.push_back(Length::of(metres, unit::metre));
  return list;
}

Result<std::optional<CycleLoad>> loadFrom(const Inputs& inputs) {
  const std::vector<std::string> names{"piston_area", "pressure_low", "pressure_high"};
  const auto given = [&](const std::string& name) { return isGiven(inputs, name); };
  if (std::none_of(names.begin(), names.end(), given)) return std::optional<CycleLoad>();
  for (const std::string& name : names)
    if (!given(name))
      return missingInput(
          name, "The stiffness needs the area and both pressures; " + name + " is missing.");
  return std::optional(CycleLoad{*areaFrom(one(inputs, "piston_area")),
                                 *pressureFrom(one(inputs, "pressure_low")),
                                 *pressureFrom(one(inputs, "pressure_high"))});
}

std::vector<WorkingLine> cycleLines(const Inputs& inputs, const Compressibility& found) {
  std::vector<WorkingLine> lines{line("t_0", "thickness", one(inputs, "thickness"))};
  for (std::size_t i = 0; i < found.cycles.size(); ++i) {
    const std::string n = std::to_string(i + 1);
    lines.push_back(
        line("d_raw," + n, "deflection read, cycle " + n, inputs.numbers.at("deflection")[i]));
    lines.push_back(line("d_mach," + n, "of the machine alone, cycle " + n,
                         inputs.numbers.at("machine_deflection")[i]));
    lines.push_back(line("d_" + n, "of the pad, cycle " + n,
                         fromSi(found.cycles[i].net.in(unit::metre), "um")));
  }
  if (!found.cycles.front().stiffness) return lines;
  lines.push_back(line("A", "area the pressure acts on", one(inputs, "piston_area")));
  lines.push_back(line("p_low", "preload", one(inputs, "pressure_low")));
  lines.push_back(line("p_high", "pressure of the cycle", one(inputs, "pressure_high")));
  return lines;
}

std::string compressionInNumbers(const Inputs& inputs, const CompressionCycle& last) {
  const double net = last.net.in(unit::micrometre);
  return fmt::format("d_{} = {} − {} = {:.1f} µm; ε = 100·{:.1f}/{:.10g} = {:.3f} %", last.number,
                     numberIn(inputs.numbers.at("deflection").back(), "um"),
                     numberIn(inputs.numbers.at("machine_deflection").back(), "um"), net, net,
                     si(one(inputs, "thickness")) * 1e6, last.strain.in(unit::percent));
}

std::vector<std::string> compressionNotes(const Compressibility& found) {
  std::vector<std::string> notes{
      fmt::format("By {} pressure; not comparable with {} pressure. Last cycle: {}.",
                  found.basis == PressureBasis::line ? "line" : "specific",
                  found.basis == PressureBasis::line ? "specific" : "line", found.cycles.size())};
  if (found.rising)
    notes.push_back("A later cycle compresses more than the one before it: check the run.");
  return notes;
}

Result<Evaluation> evaluateCompressibility(const Entry& entry, const Inputs& inputs) {
  const Result<std::optional<CycleLoad>> load = loadFrom(inputs);
  if (!load) return load.error();
  const bool by_line = inputs.choices.at("pressure_basis") == "line";
  const Result<Compressibility> found = method::bench::compressibility(
      {lengthsFrom(inputs, "deflection"), lengthsFrom(inputs, "machine_deflection"),
       *lengthFrom(one(inputs, "thickness")),
       by_line ? PressureBasis::line : PressureBasis::specific, *load});
  if (!found) return atInput(found.error());
  const CompressionCycle &first = found->cycles.front(), &last = found->cycles.back();
  Evaluation result;
  result.outputs = {output(entry, "compressibility", last.net.in(unit::metre)),
                    output(entry, "compressibility_first", first.net.in(unit::metre)),
                    output(entry, "strain", last.strain.in(unit::one))};
  result.substituted_formula = compressionInNumbers(inputs, last);
  if (last.stiffness) {
    const double stiffness = last.stiffness->in(unit::newton_per_micrometre);
    result.outputs.push_back(output(entry, "stiffness", stiffness * 1e6));
    result.substituted_formula += fmt::format(
        "; k = ({} − {})·{}·10/{:.1f} = {:.1f} N/µm", numberIn(one(inputs, "pressure_high"), "bar"),
        numberIn(one(inputs, "pressure_low"), "bar"), numberIn(one(inputs, "piston_area"), "cm2"),
        last.net.in(unit::micrometre), stiffness);
  }
  result.working = cycleLines(inputs, *found);
  result.notes = compressionNotes(*found);
  return result;
}

Entry compression() {
  Entry entry;
  entry.id = "bench.compressibility";
  entry.version = compressibility_version;
  entry.title = "Compressibility";
  entry.words =
      "How much thinner a pad gets under its load, the machine's own deflection taken off.";
  entry.formula = "d_j = d_raw,j − d_mach,j; ε = 100·d/t_0; k = (p_high − p_low)·A/d";
  entry.inputs = {
      listOf(value("deflection", "d_raw", "deflection read, per cycle", Kind::length, "um", 0)),
      listOf(value("machine_deflection", "d_mach", "deflection of the machine alone, per cycle",
                   Kind::length, "um", 0)),
      value("thickness", "t_0", "thickness of the compound before the test", Kind::length, "mm", 0),
      ifKnown(value("piston_area", "A",
                    "area the pressure acts on: all pistons of one side for line pressure, the "
                    "pad's face for specific pressure",
                    Kind::area, "cm2", 0)),
      ifKnown(value("pressure_low", "p_low", "preload", Kind::pressure, "bar", 0)),
      ifKnown(value("pressure_high", "p_high", "pressure of the cycle", Kind::pressure, "bar", 0))};
  entry.choices = {{"pressure_basis", "basis of the pressure", {"line", "specific"}, ""}};
  entry.outputs = {
      {"compressibility", "d", "compression in the last cycle", Kind::length, "um", 1},
      {"compressibility_first", "d_1", "compression in the first cycle", Kind::length, "um", 1},
      {"strain", "ε", "compression of the thickness, last cycle", Kind::number, "%", 3},
      {"stiffness", "k", "stiffness in the last cycle", Kind::stiffness, "N/um", 1}};
  entry.validity =
      "Same preload and force for the pad and for the machine alone. Results by line pressure and "
      "by specific pressure are not comparable. If the thickness is that of the whole pad, so is "
      "the strain.";
  entry.uncertainty = "u²(d) = u²(d_raw) + u²(d_mach).";
  entry.source =
      "JIS D 4413:2005 (both bases), read; SAE J2468:2018 (machine deflection taken off), through "
      "another text; stiffness: definition of this project";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/compressibility.csv";
  entry.example.numbers = {{"deflection", typedList({"188.4", "171.9", "168.2"}, "um")},
                           {"machine_deflection", typedList({"31.6", "31.2", "31.0"}, "um")},
                           {"thickness", {typed("15.80", "mm")}},
                           {"piston_area", {typed("25.5176", "cm2")}},
                           {"pressure_low", {typed("5", "bar")}},
                           {"pressure_high", {typed("160", "bar")}}};
  entry.example.choices = {{"pressure_basis", "line"}};
  entry.evaluate = evaluateCompressibility;
  return entry;
}

}  // namespace

std::vector<Entry> benchEntries() {
  return {density(), porosity(), hardness(), hardnessDepth(), shear(), compression()};
}

}  // namespace platemark::catalogue
