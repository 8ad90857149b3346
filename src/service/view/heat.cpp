#include "heat.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/figure/oven_map.h"
#include "platemark/figure/svg.h"

namespace platemark::service::view {
namespace {

std::string extremeWords(PadExtreme what) {
  switch (what) {
    case PadExtreme::coldest:
      return say("service.heat.coldest");
    case PadExtreme::hottest:
      return say("service.heat.hottest");
    case PadExtreme::latest:
      return say("service.heat.latest");
    case PadExtreme::shortest:
      return say("service.heat.shortest");
    case PadExtreme::least_cured:
      return say("service.heat.least_cured");
    case PadExtreme::fastest:
      return say("service.heat.fastest");
  }
  return "";
}

Measure shown(const Measure& m, int decimals) {
  return {Decimal::fixed(m.value.value(), decimals), m.unit};
}
int decimalsOf(const Measure& m) { return m.unit == "K/min" ? 2 : m.unit == "min" ? 0 : 1; }

std::string valueWords(const WorstPad& pad) {
  if (!pad.value) return say("service.heat.never");
  std::string words = format(shown(*pad.value, decimalsOf(*pad.value)));
  if (pad.u)
    words +=
        say("service.heat.u",
            {{"u", format({Decimal::fixed(2 * pad.u->value.value(), decimalsOf(*pad.value) + 1),
                           pad.u->unit})}});
  return words;
}

std::string marginWords(const WorstPad& pad) {
  if (!pad.margin) return "";
  const double minutes = pad.margin->value.value();
  return say(minutes >= 0 ? "service.heat.to_spare" : "service.heat.short",
             {{"minutes", Decimal::fixed(std::abs(minutes), 0).text()}});
}

const Clamp* clampOf(const LoadState& load, const WorstPad& pad) {
  for (const Clamp& c : load.built.clamps)
    if (c.clamp == pad.clamp && c.batch == pad.batch) return &c;
  return nullptr;
}

std::string whereWords(const LoadState& load, const WorstPad& pad) {
  const Clamp* clamp = clampOf(load, pad);
  return say("service.heat.where", {{"pad", pad.pad},
                                    {"clamp", pad.clamp},
                                    {"tier", clamp == nullptr ? 0 : clamp->tier},
                                    {"position", clamp == nullptr ? 0 : clamp->position}});
}

Value::Array worstValue(const LoadState& load) {
  Value::Array rows;
  for (const WorstPad& pad : load.heat->worst)
    rows.push_back(Value::Object{{"what", extremeWords(pad.what)},
                                 {"where", whereWords(load, pad)},
                                 {"batch", pad.batch},
                                 {"value", valueWords(pad)},
                                 {"margin", marginWords(pad)}});
  return rows;
}

std::string sentenceOf(const LoadState& load) {
  const auto& worst = load.heat->worst;
  const auto of = [&](PadExtreme what) {
    return std::find_if(worst.begin(), worst.end(),
                        [&](const WorstPad& w) { return w.what == what; });
  };
  const auto cured = of(PadExtreme::least_cured), shortest = of(PadExtreme::shortest);
  if (cured != worst.end())
    return say("service.heat.sentence_cured", {{"value", valueWords(*cured)},
                                               {"where", whereWords(load, *cured)},
                                               {"pads", grouped(load.heat->pads)}});
  return say("service.heat.sentence_soaked", {{"value", valueWords(*shortest)},
                                              {"where", whereWords(load, *shortest)},
                                              {"pads", grouped(load.heat->pads)}});
}

std::string mapOf(const LoadState& load) {
  figure::OvenMapInput map;
  map.title = say("service.heat.map", {{"load", load.built.load}});
  map.reading = sentenceOf(load);
  map.tier_words = say("service.oven.tier");
  std::set<std::pair<std::int64_t, std::int64_t>> seen;
  for (const Clamp& clamp : load.built.clamps) {
    if (!seen.insert({clamp.tier, clamp.position}).second) continue;
    figure::OvenPlace place{static_cast<int>(clamp.tier),
                            static_cast<int>(clamp.position),
                            say("service.heat.clamp", {{"clamp", clamp.clamp}}),
                            clamp.batch,
                            {}};
    for (const WorstPad& pad : load.heat->worst)
      if (pad.clamp == clamp.clamp && pad.batch == clamp.batch)
        place.marked.push_back(extremeWords(pad.what));
    map.places.push_back(std::move(place));
  }
  const Result<figure::Scene> scene = figure::ovenMap(map);
  return scene ? figure::toSvg(*scene) : "";
}

Value::Array doubtsOf(const HeatComputed& heat) {
  Value::Array doubts;
  for (const std::string& doubt : heat.doubts) doubts.push_back(capital(doubt) + ".");
  return doubts;
}

Value::Array kineticsOf(const HeatComputed& heat) {
  Value::Array list;
  for (const KineticsUsed& k : heat.kinetics)
    list.push_back(Value::Object{{"code", k.code}, {"issue", k.issue}, {"adopted", k.adopted}});
  return list;
}

Value computedValue(const LoadState& load) {
  const HeatComputed& heat = *load.heat;
  const bool adopted =
      !heat.kinetics.empty() && std::all_of(heat.kinetics.begin(), heat.kinetics.end(),
                                            [](const KineticsUsed& k) { return k.adopted; });
  return Value::Object{
      {"computed", true},
      {"fact", *load.heat_fact},
      {"sentence", sentenceOf(load)},
      {"worst", worstValue(load)},
      {"map", mapOf(load)},
      {"doubts", doubtsOf(heat)},
      {"kinetics", kineticsOf(heat)},
      {"indication", adopted ? Value() : Value(say("service.heat.indication"))},
      {"rests", say("service.heat.rests",
                    {{"survey", issueWords(heat.survey.code, heat.survey.issue)},
                     {"stacking", issueWords(heat.stacking.code, heat.stacking.issue)}})}};
}

std::string changeWords(double value, const std::string& unit) {
  return format(
      shown({Decimal::fromDouble(value), unit}, decimalsOf({Decimal::fromDouble(value), unit})));
}

}  // namespace

Value heatValue(const Look& look, const LoadState& load, const std::string& zone) {
  if (load.heat) return computedValue(load);
  const Result<act::HeatFiles> files = act::heatFiles(look.snapshot, load.built.load, zone);
  Value::Object value{{"computed", false}};
  value.emplace("missing", files ? Value(Value::Array{}) : missingValue(files.error().missing));
  return value;
}

Value whatIfValue(const WhatIf& answer) {
  Value::Array rows;
  for (const WhatIf::Row& row : answer.rows) {
    const bool never = row.what == PadExtreme::latest && row.then < 0;
    rows.push_back(Value::Object{
        {"what", extremeWords(row.what)},
        {"clamp", row.clamp},
        {"now", row.what == PadExtreme::latest && row.now < 0 ? say("service.heat.never")
                                                              : changeWords(row.now, row.unit)},
        {"then", never ? say("service.heat.never") : changeWords(row.then, row.unit)}});
  }
  return Value::Object{{"rows", std::move(rows)}};
}

Value extraCureValue(const std::optional<ExtraCure>& extra) {
  if (!extra)
    return Value::Object{{"sentence", say("service.heat.extra_none")}, {"rows", Value::Array{}}};
  const auto percent = [](double degree) {
    return Decimal::fixed(100 * degree, 1).text() + "\xC2\xA0%";
  };
  Value::Array rows;
  for (const ExtraCure::Row& row : extra->rows)
    rows.push_back(Value::Object{
        {"minutes", row.minutes}, {"degree", percent(row.degree)}, {"u", percent(2 * row.u)}});
  const std::string set_point = Decimal::fixed(extra->set_point_celsius, 0).text();
  std::string sentence = say("service.heat.extra", {{"clamp", extra->clamp},
                                                    {"now", percent(extra->now)},
                                                    {"minutes", extra->rows.front().minutes},
                                                    {"then", percent(extra->rows.front().degree)},
                                                    {"set_point", set_point}});
  Value::Object value{{"batch", extra->batch}, {"rows", std::move(rows)}};
  if (extra->asked) {
    sentence += say(extra->enough ? "service.heat.enough" : "service.heat.not_enough",
                    {{"asked", percent(*extra->asked)}, {"minutes", extra->enough.value_or(0)}});
    if (extra->enough)
      value.emplace("instruction", say("service.heat.instruction",
                                       {{"minutes", *extra->enough}, {"set_point", set_point}}));
  }
  value.emplace("sentence", std::move(sentence));
  return value;
}

Value shorterSoakValue(const std::optional<ShorterSoak>& shorter) {
  if (!shorter) return Value::Object{{"sentence", say("service.heat.shorter_none")}};
  const auto percent = [](double degree) {
    return Decimal::fixed(100 * degree, 1).text() + "\xC2\xA0%";
  };
  return Value::Object{
      {"saved", shorter->saved_minutes},
      {"sentence", say("service.heat.shorter", {{"saved", shorter->saved_minutes},
                                                {"soak", shorter->soak_minutes},
                                                {"clamp", shorter->clamp},
                                                {"degree", percent(shorter->degree)},
                                                {"u", percent(2 * shorter->u)},
                                                {"asked", percent(shorter->asked)}})}};
}

}  // namespace platemark::service::view
