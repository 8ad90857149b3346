/// Documents as people get them wrong: refused with code and place, nothing kept.
#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

/// Replaces one piece of a good document; the piece must be in it.
std::string with(std::string text, const std::string& piece, const std::string& by) {
  const auto at = text.find(piece);
  REQUIRE_MESSAGE(at != std::string::npos, piece);
  return text.replace(at, piece.size(), by);
}

const std::string compound =
    R"({"noun":{"code":"C-9","name":"x","formula":[{"material":"resin","parts":"20","tolerance":"1 %"},{"material":"iron","parts":"80","tolerance":"1 %"}],
  "target_density":"3.0 g/cm3","mix_mass":"50 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8},"why":""})";
const std::string part =
    R"({"noun":{"code":"MF-9","name":"x","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
  "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[{"step":"plates"},{"step":"press"},{"step":"cure","programme":"P-180"}]},"why":""})";
const std::string plan =
    R"({"noun":{"code":"CP-9","name":"x","lines":[{"characteristic":"shear","words":"shear","gate":"cure","method":"bench.shear","output":"shear_strength","statistic":"each","samples":1,"sampling":"",
  "limits":[{"lower":"250 N/cm2","upper":"600 N/cm2","source":{"document":"Works standard","edition":"","clause":"","confirmed":true,"legal":false}}],"who":""}]},"why":""})";
/// Limits of unit one, typed without it; limits in percent, which look alike.
const std::string friction_plan =
    R"({"noun":{"code":"CP-8","name":"x","lines":[{"characteristic":"friction","words":"friction","gate":"cure","method":"friction.letters","output":"normal","statistic":"each","samples":1,"sampling":"",
  "limits":[{"lower":"0.36","upper":"0.46","source":{"document":"Works standard","edition":"","clause":"","confirmed":true,"legal":false}}],"who":""}]},"why":""})";
const std::string share_plan =
    R"({"noun":{"code":"CP-9","name":"x","lines":[{"characteristic":"porosity","words":"porosity","gate":"cure","method":"bench.porosity","output":"porosity","statistic":"each","samples":1,"sampling":"",
  "limits":[{"upper":"20 %","source":{"document":"Works standard","edition":"","clause":"","confirmed":true,"legal":false}}],"who":""}]},"why":""})";
const std::string gauge =
    R"({"noun":{"code":"G-9","name":"x","unit":"mm","resolution":"0.01 mm","calibration_due":"2026-12-31","calibration":"K"},"why":""})";
const std::string programme =
    R"({"noun":{"code":"P-9","name":"x","segments":[{"target":"180 Cel","tolerance":"5 K","ramp":"2 K/min","soak_minutes":60}],"longest_gap":"5 min","load_in_below":"60 Cel"},"why":""})";
const std::string approval =
    R"({"noun":{"code":"A-9","kind":"type approval","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"valid_from":"2026-01-01","valid_until":"2026-12-31"},"why":""})";
const std::string material =
    R"({"noun":{"code":"M-9","name":"x","class":"ingredient","density":"2.0 g/cm3","plan":"CP-lot"},"why":""})";
const std::string person =
    R"({"noun":{"number":9,"duty":"x","public_key":"","permits":[]},"why":""})";

struct Bad {
  std::string act, good, piece, by, code, field;
};

const std::vector<Bad> bad_documents{
    {"compound issue", compound, R"("material":"iron")", R"("material":"resin")",
     "compound.doubled", "noun.formula[1].material"},
    {"compound issue", compound, R"("material":"iron")", R"("material":"plate-1")",
     "compound.density_missing", "noun.formula[1]"},
    {"compound issue", compound, R"("material":"iron")", R"("material":"chalk")",
     "material.unknown", "noun.formula[1].material"},
    {"compound issue", compound, R"("parts":"80")", R"("parts":"0")", "value.not_positive",
     "noun.formula[1].parts"},
    {"compound issue", compound, R"("parts":"80")", R"("parts":"-80")", "value.not_positive",
     "noun.formula[1].parts"},
    {"compound issue", compound, R"("target_density":"3.0 g/cm3")", R"("target_density":"3.0 N")",
     "unit.wrong_kind", "noun.target_density"},
    {"compound issue", compound, R"("mix_mass":"50 kg")", R"("mix_mass":"0 kg")",
     "value.not_positive", "noun.mix_mass"},
    {"compound issue", compound, R"("loss_basis":"pad")", R"("loss_basis":"air")",
     "value.unknown_word", "noun.loss_basis"},
    {"compound issue", compound, R"("code":"C-9")", R"("code":"C/9")", "code.bad", "noun.code"},
    {"compound issue", compound, R"("name":"x")", R"("nmae":"x")", "value.unknown_member",
     "noun.nmae"},
    {"part issue", part, R"({"step":"press"},{"step":"cure","programme":"P-180"})",
     R"({"step":"cure","programme":"P-180"},{"step":"press"})", "part.route_order",
     "noun.route[2]"},
    {"part issue", part, R"({"step":"press"})", R"({"step":"plates"})", "part.route_order",
     "noun.route[1]"},
    {"part issue", part, R"({"step":"cure","programme":"P-180"})", R"({"step":"cure"})",
     "part.no_programme", "noun.route[2].programme"},
    {"part issue", part, "P-180", "P-999", "programme.unknown", "noun.route[2].programme"},
    {"part issue", part, R"("compound":"C-1")", R"("compound":"C-7")", "compound.unknown",
     "noun.compound"},
    {"part issue", part, R"("plan":"CP-1")", R"("plan":"CP-7")", "plan.unknown", "noun.plan"},
    {"part issue", part, "47.2 cm2", "47.2 mm", "unit.wrong_kind", "noun.bond_area"},
    {"part issue", part, "48 cm3", "-48 cm3", "value.not_positive", "noun.pad_volume"},
    {"plan issue", plan, R"("lower":"250 N/cm2")", R"("lower":"700 N/cm2")", "plan.limits_crossed",
     "noun.lines[0].limits[0]"},
    {"plan issue", plan, R"("lower":"250 N/cm2","upper":"600 N/cm2")", R"("lower":"250 N/mm2")",
     "plan.limit_implausible", "noun.lines[0].limits[0]"},
    {"plan issue", plan, R"("upper":"600 N/cm2")", R"("upper":"6 MPa ")", "", ""},
    {"plan issue", plan, R"("upper":"600 N/cm2")", R"("upper":"600 N")", "unit.wrong_kind",
     "noun.lines[0].limits[0].upper"},
    {"plan issue", plan, R"("upper":"600 N/cm2")", R"("upper":"600")", "unit.missing",
     "noun.lines[0].limits[0].upper"},
    {"plan issue", plan, R"("upper":"600 N/cm2")", R"("upper":"600 1")", "unit.missing",
     "noun.lines[0].limits[0].upper"},
    {"plan issue", friction_plan, R"("0.36")", R"("0.36 1")", "", ""},
    {"plan issue", friction_plan, R"("0.36")", R"("0.36 N")", "unit.wrong_kind",
     "noun.lines[0].limits[0].lower"},
    {"plan issue", friction_plan, R"("0.36")", R"("1,234")", "decimal.ambiguous",
     "noun.lines[0].limits[0].lower"},
    {"plan issue", share_plan, R"("upper":"20 %")", R"("upper":"20")", "unit.missing",
     "noun.lines[0].limits[0].upper"},
    {"plan issue", plan, R"("samples":1)", R"("samples":1,"span":"40")", "unit.missing",
     "noun.lines[0].span"},
    {"gauge issue", gauge, "0.01 mm", "0.01", "unit.missing", "noun.resolution"},
    {"gauge issue", gauge, R"("unit":"mm","resolution":"0.01 mm")",
     R"("unit":"1","resolution":"0.001")", "", ""},
    {"gauge issue", gauge, R"("unit":"mm","resolution":"0.01 mm")",
     R"("unit":"%","resolution":"0.1")", "unit.missing", "noun.resolution"},
    {"plan issue", plan, "bench.shear", "bench.sheer", "method.unknown", "noun.lines[0].method"},
    {"plan issue", plan, "shear_strength", "strength", "plan.output_unknown",
     "noun.lines[0].output"},
    {"plan issue", plan, R"("samples":1)", R"("samples":0)", "plan.samples",
     "noun.lines[0].samples"},
    {"plan issue", plan, R"("document":"Works standard")", R"("document":"")", "plan.no_source",
     "noun.lines[0].limits[0].source.document"},
    {"gauge issue", gauge, R"("unit":"mm")", R"("unit":"furlong")", "unit.unknown", "noun.unit"},
    {"gauge issue", gauge, "0.01 mm", "0.01 N", "unit.wrong_kind", "noun.resolution"},
    {"gauge issue", gauge, "2026-12-31", "2026-02-30", "time.not_a_time", "noun.calibration_due"},
    {"programme issue", programme, R"("target":"180 Cel")", R"("target":"180 K/min")",
     "unit.wrong_kind", "noun.segments[0].target"},
    {"programme issue", programme, R"("tolerance":"5 K")", R"("tolerance":"0 K")",
     "value.not_positive", "noun.segments[0].tolerance"},
    {"approval issue", approval, "2026-12-31", "2025-12-31", "approval.dates", "noun.valid_until"},
    {"approval issue", approval, "MF-1", "MF-7", "part.unknown", "noun.parts[0]"},
    {"approval issue", approval, R"(["MF-1"])", "[]", "approval.scope", "noun.parts"},
    {"approval issue", approval, R"(["MF-1"])", R"(["MF-1","MF-1"])", "approval.doubled",
     "noun.parts[0]"},
    {"approval issue", approval, "C-1", "C-7", "compound.unknown", "noun.compounds[0].compound"},
    {"approval issue", approval, R"("issue_to":1)", R"("issue_to":0)", "approval.issues",
     "noun.compounds[0]"},
    {"approval issue", approval, R"(["plate-1"])", R"(["glue-1"])", "approval.material",
     "noun.plates[0]"},
    {"approval issue", approval, R"(["plate-1"])", R"(["plate-1"],"adhesives":["plate-1"])",
     "approval.material", "noun.adhesives[0]"},
    {"approval issue", approval, "type approval", "approval", "value.unknown_word", "noun.kind"},
    {"approval issue", approval, R"("kind":"type approval")",
     R"("kind":"customer approval","marking":"M")", "approval.marking", "noun.marking"},
    {"part issue", part, R"("plan":)",
     R"("markings":[{"marking":"T","operation":"paint"}],"plan":)", "part.marking_operation",
     "noun.markings[0].operation"},
    {"part issue", part, R"("plan":)", R"("markings":[{"marking":"T"},{"marking":"T"}],"plan":)",
     "part.marking", "noun.markings[1].marking"},
    {"part issue", part, R"("plan":)", R"("customers":["A","A"],"plan":)", "part.customer",
     "noun.customers[0]"},
    {"material issue", material, "2.0 g/cm3", "0 g/cm3", "value.not_positive", "noun.density"},
    {"material issue", material, "CP-lot", "CP-7", "plan.unknown", "noun.plan"},
    {"person issue", person, R"("number":9)", R"("number":0)", "person.number", "noun.number"},
};

}  // namespace

TEST_CASE("each wrong document is refused with its code and place, and nothing is kept") {
  Plant plant;
  for (const Bad& bad : bad_documents) {
    const std::string input = with(bad.good, bad.piece, bad.by);
    CAPTURE(input);
    const Sequence before = plant.store->read()->sequence();
    const auto answer = plant.ask(bad.act, input);
    if (bad.code.empty()) {
      CHECK(bool(answer));
      continue;
    }
    REQUIRE_FALSE(bool(answer));
    CAPTURE(describe(answer.error()));
    CHECK(answer.error().code == bad.code);
    CHECK(answer.error().where.field == bad.field);
    CHECK(plant.store->read()->sequence() == before);
  }
}

TEST_CASE("each right document is kept; a second issue counts up and says what changed") {
  Plant plant;
  for (const auto& [act, document] : {std::pair{"compound issue", compound},
                                      {"part issue", part},
                                      {"plan issue", plan},
                                      {"gauge issue", gauge},
                                      {"programme issue", programme},
                                      {"approval issue", approval},
                                      {"material issue", material},
                                      {"person issue", person}}) {
    CAPTURE(act);
    plant.done(act, document);
    checkCode(plant.ask(act, document), "issue.why_missing");
    const Sequence second = plant.done(act, with(document, R"("why":"")", R"("why":"a word")"));
    CHECK(*plant.store->read()->fact(second)->body["issue"].asInteger() == 2);
  }
}

TEST_CASE("a limit of unit one is kept as such, however it was typed") {
  Plant plant;
  for (const char* typed :
       {R"("0.36")", R"("0.36 1")", R"("0,36")", R"({"value":"0.36","unit":"1"})"}) {
    CAPTURE(typed);
    const std::string document =
        with(with(friction_plan, R"("0.36")", typed), R"("why":"")", R"("why":"a word")");
    const Sequence issued = plant.done("plan issue", document);
    const auto kept = plant.store->read()->fact(issued);
    CHECK(canonicalJson(kept->body["noun"]["lines"].asArray()->at(0)["limits"].asArray()->at(
              0)["lower"]) == R"({"unit":"1","value":"0.36"})");
  }
}

TEST_CASE("a reading without a unit counts only where the method's input has none") {
  Plant plant;
  plant.done("plan issue",
             with(with(friction_plan, "CP-8", "CP-1"), R"("why":"")", R"("why":"friction")"));
  const std::string batch = plant.openBatch();
  const auto reading = [&](const std::string& normal) {
    return R"({"subject":{"kind":"batch","id":")" + batch +
           R"("},"characteristic":"friction","sample":"","gauges":[],"numbers":{"normal":[")" +
           normal +
           R"(","0.40","0.41","0.40"],"hot":["0.36","0.36","0.36","0.36","0.36","0.36","0.36","0.36","0.36","0.36"]},"remark":{}})";
  };
  for (const char* wrong : {"0.40 N", "40 %/"})
    CHECK_FALSE(bool(plant.ask("reading take", reading(wrong))));
  plant.done("reading take", reading("0.40"));
  const auto mass = plant.ask(
      "reading take",
      R"({"subject":{"kind":"lot","id":"R-1"},"characteristic":"mass","sample":"","gauges":[],"numbers":{"readings":["100"]},"repeat_because":"x","remark":{}})");
  checkCode(mass, "unit.missing");
  CHECK(mass.error().where.field == "numbers.readings[0]");
}

TEST_CASE("a batch keeps the issues it was opened with") {
  Plant plant;
  const std::string batch = plant.openBatch();
  plant.done("compound issue",
             with(with(compound, "C-9", "C-1"), R"("why":"")", R"("why":"more iron")"));
  CHECK(plant.batch(batch).opened.compound_issue == 1);
  CHECK(plant.batch(plant.openBatch()).opened.compound_issue == 2);
}

TEST_CASE("an issue counts from its effective day, not a day before") {
  Plant plant;
  plant.done("compound issue", with(with(compound, "C-9", "C-1"), R"("why":"")",
                                    R"("why":"more iron","effective":"2026-03-03")"));
  CHECK(plant.batch(plant.openBatch()).opened.compound_issue == 1);
  plant.clock->forward(one_day_ms);  // the fixture stands on 2026-03-02
  CHECK(plant.batch(plant.openBatch()).opened.compound_issue == 2);
}

TEST_CASE("what is on file and not in force yet is not used") {
  Plant plant;
  plant.done("compound issue",
             with(compound, R"("why":"")", R"("why":"new","effective":"2026-03-09")"));
  plant.done("part issue", with(part, R"("compound":"C-1")", R"("compound":"C-9")"));
  checkCode(plant.ask("batch open", R"({"part":"MF-9","plates":10})"), "noun.not_in_force");
  plant.clock->forward(7 * one_day_ms);
  CHECK(bool(plant.ask("batch open", R"({"part":"MF-9","plates":10})")));
}

TEST_CASE("a permit taken from next week on still counts this week") {
  Plant plant;
  plant.done(
      "person issue",
      R"({"noun":{"number":1,"duty":"nobody","public_key":"","permits":[]},"why":"leaves","effective":"2026-03-03"})");
  CHECK(bool(plant.ask("batch open", R"({"part":"MF-1","plates":10})")));
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("batch open", R"({"part":"MF-1","plates":10})"), "has no permit");
}

TEST_CASE("several documents issued together are kept or refused as one") {
  Plant plant;
  const act::Kind& kind = *act::find("material issue");
  const Value good = *parseJson(material), bad = *parseJson(with(material, "2.0 g/cm3", "2.0 N"));
  const Sequence before = plant.store->read()->sequence();
  CHECK_FALSE(bool(plant.store->submit(
      act::issueTogether(kind, {good, bad}, "together 1", 1, "Europe/Berlin"))));
  CHECK(plant.store->read()->sequence() == before);
  const auto twice =
      plant.store->submit(act::issueTogether(kind, {good, good}, "together 3", 1, "Europe/Berlin"));
  checkCode(twice, "issue.doubled");
  CHECK(plant.store->read()->sequence() == before);
  CHECK(bool(
      plant.store->submit(act::issueTogether(kind, {good}, "together 2", 1, "Europe/Berlin"))));
}

}  // namespace platemark::test
