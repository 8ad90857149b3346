/// Approval cover as the acts ask it: marking, boxing and shipping, each at its own time.
#include <filesystem>

#include "act/plant_fixture.h"
#include "platemark/ledger/projections.h"

namespace platemark::test {
namespace {

constexpr const char* happened = R"({"why":"it was done already"})";

std::string finishInput(const std::string& batch, const std::string& remark = "{}") {
  return R"({"batch":")" + batch +
         R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":)" +
         remark + "}";
}
std::string platesInput(const std::string& batch, const std::string& adhesive,
                        const std::string& remark = "{}") {
  return R"({"batch":")" + batch + R"(","plate_lot":"B-1","adhesive_lot":")" + adhesive +
         R"(","machine":"coater","counts":{"good":40,"samples":0,"rework":0},"remark":)" + remark +
         "}";
}
std::string boxInput(const std::string& batch) {
  return R"({"batch":")" + batch + R"(","pads":2,"sets":1,"remark":{}})";
}
std::string shipInput(const std::string& box, const std::string& customer,
                      const std::string& remark = "{}") {
  return R"({"customer":")" + customer + R"(","order":"1","boxes":[")" + box + R"("],"remark":)" +
         remark + "}";
}
std::string customersApproval(const std::string& customer, const std::string& more) {
  return R"({"noun":{"code":"CA-)" + customer + R"(","kind":"customer approval","by":")" +
         customer +
         R"(","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],)"
         R"("plates":["plate-1"],"adhesives":["glue-1"],"valid_from":"2026-01-01")" +
         (more.empty() ? "" : "," + more) + R"(},"why":"as they say"})";
}

/// A second adhesive on record, which T-1 does not cover, with a cleared lot of it.
void newAdhesive(Plant& plant) {
  plant.done(
      "material issue",
      R"({"noun":{"code":"glue-2","name":"g","class":"adhesive","plan":"CP-lot"},"why":""})");
  plant.clearedLot("G-2", "glue-2");
}

constexpr const char* wrong_adhesive =
    "Adhesive glue-2 is not in type approval T-1 issue 1 of the authority, which covers glue-1 "
    "only.";

/// A batch of the part's newest issue, made with the lot named, its cure gate released.
std::string curedWith(Plant& plant, const std::string& adhesive_lot) {
  const std::string batch = plant.openBatch();
  plant.done("plates prepare", platesInput(batch, adhesive_lot));
  plant.mix(batch);
  plant.press(batch);
  plant.cure(plant.load(batch), batch);
  plant.samples(batch);
  plant.shear(batch, "1");
  plant.shear(batch, "2");
  plant.release(batch, "cure");
  return batch;
}

}  // namespace

TEST_CASE("a pad is not marked for an approval that its new adhesive is not covered by") {
  Plant plant;
  newAdhesive(plant);
  plant.needsApproval("grind", "", "glue-2");
  const std::string batch = curedWith(plant, "G-2");
  checkRefused(plant.ask("batch finish", finishInput(batch)), wrong_adhesive);
  const auto kept = plant.ask("batch finish", finishInput(batch, happened));
  REQUIRE(bool(kept));
  const Fact fact = *plant.store->read()->fact(kept->sequences.front());
  REQUIRE(fact.body["remark"]["irregular"].asArray() != nullptr);
  CHECK(fact.body["remark"]["irregular"].asArray()->front() == Value(wrong_adhesive));
  CHECK_FALSE(plant.batch(batch).holds.back().lifted_by.has_value());
  // The counts of what was marked are mended; that does not mark it once more.
  plant.done("batch finish",
             finishInput(batch, R"({"corrects":)" + std::to_string(kept->sequences.front()) +
                                    R"(,"why":"counted again"})"));
}

TEST_CASE(
    "an operation that puts no marking on is not asked; the final gate says it all the same") {
  Plant plant;
  newAdhesive(plant);
  plant.needsApproval("plates", R"({"adhesive":"glue-2"})", "glue-2");
  const std::string batch = plant.openBatch();
  checkRefused(plant.ask("plates prepare", platesInput(batch, "G-2")), wrong_adhesive);
  plant.done("plates prepare", platesInput(batch, "G-2", happened));
  const gate::BatchFile file = *act::batchFile(*plant.store->read(), batch, {2026, 3, 2});
  const VerdictGiven verdict = gate::judgeBatch(Gate::final, file);
  CHECK(std::count_if(verdict.findings.begin(), verdict.findings.end(), [](const Finding& f) {
          return f.characteristic == "approval" && f.word == FindingWord::missing &&
                 f.sentence == wrong_adhesive &&
                 f.source == "type approval T-1 issue 1 of the authority";
        }) == 1);
}

TEST_CASE("what was used counts: the approved adhesive in the part, another one on the plates") {
  Plant plant;
  newAdhesive(plant);
  plant.needsApproval("grind");
  const std::string batch = plant.openBatch();
  plant.done("plates prepare", platesInput(batch, "G-2", happened));
  checkRefused(plant.ask("batch finish", finishInput(batch)), wrong_adhesive);
}

TEST_CASE("an approval that ends between boxing and shipping stops the shipment") {
  Plant plant;
  plant.needsApproval("grind");
  const std::string batch = plant.batchUpTo("released"), box = plant.box(batch, 2);
  plant.done("approval issue", Plant::typeApproval(R"("valid_until":"2026-03-02")"));
  plant.done("box pack", boxInput(batch));
  plant.clock->forward(one_day_ms);
  const std::string ended =
      "T-1 issue 2 of the authority ended on 2026-03-02; the day is 2026-03-03";
  checkRefused(plant.ask("box pack", boxInput(batch)), ended);
  checkRefused(plant.ask("shipment send", shipInput(box, "Greyling")), ended);
  const auto kept = plant.ask("shipment send", shipInput(box, "Greyling", happened));
  REQUIRE(bool(kept));
  CHECK_FALSE(plant.batch(batch).final.open());
}

TEST_CASE("an issue of an approval counts from its effective day, an older one until then") {
  Plant plant;
  plant.needsApproval("grind");
  const std::string batch = plant.batchUpTo("released");
  std::string narrowed = Plant::typeApproval("");
  narrowed.replace(narrowed.find("\"glue-1\""), 8, "\"glue-2\"");
  narrowed.insert(narrowed.size() - 1, R"(,"effective":"2026-03-03")");
  newAdhesive(plant);
  plant.done("approval issue", narrowed);
  plant.done("box pack", boxInput(batch));
  plant.clock->forward(one_day_ms);
  checkRefused(plant.ask("box pack", boxInput(batch)),
               "Adhesive glue-1 is not in type approval T-1 issue 2 of the authority, which covers "
               "glue-2 only.");
  plant.done("box pack", boxInput(batch), {1, "", "2026-03-02T20:00:00Z", "from a sheet", {}});
}

TEST_CASE("each customer's approval is asked when it is shipped to them") {
  Plant plant;
  plant.needsApproval("grind", R"({"customers":["Greyling","Oldmere"]})");
  const std::string batch = plant.batchUpTo("released"), box = plant.box(batch, 2);
  checkRefused(plant.ask("shipment send", shipInput(box, "Greyling")),
               "No approval of customer Greyling is on file.");
  plant.done("approval issue", customersApproval("Greyling", R"("valid_until":"2026-03-01")"));
  checkRefused(plant.ask("shipment send", shipInput(box, "Greyling")), "ended on 2026-03-01");
  plant.done("approval issue", customersApproval("Greyling", ""));
  checkRefused(plant.ask("shipment send", shipInput(box, "Oldmere")),
               "No approval of customer Oldmere is on file.");
  checkRefused(plant.ask("shipment send", shipInput(box, "Thornby")),
               "No approval of customer Thornby is on file.");
  plant.done("shipment send", shipInput(box, "greyling"));
}

TEST_CASE("a part that only its customers approve is boxed when one of them has") {
  Plant plant;
  plant.needsApproval("grind", R"({"markings":[],"customers":["Greyling","Oldmere"]})");
  const std::string batch = plant.batchUpTo("cure released");
  plant.finish(batch);
  const gate::BatchFile file = *act::batchFile(*plant.store->read(), batch, {2026, 3, 2});
  CHECK(gate::judgeBatch(Gate::final, file).outcome == Outcome::cannot_decide);
  plant.done("approval issue", customersApproval("Oldmere", ""));
  plant.release(batch, "final");
  const std::string box = plant.box(batch, 2);
  checkRefused(plant.ask("shipment send", shipInput(box, "Greyling")),
               "No approval of customer Greyling is on file.");
  plant.done("shipment send", shipInput(box, "Oldmere"));
}

namespace {

/// approval.issued as its first version was written.
const FactKind* asFirstWritten(std::string_view name) {
  static const FactKind first{"approval.issued",
                              1,
                              "an approval was entered",
                              false,
                              [](const Value&) { return Result<void>{}; },
                              [](Value body, int) { return body; },
                              &fieldsOf<Issued<Approval>>};
  return name == first.name ? &first : findFactKind(name);
}

std::unique_ptr<ledger::Store> opened(const std::string& folder, bool old_program) {
  ledger::StoreOptions options;
  options.plant = "test";
  if (old_program)
    options.find_kind = &asFirstWritten;
  else
    options.projections = ledger::plantProjections();
  Result<std::unique_ptr<ledger::Store>> store =
      ledger::openSqliteStore(folder, std::move(options));
  REQUIRE(bool(store));
  return std::move(*store);
}

void appendOld(ledger::Store& store, const std::string& code, const std::string& body) {
  ledger::Act act;
  act.name = "approval issue";
  act.token = act.request = code;
  act.person = 1;
  act.decide = [&](const ledger::Snapshot& s) {
    NewFact fact{"approval.issued", 1, {s.now(), "Europe/Berlin", "", {}}, 1, {{"approval", code}},
                 *parseJson(body)};
    return ledger::Decision(std::vector<NewFact>{fact});
  };
  REQUIRE(bool(store.submit(std::move(act))));
}

}  // namespace

TEST_CASE("approvals of the first version are read for ever; their bytes stay as they are") {
  const std::filesystem::path folder = std::filesystem::temp_directory_path() /
                                       ("platemark-cover-" + std::to_string(randombytes_random()));
  const std::string customers =
      R"({"effective":"2026-01-01","issue":1,"noun":{"adhesive":"glue-1","code":"A-1","compound":"C-1","compound_issue_from":1,"compound_issue_to":3,"kind":"customer approval","part":"MF-1","plate":"plate-1","valid_from":"2026-01-01","valid_until":"2026-12-31"},"why":"first"})";
  const std::string types =
      R"({"issue":1,"noun":{"code":"T-1","compound":"C-1","compound_issue_from":2,"compound_issue_to":2,"kind":"Type approval","part":"MF-1","plate":"plate-1","valid_from":"2026-01-01"},"why":""})";
  {
    const auto old = opened(folder.string(), true);
    appendOld(*old, "A-1", customers);
    appendOld(*old, "T-1", types);
  }
  {
    const auto store = opened(folder.string(), false);
    CHECK(store->verify({}).sound);
    const auto snapshot = store->read();
    const auto approvals = act::allOf<Approval>(*snapshot, projection::approval);
    REQUIRE(approvals.size() == 2);
    const Approval& a = approvals[0].noun;
    CHECK(a.kind == ApprovalKind::customer_approval);
    CHECK(a.by.empty());
    CHECK(a.parts == std::vector<std::string>{"MF-1"});
    REQUIRE(a.compounds.size() == 1);
    CHECK(a.compounds[0].compound == "C-1");
    CHECK(a.compounds[0].issue_from == 1);
    CHECK(a.compounds[0].issue_to == 3);
    CHECK(a.plates == std::vector<std::string>{"plate-1"});
    CHECK(a.adhesives == std::vector<std::string>{"glue-1"});
    CHECK(a.valid_from == Day{2026, 1, 1});
    CHECK(a.valid_until == Day{2026, 12, 31});
    CHECK(approvals[0].effective == Day{2026, 1, 1});
    CHECK(approvals[0].why == "first");
    CHECK(approvals[1].noun.kind == ApprovalKind::type_approval);
    CHECK(approvals[1].noun.adhesives.empty());
    CHECK_FALSE(approvals[1].noun.valid_until.has_value());
    CHECK(snapshot->fact(1)->bytes.find(customers) != std::string::npos);
    CHECK(snapshot->fact(1)->version == 2);
    // As the acts ask it: the part, made as its old approval says.
    Part part;
    part.code = "MF-1";
    part.compound = "C-1";
    part.plate = "plate-1";
    part.adhesive = "glue-1";
    const auto cover =
        gate::coverOf(gate::needsToLeave(part), gate::madeAs(part, 3, snapshot->plant()), approvals,
                      {2026, 12, 31});
    CHECK(cover.front().covered());
    const std::string digest = store->projectionDigest();
    REQUIRE(bool(store->rebuildProjections()));
    CHECK(store->projectionDigest() == digest);
  }
  std::filesystem::remove_all(folder);
}

}  // namespace platemark::test
