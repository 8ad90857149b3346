#include "platemark/service/reading_file.h"

#include <fmt/format.h>

#include <cmath>

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

}  // namespace

Result<Value> readingInput(const House& house, Value input) {
  const std::string attachment = input.text("attachment"), sample = input.text("sample");
  if (attachment.empty())
    return fault("reading_file.no_file", "A layout is named, and no file to read by it.",
                 "attachment", "Attach the instrument's file, or leave the layout out.");
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

}  // namespace platemark::service
