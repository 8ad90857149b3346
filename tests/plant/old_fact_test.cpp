/// Facts that were kept before a member was added are read, and say the same bytes again.
#include <doctest/doctest.h>

#include <algorithm>
#include <map>

#include "platemark/plant/event.h"
#include "platemark/plant/noun.h"
#include "platemark/plant/set_up.h"
#include "support/cases.h"

using namespace platemark;

namespace {

template <class Body>
std::string again(const std::string& stored) {
  const Result<Value> value = parseJson(stored);
  REQUIRE(bool(value));
  Result<Body> body = fromValue<Body>(*value);
  const std::string why = body ? "" : describe(body.error());
  REQUIRE_MESSAGE(bool(body), why);
  return canonicalJson(toValue(*body));
}

}  // namespace

TEST_CASE("bodies of older facts are read and keep their bytes") {
  const std::map<std::string, std::string (*)(const std::string&)> kinds{
      {"press.run", again<PressRun>},
      {"set-up.made", again<SetUpMade>},
      {"samples.drawn", again<SamplesDrawn>},
      {"machine", again<Machine>}};
  for (const test::Case& row : test::loadCases("plant/cases/old_fact.csv").rows) {
    INFO(test::describeCase(row));
    std::string body = row.text("body");
    std::replace(body.begin(), body.end(), '\'', '"');
    CHECK(kinds.at(row.text("kind"))(body) == body);
  }
}
