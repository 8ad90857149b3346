/// Lists for the terminal: today, the hand-over, and what an act takes.
#include <fmt/format.h>

#include <algorithm>

#include "plain_parts.h"
#include "platemark/words/words.h"

namespace platemark::cli {

using words::say;

namespace {

/// One kind of line on Today and the hand-over: its short members side by side, then the sentence.
struct Section {
  const char* list;
  std::vector<const char*> short_members;
  std::vector<const char*> sentence;
};

std::string indentedSentence(const Value& row, const Section& section) {
  std::vector<std::string> parts;
  for (const char* member : section.sentence) parts.push_back(withoutMarks(row.text(member)));
  std::string text = joined(parts, " · ");
  if (const std::string who = row.text("who"); !who.empty())
    text += " " + say("terminal.who", {{"who", who}});
  return text.empty() ? "" : "      " + text + "\n";
}

/// The short members stand under each other over all rows; each row's sentence stands below it.
std::string sectionWords(const Value& page, const Section& section) {
  const Value::Array rows = listOf(page, section.list);
  if (rows.empty()) return "";
  std::vector<Row> cells;
  for (const Value& row : rows) {
    Row line;
    for (const char* member : section.short_members) line.push_back(row.text(member));
    cells.push_back(std::move(line));
  }
  std::string text =
      "\n" +
      say("terminal.list." + std::string(section.list), {{"count", std::to_string(rows.size())}}) +
      "\n";
  const std::vector<std::string> lines = tableLines(cells);
  for (std::size_t i = 0; i < rows.size(); ++i)
    text += lines[i] + "\n" + indentedSentence(rows[i], section);
  return text;
}

std::string sectionsWords(const Value& page, const std::vector<Section>& sections) {
  std::string text;
  for (const Section& section : sections) text += sectionWords(page, section);
  return text;
}

std::string typeOf(const Value& field) {
  const std::string item = field.text("item");
  std::string text = field.text("type") + (item.empty() ? "" : " of " + item);
  std::vector<std::string> choices;
  for (const Value& word : listOf(field, "words"))
    if (const std::string* choice = word.asString()) choices.push_back(*choice);
  if (!choices.empty()) text += ": " + joined(choices, ", ");
  const bool* const optional = field["optional"].asBool();
  return text + (optional != nullptr && *optional ? say("terminal.may_be_left_out") : "");
}

void fieldRows(const Value::Array& fields, const std::string& indent, std::vector<Row>& rows) {
  for (const Value& field : fields) {
    rows.push_back({indent + field.text("name"), typeOf(field)});
    fieldRows(listOf(field, "members"), indent + "  ", rows);
  }
}

}  // namespace

std::string coverWords(const Value& page) {
  return sectionWords(page, {"cover", {"need", "word", "until"}, {"words"}});
}

std::string todayWords(const Value& page) {
  return page.text("now") + "\n" + withoutMarks(page.text("sentence")) + "\n" +
         sectionsWords(page, {{"shipped_overtaken", {"batch", "shipment", "customer"}, {"why"}},
                              {"on_hold", {"batch", "part", "pads", "since"}, {"why", "settle"}},
                              {"lots", {"lot", "material", "since"}, {"why", "settle"}},
                              {"late", {"what", "by"}, {"hangs", "helps"}},
                              {"running", {"batch", "part", "pads"}, {"words"}}});
}

std::string benchWords(const Value& page) {
  std::string text = withoutMarks(page.text("sentence")) + "\n";
  for (const Value& thing : listOf(page, "things")) {
    text += "\n" + thing.text("words") + ", " +
            say("terminal.since", {{"since", thing.text("since")}}) + "\n";
    std::vector<Row> rows;
    for (const Value& owed : listOf(thing, "owed"))
      rows.push_back({"  " + owed.text("words"), owed.text("counted")});
    for (const std::string& line : tableLines(rows)) text += line + "\n";
  }
  return text;
}

std::string shiftWords(const Value& page) {
  std::string text = page.text("now") + "\n";
  text += sectionsWords(page, {{"loads", {"load", "oven", "programme", "pads", "since"}, {}},
                               {"mixes", {"mix", "batch", "since"}, {}},
                               {"on_hold", {"batch", "part", "pads", "since"}, {"why", "settle"}},
                               {"holds", {"id", "since"}, {"why"}},
                               {"lots", {"lot", "material", "since"}, {"why", "settle"}},
                               {"late", {"what", "by"}, {"hangs", "helps"}}});
  for (const Value& step : listOf(page, "steps"))
    text += "\n" + say("terminal.step", {{"step", step.text("step")}}) +
            sectionWords(step, {"batches", {"batch", "part", "pads", "since"}, {}});
  return text;
}

std::string actWords(const Value& act) {
  std::vector<Row> rows;
  fieldRows(listOf(act, "fields"), "", rows);
  std::string text = act.text("name") + ": " + act.text("words") + "\n";
  if (rows.empty()) return text;
  for (const std::string& line : tableLines(rows)) text += line + "\n";
  return text;
}

std::string actListWords(const Value::Array& acts) {
  std::vector<Row> rows;
  for (const Value& act : acts) rows.push_back({act.text("name"), act.text("words")});
  std::string text;
  for (const std::string& line : tableLines(rows)) text += line + "\n";
  return text + "\n" + say("terminal.acts_more") + "\n";
}

}  // namespace platemark::cli
