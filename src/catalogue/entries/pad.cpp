#include <cmath>

#include "platemark/method/bench/load_curve.h"
#include "platemark/method/bench/pad_findings.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::bench;

Length lengthOf(const Inputs& inputs, const std::string& name) {
  return Length::of(si(one(inputs, name)), unit::metre);
}

Result<std::vector<LoadPoint>> curveFrom(const Inputs& inputs, const std::string& prefix) {
  const std::vector<double> force = siList(inputs, prefix + "force");
  const std::vector<double> deflection = siList(inputs, prefix + "deflection");
  if (force.size() != deflection.size()) {
    Error error;
    error.code = "load_curve.count";
    error.what = fmt::format("{} forces, but {} deflections.", force.size(), deflection.size());
    error.where.field = "numbers." + prefix + "deflection";
    error.expected = "one deflection for each force";
    error.remedy = "Read the instrument's file again.";
    return error;
  }
  std::vector<LoadPoint> points;
  for (std::size_t i = 0; i < force.size(); ++i) points.push_back({force[i], deflection[i] * 1e6});
  return points;
}

void addCycle(Evaluation& result, const LoadCycle& cycle) {
  result.working.push_back(line(fmt::format("d{}", cycle.number),
                                fmt::format("net deflection of cycle {}, {:.4g} N/µm", cycle.number,
                                            cycle.stiffness.in(unit::newton_per_micrometre)),
                                fromSi(cycle.net.in(unit::metre), "um")));
}

Result<Evaluation> evaluateCurve(const Entry& entry, const Inputs& inputs) {
  const auto pad = curveFrom(inputs, "");
  if (!pad) return pad.error();
  const auto machine = curveFrom(inputs, "machine_");
  if (!machine) return machine.error();
  const Result<LoadCurve> curve = loadCurve(
      {*pad, *machine, Force::of(si(one(inputs, "preload")), unit::newton),
       lengthOf(inputs, "thickness"),
       inputs.choices.at("basis") == "line" ? PressureBasis::line : PressureBasis::specific});
  if (!curve) return atInput(curve.error());
  const LoadCycle &first = curve->cycles.front(), &last = curve->cycles.back();
  Evaluation result;
  result.outputs = {output(entry, "cycles", static_cast<double>(curve->cycles.size())),
                    output(entry, "first", first.net.in(unit::metre)),
                    output(entry, "last", last.net.in(unit::metre)),
                    output(entry, "strain", last.strain.in(unit::one)),
                    output(entry, "stiffness", last.stiffness.in(unit::newton_per_micrometre)*1e6)};
  if (last.hysteresis)
    result.outputs.push_back(output(entry, "hysteresis", last.hysteresis->in(unit::one)));
  result.substituted_formula =
      fmt::format("d{} = {:.2f} µm at {:.4g} N", last.number, last.net.in(unit::micrometre),
                  last.highest.in(unit::newton));
  for (const LoadCycle& cycle : curve->cycles) addCycle(result, cycle);
  result.notes = {inputs.choices.at("basis") == "line"
                      ? "By line pressure: never compared with a result by specific pressure."
                      : "By specific pressure: never compared with a result by line pressure."};
  if (curve->rising) result.notes.push_back("A cycle compresses more than the one before it.");
  return result;
}

Entry curveEntry() {
  Entry entry;
  entry.id = "bench.load_curve";
  entry.version = load_curve_version;
  entry.title = "Compressibility from the curve";
  entry.words =
      "Net deflection of a pad cycle by cycle from force and deflection, the machine's own "
      "taken off; stiffness and hysteresis.";
  entry.formula =
      "d = [d(F_max) − d(F_pre)] − [d_m(F_max) − d_m(F_pre)]; ε = d/t0; k = (F_max − "
      "F_pre)/d; hysteresis = (W_load − W_unload)/W_load";
  entry.inputs = {
      listOf(value("force", "F", "force, in order of time", Kind::force, "N")),
      listOf(value("deflection", "d", "deflection read, in the same order", Kind::length, "um")),
      listOf(value("machine_force", "F_m", "force of the machine's run with a steel dummy, rising",
                   Kind::force, "N")),
      listOf(value("machine_deflection", "d_m", "deflection of the machine's run", Kind::length,
                   "um")),
      value("preload", "F_pre", "preload", Kind::force, "N"),
      value("thickness", "t0", "thickness of the compound before the test", Kind::length, "mm")};
  entry.choices = {{"basis",
                    "what the force was set by: line pressure, or specific pressure on the pad",
                    {"line", "specific"},
                    ""}};
  entry.outputs = {{"cycles", "", "cycles found", Kind::number, "1", 0},
                   {"first", "d_1", "net deflection of the first cycle", Kind::length, "um", 1},
                   {"last", "d_n", "net deflection of the last cycle", Kind::length, "um", 1},
                   {"strain", "ε_n", "strain of the last cycle", Kind::number, "%", 3},
                   {"stiffness", "k_n", "stiffness of the last cycle", Kind::stiffness, "N/um", 1},
                   {"hysteresis", "",
                    "energy kept by the last cycle; absent when it was not "
                    "unloaded",
                    Kind::number, "%", 1}};
  entry.validity =
      "The machine's run spans preload and largest force: it is never extrapolated. Same preload "
      "for pad and dummy. Results by line pressure and by specific pressure do not compare.";
  entry.uncertainty = "u²(d) = u²(read) + u²(machine).";
  entry.source = "SAE J2468:2018 through another text; bases JIS D 4413:2005, read";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {
      {"force", typedList({"0", "1000", "21000", "41000", "21000", "1000", "0"}, "N")},
      {"deflection", typedList({"0", "20", "110", "190", "130", "24", "0"}, "um")},
      {"machine_force", typedList({"0", "41000"}, "N")},
      {"machine_deflection", typedList({"0", "32"}, "um")},
      {"preload", {typed("1000", "N")}},
      {"thickness", {typed("15.80", "mm")}}};
  entry.example.choices = {{"basis", "line"}};
  entry.evaluate = evaluateCurve;
  return entry;
}

Result<Evaluation> evaluateSwelling(const Entry& entry, const Inputs& inputs) {
  const Length rig = isGiven(inputs, "rig") ? lengthOf(inputs, "rig") : Length();
  const Result<Swelling> found =
      swelling({lengthOf(inputs, "before"), lengthOf(inputs, "hot"), lengthOf(inputs, "after"),
                lengthOf(inputs, "compound"), rig});
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "swell", found->swell.in(unit::metre)),
                    output(entry, "growth", found->growth.in(unit::metre)),
                    output(entry, "swell_share", found->swell_of_compound.in(unit::one)),
                    output(entry, "growth_share", found->growth_of_compound.in(unit::one)),
                    output(entry, "swell_share_of_pad", found->swell_of_pad.in(unit::one)),
                    output(entry, "growth_share_of_pad", found->growth_of_pad.in(unit::one))};
  result.substituted_formula =
      fmt::format("swell {:.1f} µm = {:.3f} %; growth {:.1f} µm = {:.3f} % of the compound",
                  found->swell.in(unit::micrometre), found->swell_of_compound.in(unit::percent),
                  found->growth.in(unit::micrometre), found->growth_of_compound.in(unit::percent));
  result.working = asTyped(entry, inputs);
  if (!isGiven(inputs, "rig")) result.notes = {"The rig's own expansion was not taken off."};
  return result;
}

Entry swellingEntry() {
  Entry entry;
  entry.id = "bench.swelling";
  entry.version = pad_findings_version;
  entry.title = "Swell and growth";
  entry.words = "How much thicker a pad is while hot, and how much of that stays.";
  entry.formula = "swell = (t_hot − t0 − rig)/t; growth = (t_after − t0)/t";
  entry.inputs = {value("before", "t0", "thickness of the pad before", Kind::length, "mm"),
                  value("hot", "t_hot", "thickness while hot", Kind::length, "mm"),
                  value("after", "t_after", "thickness cold again", Kind::length, "mm"),
                  value("compound", "t", "thickness of the compound before", Kind::length, "mm"),
                  ifKnown(value("rig", "", "expansion of the rig while hot", Kind::length, "um"))};
  entry.outputs = {
      {"swell", "", "swell", Kind::length, "um", 1},
      {"growth", "", "growth", Kind::length, "um", 1},
      {"swell_share", "", "swell of the compound's thickness", Kind::number, "%", 3},
      {"growth_share", "", "growth of the compound's thickness", Kind::number, "%", 3},
      {"swell_share_of_pad", "", "swell of the pad's thickness", Kind::number, "%", 3},
      {"growth_share_of_pad", "", "growth of the pad's thickness", Kind::number, "%", 3}};
  entry.validity = "Users take one or the other thickness: both shares are given.";
  entry.uncertainty = "u(t)·√2/t.";
  entry.source = "SAE J160:2001, clause 3";
  entry.mark = Mark::read;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {{"before", {typed("17.046", "mm")}},
                           {"hot", {typed("17.312", "mm")}},
                           {"after", {typed("17.081", "mm")}},
                           {"compound", {typed("11.046", "mm")}}};
  entry.evaluate = evaluateSwelling;
  return entry;
}

Result<Evaluation> evaluateCompression(const Entry& entry, const Inputs& inputs) {
  const Result<CompressionHardness> found = compressionHardness(siList(inputs, "depths"));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "hardness", found->mean),
                    output(entry, "hardest", found->hardest),
                    output(entry, "softest", found->softest)};
  if (found->s) result.outputs.push_back(output(entry, "s", *found->s));
  result.substituted_formula =
      fmt::format("mean of {} readings = {:.2f}", inputs.numbers.at("depths").size(), found->mean);
  result.working = asTyped(entry, inputs);
  result.notes = {"Low is hard: it runs against Rockwell and never compares with it."};
  return result;
}

Entry compressionEntry() {
  Entry entry;
  entry.id = "bench.compression_hardness";
  entry.version = pad_findings_version;
  entry.title = "Compression hardness";
  entry.words = "Depth of a plunger under load: a low reading is a hard pad.";
  entry.formula = "mean of the depths; hardest = lowest, softest = highest";
  entry.inputs = {
      listOf(value("depths", "h", "depths in divisions of the instrument", Kind::number, "1", 0))};
  entry.outputs = {{"hardness", "h̄", "mean depth", Kind::number, "1", 1},
                   {"hardest", "h_min", "hardest place, the lowest reading", Kind::number, "1", 1},
                   {"softest", "h_max", "softest place, the highest reading", Kind::number, "1", 1},
                   {"s", "s", "standard deviation; absent for one reading", Kind::number, "1", 2}};
  entry.validity = "Thick pads read softer than thin ones: compare one part with itself.";
  entry.uncertainty = "From the readings' spread.";
  entry.source =
      "SAE J379 as a report of the trade tells it: plunger of ¾ inch, 1500 kg, readings "
      "of 15 to 40";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {{"depths", typedList({"24", "27", "22"}, "1")}};
  entry.evaluate = evaluateCompression;
  return entry;
}

Result<Evaluation> evaluateAcidity(const Entry& entry, const Inputs& inputs) {
  const Result<Acidity> found = acidity(siList(inputs, "ph"));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", found->mean), output(entry, "apart", found->apart)};
  result.substituted_formula = fmt::format("mean = {:.2f}", found->mean);
  result.working = asTyped(entry, inputs);
  return result;
}

Entry acidityEntry() {
  Entry entry;
  entry.id = "bench.ph";
  entry.version = pad_findings_version;
  entry.title = "pH";
  entry.words = "pH of a suspension of powder or of ground compound.";
  entry.formula = "mean of the readings";
  entry.inputs = {listOf(value("ph", "pH", "readings", Kind::number, "1", 0, 14))};
  entry.outputs = {{"mean", "pH", "mean", Kind::number, "1", 2},
                   {"apart", "", "largest minus smallest", Kind::number, "1", 2}};
  entry.validity = "10 % suspension in water; electrode calibrated on both sides of the reading.";
  entry.uncertainty = "About 0.05 of the electrode, and the readings' spread.";
  entry.source = "ISO 787-9";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {{"ph", typedList({"9.8", "9.9"}, "1")}};
  entry.evaluate = evaluateAcidity;
  return entry;
}

Result<Evaluation> evaluateShearCheck(const Entry& entry, const Inputs& inputs) {
  std::vector<Pressure> pads;
  for (const double pa : siList(inputs, "pads")) pads.push_back(Pressure::of(pa, unit::pascal));
  const double fewest = si(one(inputs, "fewest"));
  const Result<ShearCheck> found =
      shearAgainst(pads, Pressure::of(si(one(inputs, "minimum")), unit::pascal),
                   fewest == std::floor(fewest) ? static_cast<int>(fewest) : 0);
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "lowest", found->summary.lowest.in(unit::pascal)),
                    output(entry, "mean", found->summary.mean.in(unit::pascal)),
                    output(entry, "below", found->below),
                    output(entry, "kept", found->kept() ? 1 : 0)};
  result.substituted_formula =
      fmt::format("lowest of {} pads = {:.1f} N/cm², {} below", found->summary.pads,
                  found->summary.lowest.in(unit::newton_per_square_centimetre), found->below);
  result.working = asTyped(entry, inputs);
  if (!found->enough)
    result.notes = {
        fmt::format("{} pads were sheared, {:g} are asked for.", found->summary.pads, fewest)};
  return result;
}

Entry shearCheckEntry() {
  Entry entry;
  entry.id = "bench.shear_minimum";
  entry.version = pad_findings_version;
  entry.title = "Shear strength against its minimum";
  entry.words = "Whether every pad of a sample reaches the minimum, and whether there are enough.";
  entry.formula = "kept when no pad is below the minimum and there are as many as asked for";
  entry.inputs = {listOf(value("pads", "τ", "shear strength of each pad", Kind::pressure, "N/cm2")),
                  value("minimum", "", "minimum", Kind::pressure, "N/cm2"),
                  value("fewest", "", "pads the plan asks for", Kind::number, "1", 1)};
  entry.outputs = {{"lowest", "τ_min", "lowest pad", Kind::pressure, "N/cm2", 1},
                   {"mean", "τ̄", "mean", Kind::pressure, "N/cm2", 1},
                   {"below", "", "pads below the minimum", Kind::number, "1", 0},
                   {"kept", "", "1 kept, else 0", Kind::number, "1", 0}};
  entry.validity =
      "The minimum is the plan's; one above 3000 N/cm² is taken for a slip of N/mm² for N/cm².";
  entry.uncertainty = "Of one pad as of its force and area.";
  entry.source = "definition of this project";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {
      {"pads", typedList({"580.5", "571.0", "599.8", "527.1", "588.1"}, "N/cm2")},
      {"minimum", {typed("250", "N/cm2")}},
      {"fewest", {typed("5", "1")}}};
  entry.evaluate = evaluateShearCheck;
  return entry;
}

Result<Evaluation> evaluateFindings(const Entry& entry, const Inputs& inputs) {
  std::vector<int> severities;
  for (const double typed : siList(inputs, "severities"))
    severities.push_back(typed == std::floor(typed) ? static_cast<int>(typed) : -1);
  const Result<Findings> found = countFindings(severities);
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "worst", found->worst),
                    output(entry, "with_finding", found->with_finding)};
  result.substituted_formula =
      fmt::format("{} of {} parts, worst {}", found->with_finding, severities.size(), found->worst);
  for (std::size_t i = 0; i < found->parts.size(); ++i)
    result.working.push_back(
        line("n", fmt::format("parts of severity {}", i), fromSi(found->parts[i], "1")));
  return result;
}

Entry findingsEntry() {
  Entry entry;
  entry.id = "bench.findings";
  entry.version = pad_findings_version;
  entry.title = "Findings by eye";
  entry.words = "Corrosion or a visual finding over the parts looked at, by severity.";
  entry.formula = "worst = largest severity; parts with a finding counted";
  entry.inputs = {listOf(value("severities", "", "severity of each part, 0 none to 4 worst",
                               Kind::number, "1", 0, 4))};
  entry.outputs = {{"worst", "", "worst severity", Kind::number, "1", 0},
                   {"with_finding", "", "parts with a finding", Kind::number, "1", 0}};
  entry.validity = "Severities are read with the plant's own pictures, one finding at a time.";
  entry.uncertainty = "Read by eye: study the people who read as a gauge.";
  entry.source = "definition of this project";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {{"severities", typedList({"0", "0", "1", "0", "2"}, "1")}};
  entry.evaluate = evaluateFindings;
  return entry;
}

Result<Evaluation> evaluateFindingShare(const Entry& entry, const Inputs& inputs) {
  const auto area = [&](const char* name) {
    return Area::of(si(one(inputs, name)) * 1e4, unit::square_centimetre);
  };
  const Result<Share> share = findingShare(area("found"), area("looked_at"));
  if (!share) return atInput(share.error());
  Evaluation result;
  result.outputs = {output(entry, "share", share->in(unit::one))};
  result.substituted_formula =
      fmt::format("{}/{} = {:.2f} %", numberIn(one(inputs, "found"), "cm2"),
                  numberIn(one(inputs, "looked_at"), "cm2"), share->in(unit::percent));
  result.working = asTyped(entry, inputs);
  return result;
}

Entry findingShareEntry() {
  Entry entry;
  entry.id = "bench.finding_share";
  entry.version = pad_findings_version;
  entry.title = "Share of an area";
  entry.words = "Share of a face that is chipped, painted, rusted or bare.";
  entry.formula = "share = area found/area looked at";
  entry.inputs = {value("found", "", "area found", Kind::area, "cm2", 0),
                  value("looked_at", "", "area looked at", Kind::area, "cm2")};
  entry.outputs = {{"share", "", "share", Kind::number, "%", 2}};
  entry.validity = "The limit, such as 1 % of chipped edge in one catalogue, is the plan's.";
  entry.uncertainty = "Of the area found.";
  entry.source = "definition";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/pad.csv";
  entry.example.numbers = {{"found", {typed("0.9", "cm2")}}, {"looked_at", {typed("85", "cm2")}}};
  entry.evaluate = evaluateFindingShare;
  return entry;
}

}  // namespace

std::vector<Entry> padEntries() {
  return {curveEntry(),      swellingEntry(), compressionEntry(), acidityEntry(),
          shearCheckEntry(), findingsEntry(), findingShareEntry()};
}

}  // namespace platemark::catalogue
