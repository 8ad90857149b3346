#include "platemark/service/reading_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <iterator>

#include "platemark/intake/weighing.h"
#include "platemark/service/cure_file.h"

namespace platemark::service {
namespace {

constexpr std::string_view sample_column = "sample";

Error fault(std::string_view code, std::string what, std::string field, std::string remedy) {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.where.field = std::move(field);
  error.remedy = std::move(remedy);
  return error;
}

Error noFile() {
  return fault("reading_file.no_file", "A layout is named, and no file to read by it.",
               "attachment", "Attach the instrument's file, or leave the layout out.");
}

const intake::SeriesColumn* columnOf(const intake::Series& series, std::string_view meaning) {
  for (const intake::SeriesColumn& column : series.columns)
    if (column.meaning == meaning) return &column;
  return nullptr;
}

/// Which rows are of the sample; all of them where the file names none.
Result<std::vector<std::size_t>> rowsOf(const intake::Series& series, const std::string& sample) {
  const intake::SeriesColumn* samples = columnOf(series, sample_column);
  const Result<Decimal> wanted = Decimal::parse(sample, DecimalMark::point);
  if (samples != nullptr && !wanted)
    return fault("reading_file.sample",
                 fmt::format("The file names its samples by number; '{}' is none.", sample),
                 "sample", "Give the number that the instrument was told.");
  std::vector<std::size_t> rows;
  for (std::size_t i = 0; i < series.times.size(); ++i)
    if (samples == nullptr || samples->values[i] == wanted->value()) rows.push_back(i);
  return rows;
}

Value::Array readingsOf(const intake::SeriesColumn& column, const std::vector<std::size_t>& rows) {
  Value::Array readings;
  for (const std::size_t row : rows)
    if (const double value = column.values[row]; !std::isnan(value))
      readings.push_back(toValue(Measure{Decimal::fromDouble(value), column.unit}));
  return readings;
}

Result<Value::Object> withFile(Value::Object numbers, const intake::Series& series,
                               const std::vector<std::size_t>& rows, const std::string& sample) {
  for (const intake::SeriesColumn& column : series.columns) {
    if (column.meaning == sample_column) continue;
    const std::string field = "numbers." + column.meaning;
    if (numbers.contains(column.meaning))
      return fault("reading_file.typed_too",
                   fmt::format("'{}' was typed, and the file has it too.", column.meaning), field,
                   "Leave it to the file, or type it and name no layout.");
    Value::Array readings = readingsOf(column, rows);
    if (readings.empty())
      return fault("reading_file.no_rows",
                   sample.empty()
                       ? fmt::format("The file has no '{}'.", column.meaning)
                       : fmt::format("The file has no '{}' of sample {}.", column.meaning, sample),
                   field, "Look at the file, and at the sample's number.");
    numbers.emplace(column.meaning, std::move(readings));
  }
  return numbers;
}

Result<intake::FileLayout> layoutNamed(const House& house, const std::string& code) {
  const auto saved = ledger::stateAs<Issued<Layout>>(*house.store->read(), projection::layout,
                                                     ledger::nowKey(code));
  if (saved) return layoutFrom(saved->noun.mapping);
  Error error = fault("layout.unknown", fmt::format("There is no layout '{}' on record.", code),
                      "layout", "Save the instrument's layout first.");
  error.fault = Fault::not_found;
  return error;
}

/// An act that takes an instrument's file, and which members the file fills.
struct TakesFile {
  std::string_view act;
  std::vector<std::string_view> lists;  ///< each by the column that means it
  std::string_view mass;                ///< by the one weighing of a balance's file
  std::vector<std::string_view> label;  ///< members that the weighing's label may name
};
const TakesFile takers[] = {
    {"plates prepare", {"film"}, "", {}},
    {"press run", {"charge_checks", "underlayer_checks"}, "", {}},
    {"gauge check", {"readings"}, "", {}},
    {"mix weigh", {}, "mass", {"container", "lot", "material"}},
    {"container return", {}, "mass", {"container"}},
};

const TakesFile* takerOf(std::string_view act) {
  const auto found = std::find_if(std::begin(takers), std::end(takers),
                                  [&](const TakesFile& t) { return t.act == act; });
  return found == std::end(takers) ? nullptr : found;
}

Error typedToo(std::string_view member) {
  return fault("reading_file.typed_too",
               fmt::format("'{}' was typed, and the file has it too.", member), std::string(member),
               "Leave it to the file, or type it and name no layout.");
}

bool isTyped(const Value& input, std::string_view member) {
  const Value& typed = input[std::string(member)];
  const Value::Array* list = typed.asArray();
  return list != nullptr ? !list->empty() : !typed.isNull();
}

/// The lists that the file has; a column that means something else belongs to another act.
Result<Value> withLists(Value input, const intake::Series& series, const TakesFile& taker) {
  std::vector<std::size_t> rows(series.times.size());
  for (std::size_t i = 0; i < rows.size(); ++i) rows[i] = i;
  for (const intake::SeriesColumn& column : series.columns) {
    const bool known =
        std::find(taker.lists.begin(), taker.lists.end(), column.meaning) != taker.lists.end();
    if (!known)
      return fault("reading_file.other_layout",
                   fmt::format("'{}' takes no '{}' from a file.", taker.act, column.meaning),
                   "layout", "Choose the layout that was made for this.");
    if (isTyped(input, column.meaning)) return typedToo(column.meaning);
    Value::Array readings = readingsOf(column, rows);
    if (readings.empty())
      return fault("reading_file.no_rows", fmt::format("The file has no '{}'.", column.meaning),
                   column.meaning, "Look at the file.");
    input.asObject()->insert_or_assign(column.meaning, std::move(readings));
  }
  return input;
}

bool isOf(const intake::Weighing& weighing, const Value& input, const TakesFile& taker) {
  return std::any_of(taker.label.begin(), taker.label.end(), [&](std::string_view member) {
    const std::string named = input.text(std::string(member));
    return !named.empty() && weighing.id == named;
  });
}

/// The one weighing that is meant: by its label, or because it is the only one without.
Result<Measure> theWeighing(const std::vector<intake::Weighing>& rows, const Value& input,
                            const TakesFile& taker) {
  std::vector<const intake::Weighing*> meant;
  for (const intake::Weighing& row : rows)
    if (row.id.empty() || isOf(row, input, taker)) meant.push_back(&row);
  if (meant.size() == 1) return meant.front()->net;
  const std::string what = input.text(std::string(taker.label.front())).empty()
                               ? input.text("lot")
                               : input.text(std::string(taker.label.front()));
  return fault(meant.empty() ? "reading_file.no_weighing" : "reading_file.several",
               meant.empty() ? fmt::format("The file has no weighing of {}.", what)
                             : fmt::format("The file has {} weighings that may be of {}.",
                                           meant.size(), what),
               std::string(taker.mass),
               meant.empty() ? "Look at the label that the balance wrote."
                             : "Cut the file to the one that is meant, or type the mass.");
}

Result<Value> withMass(Value input, const House& house, const std::string& attachment,
                       const intake::FileLayout& layout, const TakesFile& taker) {
  if (isTyped(input, taker.mass)) return typedToo(taker.mass);
  const Result<std::string> path = house.store->attachmentPath(attachment);
  if (!path) return path.error();
  Result<std::unique_ptr<intake::ByteSource>> file = intake::openFile(*path);
  if (!file) return file.error();
  const Result<intake::Weighings> weighings = intake::readWeighings(**file, layout);
  if (!weighings)
    return Error(weighings.error())
        .at({layout.name, weighings.error().where.line, weighings.error().where.column,
             weighings.error().where.field});
  const Result<Measure> mass = theWeighing(weighings->rows, input, taker);
  if (!mass) return mass.error();
  input.asObject()->insert_or_assign(std::string(taker.mass), toValue(*mass));
  return input;
}

}  // namespace

Result<Value> readingInput(const House& house, Value input) {
  const std::string attachment = input.text("attachment"), sample = input.text("sample");
  if (attachment.empty()) return noFile();
  const Result<intake::FileLayout> layout = layoutNamed(house, input.text("layout"));
  if (!layout) return layout.error();
  const Result<intake::Series> series =
      readRecording(*house.store, attachment, layout->name, *layout);
  if (!series) return series.error();
  const Result<std::vector<std::size_t>> rows = rowsOf(*series, sample);
  if (!rows) return rows.error();
  const Value::Object* typed = input["numbers"].asObject();
  Result<Value::Object> numbers =
      withFile(typed != nullptr ? *typed : Value::Object{}, *series, *rows, sample);
  if (!numbers) return numbers.error();
  input.asObject()->insert_or_assign("numbers", std::move(*numbers));
  return input;
}

bool takesFile(std::string_view act) { return act == "reading take" || takerOf(act) != nullptr; }

Result<Value> fileInput(const House& house, std::string_view act, Value input) {
  const TakesFile* taker = takerOf(act);
  if (taker == nullptr) return readingInput(house, std::move(input));
  const std::string attachment = input.text("attachment");
  if (attachment.empty()) return noFile();
  const Result<intake::FileLayout> layout = layoutNamed(house, input.text("layout"));
  if (!layout) return layout.error();
  if (!taker->mass.empty()) return withMass(std::move(input), house, attachment, *layout, *taker);
  const Result<intake::Series> series =
      readRecording(*house.store, attachment, layout->name, *layout);
  if (!series) return series.error();
  return withLists(std::move(input), *series, *taker);
}

}  // namespace platemark::service
