/// Studies of gauges: how much of what they show is their own, how far they read off a reference,
/// whether people sort alike; and quality's acceptance of a gauge whose study asks for it.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/catalogue/catalogue.h"
#include "platemark/gate/gauge_trust.h"
#include "platemark/plant/digest.h"
#include "support.h"

namespace platemark::act {
namespace {

/// Above this p-value the interaction is pooled: the usual choice, AIAG, Measurement Systems
/// Analysis, 4th edition, remembered, not verified.
constexpr std::string_view pool_above = "0.25";

Measure plainNumber(std::string_view text) {
  return {*Decimal::parse(std::string(text), DecimalMark::point), "1"};
}
Measure plainNumber(double value) { return {Decimal::fromDouble(value), "1"}; }

/// The methods take plain numbers in one unit: that of the gauge.
Result<Measure> inUnitOf(const Measure& measure, const std::string& unit,
                         const std::string& field) {
  const Result<Measure> converted = convert(measure, unit, 12);
  if (!converted) return Error(converted.error()).at({"", 0, "", field});
  return Measure{measure.unit == unit ? measure.value : converted->value, "1"};
}

/// The study is of a gauge on record, for something that a control plan asks.
Result<Gauge> studiedGauge(const Context& context, const std::string& gauge,
                           const std::string& characteristic) {
  const auto issued = requireNoun<Gauge>(context, projection::gauge, gauge);
  if (!issued) return Error(issued.error()).at({"", 0, "", "gauge"});
  std::string known;
  for (const Issued<ControlPlan>& plan : allOf<ControlPlan>(context.snapshot, projection::plan))
    for (const PlanLine& line : plan.noun.lines) {
      if (line.characteristic == characteristic) return issued->noun;
      if (known.find(line.characteristic) == std::string::npos)
        known += (known.empty() ? "" : ", ") + line.characteristic;
    }
  return badInput("gauge.characteristic",
                  fmt::format("No control plan has a characteristic '{}'.", characteristic),
                  "characteristic", known);
}

/// Computes and makes the fact; `body` has everything but what the method gives.
Result<GaugeStudied> computed(GaugeStudied body, const std::string& field) {
  const catalogue::Entry* method = catalogue::find(body.method);
  if (method == nullptr) return unknown("method", body.method);
  const Result<catalogue::Evaluation> found =
      catalogue::evaluate(*method, {body.numbers, body.choices});
  if (!found) return Error(found.error()).at({"", 0, "", field});
  body.method_version = method->version;
  body.inputs_hash = sha256Hex(canonicalJson(Value::Object{{"method", body.method},
                                                           {"numbers", toValue(body.numbers)},
                                                           {"choices", toValue(body.choices)}}));
  for (const catalogue::OutputValue& out : found->outputs)
    body.values.push_back(
        {out.name, out.value, out.standard_uncertainty, out.determined, {}, {}, {}});
  body.notes.insert(body.notes.begin(), found->notes.begin(), found->notes.end());
  body.remark.irregular.clear();
  return body;
}

/// A correction mends a study of the same sort for the same characteristic.
Result<void> checkStudyCorrection(const Context& context, const GaugeStudied& body) {
  if (Result<void> c =
          checkCorrection(context, body.remark, "gauge.studied", {"gauge", body.gauge});
      !c)
    return c;
  if (!body.remark.corrects) return {};
  const Value mended = context.snapshot.fact(*body.remark.corrects)->body;
  if (mended.text("characteristic") == body.characteristic &&
      mended.text("study") == word(body.study))
    return {};
  return badInput("correction.other_study",
                  fmt::format("Fact {} is another study.", *body.remark.corrects),
                  "remark.corrects", "a study of the same sort for the same characteristic");
}

Decision kept(const Context& context, const GaugeStudied& body,
              const std::vector<GaugeUse>& against = {}) {
  if (Result<void> c = checkStudyCorrection(context, body); !c) return c.error();
  return std::vector<NewFact>{
      fact(context, "gauge.studied", body, subjectsOf(body.gauge, against))};
}

struct StudyGauge {
  std::string gauge;
  std::string characteristic;
  std::vector<StudyReadings> readings;
  std::optional<Measure> tolerance;  ///< upper minus lower limit
  bool by_ranges = false;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("characteristic", characteristic);
    v("readings", readings);
    v("tolerance", tolerance);
    v.defaulted("by_ranges", by_ranges);
    v("remark", remark);
  }
};

std::vector<std::string> eachOnce(const std::vector<StudyReadings>& rows,
                                  std::string StudyReadings::*member) {
  std::vector<std::string> names;
  for (const StudyReadings& row : rows)
    if (std::find(names.begin(), names.end(), row.*member) == names.end())
      names.push_back(row.*member);
  return names;
}

const StudyReadings* rowOf(const std::vector<StudyReadings>& rows, const std::string& appraiser,
                           const std::string& part) {
  const auto found = std::find_if(rows.begin(), rows.end(), [&](const StudyReadings& row) {
    return row.appraiser == appraiser && row.part == part;
  });
  return found == rows.end() ? nullptr : &*found;
}

/// Every appraiser reads every part, once in the list and equally often.
Result<void> checkCrossed(const std::vector<StudyReadings>& rows) {
  if (rows.empty())
    return badInput("study.empty", "A study needs its readings.", "readings",
                    "a row for each part and each appraiser");
  for (std::size_t i = 0; i < rows.size(); ++i) {
    const std::string field = fmt::format("readings[{}]", i);
    if (rows[i].appraiser.empty() || rows[i].part.empty())
      return badInput("study.unnamed", "A row names its appraiser and its part.", field);
    if (rowOf(rows, rows[i].appraiser, rows[i].part) != &rows[i])
      return badInput("study.doubled",
                      fmt::format("{} reads part {} in two rows.", rows[i].appraiser, rows[i].part),
                      field, "one row with all trials");
    if (rows[i].readings.size() != rows[0].readings.size())
      return badInput(
          "study.trials",
          fmt::format("{} read part {} {} times, the first row has {} readings.", rows[i].appraiser,
                      rows[i].part, rows[i].readings.size(), rows[0].readings.size()),
          field + ".readings", "equally many trials everywhere");
  }
  for (const std::string& appraiser : eachOnce(rows, &StudyReadings::appraiser))
    for (const std::string& part : eachOnce(rows, &StudyReadings::part))
      if (rowOf(rows, appraiser, part) == nullptr)
        return badInput("study.missing", fmt::format("{} did not read part {}.", appraiser, part),
                        "readings", "every part by every appraiser");
  return {};
}

/// Appraiser by appraiser, in it part by part, in it trial by trial.
Result<std::vector<Measure>> inOrder(const std::vector<StudyReadings>& rows,
                                     const std::string& unit) {
  std::vector<Measure> values;
  for (const std::string& appraiser : eachOnce(rows, &StudyReadings::appraiser))
    for (const std::string& part : eachOnce(rows, &StudyReadings::part)) {
      const StudyReadings* row = rowOf(rows, appraiser, part);
      for (std::size_t i = 0; i < row->readings.size(); ++i) {
        const std::string field = fmt::format("readings[{}].readings[{}]", row - rows.data(), i);
        const Result<Measure> value = inUnitOf(row->readings[i], unit, field);
        if (!value) return value.error();
        values.push_back(*value);
      }
    }
  return values;
}

Result<void> fillNumbers(GaugeStudied& body, const StudyGauge& in, const Gauge& gauge) {
  Result<std::vector<Measure>> values = inOrder(in.readings, gauge.unit);
  if (!values) return values.error();
  const gate::GaugeBounds bounds = gate::usual_gauge_bounds;
  const auto count = [](std::size_t n) { return plainNumber(static_cast<double>(n)); };
  body.numbers = {
      {"values", std::move(*values)},
      {"operators", {count(eachOnce(in.readings, &StudyReadings::appraiser).size())}},
      {"parts", {count(eachOnce(in.readings, &StudyReadings::part).size())}},
      {"trials", {count(in.readings.front().readings.size())}},
      {"accept_from", {{Decimal::fromDouble(100 * bounds.accept_from), "%"}}},
      {"block_above", {{Decimal::fromDouble(100 * bounds.block_above), "%"}}},
      {"fewest_categories", {plainNumber(static_cast<double>(bounds.fewest_categories))}},
      {"pool_above", {plainNumber(pool_above)}}};
  body.choices = {{"method", in.by_ranges ? "ranges" : "variance"}};
  if (!in.tolerance) return {};
  const std::string difference = gauge.unit == "Cel" ? "K" : gauge.unit;
  const Result<Measure> tolerance = inUnitOf(*in.tolerance, difference, "tolerance");
  if (!tolerance) return tolerance.error();
  body.numbers["tolerance"] = {*tolerance};
  return {};
}

/// The results that a study which blocks speaks against: those since the study before it.
std::vector<GaugeUse> spokenAgainst(const Context& context, const GaugeStudied& body) {
  if (body.standing != GaugeStanding::blocked) return {};
  Instant from;
  for (const StudyOnFile& s : gaugeTrustOf(context.snapshot, body.gauge).studies)
    if (s.characteristic == body.characteristic && !s.corrected_by &&
        s.fact != body.remark.corrects && s.happened <= context.happened.instant)
      from = std::max(from, s.happened);
  std::vector<GaugeUse> uses = usesSince(context.snapshot, body.gauge, from);
  std::erase_if(uses,
                [&](const GaugeUse& use) { return use.characteristic != body.characteristic; });
  return uses;
}

Decision studyGauge(const Context& context, StudyGauge in) {
  const Result<Gauge> gauge = studiedGauge(context, in.gauge, in.characteristic);
  if (!gauge) return gauge.error();
  if (Result<void> c = checkCrossed(in.readings); !c) return c.error();
  GaugeStudied body;
  body.gauge = in.gauge;
  body.characteristic = in.characteristic;
  body.unit = gauge->unit;
  body.readings = in.readings;
  body.method = "gauge.study";
  body.remark = in.remark;
  if (Result<void> c = fillNumbers(body, in, *gauge); !c) return c.error();
  Result<GaugeStudied> study = computed(std::move(body), "readings");
  if (!study) return study.error();
  study->standing = gate::studyStanding(study->values);
  const std::vector<GaugeUse> against = spokenAgainst(context, *study);
  for (const GaugeUse& use : against) study->results.push_back(use.fact);
  return kept(context, *study, against);
}

struct StudyBias {
  std::string gauge;
  std::string characteristic;
  Measure reference;
  std::vector<Measure> readings;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("characteristic", characteristic);
    v("reference", reference);
    v("readings", readings);
    v("remark", remark);
  }
};

GaugeStudied blankStudy(GaugeStudyKind kind, const std::string& gauge,
                        const std::string& characteristic, const std::string& unit,
                        std::string method, const Remark& remark) {
  GaugeStudied body;
  body.gauge = gauge;
  body.study = kind;
  body.characteristic = characteristic;
  body.unit = unit;
  body.method = std::move(method);
  body.remark = remark;
  return body;
}

/// The intervals of bias and linearity.
std::vector<Measure> usualConfidence() { return {{Decimal::fromDouble(95), "%"}}; }

Decision studyBias(const Context& context, StudyBias in) {
  const Result<Gauge> gauge = studiedGauge(context, in.gauge, in.characteristic);
  if (!gauge) return gauge.error();
  GaugeStudied body = blankStudy(GaugeStudyKind::bias, in.gauge, in.characteristic, gauge->unit,
                                 "gauge.bias", in.remark);
  const Result<Measure> reference = inUnitOf(in.reference, gauge->unit, "reference");
  if (!reference) return reference.error();
  body.numbers = {{"reference", {*reference}}, {"confidence", usualConfidence()}};
  for (std::size_t i = 0; i < in.readings.size(); ++i) {
    const Result<Measure> reading =
        inUnitOf(in.readings[i], gauge->unit, fmt::format("readings[{}]", i));
    if (!reading) return reading.error();
    body.numbers["readings"].push_back(*reading);
  }
  const Result<GaugeStudied> study = computed(std::move(body), "readings");
  return study ? kept(context, *study) : Decision(study.error());
}

/// Readings of one reference.
struct ReferenceReadings {
  Measure reference;
  std::vector<Measure> readings;
  template <class V>
  void describe(V& v) {
    v("reference", reference);
    v("readings", readings);
  }
};
struct StudyLinearity {
  std::string gauge;
  std::string characteristic;
  std::vector<ReferenceReadings> references;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("characteristic", characteristic);
    v("references", references);
    v("remark", remark);
  }
};

Decision studyLinearity(const Context& context, StudyLinearity in) {
  const Result<Gauge> gauge = studiedGauge(context, in.gauge, in.characteristic);
  if (!gauge) return gauge.error();
  GaugeStudied body = blankStudy(GaugeStudyKind::linearity, in.gauge, in.characteristic,
                                 gauge->unit, "gauge.linearity", in.remark);
  body.numbers["confidence"] = usualConfidence();
  for (std::size_t i = 0; i < in.references.size(); ++i) {
    const std::string at = fmt::format("references[{}].", i);
    const Result<Measure> reference =
        inUnitOf(in.references[i].reference, gauge->unit, at + "reference");
    if (!reference) return reference.error();
    for (std::size_t k = 0; k < in.references[i].readings.size(); ++k) {
      const Result<Measure> reading =
          inUnitOf(in.references[i].readings[k], gauge->unit, fmt::format("{}readings[{}]", at, k));
      if (!reading) return reading.error();
      body.numbers["references"].push_back(*reference);
      body.numbers["readings"].push_back(*reading);
    }
  }
  const Result<GaugeStudied> study = computed(std::move(body), "references");
  return study ? kept(context, *study) : Decision(study.error());
}

/// One part, as each appraiser sorted it.
struct SortedPart {
  std::string part;
  std::vector<std::string> classes;  ///< one for each appraiser, in their order
  std::optional<std::string> known;  ///< the right one
  template <class V>
  void describe(V& v) {
    v("part", part);
    v("classes", classes);
    v("known", known);
  }
};
struct StudyAgreement {
  std::string gauge;
  std::string characteristic;
  std::vector<std::string> appraisers;
  std::vector<SortedPart> parts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("gauge", gauge);
    v("characteristic", characteristic);
    v("appraisers", appraisers);
    v("parts", parts);
    v("remark", remark);
  }
};

Result<void> checkSorted(const StudyAgreement& in) {
  if (in.appraisers.size() < 2)
    return badInput("agreement.people", "Agreement is between two people or more.", "appraisers",
                    "two names or more");
  for (std::size_t i = 0; i < in.parts.size(); ++i)
    if (in.parts[i].classes.size() != in.appraisers.size())
      return badInput("agreement.count",
                      fmt::format("Part {} has {} classes for {} appraisers.", in.parts[i].part,
                                  in.parts[i].classes.size(), in.appraisers.size()),
                      fmt::format("parts[{}].classes", i), "one for each appraiser");
  return {};
}

std::vector<std::string> classesOf(const StudyAgreement& in) {
  std::vector<std::string> classes;
  for (const SortedPart& part : in.parts)
    for (const std::string& c : part.classes)
      if (std::find(classes.begin(), classes.end(), c) == classes.end()) classes.push_back(c);
  return classes;
}

void fillSortings(GaugeStudied& body, const StudyAgreement& in) {
  const std::vector<std::string> classes = classesOf(in);
  if (in.appraisers.size() == 2) {
    body.method = "gauge.agreement_two";
    const auto number = [&](const std::string& c) {
      return plainNumber(
          static_cast<double>(std::find(classes.begin(), classes.end(), c) - classes.begin()));
    };
    for (const SortedPart& part : in.parts) {
      body.numbers["first"].push_back(number(part.classes[0]));
      body.numbers["second"].push_back(number(part.classes[1]));
    }
    return;
  }
  body.method = "gauge.agreement_several";
  body.numbers["classes"] = {plainNumber(static_cast<double>(classes.size()))};
  for (const SortedPart& part : in.parts)
    for (const std::string& c : classes)
      body.numbers["counts"].push_back(plainNumber(
          static_cast<double>(std::count(part.classes.begin(), part.classes.end(), c))));
}

/// How often each was right, where the right class is known.
std::vector<std::string> rightWords(const StudyAgreement& in) {
  std::vector<std::string> words;
  for (std::size_t who = 0; who < in.appraisers.size(); ++who) {
    std::size_t known = 0, right = 0;
    for (const SortedPart& part : in.parts)
      if (part.known) {
        ++known;
        right += *part.known == part.classes[who] ? 1 : 0;
      }
    if (known > 0)
      words.push_back(
          fmt::format("{} sorted {} of {} as known.", in.appraisers[who], right, known));
  }
  return words;
}

Decision studyAgreement(const Context& context, StudyAgreement in) {
  const Result<Gauge> gauge = studiedGauge(context, in.gauge, in.characteristic);
  if (!gauge) return gauge.error();
  if (Result<void> c = checkSorted(in); !c) return c.error();
  GaugeStudied body =
      blankStudy(GaugeStudyKind::agreement, in.gauge, in.characteristic, "1", "", in.remark);
  fillSortings(body, in);
  body.notes = rightWords(in);
  const Result<GaugeStudied> study = computed(std::move(body), "parts");
  return study ? kept(context, *study) : Decision(study.error());
}

Decision acceptGauge(const Context& context, GaugeAccepted in) {
  const auto gauge = requireNoun<Gauge>(context, projection::gauge, in.gauge);
  if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauge"});
  if (in.reason.empty())
    return badInput("gauge.accept_reason", "An acceptance needs its reason.", "reason",
                    "why the gauge is good enough for this");
  gate::Obstacles obstacles = gate::mayAccept(gaugeTrustOf(context.snapshot, in.gauge), in.gauge,
                                              in.characteristic, in.study);
  if (!obstacles.empty())
    return gate::refusal(
        fmt::format("Gauge {} cannot be accepted for {}.", in.gauge, in.characteristic),
        std::move(obstacles));
  return std::vector<NewFact>{fact(context, "gauge.accepted", in, {{"gauge", in.gauge}})};
}

}  // namespace

std::span<const Kind> gaugeStudyVerbs() {
  static constexpr Kind list[] = {
      verb<StudyGauge, studyGauge>(
          "gauge study", Operation::gauges,
          "record a study of how much of what a gauge shows is its own and its people's"),
      verb<StudyBias, studyBias>("gauge bias", Operation::gauges,
                                 "record how far a gauge reads off a reference"),
      verb<StudyLinearity, studyLinearity>(
          "gauge linearity", Operation::gauges,
          "record whether what a gauge reads off its references changes over its range"),
      verb<StudyAgreement, studyAgreement>(
          "gauge agreement", Operation::gauges,
          "record whether people sort the same parts into the same classes"),
      verb<GaugeAccepted, acceptGauge>(
          "gauge accept", Operation::adoption,
          "sign that a gauge is good enough where its study asks for it", true),
  };
  return list;
}

}  // namespace platemark::act
