#include "platemark/figure/oven_map.h"

#include <algorithm>
#include <set>

#include "refusal.h"

namespace platemark::figure {
namespace {

constexpr double kLeft = 52.0, kTop = 26.0, kCellWidth = 118.0, kGap = 8.0, kLine = 16.0;

std::vector<int> sortedOf(const OvenMapInput& in, int OvenPlace::*member) {
  std::set<int> all;
  for (const OvenPlace& p : in.places) all.insert(p.*member);
  return {all.begin(), all.end()};
}

std::size_t placeIn(const std::vector<int>& sorted, int value) {
  return static_cast<std::size_t>(std::lower_bound(sorted.begin(), sorted.end(), value) -
                                  sorted.begin());
}

/// Room for the two lines of a place and the most words that mark one.
double cellHeight(const OvenMapInput& in) {
  std::size_t most = 0;
  for (const OvenPlace& p : in.places) most = std::max(most, p.marked.size());
  return kLine * (2.0 + static_cast<double>(most)) + 10.0;
}

std::optional<Error> faultOf(const OvenMapInput& in) {
  if (in.places.empty())
    return cannotDraw("figure.empty", in.title, "has no places.", "at least one place");
  std::set<std::pair<int, int>> seen;
  for (const OvenPlace& p : in.places)
    if (!seen.insert({p.tier, p.position}).second)
      return cannotDraw("figure.doubled", in.title, "has two things at one place.",
                        "each place once");
  return std::nullopt;
}

Line frame(const Box& box, bool marked, Data data) {
  return {marked ? Style::calculated_decides : Style::axis,
          {{box.x, box.y},
           {box.right(), box.y},
           {box.right(), box.bottom()},
           {box.x, box.bottom()},
           {box.x, box.y}},
          std::move(data)};
}

void addPlace(Scene& scene, const OvenPlace& place, const Box& box) {
  const bool marked = !place.marked.empty();
  scene.add(frame(box, marked,
                  {{"tier", std::to_string(place.tier)},
                   {"position", std::to_string(place.position)},
                   {"marked", marked ? "yes" : "no"}}));
  double y = box.y + kLine;
  const auto write = [&](Style style, const std::string& words) {
    if (!words.empty()) scene.add(Text{style, {box.x + 7.0, y}, Anchor::start, words});
    y += kLine;
  };
  write(Style::label_strong, place.words);
  write(Style::label, place.value);
  for (const std::string& word : place.marked) write(Style::label_strong, word);
}

}  // namespace

Result<Scene> ovenMap(const OvenMapInput& in) {
  if (const std::optional<Error> fault = faultOf(in)) return *fault;
  const std::vector<int> tiers = sortedOf(in, &OvenPlace::tier),
                         positions = sortedOf(in, &OvenPlace::position);
  const double height = cellHeight(in);
  Scene scene;
  scene.title = in.title;
  scene.reading = in.reading;
  scene.width = kLeft + static_cast<double>(positions.size()) * (kCellWidth + kGap);
  scene.height = kTop + static_cast<double>(tiers.size()) * (height + kGap);
  const auto column = [&](std::size_t i) {
    return kLeft + static_cast<double>(i) * (kCellWidth + kGap);
  };
  const auto row = [&](std::size_t i) {
    return kTop + static_cast<double>(tiers.size() - 1 - i) * (height + kGap);
  };
  for (std::size_t i = 0; i < positions.size(); ++i)
    scene.add(Text{Style::label_soft,
                   {column(i) + kCellWidth / 2, kTop - 8.0},
                   Anchor::middle,
                   std::to_string(positions[i])});
  for (std::size_t i = 0; i < tiers.size(); ++i)
    scene.add(Text{Style::label_soft,
                   {kLeft - 6.0, row(i) + kLine},
                   Anchor::end,
                   in.tier_words + " " + std::to_string(tiers[i])});
  for (const OvenPlace& p : in.places)
    addPlace(scene, p,
             {column(placeIn(positions, p.position)), row(placeIn(tiers, p.tier)), kCellWidth,
              height});
  return scene;
}

}  // namespace platemark::figure
