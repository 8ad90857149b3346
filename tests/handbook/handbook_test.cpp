#include "handbook.h"

#include <doctest/doctest.h>

#include <filesystem>
#include <fstream>
#include <regex>
#include <set>
#include <sstream>

#include "support/cases.h"

using namespace platemark;

namespace {

const std::filesystem::path methods = PLATEMARK_METHODS_DIR;
const std::string remedy =
    "Build and run platemark_handbook docs/methods, read what changed and commit it.";

std::string contentOf(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  std::ostringstream content;
  content << in.rdbuf();
  return content.str();
}

catalogue::Entry smallEntry() {
  catalogue::Entry entry;
  entry.id = "made.up";
  entry.title = "Made up";
  entry.inputs = {{"x", "|x|", "a size", Kind::length, "um", 0, 5, true, true}};
  entry.outputs = {{"y", "y", "twice the size", Kind::length, "um", 1}};
  entry.example.numbers["x"] = {{*Decimal::parse("2"), "um"}};
  entry.evaluate = [](const catalogue::Entry&,
                      const catalogue::Inputs& inputs) -> Result<catalogue::Evaluation> {
    catalogue::Evaluation evaluation;
    const double x = inputs.numbers.at("x").front().value.value();
    evaluation.outputs = {{"y", {Decimal::fromDouble(2 * x), "um"}, {}, true, ""}};
    return evaluation;
  };
  return entry;
}

const std::filesystem::path sources = PLATEMARK_SOURCES_DIR;
const std::filesystem::path method_headers = sources / "method/include/platemark/method";

/// Headers that describe a part of a model, not a model.
const std::set<std::string> parts_of_models{
    "cure/correction.h",         "cure/reshape.h",        "cure/fault.h",
    "cure/kinetics.h",           "cure/programme.h",      "cure/recording.h",
    "cure/thermocouple.h",       "cure/thin.h",           "gauge/range_factor.h",
    "statistics/distribution.h", "powder/sieve_series.h", "statistics/curve_fit.h"};

std::string entrySources() {
  std::string text;
  for (const auto& file : std::filesystem::directory_iterator(sources / "catalogue/entries"))
    text += contentOf(file);
  return text;
}

/// By its version constant, which an entry carries, or by the id and version its brief names.
bool hasEntry(const std::string& header, const std::string& entries) {
  std::smatch found;
  if (std::regex_search(header, found, std::regex("constexpr int (\\w+_version) = \\d+;")))
    return std::regex_search(entries, std::regex("\\.version = (\\w+::)*" + found.str(1) + ";"));
  if (!std::regex_search(header, found, std::regex("method (\\w+\\.\\w+), version (\\d+)")))
    return false;
  return catalogue::find(found.str(1), std::stoi(found.str(2))) != nullptr;
}

}  // namespace

TEST_CASE("Every method has its page, and the page says what the catalogue says") {
  REQUIRE_FALSE(catalogue::entries().empty());
  for (const catalogue::Entry& entry : catalogue::entries()) {
    CAPTURE(entry.id);
    CAPTURE(remedy);
    const Result<std::string> made = handbook::page(entry);
    const std::string failure = made ? "" : describe(made.error());
    REQUIRE_MESSAGE(made, failure);
    CHECK(handbook::partsOf(contentOf(methods / handbook::fileName(entry))).made == *made);
  }
}

TEST_CASE("No page is left of a method that is gone") {
  std::set<std::string> known;
  for (const catalogue::Entry& entry : catalogue::entries())
    known.insert(handbook::fileName(entry));
  for (const auto& file : std::filesystem::directory_iterator(methods)) {
    CAPTURE(file.path().string());
    CHECK(known.contains(file.path().filename().string()));
  }
}

TEST_CASE("Every model's header has its entry, and so its page and its outside check") {
  const std::string entries = entrySources();
  int models = 0;
  for (const auto& file : std::filesystem::recursive_directory_iterator(method_headers)) {
    if (!file.is_regular_file()) continue;
    const std::string name = std::filesystem::relative(file, method_headers).generic_string();
    if (parts_of_models.contains(name)) continue;
    CAPTURE(name);
    CHECK(hasEntry(contentOf(file), entries));
    ++models;
  }
  CHECK(models > 10);
}

TEST_CASE("A header without an entry is found") {
  const std::string entries = entrySources();
  CHECK(hasEntry("inline constexpr int sieve_version = 1;", entries));
  CHECK_FALSE(hasEntry("inline constexpr int unheard_of_version = 1;", entries));
  CHECK_FALSE(hasEntry("inline constexpr int eve_version = 1;", entries));
  CHECK(hasEntry("/// A chart: method cure.chart, version 1.", entries));
  CHECK_FALSE(hasEntry("/// A chart: method cure.chart, version 2.", entries));
  CHECK_FALSE(hasEntry("/// A chart: method cure.unheard_of, version 1.", entries));
  CHECK_FALSE(hasEntry("/// No version at all.", entries));
}

TEST_CASE("Every method is checked against the outside by a file with a source") {
  for (const catalogue::Entry& entry : catalogue::entries()) {
    CAPTURE(entry.id);
    CAPTURE(entry.outside_check);
    REQUIRE_FALSE(entry.outside_check.empty());
    CHECK_NOTHROW(test::loadCases(entry.outside_check));
  }
}

TEST_CASE("Every method says where it holds, whence it comes and what its symbols mean") {
  for (const catalogue::Entry& entry : catalogue::entries()) {
    CAPTURE(entry.id);
    for (const std::string* text : {&entry.title, &entry.words, &entry.formula, &entry.validity,
                                    &entry.uncertainty, &entry.source})
      CHECK_FALSE(text->empty());
    for (const catalogue::Input& input : entry.inputs) {
      CAPTURE(input.name);
      CHECK_FALSE(input.words.empty());
      const Result<UnitRow> unit = findUnit(input.unit);
      REQUIRE(unit);
      CHECK(unit->kind == input.kind);
    }
    for (const catalogue::Output& output : entry.outputs) {
      CAPTURE(output.name);
      CHECK_FALSE(output.words.empty());
      const Result<UnitRow> unit = findUnit(output.unit);
      REQUIRE(unit);
      CHECK(unit->kind == output.kind);
    }
  }
}

TEST_CASE("A page shows symbols, ranges and the computed example") {
  const std::string page = *handbook::page(smallEntry());
  CHECK(page.find("| `x` | \\|x\\| | a size | µm | 0 to 5 | several, or none |") !=
        std::string::npos);
  CHECK(page.find("| `y` | 4.0\u00A0µm |") != std::string::npos);
  CHECK(page.ends_with(std::string(handbook::kept_below) + "\n"));
}

TEST_CASE("An example that does not compute makes no page") {
  catalogue::Entry entry = smallEntry();
  entry.example.numbers["x"] = {{*Decimal::parse("6"), "um"}};
  CHECK(handbook::page(entry).error().code == "catalogue.out_of_range");
}

TEST_CASE("What stands below the made part is kept apart") {
  const std::string made = *handbook::page(smallEntry());
  const handbook::Parts parts = handbook::partsOf(made + "## By hand\n");
  CHECK(parts.made == made);
  CHECK(parts.by_hand == "## By hand\n");
  CHECK(handbook::partsOf("old page").by_hand.empty());
  CHECK(handbook::partsOf(made.substr(0, made.size() - 1)).by_hand.empty());
}
