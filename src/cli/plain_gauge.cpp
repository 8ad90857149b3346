/// A gauge and a run of results, for the terminal.
#include "plain_parts.h"
#include "platemark/words/words.h"

namespace platemark::cli {

using words::say;

namespace {

std::string tableOf(const std::vector<Row>& rows) {
  if (rows.empty()) return "";
  std::string text;
  for (const std::string& line : tableLines(rows)) text += line + "\n";
  return text;
}

/// What leans on the results of a gauge found wrong, and where its boxes are.
std::string touchedWords(const Value& wrong) {
  std::string text;
  for (const Value& row : listOf(wrong, "touched")) {
    text += "  " + row["of"].text("kind") + " " + row["of"].text("id") +
            (row.text("words").empty() ? "" : ": " + row.text("words")) + "\n";
    for (const Value& verdict : listOf(row, "verdicts"))
      if (const std::string* words = verdict.asString()) text += "    " + *words + "\n";
    std::vector<Row> boxes;
    for (const Value& box : listOf(row, "boxes"))
      boxes.push_back({"  " + box.text("box"), box.text("pads"), box.text("words")});
    text += tableOf(boxes);
  }
  return text;
}

std::string studyWords(const Value& study) {
  std::vector<Row> rows;
  for (const Value& figure : listOf(study, "figures"))
    rows.push_back({figure.text("symbol"), figure.text("value"), figure.text("words")});
  return "\n" + study.text("title") + " (" + study.text("when") + "): " + study.text("words") +
         "\n" + tableOf(rows);
}

}  // namespace

std::string gaugeWords(const Value& page) {
  std::string text = page.text("code") + ": " + page["calibration"].text("words") + "\n";
  for (const Value& wrong : listOf(page, "wrong"))
    text += "\n" +
            say("terminal.wrong", {{"when", wrong.text("when")},
                                   {"found", wrong.text("found")},
                                   {"last_right", wrong.text("last_right_when")},
                                   {"words", wrong.text("words")}}) +
            "\n" + touchedWords(wrong);
  for (const Value& study : listOf(page, "studies")) text += studyWords(study);
  std::vector<Row> checks, uses;
  for (const Value& check : listOf(page, "checks"))
    checks.push_back({check.text("when"), check.text("words"), check.text("readings")});
  for (const Value& use : listOf(page, "lately"))
    uses.push_back(
        {use.text("when"), use["of"].text("kind") + " " + use["of"].text("id"), use.text("what")});
  return text + "\n" + tableOf(checks) + "\n" + tableOf(uses);
}

std::string trendWords(const Value& page) {
  std::vector<Row> rows;
  for (const Value& row : listOf(page, "rows"))
    rows.push_back({row.text("when"), row["of"].text("kind") + " " + row["of"].text("id"),
                    row.text("sample"), row.text("value"), row.text("word"), row.text("words"),
                    row.text("flag")});
  return page.text("title") + "\n" + page.text("sentence") + "\n\n" + tableOf(rows);
}

}  // namespace platemark::cli
