/// The permit that each act asks, and whether it is signed.
#include "act/plant_fixture.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

Operation asked(const act::Kind& kind, const std::string& gate) {
  if (kind.operation_for == nullptr) return kind.operation;
  return kind.operation_for(*parseJson(R"({"gate":")" + gate + R"("})"));
}

}  // namespace

TEST_CASE("each act asks the permit of its row, and is signed where the row says so") {
  const CaseFile file = loadCases("act/cases/permit.csv");
  for (const Case& row : file.rows) {
    INFO(describeCase(row));
    const act::Kind* kind = act::find(row.text("act"));
    REQUIRE(kind != nullptr);
    CHECK(word(kind->operation) == row.text("permit"));
    CHECK(word(asked(*kind, "cure")) == row.text("permit"));
    CHECK(word(asked(*kind, "final")) == row.text("at_final"));
    CHECK(kind->must_be_signed == (row.text("signed") == "yes"));
    // A recorder's file and a paper are made before their act is asked.
    CHECK(kind->prepared == (kind->name == "cure record" || kind->name == "bake record" ||
                             kind->name == "load heat" || kind->name == "paper issue"));
  }
  CHECK(file.rows.size() == act::kinds().size());
}

TEST_CASE("a permit for every other operation is none for this one") {
  Plant plant;
  const Person office{2, "office", "", {{Operation::documents, {2030, 12, 31}}}};
  plant.done("person issue", R"({"noun":)" + canonicalJson(toValue(office)) + R"(,"why":""})");
  How by_office;
  by_office.person = 2;
  const std::string place = R"({"noun":{"code":"S-1","name":"shelf"},"why":""})";
  checkRefused(plant.ask("batch open", R"({"part":"MF-1","plates":40})", by_office),
               "'batch' may not be done by number 2: office has no permit for it");
  CHECK(bool(plant.ask("place issue", place, by_office)));
}

TEST_CASE("documents issued together need the permit, and say which of them is wrong") {
  Plant plant;
  const Person nobody{2, "visitor", "", {}};
  plant.done("person issue", R"({"noun":)" + canonicalJson(toValue(nobody)) + R"(,"why":""})");
  const Value good = *parseJson(R"({"noun":{"code":"S-1","name":"shelf"},"why":""})");
  const Value bad = *parseJson(R"({"noun":{"code":"S/2","name":"shelf"},"why":""})");
  const auto issue = [&](std::vector<Value> inputs, PersonNumber by, const std::string& token) {
    return plant.store->submit(act::issueTogether(*act::find("place issue"), std::move(inputs),
                                                  token, by, "Europe/Berlin"));
  };
  checkRefused(issue({good}, 2, "a"), "'documents' may not be done by number 2");
  checkCode(issue({good, bad}, 1, "b"), "code.bad");
  CHECK(bool(issue({good}, 1, "c")));
}

TEST_CASE("a count of nothing is a count") {
  Plant plant;
  const std::string batch = plant.openBatch();
  CHECK(bool(plant.ask(
      "plates prepare",
      R"({"batch":")" + batch +
          R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","counts":{"good":0,)"
          R"("scrap":{"bent":0},"samples":0,"rework":0},"remark":{}})")));
}

}  // namespace platemark::test
