#include <doctest/doctest.h>

#include <bit>
#include <functional>
#include <limits>
#include <random>

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

TEST_CASE("what is called readable is what reads back") {
  std::mt19937 random(20261125);
  const auto pick = [&](int from, int to) {
    return std::uniform_int_distribution<int>(from, to)(random);
  };
  const auto text = [&] {
    // Mostly well-formed pieces, so that both answers come up.
    static const std::string_view pieces[] = {"a",
                                              "\xc3\xa9",
                                              "\xe2\x82\xac",
                                              "\xf0\x9f\x98\x80",
                                              "\"",
                                              "\n",
                                              "\xc0\x80",
                                              "\xed\xa0\x80",
                                              "\xf4\x90\x80\x80",
                                              "\xc3",
                                              "\xf8\x88\x80\x80\x80"};
    std::string s;
    for (int n = pick(0, 3); n > 0; --n)
      s += pieces[static_cast<std::size_t>(pick(0, pick(0, 9) == 0 ? 10 : 5))];
    return s;
  };
  const std::function<Value(int)> any = [&](int levels) -> Value {
    switch (levels == 0 ? pick(0, 2) : pick(0, 4)) {
      case 0:
        return text();
      case 1:
        return std::int64_t{9007199254740991} + (pick(0, 15) == 0 ? 1 : -pick(0, 5));
      case 2:
        return pick(0, 1) == 0;
      case 3: {
        Value::Array array;
        for (int n = pick(0, 3); n > 0; --n) array.push_back(any(levels - 1));
        return array;
      }
      default: {
        Value::Object object;
        for (int n = pick(0, 3); n > 0; --n) object[text()] = any(levels - 1);
        return object;
      }
    }
  };
  int readable = 0, unreadable = 0;
  for (int i = 0; i < 4000; ++i) {
    const Value value = any(pick(0, 4));
    const Result<Value> again = parseJson(canonicalJson(value));
    CHECK(static_cast<bool>(checkReadable(value)) == static_cast<bool>(again));
    if (again) CHECK(*again == value);
    ++(again ? readable : unreadable);
  }
  CHECK(readable > 1000);
  CHECK(unreadable > 200);
  Value deep;
  for (int level = 0; level < 64; ++level) deep = Value::Array{deep};
  CHECK(checkReadable(deep));
  CHECK_FALSE(checkReadable(Value(Value::Array{deep})));
}

TEST_CASE("a fraction is found wherever it stands") {
  CHECK(firstFraction(*parseJson(R"({"a":[1,{"b":"1.5"}]})")).empty());
  CHECK(firstFraction(*parseJson(R"({"a":[1,{"b":1.5}]})")) == "a[1].b");
  CHECK(firstFraction(*parseJson("1.0")) == "this value");
}
