/// The record itself: facts, codes, acts and nouns.
#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "cover.h"
#include "platemark/plant/carton.h"
#include "platemark/plant/sscc.h"
#include "platemark/plant/stamp.h"
#include "station.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr std::size_t page_rows = 100;

std::string hex(std::string_view raw) {
  std::string out;
  for (const char c : raw) out += fmt::format("{:02x}", static_cast<unsigned char>(c));
  return out;
}

std::string signatureWords(const Fact& fact) {
  return fact.signature.empty() ? "" : hex(fact.signature);
}

Value attachmentsOf(const Fact& fact) {
  Value::Array list;
  const Value& of = fact.body["recording"].isNull() ? fact.body : fact.body["recording"];
  if (const std::string hash = of.text("attachment"); !hash.empty()) {
    const std::string name =
        of.text("file_name").empty() ? of.text("number") + ".pdf" : of.text("file_name");
    list.push_back(Value::Object{{"hash", hash},
                                 {"name", name},
                                 {"size", ""},
                                 {"href", "/api/attachments/" + hash + "?name=" + name}});
  }
  return list;
}

/// The later fact that mends this one, if there is one.
std::optional<Sequence> correctedBy(const Look& look, const Fact& fact) {
  if (fact.subjects.empty()) return {};
  for (const Fact& later : look.snapshot.factsOf(fact.subjects.front(), fact.sequence, 10'000)) {
    const std::int64_t* corrects = later.body["remark"]["corrects"].asInteger();
    if (corrects != nullptr && *corrects == fact.sequence) return later.sequence;
  }
  return {};
}

Value fieldsValue(const std::vector<Field>& fields);

Value fieldValue(const Field& field) {
  Value::Object value{{"name", field.name}, {"type", field.type}, {"optional", field.optional}};
  if (!field.item.empty()) value.emplace("item", field.item);
  if (!field.words.empty()) value.emplace("words", toValue(field.words));
  if (!field.members.empty()) value.emplace("members", fieldsValue(field.members));
  return value;
}

Value fieldsValue(const std::vector<Field>& fields) {
  Value::Array list;
  for (const Field& f : fields)
    if (f.name != "irregular")
      list.push_back(fieldValue(f));  // what was irregular is found, never typed
  return list;
}

constexpr std::array<std::string_view, 15> noun_kinds{
    "material", "compound", "part",      "machine", "gauge",    "person", "plan",    "programme",
    "approval", "layout",   "numbering", "place",   "kinetics", "survey", "stacking"};

bool isNounKind(std::string_view kind) {
  return std::find(noun_kinds.begin(), noun_kinds.end(), kind) != noun_kinds.end();
}

Error noSuch(std::string_view kind, std::string_view id) {
  Error error;
  error.fault = Fault::not_found;
  error.code = std::string(kind) + ".unknown";
  error.what = fmt::format("There is no {} '{}' on record.", kind, id);
  error.remedy = "Check the number, or look for it with the find field.";
  return error;
}

std::string nounName(const Value& noun) {
  if (const std::string name = noun.text("name"); !name.empty()) return name;
  return noun.text("duty").empty() ? noun.text("kind") : noun.text("duty");
}

std::string nounCode(const Value& noun) {
  if (const std::int64_t* number = noun["number"].asInteger()) return std::to_string(*number);
  return noun.text("code");
}

/// Members that differ from the issue before, by name.
Value::Array changedMembers(const Value& now, const Value& before) {
  Value::Array changed;
  if (const Value::Object* members = now.asObject())
    for (const auto& [name, member] : *members)
      if (!(before[name] == member)) changed.push_back(name);
  return changed;
}

}  // namespace

Result<Value> fact(const Look& look, const ledger::Store&, Sequence sequence) {
  const std::optional<Fact> found = look.snapshot.fact(sequence);
  if (!found) return noSuch("fact", std::to_string(sequence));
  Value::Array subjects;
  for (const Subject& s : found->subjects) subjects.push_back(subjectValue(s));
  Value::Object page{
      {"sequence", sequence},
      {"kind", found->kind},
      {"version", found->version},
      {"words", factWords(*found)},
      {"happened", formatLocal(found->happened.instant, found->happened.zone, true)},
      {"recorded", formatLocal(found->recorded, look.card.zone, true)},
      {"person", Value::Object{{"number", found->person}, {"duty", dutyOf(look, found->person)}}},
      {"subjects", std::move(subjects)},
      {"body", found->body},
      {"bytes", found->bytes},
      {"hash", found->hash},
      {"previous", found->previous},
      {"attachments", attachmentsOf(*found)}};
  if (!found->happened.as_typed.empty()) page.emplace("as_typed", found->happened.as_typed);
  if (!found->body["remark"].isNull()) {
    Value remark = found->body["remark"];
    if (remark["irregular"].isNull()) remark.asObject()->emplace("irregular", Value::Array{});
    page.emplace("remark", std::move(remark));
  }
  // Others have readings too: numbers read off a gauge, times of a bake.
  const bool rests = found->kind == "figure.computed" && !found->body["readings"].isNull();
  page.emplace("rests_on", rests ? found->body["readings"] : Value(Value::Array{}));
  if (const std::optional<Sequence> by = correctedBy(look, *found))
    page.emplace("corrected_by", *by);
  if (!found->signature.empty()) {
    page.emplace("signature", signatureWords(*found));
    page.emplace("signer", hex(found->signer));
  }
  if (found->kind == "figure.computed") {
    Result<Value> working = figureWorking(look, *found);
    if (working) page.emplace("working", std::move(*working));
  }
  return Value(std::move(page));
}

Value facts(const Look& look, const Subject& subject, Sequence after) {
  Value::Array rows;
  Sequence last = after;
  for (const Fact& f : look.snapshot.factsOf(subject, after, page_rows)) {
    rows.push_back(factLine(look, f));
    last = f.sequence;
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", std::to_string(last));
  return page;
}

namespace {

/// What labels carry besides plain codes: a carton's number with what stands around it, and a
/// sample or clamp behind its batch or load.
std::optional<Value> labelled(const Look& look, const std::string& typed, const std::string& code) {
  if (const Result<std::string> sscc = readSscc(typed))
    if (std::optional<Value> carton = look.snapshot.state(projection::code, *sscc)) return carton;
  const auto slash = code.find('/');
  if (slash == std::string::npos) return {};
  return look.snapshot.state(projection::code, code.substr(0, slash));
}

/// Nothing has this code. A stamp that may have been misread is told with those on record that it
/// may be; none is taken for it.
Error unknownCode(const Look& look, const std::string& typed) {
  Error error = noSuch("code", typed);
  std::string on_record;
  for (const std::string& stamp : stampsNear(typed))
    if (look.snapshot.state(projection::code, stamp))
      on_record += (on_record.empty() ? "" : ", ") + stamp;
  if (const Result<std::string> read = readStamp(typed);
      !read && read.error().code == "stamp.check")
    error.what = read.error().what;
  if (!on_record.empty()) error.remedy = say("service.found.near", {{"stamps", on_record}});
  return error;
}

Value cartonFound(const Look& look, const std::string& id) {
  const auto carton = ledger::stateAs<CartonState>(look.snapshot, projection::carton, id);
  const std::string place = carton ? carton->place() : "";
  std::string words = say("service.found.carton", {{"carton", id}});
  if (!place.empty()) words += say("service.found.in_place", {{"place", place}});
  if (carton && !carton->shipment.empty())
    words += say("service.found.left", {{"shipment", carton->shipment}});
  return Value::Object{
      {"kind", "carton"}, {"id", id}, {"href", "/facts?subject=carton:" + id}, {"words", words}};
}

}  // namespace

Result<Value> find(const Look& look, const std::string& typed) {
  std::string code;
  for (const char c : typed)
    if (c != ' ') code += static_cast<char>(c >= 'a' && c <= 'z' ? c - 'a' + 'A' : c);
  const bool number = !code.empty() && std::all_of(code.begin(), code.end(),
                                                   [](char c) { return c >= '0' && c <= '9'; });
  if (number && code.size() < 12 && look.snapshot.fact(std::stoll(code)))
    return Value(Value::Object{{"kind", "fact"},
                               {"id", code},
                               {"href", "/facts/" + code},
                               {"words", say("service.found.fact", {{"sequence", code}})}});
  std::optional<Value> known = look.snapshot.state(projection::code, code);
  if (const Result<std::string> stamp = readStamp(typed); !known && stamp)
    known = look.snapshot.state(projection::code, *stamp);
  if (!known) known = labelled(look, typed, code);
  if (!known) return unknownCode(look, typed);
  Subject subject = *fromValue<Subject>(*known);
  if (subject.kind == "mix")
    if (const auto mix = ledger::stateAs<MixState>(look.snapshot, projection::mix, subject.id))
      return Value(Value::Object{
          {"kind", "mix"},
          {"id", subject.id},
          {"href", "/batches/" + mix->opened.batch},
          {"words",
           say("service.found.mix", {{"mix", subject.id}, {"batch", mix->opened.batch}})}});
  if (subject.kind == "box")
    if (const auto box = ledger::stateAs<BoxState>(look.snapshot, projection::box, subject.id))
      return Value(Value::Object{
          {"kind", "box"},
          {"id", subject.id},
          {"href", "/batches/" + box->packed.batch},
          {"words",
           say("service.found.box", {{"box", subject.id}, {"batch", box->packed.batch}})}});
  if (subject.kind == "carton") return cartonFound(look, subject.id);
  if (subject.kind == "shipment") {
    const auto list = look.snapshot.factsOf(subject, 0, 1);
    const std::string href = list.empty() ? "/" : "/facts/" + std::to_string(list.front().sequence);
    return Value(
        Value::Object{{"kind", "shipment"},
                      {"id", subject.id},
                      {"href", href},
                      {"words", say("service.found.shipment", {{"shipment", subject.id}})}});
  }
  return Value(Value::Object{{"kind", subject.kind},
                             {"id", subject.id},
                             {"href", hrefOf(subject)},
                             {"words", subject.kind + " " + subject.id}});
}

Value acts() {
  Value::Array list;
  for (const act::Kind& kind : act::kinds()) {
    std::string path(kind.name);
    std::replace(path.begin(), path.end(), ' ', '/');
    list.push_back(Value::Object{{"name", kind.name},
                                 {"path", path},
                                 {"words", kind.words},
                                 {"operation", word(kind.operation)},
                                 {"signed", kind.must_be_signed},
                                 {"prepared", kind.prepared},
                                 {"fields", fieldsValue(kind.fields())}});
  }
  return list;
}

Value nounKinds(const Look& look) {
  Value::Array list;
  for (const std::string_view noun : noun_kinds) {
    const std::string name(noun);
    const act::Kind* kind = act::find(name + " issue");
    std::vector<Field> fields;
    for (const Field& f : kind->fields())
      if (f.name == "noun") fields = f.members;
    list.push_back(
        Value::Object{{"kind", name},
                      {"words", say("service.nouns." + name)},
                      {"one", say("service.noun." + name)},
                      {"count", static_cast<std::int64_t>(look.snapshot.keys(name, "now/").size())},
                      {"act", name + "/issue"},
                      {"fields", fieldsValue(fields)}});
  }
  return list;
}

Result<Value> nouns(const Look& look, const std::string& kind, const std::string& after) {
  if (!isNounKind(kind)) return noSuch("kind of thing", kind);
  Value::Array rows;
  std::string last;
  for (const ledger::State& s : look.snapshot.states(kind, "now/", after, page_rows)) {
    last = s.key;
    const Value& noun = s.value["noun"];
    rows.push_back(Value::Object{{"code", nounCode(noun)},
                                 {"name", nounName(noun)},
                                 {"issue", s.value["issue"]},
                                 {"words", s.value.text("why")}});
  }
  Value::Object page{{"rows", rows}};
  if (rows.size() == page_rows) page.emplace("next", last);
  return Value(std::move(page));
}

namespace {

/// Newest first: the first whose effective day has come.
void markInForce(Value::Array& issues, Day today) {
  const auto in_force = std::find_if(issues.begin(), issues.end(), [&](const Value& issue) {
    const Result<Day> from = parseDay(issue.text("effective"));
    return !from || *from <= today;
  });
  if (in_force != issues.end()) in_force->asObject()->insert_or_assign("counts", true);
}

/// The signs people write for the unit codes in a noun: "N/cm²" for N/cm2.
void addUnitSigns(const Value& value, Value::Object& signs) {
  if (const Value::Array* list = value.asArray())
    for (const Value& item : *list) addUnitSigns(item, signs);
  const Value::Object* object = value.asObject();
  if (object == nullptr) return;
  for (const auto& [name, member] : *object) addUnitSigns(member, signs);
  if (const Result<UnitRow> unit = findUnit(value.text("unit")); unit && object->contains("value"))
    signs.insert_or_assign(std::string(unit->code), std::string(unit->symbol));
}

}  // namespace

Result<Value> noun(const Look& look, const std::string& kind, const std::string& code) {
  if (!isNounKind(kind)) return noSuch("kind of thing", kind);
  Value::Array issues;
  std::string name;
  Value before;
  for (const Fact& f : look.snapshot.factsOf({kind, code}, 0, 1000)) {
    if (f.kind != kind + ".issued") continue;
    const Value& now = f.body["noun"];
    name = nounName(now);
    issues.push_back(
        Value::Object{{"issue", f.body["issue"]},
                      {"why", f.body.text("why")},
                      {"fact", f.sequence},
                      {"who", dutyOf(look, f.person)},
                      {"when", dayAndTime(look, f.recorded)},
                      {"noun", now},
                      {"effective", f.body["effective"]},
                      {"counts", false},
                      {"changed", before.isNull() ? Value::Array{} : changedMembers(now, before)}});
    before = now;
  }
  if (issues.empty()) return noSuch(kind, code);
  std::reverse(issues.begin(), issues.end());
  markInForce(issues, look.today());
  Value::Object signs;
  addUnitSigns(Value(issues), signs);
  Value::Object page{{"kind", kind},
                     {"code", code},
                     {"name", name},
                     {"issues", std::move(issues)},
                     {"unit_signs", std::move(signs)}};
  if (kind == "part") page.emplace("cover", partCover(look, code));
  if (kind == "machine")
    if (const auto machine =
            ledger::issueInForce<Machine>(look.snapshot, projection::machine, code, look.today());
        machine && machine->noun.machine_class == MachineClass::press)
      page.emplace("press", pressLog(look, machine->noun));
  if (kind == "approval") page.emplace("cover", approvalCover(look, code));
  return Value(std::move(page));
}

}  // namespace platemark::service::view
