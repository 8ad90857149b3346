#include "platemark/method/plate/coating.h"
#include "platemark/method/plate/flatness.h"
#include "platemark/method/plate/parallelism.h"
#include "typed.h"

namespace platemark::catalogue {
namespace {

using namespace method::plate;

std::vector<Length> lengthsOf(const Inputs& inputs, const std::string& name) {
  std::vector<Length> list;
  for (const double x : siList(inputs, name)) list.push_back(Length::of(x, unit::metre));
  return list;
}

std::vector<WorkingLine> asTyped(const Inputs& inputs, const std::string& name,
                                 const std::string& symbol) {
  std::vector<WorkingLine> lines;
  for (const Measure& typed : inputs.numbers.at(name)) lines.push_back(line(symbol, name, typed));
  return lines;
}

/// Points from three lists x, y, z under names that begin alike.
Result<std::vector<SurfacePoint>> pointsFrom(const Inputs& inputs, const std::string& prefix) {
  const auto x = lengthsOf(inputs, prefix + "x"), y = lengthsOf(inputs, prefix + "y"),
             z = lengthsOf(inputs, prefix + "z");
  if (x.size() != y.size() || x.size() != z.size()) {
    Error error;
    error.code = "flatness.count";
    error.what = fmt::format("{} x, {} y and {} z.", x.size(), y.size(), z.size());
    error.where.field = "numbers." + prefix + "x";
    error.expected = "x, y and z of each point";
    error.remedy = "Check the coordinates of each point.";
    return error;
  }
  std::vector<SurfacePoint> points;
  for (std::size_t i = 0; i < x.size(); ++i)
    points.push_back(
        {x[i].in(unit::millimetre), y[i].in(unit::millimetre), z[i].in(unit::millimetre)});
  return points;
}

std::vector<Input> coordinates(const std::string& prefix, const std::string& of) {
  return {
      listOf(value(prefix + "x", "x", "x of the points " + of, Kind::length, "mm")),
      listOf(value(prefix + "y", "y", "y of the points, in the same order", Kind::length, "mm")),
      listOf(value(prefix + "z", "z", "z of the points, in the same order", Kind::length, "mm"))};
}

std::string named(const std::vector<std::size_t>& points) {
  std::string text;
  for (const std::size_t i : points) text += (text.empty() ? "" : ", ") + std::to_string(i + 1);
  return text;
}

Result<Evaluation> evaluateFlatness(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<SurfacePoint>> points = pointsFrom(inputs, "");
  if (!points) return points.error();
  const Result<LeastSquaresFlatness> squares = leastSquaresFlatness(*points);
  if (!squares) return atInput(squares.error());
  const Result<Zone> zone = minimumZone(*points);
  if (!zone) return atInput(zone.error());
  Evaluation result;
  result.outputs = {output(entry, "minimum_zone", zone->width.in(unit::metre)),
                    output(entry, "least_squares", squares->flatness.in(unit::metre)),
                    output(entry, "peak", squares->peak.in(unit::metre)),
                    output(entry, "valley", squares->valley.in(unit::metre)),
                    output(entry, "rms", squares->rms.in(unit::metre))};
  result.substituted_formula =
      fmt::format("zone of {} points: {:.3f} µm; by least squares {:.3f} µm", points->size(),
                  zone->width.in(unit::micrometre), squares->flatness.in(unit::micrometre));
  const std::vector<Length> over = heights(*points, zone->middle);
  for (std::size_t i = 0; i < over.size(); ++i)
    result.working.push_back(line("h",
                                  fmt::format("height of point {} over the middle plane", i + 1),
                                  fromSi(over[i].in(unit::metre), "um")));
  result.notes = {fmt::format("The zone touches points {} above and {} below.", named(zone->upper),
                              named(zone->lower))};
  return result;
}

Entry flatnessEntry() {
  Entry entry;
  entry.id = "plate.flatness";
  entry.version = flatness_version;
  entry.title = "Flatness";
  entry.words = "Flatness of a face from points, by the minimum zone and by least squares.";
  entry.formula =
      "minimum zone: least distance of two parallel planes with all points between; least squares: "
      "peak + valley from the plane with Σ(z − a·x − b·y − c)² least";
  entry.inputs = coordinates("", "of the face");
  entry.outputs = {
      {"minimum_zone", "MZ", "flatness by the minimum zone", Kind::length, "um", 2},
      {"least_squares", "LS", "flatness by least squares", Kind::length, "um", 2},
      {"peak", "", "highest point over the plane of least squares", Kind::length, "um", 2},
      {"valley", "", "lowest point under it", Kind::length, "um", 2},
      {"rms", "", "root mean square off it", Kind::length, "um", 2}};
  entry.validity =
      "Three points or more, not on one line; z roughly square to the face; the zone thin against "
      "the face. The minimum zone is never more than the least squares flatness: a part can pass "
      "by one and fail by the other. Points taken apart miss what lies between them.";
  entry.uncertainty = "Of each coordinate about once, since single points touch the zone.";
  entry.source = "ISO 1101 and ISO 12781-1";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {
      {"x", typedList({"0", "60", "120", "0", "60", "120", "0", "60", "120"}, "mm")},
      {"y", typedList({"0", "0", "0", "25", "25", "25", "50", "50", "50"}, "mm")},
      {"z",
       typedList({"0", "0.010", "0", "0.012", "0.050", "0.014", "0.004", "0.012", "0.002"}, "mm")}};
  entry.evaluate = evaluateFlatness;
  return entry;
}

Result<Evaluation> evaluateParallelism(const Entry& entry, const Inputs& inputs) {
  const Result<std::vector<SurfacePoint>> face = pointsFrom(inputs, "face_");
  if (!face) return face.error();
  const Result<std::vector<SurfacePoint>> datum = pointsFrom(inputs, "datum_");
  if (!datum) return datum.error();
  const Result<Parallelism> found = parallelism(*face, *datum);
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "parallelism", found->parallelism.in(unit::metre)),
                    output(entry, "mean", found->thickness.mean.in(unit::metre)),
                    output(entry, "lowest", found->thickness.lowest.in(unit::metre)),
                    output(entry, "highest", found->thickness.highest.in(unit::metre))};
  result.substituted_formula = fmt::format(
      "{:.4f} − {:.4f} = {:.4f} mm", found->thickness.highest.in(unit::millimetre),
      found->thickness.lowest.in(unit::millimetre), found->parallelism.in(unit::millimetre));
  result.working = asTyped(inputs, "face_z", "z");
  return result;
}

Entry parallelismEntry() {
  Entry entry;
  entry.id = "plate.parallelism";
  entry.version = parallelism_version;
  entry.title = "Parallelism to a datum";
  entry.words = "How far a face is from parallel to a datum face, and the thickness between them.";
  entry.formula = "max n·p − min n·p over the face, n square to the datum's plane of least squares";
  entry.inputs = coordinates("face_", "of the face");
  for (Input& input : coordinates("datum_", "of the datum face")) entry.inputs.push_back(input);
  entry.outputs = {{"parallelism", "", "parallelism", Kind::length, "um", 1},
                   {"mean", "", "mean thickness", Kind::length, "mm", 4},
                   {"lowest", "", "smallest thickness", Kind::length, "mm", 4},
                   {"highest", "", "largest thickness", Kind::length, "mm", 4}};
  entry.validity =
      "Both faces in one set-up. It is another number than largest minus smallest thickness when "
      "the plate is bent.";
  entry.uncertainty = "Of each coordinate about once.";
  entry.source = "ISO 1101, parallelism to a datum";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"face_x", typedList({"0", "100", "0", "100"}, "mm")},
                           {"face_y", typedList({"0", "0", "50", "50"}, "mm")},
                           {"face_z", typedList({"6.01", "6.03", "6.00", "6.04"}, "mm")},
                           {"datum_x", typedList({"0", "100", "0", "100"}, "mm")},
                           {"datum_y", typedList({"0", "0", "50", "50"}, "mm")},
                           {"datum_z", typedList({"0", "0.01", "0", "0.01"}, "mm")}};
  entry.evaluate = evaluateParallelism;
  return entry;
}

Result<Evaluation> evaluateThickness(const Entry& entry, const Inputs& inputs) {
  const Result<Thickness> found = thickness(lengthsOf(inputs, "readings"));
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", found->mean.in(unit::metre)),
                    output(entry, "lowest", found->lowest.in(unit::metre)),
                    output(entry, "highest", found->highest.in(unit::metre)),
                    output(entry, "apart", found->apart.in(unit::metre))};
  result.substituted_formula =
      fmt::format("{:.4f} − {:.4f} = {:.4f} mm", found->highest.in(unit::millimetre),
                  found->lowest.in(unit::millimetre), found->apart.in(unit::millimetre));
  result.working = asTyped(inputs, "readings", "t");
  return result;
}

Entry thicknessEntry() {
  Entry entry;
  entry.id = "plate.thickness";
  entry.version = parallelism_version;
  entry.title = "Thickness and parallelism";
  entry.words =
      "Thickness over the places measured, and largest minus smallest as the shop's "
      "parallelism.";
  entry.formula = "t̄ = Σt/n; parallelism = t_max − t_min";
  entry.inputs = {listOf(value("readings", "t", "thickness at each place", Kind::length, "mm"))};
  entry.outputs = {{"mean", "t̄", "mean thickness", Kind::length, "mm", 4},
                   {"lowest", "t_min", "smallest thickness", Kind::length, "mm", 4},
                   {"highest", "t_max", "largest thickness", Kind::length, "mm", 4},
                   {"apart", "", "largest minus smallest", Kind::length, "mm", 4}};
  entry.validity = "It is another number than the parallelism to a datum when the plate is bent.";
  entry.uncertainty = "Of the difference that of the gauge times √2.";
  entry.source = "definition; largest minus smallest is usage of the trade";
  entry.mark = Mark::own;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"readings", typedList({"17.02", "17.05", "17.00", "17.04"}, "mm")}};
  entry.evaluate = evaluateThickness;
  return entry;
}

std::optional<Length> limit(const Inputs& inputs, const std::string& name) {
  if (!isGiven(inputs, name)) return {};
  return Length::of(si(one(inputs, name)), unit::metre);
}

Result<Evaluation> evaluateFilm(const Entry& entry, const Inputs& inputs) {
  const Result<Film> found =
      film(lengthsOf(inputs, "readings"), {limit(inputs, "lower"), limit(inputs, "upper")});
  if (!found) return atInput(found.error());
  Evaluation result;
  result.outputs = {output(entry, "mean", found->mean.in(unit::metre)),
                    output(entry, "lowest", found->lowest.in(unit::metre)),
                    output(entry, "highest", found->highest.in(unit::metre)),
                    output(entry, "below", found->below), output(entry, "above", found->above)};
  if (found->s) result.outputs.push_back(output(entry, "s", found->s->in(unit::metre)));
  result.substituted_formula =
      fmt::format("mean of {} readings = {:.2f} µm", inputs.numbers.at("readings").size(),
                  found->mean.in(unit::micrometre));
  result.working = asTyped(inputs, "readings", "d");
  return result;
}

Entry filmEntry() {
  Entry entry;
  entry.id = "plate.film";
  entry.version = film_version;
  entry.title = "Thickness of a film";
  entry.words = "Thickness of an adhesive or of a coat over the places measured.";
  entry.formula = "d̄ = Σd/n";
  entry.inputs = {listOf(value("readings", "d", "thickness at each place", Kind::length, "um")),
                  ifKnown(value("lower", "", "lower limit", Kind::length, "um")),
                  ifKnown(value("upper", "", "upper limit", Kind::length, "um"))};
  entry.outputs = {{"mean", "d̄", "mean thickness", Kind::length, "um", 1},
                   {"lowest", "d_min", "smallest", Kind::length, "um", 1},
                   {"highest", "d_max", "largest", Kind::length, "um", 1},
                   {"below", "", "readings below the lower limit", Kind::number, "1", 0},
                   {"above", "", "readings above the upper limit", Kind::number, "1", 0},
                   {"s", "s", "standard deviation; absent for one reading", Kind::length, "um", 2}};
  entry.validity =
      "Magnetic gauge set on the same blasted steel: roughness reads as film. Each reading is "
      "compared with the limits, not the mean alone.";
  entry.uncertainty = "Of the gauge, and s/√n of the mean.";
  entry.source = "definition; magnetic method as of ISO 2808";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"readings", typedList({"22", "25", "19", "28", "24"}, "um")},
                           {"lower", {typed("20", "um")}},
                           {"upper", {typed("40", "um")}}};
  entry.evaluate = evaluateFilm;
  return entry;
}

Evaluation classed(const Entry& entry, const Inputs& inputs, const std::string& input, int found) {
  Evaluation result;
  result.outputs = {output(entry, entry.outputs.front().name, found)};
  result.substituted_formula = fmt::format("{}: {}", format(one(inputs, input)), found);
  result.working = asTyped(inputs, input, "A");
  return result;
}

Result<Evaluation> evaluateCrossCut(const Entry& entry, const Inputs& inputs) {
  const Result<int> found = crossCutClass(Share::of(si(one(inputs, "lattice_off")), unit::one));
  if (!found) return atInput(found.error());
  const Result<Length> spacing = crossCutSpacing(Length::of(si(one(inputs, "film")), unit::metre),
                                                 inputs.choices.at("ground") == "hard");
  if (!spacing) return atInput(spacing.error());
  Evaluation result = classed(entry, inputs, "lattice_off", *found);
  result.outputs.push_back(output(entry, "spacing", spacing->in(unit::metre)));
  return result;
}

Entry crossCutEntry() {
  Entry entry;
  entry.id = "plate.cross_cut";
  entry.version = cross_cut_version;
  entry.title = "Cross-cut";
  entry.words = "Class of a film by how much of a cut lattice comes off, and how far apart to cut.";
  entry.formula = "0 none; 1 ≤ 5 %; 2 ≤ 15 %; 3 ≤ 35 %; 4 ≤ 65 %; 5 more";
  entry.inputs = {
      value("lattice_off", "A", "share of the lattice that came off", Kind::number, "%", 0, 100),
      value("film", "d", "thickness of the film", Kind::length, "um")};
  entry.choices = {{"ground", "what is under the film", {"hard", "soft"}, "hard"}};
  entry.outputs = {{"class", "", "class, 0 best", Kind::number, "1", 0},
                   {"spacing", "", "distance of the cuts", Kind::length, "mm", 0}};
  entry.validity =
      "Films up to 250 µm without texture. It is no measure of how well a film sticks; another "
      "cutter gives another result.";
  entry.uncertainty = "Read by eye: one class between two people is usual.";
  entry.source =
      "ISO 2409:2020, scope read; shares as in the mirrored classes of ASTM D3359 through another "
      "text; spacing remembered, not verified";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"lattice_off", {typed("4", "%")}}, {"film", {typed("70", "um")}}};
  entry.evaluate = evaluateCrossCut;
  return entry;
}

Result<Evaluation> evaluateSalt(const Entry& entry, const Inputs& inputs) {
  const Result<int> found = saltSprayRating(Share::of(si(one(inputs, "corroded")), unit::one));
  if (!found) return atInput(found.error());
  Evaluation result = classed(entry, inputs, "corroded", *found);
  result.notes = {"After " + format(one(inputs, "hours")) + " in the spray."};
  return result;
}

Entry saltEntry() {
  Entry entry;
  entry.id = "plate.salt_spray";
  entry.version = salt_spray_version;
  entry.title = "Salt spray rating";
  entry.words = "Rating of a coated part by the share of its face that rusted in the spray.";
  entry.formula =
      "10 none; 9 ≤ 0.1 %; 8 ≤ 0.25; 7 ≤ 0.5; 6 ≤ 1; 5 ≤ 2.5; 4 ≤ 5; 3 ≤ 10; 2 ≤ 25; 1 ≤ 50; 0 "
      "more";
  entry.inputs = {value("corroded", "A", "share of the significant face that rusted", Kind::number,
                        "%", 0, 100),
                  value("hours", "t", "time in the spray", Kind::duration, "h", 0)};
  entry.outputs = {{"rating", "R", "rating, 10 best", Kind::number, "1", 0}};
  entry.validity = "It belongs to the hours in the spray: ratings of other hours do not compare.";
  entry.uncertainty = "Read by eye.";
  entry.source =
      "ISO 10289:1999, ratings down to 6 read through another text, below remembered, not verified";
  entry.mark = Mark::secondary;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"corroded", {typed("0.2", "%")}}, {"hours", {typed("96", "h")}}};
  entry.evaluate = evaluateSalt;
  return entry;
}

Result<Evaluation> evaluateCreep(const Entry& entry, const Inputs& inputs) {
  const auto width = [&](const char* name) {
    return Length::of(si(one(inputs, name)), unit::metre);
  };
  const Result<Length> creep = scribeCreep(width("damage_width"), width("scribe_width"));
  if (!creep) return atInput(creep.error());
  Evaluation result;
  result.outputs = {output(entry, "creep", creep->in(unit::metre))};
  result.substituted_formula =
      fmt::format("({} − {})/2 = {:.3f} mm", numberIn(one(inputs, "damage_width"), "mm"),
                  numberIn(one(inputs, "scribe_width"), "mm"), creep->in(unit::millimetre));
  result.working = asTyped(inputs, "damage_width", "w");
  return result;
}

Entry creepEntry() {
  Entry entry;
  entry.id = "plate.scribe_creep";
  entry.version = salt_spray_version;
  entry.title = "Creep from a scribe";
  entry.words = "How far rust or a loose coat has crept from a scribe.";
  entry.formula = "c = (w − w_s)/2";
  entry.inputs = {value("damage_width", "w", "mean width of the damage", Kind::length, "mm", 0),
                  value("scribe_width", "w_s", "width of the scribe", Kind::length, "mm", 0)};
  entry.outputs = {{"creep", "c", "creep", Kind::length, "mm", 2}};
  entry.validity = "Mean of the places along the scribe, its ends left out.";
  entry.uncertainty = "Of the widths, halved.";
  entry.source = "ISO 4628-8";
  entry.mark = Mark::remembered;
  entry.outside_check = "method/cases/plate.csv";
  entry.example.numbers = {{"damage_width", {typed("3.5", "mm")}},
                           {"scribe_width", {typed("0.5", "mm")}}};
  entry.evaluate = evaluateCreep;
  return entry;
}

}  // namespace

std::vector<Entry> plateEntries() {
  return {flatnessEntry(), parallelismEntry(), thicknessEntry(), filmEntry(),
          crossCutEntry(), saltEntry(),        creepEntry()};
}

}  // namespace platemark::catalogue
