/// Who may do what: every duty asks every act, and the record answers.
#include <algorithm>
#include <fstream>
#include <regex>
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

Value personOf(const Plant& plant, PersonNumber number, const std::string& duty,
               const std::vector<std::string>& operations) {
  Value::Array permits;
  for (const std::string& operation : operations)
    permits.push_back(Value::Object{{"operation", operation}, {"until", "2030-12-31"}});
  return Value::Object{
      {"number", number}, {"duty", duty}, {"public_key", plant.key.hex()}, {"permits", permits}};
}

/// The duties as people with numbers from 10; all share one key, so that only the permit decides.
std::map<std::string, PersonNumber> issueDuties(Plant& plant) {
  std::map<std::string, PersonNumber> numbers;
  PersonNumber next = 10;
  for (const Case& row : loadCases("act/cases/duty.csv").rows) {
    const Value person = personOf(plant, next, row.text("duty"), parts(row.text("operations")));
    plant.done("person issue", canonicalJson(Value::Object{{"noun", person}, {"why", ""}}));
    numbers[row.text("duty")] = next++;
  }
  return numbers;
}

/// Whether the person gets past the permit; the empty input is then refused for what it lacks.
bool letIn(Plant& plant, std::string_view act, PersonNumber person,
           const std::string& input = "{}") {
  How how;
  how.person = person;
  const auto answer = plant.sign(std::string(act), input, how);
  REQUIRE_FALSE(bool(answer));
  if (answer.error().fault != Fault::refused) {
    CHECK(answer.error().fault == Fault::bad_input);
    return true;
  }
  CHECK(missingWords(answer.error()).find("has no permit for it") != std::string::npos);
  return false;
}

/// The demo's own list of duties: who signs in, and which operations they may do.
std::map<std::string, std::vector<std::string>> demoDuties() {
  std::ifstream file(std::string(PLATEMARK_TESTS_DIR) + "/../demo/documents.py");
  static const std::regex row(R"re(^    "(\w+)": \("[^"]*", "[^"]*", \[([^\]]*)\]\),$)re"),
      operation(R"re("([^"]+)")re");
  std::map<std::string, std::vector<std::string>> duties;
  std::smatch found;
  for (std::string line; std::getline(file, line);) {
    if (!std::regex_match(line, found, row)) continue;
    const std::string list = found[2];
    for (std::sregex_iterator i(list.begin(), list.end(), operation), end; i != end; ++i)
      duties[found[1]].push_back((*i)[1]);
  }
  return duties;
}

}  // namespace

TEST_CASE("the demo's duties: each act is allowed or refused as the plant's rule says") {
  Plant plant;
  std::map<std::string, PersonNumber> numbers{{"quality", 1}};  // who founds may do everything
  for (const auto& [login, operations] : demoDuties()) {
    const auto number = static_cast<PersonNumber>(10 + numbers.size());
    plant.done("person issue",
               canonicalJson(Value::Object{{"noun", personOf(plant, number, login, operations)},
                                           {"why", ""}}));
    numbers[login] = number;
  }
  REQUIRE(numbers.size() == 4);
  std::set<std::string> asked;
  int checked = 0;
  for (const Case& row : loadCases("act/cases/demo_duty_act.csv").rows) {
    const std::string act = row.text("act"), gate = row.text("gate");
    CAPTURE(act);
    CAPTURE(gate);
    asked.insert(act);
    const std::string input = gate.empty() ? "{}" : R"({"gate":")" + gate + R"("})";
    for (const auto& [login, number] : numbers) {
      CAPTURE(login);
      const std::string said = row.text(login);
      REQUIRE((said == "allowed" || said == "refused"));
      CHECK(letIn(plant, act, number, input) == (said == "allowed"));
      ++checked;
    }
  }
  for (const act::Kind& kind : act::kinds())
    CHECK_MESSAGE(asked.contains(std::string(kind.name)), std::string(kind.name));
  CHECK(checked == static_cast<int>(4 * (act::kinds().size() + 1)));  // a release has two gates
}

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
