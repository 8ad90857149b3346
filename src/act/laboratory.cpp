/// Raw readings in, figures out: every method of the catalogue through one verb.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/catalogue/catalogue.h"
#include "platemark/plant/digest.h"
#include "support.h"

namespace platemark::act {
namespace {

Value inputsValue(const Measurement& m) {
  return Value::Object{
      {"method", m.method}, {"numbers", toValue(m.numbers)}, {"choices", toValue(m.choices)}};
}

std::vector<FigureValue> valuesOf(const catalogue::Evaluation& evaluation) {
  std::vector<FigureValue> values;
  for (const catalogue::OutputValue& output : evaluation.outputs) {
    FigureValue value{
        output.name, output.value, output.standard_uncertainty, output.determined, {}, {}, {}};
    if (!output.why.empty()) value.why = output.why;
    values.push_back(std::move(value));
  }
  return values;
}

Result<std::vector<std::string>> gaugeDoubtsOf(const Context& context,
                                               const std::vector<std::string>& gauges) {
  std::vector<std::string> doubts;
  for (const std::string& code : gauges) {
    const Result<Gauge> gauge = gaugeThen(context, code);
    if (!gauge) return Error(gauge.error()).at({"", 0, "", "gauges"});
    for (std::string& doubt : gaugeDoubts(context, *gauge)) doubts.push_back(std::move(doubt));
  }
  return doubts;
}

}  // namespace

Result<void> measure(std::vector<NewFact>& facts, const Context& context, Measurement m,
                     std::vector<Subject> subjects) {
  const catalogue::Entry* method = catalogue::find(m.method);
  if (method == nullptr) return unknown("method", m.method);
  Result<catalogue::Evaluation> evaluation = catalogue::evaluate(*method, {m.numbers, m.choices});
  if (!evaluation) return evaluation.error();
  Result<std::vector<std::string>> doubts = gaugeDoubtsOf(context, m.gauges);
  if (!doubts) return doubts.error();
  const std::string inputs_hash = sha256Hex(canonicalJson(inputsValue(m)));
  m.remark.irregular.clear();
  const ReadingTaken reading{
      m.subject, m.characteristic, m.sample, m.method, method->version,  m.gauges,
      m.numbers, m.choices,        {},       *doubts,  m.repeat_because, m.remark};
  FigureComputed figure{
      m.subject,   m.characteristic,      m.sample, m.method,          method->version, {},
      inputs_hash, valuesOf(*evaluation), {},       evaluation->notes, *doubts};
  // The reading gets the next free number after what this act has gathered so far, in this order.
  figure.readings.push_back(context.snapshot.sequence() + static_cast<Sequence>(facts.size()) + 1);
  facts.push_back(fact(context, "reading.taken", reading, subjects));
  facts.push_back(fact(context, "figure.computed", figure, subjects));
  return {};
}

namespace {

struct TakeReading {
  Subject subject;
  std::string characteristic;
  std::string sample;
  std::vector<std::string> gauges;
  std::map<std::string, std::vector<Measure>> numbers;
  std::map<std::string, std::string> choices;
  std::optional<std::string> repeat_because;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("characteristic", characteristic);
    v.defaulted("sample", sample);
    v("gauges", gauges);
    v.plainToo("numbers", numbers);
    v("choices", choices);
    v("repeat_because", repeat_because);
    v("remark", remark);
  }
};

/// The thing measured: its plan and what is on record for it.
struct Measured {
  ControlPlan plan;
  std::vector<Evidence> evidence;
  std::vector<Sample> samples;
};

Result<Measured> measuredThing(const Context& context, const Subject& subject) {
  if (subject.kind == "lot") {
    Result<gate::LotFile> file = lotFile(context.snapshot, subject.id, context.day());
    if (!file) return file.error();
    return Measured{std::move(file->plan), std::move(file->lot.evidence), {}};
  }
  if (subject.kind == "batch") {
    Result<gate::BatchFile> file = batchFile(context.snapshot, subject.id, context.day());
    if (!file) return file.error();
    return Measured{std::move(file->plan), std::move(file->batch.evidence),
                    std::move(file->batch.samples)};
  }
  if (subject.kind == "set-up") {
    Result<gate::SetUpFile> file = setUpFile(context.snapshot, subject.id);
    if (!file) return file.error();
    return Measured{std::move(file->plan), std::move(file->set_up.evidence), {}};
  }
  return badInput("reading.subject",
                  fmt::format("A {} is not measured by this verb.", subject.kind), "subject.kind",
                  "lot, set-up or batch");
}

std::string characteristicsOf(const ControlPlan& plan) {
  std::string names;
  for (const PlanLine& line : plan.lines)
    names += (names.empty() ? "" : ", ") + line.characteristic;
  return names;
}

/// A second result for the same sample is a repeat: all of them count, and the reason is asked.
Result<void> checkRepeat(const TakeReading& in, const std::vector<Evidence>& evidence) {
  if (in.repeat_because || in.remark.corrects) return {};
  const auto known = std::find_if(evidence.begin(), evidence.end(), [&](const Evidence& e) {
    return e.characteristic == in.characteristic && e.sample == in.sample && !e.corrected_by;
  });
  if (known == evidence.end()) return {};
  Error error = badInput("reading.repeat",
                         fmt::format("{} {} has a result for {} already (fact {}).",
                                     in.sample.empty() ? in.subject.kind : "Sample " + in.sample,
                                     in.sample.empty() ? in.subject.id : "of " + in.subject.id,
                                     in.characteristic, known->figure),
                         "repeat_because", "why it is measured again");
  error.fault = Fault::conflict;
  error.remedy =
      "Say why; both results will count. To mend a typing error, name the fact it corrects "
      "instead.";
  return error;
}

/// A shear result cannot mend a hardness: the first would vanish without another in its place.
Result<void> checkSameCharacteristic(const Context& context, const TakeReading& in) {
  if (!in.remark.corrects) return {};
  const std::string mended =
      context.snapshot.fact(*in.remark.corrects)->body.text("characteristic");
  if (mended == in.characteristic) return {};
  return badInput("correction.other_characteristic",
                  fmt::format("Fact {} is a reading of {}, not of {}.", *in.remark.corrects, mended,
                              in.characteristic),
                  "remark.corrects");
}

/// A number without a unit counts only where the method's input has none.
Result<void> checkUnitsGiven(const TakeReading& in, std::string_view method_id) {
  const catalogue::Entry* method = catalogue::find(method_id);
  if (method == nullptr) return unknown("method", std::string(method_id));
  for (const catalogue::Input& input : method->inputs) {
    const auto given = in.numbers.find(std::string(input.name));
    if (given == in.numbers.end()) continue;
    for (std::size_t i = 0; i < given->second.size(); ++i)
      if (std::optional<Error> fault = plainNumberFault(given->second[i], input.unit))
        return fault->at({"", 0, "", fmt::format("numbers.{}[{}]", input.name, i)});
  }
  return {};
}

Decision takeReading(const Context& context, TakeReading in) {
  Result<Measured> thing = measuredThing(context, in.subject);
  if (!thing) return thing.error();
  const auto& lines = thing->plan.lines;
  const bool of_set_up = in.subject.kind == "set-up";
  const auto line = std::find_if(lines.begin(), lines.end(), [&](const PlanLine& l) {
    return l.characteristic == in.characteristic && (l.gate == Gate::set_up) == of_set_up;
  });
  if (line == lines.end())
    return badInput("reading.not_in_plan",
                    fmt::format("The control plan {} has no characteristic '{}'.", thing->plan.code,
                                in.characteristic),
                    "characteristic", characteristicsOf(thing->plan));
  const bool drawn = std::any_of(thing->samples.begin(), thing->samples.end(),
                                 [&](const Sample& s) { return s.sample == in.sample; });
  if (in.subject.kind == "batch" && line->gate == Gate::cure && !in.sample.empty() && !drawn)
    return badInput("reading.sample_unknown",
                    fmt::format("Sample {} was not drawn from batch {}.", in.sample, in.subject.id),
                    "sample", "a sample on record for the batch");
  if (Result<void> c = checkCorrection(context, in.remark, "reading.taken", in.subject); !c)
    return c.error();
  if (Result<void> c = checkSameCharacteristic(context, in); !c) return c.error();
  if (Result<void> c = checkRepeat(in, thing->evidence); !c) return c.error();
  if (Result<void> c = checkUnitsGiven(in, line->method); !c) return c.error();
  std::vector<NewFact> facts;
  Measurement m{in.subject, in.characteristic, in.sample,         line->method, in.gauges,
                in.numbers, in.choices,        in.repeat_because, in.remark};
  if (Result<void> done = measure(facts, context, std::move(m), {in.subject}); !done)
    return done.error();
  return facts;
}

}  // namespace

std::span<const Kind> laboratoryVerbs() {
  static constexpr Kind list[] = {
      verb<TakeReading, takeReading>("reading take", Operation::laboratory,
                                     "record raw readings and compute their figure"),
  };
  return list;
}

}  // namespace platemark::act
