/// Two issues of a compound beside each other: what changed, in mass and in volume, and what hangs
/// on it.
#include <fmt/format.h>

#include <algorithm>
#include <charconv>
#include <map>

#include "platemark/method/compound/composition.h"
#include "view.h"

namespace platemark::service::view {
namespace {

/// One issue with what follows from it.
struct Side {
  Issued<Compound> issued;
  std::vector<Material> materials;  ///< in the order of the formula, as in force today
  method::Composition shares;
  std::string porosity;  ///< in words: of the target density, or why it has none
};

Error noSuchIssue(const std::string& code, const std::string& issue) {
  Error error;
  error.fault = Fault::not_found;
  error.code = "compound.unknown";
  error.what = fmt::format("There is no issue '{}' of compound '{}' on record.", issue, code);
  error.expected = "code/older issue/newer issue, e.g. heron-3/1/2";
  return error;
}

Error noDensity(const std::string& material) {
  Error error;
  error.code = "compound.density_missing";
  error.what = fmt::format("{} has no true density in force.", material);
  error.remedy = "Issue the material with its density.";
  return error;
}

std::string percent(double share) { return format(Measure{Decimal::fixed(share * 100, 2), "%"}); }

std::optional<std::int64_t> numberIn(const std::string& text) {
  std::int64_t n = 0;
  const auto read = std::from_chars(text.data(), text.data() + text.size(), n);
  return read.ec == std::errc() && read.ptr == text.data() + text.size() ? std::optional(n)
                                                                         : std::nullopt;
}

Result<Side> sideOf(const Look& look, const std::string& code, const std::string& issue) {
  const std::optional<std::int64_t> n = numberIn(issue);
  auto issued = n ? ledger::stateAs<Issued<Compound>>(look.snapshot, projection::compound,
                                                      ledger::issueKey(code, *n))
                  : std::nullopt;
  if (!issued) return noSuchIssue(code, issue);
  Side side{std::move(*issued), {}, {}, ""};
  std::vector<double> parts;
  std::vector<Density> densities;
  for (const FormulaLine& line : side.issued.noun.formula) {
    const auto material = ledger::stateAs<Issued<Material>>(look.snapshot, projection::material,
                                                            ledger::nowKey(line.material));
    if (!material || !material->noun.density) return noDensity(line.material);
    side.materials.push_back(material->noun);
    parts.push_back(line.parts.value());
    densities.push_back(*densityFrom(*material->noun.density));
  }
  Result<method::Composition> shares = method::composition(parts, densities);
  if (!shares) return shares.error();
  side.shares = std::move(*shares);
  const Result<Share> porosity =
      method::totalPorosity(*densityFrom(side.issued.noun.target_density), side.shares.void_free);
  side.porosity = porosity ? percent(porosity->in(unit::one)) : porosity.error().what;
  return side;
}

std::optional<std::size_t> placeOf(const Side& side, const std::string& material) {
  const auto& formula = side.issued.noun.formula;
  for (std::size_t i = 0; i < formula.size(); ++i)
    if (formula[i].material == material) return i;
  return {};
}

/// The newer formula's order, then what was left out.
std::vector<std::string> materialsOf(const Side& before, const Side& after) {
  std::vector<std::string> list;
  for (const Side* side : {&after, &before})
    for (const FormulaLine& line : side->issued.noun.formula)
      if (std::find(list.begin(), list.end(), line.material) == list.end())
        list.push_back(line.material);
  return list;
}

struct LineChange {
  std::string material;
  std::string name;
  std::optional<std::size_t> before, after;  ///< where it stands in each formula
  bool changed = false;
};

/// A line is changed by its parts, its tolerance, or its share: the others' parts move it too.
LineChange lineChange(const Side& before, const Side& after, const std::string& material) {
  LineChange line{material, "", placeOf(before, material), placeOf(after, material), true};
  const Side& known = line.after ? after : before;
  line.name = known.materials[line.after ? *line.after : *line.before].name;
  if (!line.before || !line.after) return line;
  const FormulaLine &was = before.issued.noun.formula[*line.before],
                    &is = after.issued.noun.formula[*line.after];
  line.changed = was.parts.value() != is.parts.value() || !(was.tolerance == is.tolerance);
  return line;
}

std::string_view wordOf(const LineChange& line) {
  if (!line.before) return "added";
  if (!line.after) return "removed";
  return line.changed ? "changed" : "same";
}

void addSide(Value::Object& row, const std::string& suffix, const Side& side,
             const std::optional<std::size_t>& at) {
  if (!at) return;
  row.emplace("parts_" + suffix, side.issued.noun.formula[*at].parts.text());
  row.emplace("mass_" + suffix, percent(side.shares.mass[*at].in(unit::one)));
  row.emplace("volume_" + suffix, percent(side.shares.volume[*at].in(unit::one)));
}

Value lineValue(const Side& before, const Side& after, const LineChange& line) {
  Value::Object row{{"material", line.material}, {"name", line.name}, {"change", wordOf(line)}};
  addSide(row, "before", before, line.before);
  addSide(row, "after", after, line.after);
  return Value(std::move(row));
}

Value::Array propertiesOf(const Side& before, const Side& after) {
  Value::Array rows;
  const auto add = [&](const std::string& what, const std::string& was, const std::string& is) {
    rows.push_back(
        Value::Object{{"what", what}, {"before", was}, {"after", is}, {"changed", was != is}});
  };
  const auto dense = [](const Density& d) {
    return format(Measure{Decimal::fixed(d.in(unit::gram_per_cubic_centimetre), 3), "g/cm3"});
  };
  const Compound &was = before.issued.noun, &is = after.issued.noun;
  add(say("service.formula.void_free"), dense(before.shares.void_free),
      dense(after.shares.void_free));
  add(say("service.formula.target"), format(was.target_density), format(is.target_density));
  add(say("service.formula.porosity"), before.porosity, after.porosity);
  add(say("service.formula.mix_mass"), format(was.mix_mass), format(is.mix_mass));
  add(say("service.formula.loss"), format(was.loss), format(is.loss));
  add(say("service.formula.minutes"), std::to_string(was.mixing_minutes),
      std::to_string(is.mixing_minutes));
  return rows;
}

/// At most so much of each limited substance, as the materials' documents say it.
std::map<std::string, double> substancesOf(const Side& side) {
  std::map<std::string, double> sums;
  for (std::size_t i = 0; i < side.materials.size(); ++i)
    for (const Substance& s : side.materials[i].substances)
      if (const Result<Share> most = shareFrom(s.at_most))
        sums[s.substance] += side.shares.mass[i].in(unit::one)*most->in(unit::one);
  return sums;
}

Value::Array substanceRows(const Side& before, const Side& after) {
  const std::map<std::string, double> was = substancesOf(before), is = substancesOf(after);
  std::map<std::string, double> names = was;
  names.insert(is.begin(), is.end());
  Value::Array rows;
  for (const auto& [name, unused] : names) {
    const std::string from = was.contains(name) ? percent(was.at(name)) : "",
                      to = is.contains(name) ? percent(is.at(name)) : "";
    rows.push_back(Value::Object{
        {"substance", name}, {"before", from}, {"after", to}, {"changed", from != to}});
  }
  return rows;
}

/// Lots of what is added, removed or changed, that are not refused.
Value::Array lotsTouched(const Look& look, const std::vector<LineChange>& lines) {
  Value::Array rows;
  for (const auto& [id, lot] : ledger::allStates<LotState>(look.snapshot, projection::lot)) {
    const std::string& material = lot->received.material;
    const auto line = std::find_if(lines.begin(), lines.end(), [&](const LineChange& l) {
      return l.changed && l.material == material;
    });
    if (line == lines.end() || lot->disposition == LotDisposition::refuse) continue;
    rows.push_back(Value::Object{{"lot", id},
                                 {"material", material},
                                 {"change", wordOf(*line)},
                                 {"quantity", format(lot->received.quantity)},
                                 {"disposition", word(lot->disposition)}});
  }
  return rows;
}

Value::Array partsOf(const Look& look, const std::string& compound) {
  Value::Array parts;
  for (const Issued<Part>& part : act::allOf<Part>(look.snapshot, projection::part))
    if (part.noun.compound == compound ||
        (part.noun.underlayer && part.noun.underlayer->compound == compound))
      parts.push_back(part.noun.code);
  return parts;
}

}  // namespace

Result<Value> formulaChange(const Look& look, const std::string& code, const std::string& from,
                            const std::string& to) {
  const Result<Side> before = sideOf(look, code, from);
  if (!before) return before.error();
  const Result<Side> after = sideOf(look, code, to);
  if (!after) return after.error();
  std::vector<LineChange> lines;
  Value::Array rows;
  for (const std::string& material : materialsOf(*before, *after)) {
    lines.push_back(lineChange(*before, *after, material));
    rows.push_back(lineValue(*before, *after, lines.back()));
  }
  return Value(Value::Object{{"code", code},
                             {"name", after->issued.noun.name},
                             {"before", before->issued.issue},
                             {"after", after->issued.issue},
                             {"why", after->issued.why},
                             {"lines", std::move(rows)},
                             {"properties", propertiesOf(*before, *after)},
                             {"substances", substanceRows(*before, *after)},
                             {"lots", lotsTouched(look, lines)},
                             {"parts", partsOf(look, code)}});
}

}  // namespace platemark::service::view
