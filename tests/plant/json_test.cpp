#include <doctest/doctest.h>

#include <bit>
#include <limits>

#include "platemark/plant/digest.h"
#include "platemark/plant/value.h"
#include "support/cases.h"
#include "support/hex.h"

using namespace platemark;

TEST_CASE("canonical JSON gives the published bytes of RFC 8785") {
  for (const test::Case& row : test::loadCases("plant/cases/canonical_json.csv").rows) {
    CAPTURE(row.text("name"));
    const Result<Value> value = parseJson(test::bytesOf(row.text("input_hex")));
    REQUIRE(value);
    const std::string written = canonicalJson(*value);
    CHECK(test::hexOf(written) == row.text("output_hex"));
    CHECK(sha256Hex(written) == row.text("output_sha256"));
    const Result<Value> again = parseJson(written);
    REQUIRE(again);
    CHECK(canonicalJson(*again) == written);
  }
}

TEST_CASE("numbers are written as RFC 8785 says") {
  for (const test::Case& row : test::loadCases("plant/cases/canonical_numbers.csv").rows) {
    CAPTURE(row.text("ieee754_hex"));
    const std::uint64_t bits = std::stoull(row.text("ieee754_hex"), nullptr, 16);
    CHECK(canonicalJson(Value(std::bit_cast<double>(bits))) == row.text("text"));
  }
}

TEST_CASE("SHA-256 gives the published digests") {
  for (const test::Case& row : test::loadCases("plant/cases/sha256.csv").rows)
    CHECK(sha256Hex(test::bytesOf(row.text("message_hex"))) == row.text("sha256"));
}

TEST_CASE("what strict JSON refuses") {
  const auto codeOf = [](std::string_view text) {
    const Result<Value> value = parseJson(text);
    return value ? std::string("accepted") : value.error().code;
  };
  CHECK(codeOf(R"({"a":1,"a":2})") == "json.duplicate_name");
  CHECK(codeOf(R"({"a":1,"\u0061":2})") == "json.duplicate_name");
  CHECK(codeOf("9007199254740992") == "json.inexact_number");
  CHECK(codeOf("9007199254740991") == "accepted");
  CHECK(codeOf("-9007199254740992") == "json.inexact_number");
  CHECK(codeOf("1e999") != "accepted");
  CHECK(codeOf("NaN") == "json.syntax");
  CHECK(codeOf("\"\xff\"") == "json.syntax");
  CHECK(codeOf("\"\\ud800\"") == "json.syntax");
  CHECK(codeOf("{} x") == "json.syntax");
  CHECK(codeOf("") == "json.syntax");
  CHECK(codeOf(std::string(65, '[') + std::string(65, ']')) == "json.too_deep");
  CHECK(codeOf(std::string(64, '[') + std::string(64, ']')) == "accepted");
}

TEST_CASE("a fraction is found wherever it stands") {
  CHECK(firstFraction(*parseJson(R"({"a":[1,{"b":"1.5"}]})")).empty());
  CHECK(firstFraction(*parseJson(R"({"a":[1,{"b":1.5}]})")) == "a[1].b");
  CHECK(firstFraction(*parseJson("1.0")) == "this value");
}
