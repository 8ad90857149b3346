#include "platemark/method/cure/thin.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "series.h"
#include "wrong_input.h"

namespace platemark::method::cure {
namespace {

/// Collects the readings of one column of pixels.
class Column {
 public:
  void take(std::size_t index, double celsius, double lowest, double highest) {
    first_ = std::min(first_, index);
    if (std::isnan(celsius)) return;
    if (lowest_ == none || celsius < lowest) lowest_ = index;
    if (highest_ == none || celsius > highest) highest_ = index;
  }
  [[nodiscard]] std::size_t lowest() const { return lowest_; }
  [[nodiscard]] std::size_t highest() const { return highest_; }
  [[nodiscard]] bool empty() const { return first_ == none; }
  /// The readings to keep, by index; the first one where all are empty.
  void keep(std::vector<std::size_t>& kept) const {
    if (lowest_ == none) {
      kept.push_back(first_);
      return;
    }
    kept.push_back(std::min(lowest_, highest_));
    if (lowest_ != highest_) kept.push_back(std::max(lowest_, highest_));
  }

  static constexpr std::size_t none = std::numeric_limits<std::size_t>::max();

 private:
  std::size_t first_ = none;
  std::size_t lowest_ = none;
  std::size_t highest_ = none;
};

void takeInto(Column& column, const Series& series, std::size_t i) {
  const auto at = [&](std::size_t k) { return k == Column::none ? 0.0 : series.celsius[k]; };
  column.take(i, series.celsius[i], at(column.lowest()), at(column.highest()));
}

std::size_t columnOf(const Series& series, std::size_t i, std::size_t columns) {
  const auto since = static_cast<double>(series.at_ms[i] - series.at_ms.front());
  const auto width = static_cast<double>(series.at_ms.back() - series.at_ms.front());
  if (width == 0) return 0;
  return std::min(columns - 1,
                  static_cast<std::size_t>(since / width * static_cast<double>(columns)));
}

std::vector<std::size_t> extremesByColumn(const Series& series, std::size_t columns) {
  std::vector<std::size_t> kept{0};
  Column column;
  std::size_t current = 0;
  for (std::size_t i = 0; i < series.at_ms.size(); ++i) {
    const std::size_t here = columnOf(series, i, columns);
    if (here != current && !column.empty()) {
      column.keep(kept);
      column = {};
    }
    current = here;
    takeInto(column, series, i);
  }
  column.keep(kept);
  kept.push_back(series.at_ms.size() - 1);
  return kept;
}

std::vector<Point> pointsAt(const Series& series, const std::vector<std::size_t>& kept) {
  std::vector<Point> points;
  for (std::size_t k = 0; k < kept.size(); ++k)
    if (k == 0 || kept[k] != kept[k - 1])
      points.push_back({series.at_ms[kept[k]], series.celsius[kept[k]]});
  return points;
}

std::vector<Point> allPoints(const Series& series) {
  std::vector<Point> points;
  for (std::size_t i = 0; i < series.at_ms.size(); ++i)
    points.push_back({series.at_ms[i], series.celsius[i]});
  return points;
}

}  // namespace

Result<std::vector<Point>> thin(const Series& series, std::size_t columns) {
  if (Result<void> ok = checkSeries(series, ""); !ok) return ok.error();
  if (columns == 0)
    return wrongInput("cure.no_columns", "a drawing without width shows nothing", "columns",
                      "at least 1", "give the width of the drawing in pixels");
  if (series.at_ms.size() <= columns || series.at_ms.size() - columns <= columns)
    return allPoints(series);
  return pointsAt(series, extremesByColumn(series, columns));
}

}  // namespace platemark::method::cure
