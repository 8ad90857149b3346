/// Who may do what: every duty asks every act, and the record answers.
#include <algorithm>
#include <set>
#include <sstream>

#include "act/plant_fixture.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

std::vector<std::string> parts(const std::string& joined) {
  std::vector<std::string> list;
  std::istringstream in(joined);
  for (std::string part; std::getline(in, part, ';');) list.push_back(part);
  return list;
}

/// The duties as people with numbers from 10; all share one key, so that only the permit decides.
std::map<std::string, PersonNumber> issueDuties(Plant& plant) {
  std::map<std::string, PersonNumber> numbers;
  PersonNumber next = 10;
  for (const Case& row : loadCases("act/cases/duty.csv").rows) {
    Value::Array permits;
    for (const std::string& operation : parts(row.text("operations")))
      permits.push_back(Value::Object{{"operation", operation}, {"until", "2030-12-31"}});
    const Value person = Value::Object{{"number", next},
                                       {"duty", row.text("duty")},
                                       {"public_key", plant.key.hex()},
                                       {"permits", permits}};
    plant.done("person issue", canonicalJson(Value::Object{{"noun", person}, {"why", ""}}));
    numbers[row.text("duty")] = next++;
  }
  return numbers;
}

/// Whether the person gets past the permit; the empty input is then refused for what it lacks.
bool letIn(Plant& plant, std::string_view act, PersonNumber person) {
  How how;
  how.person = person;
  const auto answer = plant.sign(std::string(act), "{}", how);
  REQUIRE_FALSE(bool(answer));
  if (answer.error().fault != Fault::refused) {
    CHECK(answer.error().fault == Fault::bad_input);
    return true;
  }
  CHECK(missingWords(answer.error()).find("has no permit for it") != std::string::npos);
  return false;
}

}  // namespace

TEST_CASE("the matrix of duties and acts") {
  Plant plant;
  const auto numbers = issueDuties(plant);
  const Sequence before = plant.store->read()->sequence();
  std::set<std::string> asked;
  for (const Case& row : loadCases("act/cases/duty_act.csv").rows) {
    const std::string act = row.text("act");
    CAPTURE(act);
    REQUIRE(act::find(act) != nullptr);
    asked.insert(act);
    const std::vector<std::string> may = parts(row.text("may"));
    for (const std::string& duty : may) REQUIRE(numbers.contains(duty));
    for (const auto& [duty, number] : numbers) {
      CAPTURE(duty);
      CHECK(letIn(plant, act, number) == (std::find(may.begin(), may.end(), duty) != may.end()));
    }
  }
  for (const act::Kind& kind : act::kinds())
    CHECK_MESSAGE(asked.contains(std::string(kind.name)), std::string(kind.name));
  CHECK(plant.store->read()->sequence() == before);
}

TEST_CASE("a right for one gate is no right for the other") {
  Plant plant;
  plant.done("person issue",
             R"({"noun":{"number":2,"duty":"cure gate only","public_key":")" + plant.key.hex() +
                 R"(","permits":[{"operation":"cure gate","until":"2030-12-31"}]},"why":""})");
  const std::string batch = plant.batchUpTo("finished");
  const Sequence verdict =
      plant.done("batch judge", R"({"batch":")" + batch + R"(","gate":"final"})");
  How second;
  second.person = 2;
  checkRefused(plant.sign("batch release",
                          R"({"batch":")" + batch + R"(","gate":"final","verdict":)" +
                              std::to_string(verdict) + R"(,"meaning":"yes"})",
                          second),
               "'final gate' may not be done by number 2");
}

}  // namespace platemark::test
