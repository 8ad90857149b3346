/// Runs and histograms: what is drawn, and what cannot be.
#include "platemark/figure/run_chart.h"

#include <doctest/doctest.h>

#include <cmath>
#include <numeric>

#include "platemark/figure/svg.h"

namespace platemark::test {
namespace {

using namespace figure;

RunInput runOf(std::vector<double> values) {
  RunInput in;
  in.title = "Hardness";
  in.quantity = "Hardness";
  in.unit = "HRR";
  for (const double v : values) in.points.push_back({v, "11-23", "one", RunMark::counted});
  return in;
}

std::vector<Mark> marksOf(const Scene& scene) {
  std::vector<Mark> marks;
  for (const Item& item : scene.items)
    if (const Mark* mark = std::get_if<Mark>(&item)) marks.push_back(*mark);
  return marks;
}

}  // namespace

TEST_CASE("a run has a mark for each result, the higher value the higher mark") {
  RunInput in = runOf({80, 90, 85});
  in.points[1].mark = RunMark::outside;
  in.points[2].mark = RunMark::aside;
  in.limits = {{88, "at most 88", true}};
  in.centre = 84;
  in.centre_words = "mean 84";
  const Result<Scene> scene = runChart(in);
  REQUIRE(bool(scene));
  const std::vector<Mark> marks = marksOf(*scene);
  REQUIRE(marks.size() == 3);
  CHECK(marks[1].at.y < marks[2].at.y);
  CHECK(marks[2].at.y < marks[0].at.y);
  CHECK(marks[0].at.x < marks[1].at.x);
  CHECK(marks[1].shape == Shape::triangle_up);
  CHECK(marks[2].shape == Shape::open_dot);
  for (const Mark& mark : marks) {
    CHECK(mark.at.x > 0);
    CHECK(mark.at.x < scene->width);
    CHECK(mark.at.y < scene->height);
  }
  // What is set aside is not in the line.
  for (const Item& item : scene->items)
    if (const Line* line = std::get_if<Line>(&item); line && line->style == Style::series_other)
      CHECK(line->points.size() == 2);
  CHECK(toSvg(*scene).find("at most 88") != std::string::npos);
}

TEST_CASE("a run of one value, and of values all alike, can be drawn") {
  CHECK(bool(runChart(runOf({5}))));
  CHECK(bool(runChart(runOf({0, 0, 0}))));
  CHECK(bool(histogram(runOf({0, 0, 0}))));
}

TEST_CASE("nothing to draw, and what is no number, is refused") {
  CHECK(runChart(runOf({})).error().code == "figure.empty");
  CHECK(runChart(runOf({1, NAN})).error().code == "figure.out_of_range");
  RunInput in = runOf({1, 2});
  in.limits = {{INFINITY, "", true}};
  CHECK(histogram(in).error().code == "figure.out_of_range");
  RunInput aside = runOf({1});
  aside.points[0].mark = RunMark::aside;
  CHECK(histogram(aside).error().code == "figure.empty");
  CHECK(bool(runChart(aside)));
}

TEST_CASE("every value is in one class, and the greatest in the last") {
  std::vector<double> values(100);
  std::iota(values.begin(), values.end(), 1.0);
  const Classes classes = classesOf(values);
  CHECK(classes.counts.size() == 10);
  CHECK(std::accumulate(classes.counts.begin(), classes.counts.end(), 0) == 100);
  CHECK(classes.counts == std::vector<int>{10, 10, 10, 10, 10, 10, 10, 10, 10, 10});
  CHECK(classesOf({1, 2}).counts == std::vector<int>{1, 0, 0, 0, 1});
  CHECK(classesOf({7, 7, 7}).counts == std::vector<int>{0, 0, 3, 0, 0});
  CHECK(classesOf(std::vector<double>(2000, 1.0)).counts.size() == 25);
}

}  // namespace platemark::test
