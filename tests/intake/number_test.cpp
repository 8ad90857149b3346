#include "number.h"

#include <doctest/doctest.h>

#include <bit>
#include <charconv>
#include <cmath>
#include <cstdio>
#include <random>
#include <string>

#include "line_count.h"

using namespace platemark::intake;

namespace {

std::uint64_t bits(double value) { return std::bit_cast<std::uint64_t>(value); }

double byFromChars(const std::string& text) {
  double value = 0;
  std::from_chars(text.data(), text.data() + text.size(), value);
  return value;
}

/// A decimal as instruments write it: up to 20 digits, mark anywhere inside.
std::string randomDecimal(std::mt19937_64& random) {
  const auto digits = [&](std::uint64_t most) {
    std::string text;
    for (std::uint64_t n = 1 + random() % most; n > 0; --n)
      text += static_cast<char>('0' + random() % 10);
    return text;
  };
  const std::uint64_t most = random() % 10 == 0 ? 12 : 4;
  std::string text = (random() % 4 == 0 ? "-" : "") + digits(most);
  if (random() % 5 != 0) text += "." + digits(most);
  return text;
}

}  // namespace

TEST_CASE("A million random decimals have the bits that from_chars gives") {
  std::mt19937_64 random(20261125);
  long differing = 0, quick = 0;
  for (int i = 0; i < 1'000'000; ++i) {
    const std::string text = randomDecimal(random);
    const double expected = byFromChars(text);
    const std::string line = text + ";1234567\n";
    double value = 0;
    const char* const stop = quickNumber(line.data(), line.data() + line.size(), '.', value);
    if (stop != nullptr) {
      ++quick;
      differing += bits(value) != bits(expected) || stop != line.data() + text.size();
    }
    double exact = 0;
    differing += !exactNumber(text, '.', exact) || bits(exact) != bits(expected);
    std::string comma = text;
    if (const auto mark = comma.find('.'); mark != std::string::npos) comma[mark] = ',';
    differing += !exactNumber(comma, ',', exact) || bits(exact) != bits(expected);
  }
  CHECK(differing == 0);
  CHECK(quick > 900'000);  // the quick way is taken, not skipped
}

TEST_CASE("What is no number stays none") {
  double value = 0;
  for (const char* text : {"", "-", "+", ".", "nan", "inf", "0x10", "1,2", "1.2.3", "12 ", " 12",
                           "1e", "--1", "+-1", "1e999", "12a"})
    CHECK_FALSE(exactNumber(text, '.', value));
  CHECK(exactNumber("+1.5e2", '.', value));
  CHECK(value == 150.0);
  CHECK(exactNumber("-0.0", '.', value));
  CHECK(std::signbit(value));
  CHECK_FALSE(exactNumber("1.234,5", ',', value));
}

TEST_CASE("The quick way stops at what is not its own and leaves doubt to the exact way") {
  double value = 0;
  for (const std::string text :
       {";", "x;", "-;", ".5;", "5.;", "1234567890123456789;", "12345678901234567.5;"})
    CHECK(quickNumber(text.data(), text.data() + text.size(), '.', value) == nullptr);
  const std::string point = "1.5,2.5";
  CHECK(quickNumber(point.data(), point.data() + point.size(), '.', value) == point.data() + 3);
}

TEST_CASE("Lines are counted alike in steps and sign by sign") {
  std::mt19937_64 random(7);
  for (std::size_t size : {0u, 1u, 15u, 16u, 17u, 4096u, 100'001u}) {
    std::string text(size, 'x');
    for (char& c : text) c = random() % 5 == 0 ? '\n' : static_cast<char>('a' + random() % 20);
    CHECK(countLines(text).lines == countLinesPlain(text).lines);
    CHECK_FALSE(countLines(text).has_nul);
    if (size == 0) continue;
    text[random() % size] = '\0';
    CHECK(countLines(text).has_nul);
    CHECK(countLinesPlain(text).has_nul);
  }
}
