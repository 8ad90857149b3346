/// What each act needs, wrong once: refused with its code and place, and nothing is kept.
#include "act/plant_fixture.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

using Names = std::map<std::string, std::string>;

std::string replaced(std::string text, const std::string& piece, const std::string& by) {
  for (auto at = text.find(piece); at != std::string::npos; at = text.find(piece, at + by.size()))
    text.replace(at, piece.size(), by);
  return text;
}

std::string inputOf(const Case& row, const Names& names) {
  std::string text = row.text("input");
  for (const auto& [name, by] : names) text = replaced(text, "{" + name + "}", by);
  return replaced(text, "'", "\"");
}

/// A plan with an unconfirmed limit, a gauge with a daily check, and a part whose plan asks for a
/// first piece.
void moreDocuments(Plant& plant) {
  const auto issue = [&](const std::string& what, const std::string& noun) {
    plant.done(what + " issue", R"({"noun":)" + replaced(noun, "'", "\"") + R"(,"why":""})");
  };
  const auto plan = [](const std::string& code, const std::string& gate, const std::string& sure) {
    return "{'code':'" + code +
           "','name':'x','lines':[{'characteristic':'mass','words':'mass','gate':" + gate +
           ",'method':'statistics.summary_mass','output':'mean','statistic':'each','samples':1,"
           "'limits':[{'lower':'1 kg','source':{'document':'D','edition':'','clause':'',"
           "'confirmed':" +
           sure + ",'legal':false}}],'who':''}]}";
  };
  issue("plan", plan("CP-U", "'lot'", "false"));
  issue("plan", plan("CP-P", "'set-up','operation':'press'", "true"));
  issue("gauge",
        "{'code':'CH-1','name':'x','unit':'g','resolution':'1 g','calibration_due':'2026-12-31',"
        "'calibration':'K','daily_check':{'reference':'a mass','nominal':'100 g','tolerance':'1 "
        "g'}}");
  issue("machine", "{'code':'twin','name':'x','class':'press','channels':[],'stations':['A','B']}");
  const std::string compound =
      "'name':'x','formula':[{'material':'resin','parts':'1','tolerance':'1 %'}],"
      "'target_density':'3.0 g/cm3','mix_mass':'50 kg','loss':'2 %','loss_basis':'pad',"
      "'mixing_minutes':8}";
  issue("compound", "{'code':'C-2'," + compound);
  issue("part",
        "{'code':'MF-C','name':'x','compound':'C-2','plate':'plate-1','plate_thickness':'5 mm',"
        "'friction_area':'45 cm2','bond_area':'47.2 cm2','pad_volume':'48 cm3',"
        "'friction_thickness':'11 mm','plan':'CP-P','route':[{'step':'plates'}]}");
  issue("part",
        "{'code':'MF-P','name':'x','compound':'C-1','plate':'plate-1','plate_thickness':'5 mm',"
        "'friction_area':'45 cm2','bond_area':'47.2 cm2','pad_volume':'48 cm3',"
        "'friction_thickness':'11 mm','plan':'CP-P','route':[{'step':'plates'}]}");
}

/// The things that rows name in braces.
Names things(Plant& plant) {
  moreDocuments(plant);
  const auto text = [&](Sequence fact, const std::string& member) {
    return plant.store->read()->fact(fact)->body.text(member);
  };
  Names names;
  names["released"] = plant.batchUpTo("released");
  names["box"] = plant.box(names["released"]);
  names["load"] = plant.batch(names["released"]).loads.back();
  names["finished mix"] = plant.batch(names["released"]).mixes.back();
  names["mixed"] = plant.batchUpTo("mixed");
  names["pressable"] = plant.batchUpTo("mixed");
  names["open"] = plant.openBatch();
  names["cure of none"] = plant.cureInput("O-9999", "120");
  names["held"] = plant.batchUpTo("mixed");
  names["no plates"] = plant.openBatch();
  plant.mix(names["no plates"]);
  names["piece"] = text(plant.done("batch open", R"({"part":"MF-P","plates":4})"), "batch");
  names["other"] = text(plant.done("batch open", R"({"part":"MF-C","plates":4})"), "batch");
  names["mix"] = text(plant.done("mix open", R"({"batch":")" + names["open"] +
                                                 R"(","machine":"mixer","remark":{}})"),
                      "mix");
  const std::string subject = R"({"subject":{"kind":"batch","id":")" + names["held"] + R"("},)";
  names["hold"] = std::to_string(plant.done("hold place", subject + R"("why":"it fell"})"));
  names["lifted"] = std::to_string(plant.done("hold place", subject + R"("why":"it is wet"})"));
  plant.done("hold lift", subject + R"("hold":)" + names["lifted"] + R"(,"why":"it dried"})");
  const auto receive = [&](const std::string& lot) {
    return plant.done("lot receive",
                      R"({"lot":")" + lot +
                          R"(","material":"resin","supplier":"s","supplier_lot":"8",)"
                          R"("quantity":"100 kg","remark":{}})");
  };
  names["received"] = std::to_string(receive("OTHER"));
  receive("NEW");
  names["kind"] = std::to_string(plant.done(
      "container label", R"({"lot":"R-1","containers":[{"container":"K-1","quantity":"25 kg"}]})"));
  names["cure corrects"] =
      plant.cureInput(names["load"], "120", R"({"corrects":)" + names["kind"] + R"(,"why":"x"})");
  return names;
}

}  // namespace

TEST_CASE("what an act needs, wrong once, is refused with its code and place") {
  Plant plant;
  const Names names = things(plant);
  for (const Case& row : loadCases("act/cases/refused.csv").rows) {
    INFO(describeCase(row));
    const std::string input = inputOf(row, names), act = row.text("act");
    const Sequence before = plant.store->read()->sequence();
    const auto answer =
        act::find(act)->must_be_signed ? plant.sign(act, input) : plant.ask(act, input);
    CHECK(plant.store->read()->sequence() == before);
    CHECK_FALSE(bool(answer));
    if (answer) continue;
    const std::string said = describe(answer.error()) + missingWords(answer.error());
    CAPTURE(said);
    const std::string code = row.text("code").substr(0, row.text("code").find(": "));
    CHECK(answer.error().code == code);
    CHECK(answer.error().where.field == row.text("field"));
    if (code.size() < row.text("code").size())
      CHECK(said.find(row.text("code").substr(code.size() + 2)) != std::string::npos);
  }
}

TEST_CASE("what happened all the same is kept with its reason, and its batch is held") {
  Plant plant;
  const Names names = things(plant);
  const auto holds = [&](const std::string& batch) { return plant.batch(batch).holds; };
  for (const Case& row : loadCases("act/cases/reported.csv").rows) {
    INFO(describeCase(row));
    const std::string input = inputOf(row, names);
    const std::string batch = names.at(row.text("batch").substr(1, row.text("batch").size() - 2));
    const std::size_t before = holds(batch).size();
    const auto refused =
        plant.ask(row.text("act"), replaced(input, R"("why":"it is so")", R"("why":"")"));
    checkRefused(refused, row.text("words"));
    const auto kept = plant.ask(row.text("act"), input);
    const std::string said = kept ? "" : describe(kept.error());
    CHECK_MESSAGE(bool(kept), said);
    if (!kept) continue;
    REQUIRE(holds(batch).size() == before + 1);
    const Hold hold = holds(batch).back();
    CAPTURE(hold.why);
    CHECK_FALSE(hold.lifted_by);
    CHECK(hold.why.find("it is so") != std::string::npos);
    const Sequence report = kept->sequences.front();
    const std::string irregular =
        canonicalJson(plant.store->read()->fact(report)->body["remark"]["irregular"]);
    CAPTURE(irregular);
    CHECK(irregular.find(row.text("words")) != std::string::npos);
  }
}

}  // namespace platemark::test
