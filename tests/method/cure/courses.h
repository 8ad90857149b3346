/// Courses of temperature and rate laws from rows of check cases.
#pragma once

#include <string>
#include <vector>

#include "platemark/method/cure/course.h"
#include "support/cases.h"

namespace cases {

namespace cure = platemark::method::cure;
using namespace platemark;

inline cure::CoursePoint point(double minute, double celsius) {
  return {Duration::of(minute, unit::minute), TemperaturePoint::of(celsius, scale::celsius)};
}

/// "0:25 57.5:140": minutes and °C.
inline std::vector<cure::CoursePoint> courseOf(const std::string& text) {
  std::vector<cure::CoursePoint> course;
  std::istringstream words(text);
  for (std::string word; words >> word;) {
    const auto colon = word.find(':');
    course.push_back(point(std::stod(word.substr(0, colon)), std::stod(word.substr(colon + 1))));
  }
  return course;
}

inline std::optional<cure::Arrhenius> arrhenius(double factor, Unit<dim::Rate> per,
                                                double kilojoules) {
  if (factor == 0) return {};
  return cure::Arrhenius{Rate::of(factor, per),
                         MolarEnergy::of(kilojoules, unit::kilojoule_per_mole)};
}

inline cure::ParameterSet setOf(const test::Case& row) {
  const Unit<dim::Rate> per = row.text("per") == "min" ? unit::per_minute : unit::per_second;
  cure::KamalLaw law;
  law.plain = arrhenius(row.number("a1"), per, row.number("e1"));
  law.autocatalytic = arrhenius(row.number("a2"), per, row.number("e2"));
  law.m = row.number("m");
  law.n = row.number("n");
  if (row.number("c") != 0)
    law.diffusion = {row.number("c"), row.number("ac0"),
                     PerTemperature::of(row.number("acT"), unit::per_kelvin)};
  cure::ParameterSet set;
  set.law = law;
  set.start = row.number("start");
  return set;
}

inline cure::ParameterSet novolac() { return cure::publishedSets()[0]; }

}  // namespace cases
