#include "plain.h"

#include <algorithm>
#include <vector>

#include "plain_parts.h"
#include "platemark/words/words.h"

namespace platemark::cli {

using words::say;

namespace {

/// Signs as they are counted on a screen: one for each code point.
std::size_t lengthOf(std::string_view text) {
  return static_cast<std::size_t>(std::count_if(text.begin(), text.end(), [](char c) {
    return (static_cast<unsigned char>(c) & 0xC0) != 0x80;
  }));
}

}  // namespace

std::string withoutMarks(std::string text) {
  for (std::size_t at = text.find("**"); at != std::string::npos; at = text.find("**"))
    text.erase(at, 2);
  return text;
}

std::vector<std::string> tableLines(const std::vector<Row>& rows) {
  std::vector<std::size_t> widths(rows.front().size());
  for (const Row& row : rows)
    for (std::size_t i = 0; i < row.size(); ++i) widths[i] = std::max(widths[i], lengthOf(row[i]));
  std::vector<std::string> lines;
  for (const Row& row : rows) {
    std::string line = " ";
    for (std::size_t i = 0; i < row.size(); ++i)
      line += " " + row[i] + std::string(widths[i] - lengthOf(row[i]) + 1, ' ');
    line.erase(line.find_last_not_of(' ') + 1);
    lines.push_back(std::move(line));
  }
  return lines;
}

std::string joined(const std::vector<std::string>& parts, std::string_view between) {
  std::string text;
  for (const std::string& part : parts)
    if (!part.empty()) text.append(text.empty() ? "" : between).append(part);
  return text;
}

Value::Array listOf(const Value& value, std::string_view name) {
  const Value::Array* list = value[name].asArray();
  return list == nullptr ? Value::Array{} : *list;
}

namespace {

std::string standingOf(const Value& limit) {
  const bool* const confirmed = limit["confirmed"].asBool();
  const bool* const adopted = limit["adopted"].asBool();
  if (confirmed == nullptr || *confirmed) return "";
  return say(adopted != nullptr && *adopted ? "terminal.adopted" : "terminal.unconfirmed");
}

Row findingRow(const Value& finding) {
  std::vector<std::string> limits, sources;
  for (const Value& limit : listOf(finding, "limits")) {
    limits.push_back(limit.text("words"));
    sources.push_back(joined({limit.text("source"), standingOf(limit)}, ", "));
  }
  const std::string result =
      joined({finding.text("result"), finding.text("u"), finding.text("unit")}, " ");
  return {finding.text("word"), joined({finding.text("title"), finding.text("sub")}, ", "),
          result.empty() ? "–" : result, limits.empty() ? "–" : joined(limits, "; "),
          joined(sources, "; ")};
}

std::string findingsWords(const Value& holder) {
  const Value::Array findings = listOf(holder, "findings");
  if (findings.empty()) return "";
  std::vector<Row> rows{{say("terminal.finding"), say("terminal.characteristic"),
                         say("terminal.result"), say("terminal.limit"), say("terminal.source")}};
  std::string notes;
  for (const Value& finding : findings) {
    rows.push_back(findingRow(finding));
    if (const std::string note = finding.text("note"); !note.empty())
      notes += "  " + finding.text("title") + ": " + note + "\n";
  }
  return joined(tableLines(rows), "\n") + "\n" + notes;
}

std::string missingWords(const Value& bar) {
  std::string text;
  for (const Value& pin : listOf(bar, "missing")) {
    text += "  - " + pin.text("sentence");
    if (const std::string who = pin.text("who"); !who.empty())
      text += " " + say("terminal.who", {{"who", who}});
    text += "\n";
  }
  return text.empty() ? "" : say("terminal.missing") + "\n" + text;
}

std::string numberOf(const Value& value, std::string_view name) {
  const std::int64_t* n = value[name].asInteger();
  return n == nullptr ? "" : std::to_string(*n);
}

std::string verdictWords(const Value& bar) {
  const Value& verdict = bar["verdict"];
  if (verdict.isNull()) return say("terminal.no_verdict") + "\n";
  std::string text = say("terminal.verdict", {{"fact", numberOf(verdict, "fact")},
                                              {"outcome", verdict.text("outcome")},
                                              {"seen", numberOf(verdict, "seen")}}) +
                     "\n";
  if (const std::string why = verdict.text("overtaken"); !why.empty())
    text += say("terminal.overtaken", {{"why", why}}) + "\n";
  if (const Value& release = bar["release"]; !release.isNull())
    text += say("terminal.released", {{"who", release.text("who")},
                                      {"when", release.text("when")},
                                      {"meaning", release.text("meaning")}}) +
            "\n";
  return text;
}

std::string barWords(const Value& bar) {
  return joined({bar.text("title") + ". " + bar.text("sentence") + "\n", missingWords(bar),
                 findingsWords(bar), bar.text("state") == "not yet" ? "" : verdictWords(bar)},
                "");
}

std::string headingOf(std::string_view what, const Value& page) {
  if (what == "judgement") return page.text("title");
  return joined({say("terminal.page." + std::string(what), {{"id", page.text("id")}}),
                 withoutMarks(page.text("sentence"))},
                "\n");
}

/// Any answer, a member a line; drawings are left out.
std::string listed(const Value& value, const std::string& indent) {
  if (const Value::Object* object = value.asObject()) {
    std::string text;
    for (const auto& [name, member] : *object) {
      if (name.ends_with("svg")) continue;
      const std::string inner = listed(member, indent + "  ");
      const bool nested = member.asObject() != nullptr || member.asArray() != nullptr;
      text += indent + name + ":" + (nested ? "\n" : " ") + inner + (nested ? "" : "\n");
    }
    return text;
  }
  if (const Value::Array* list = value.asArray()) {
    std::string text;
    for (const Value& item : *list) {
      const bool nested = item.asObject() != nullptr || item.asArray() != nullptr;
      text += nested ? indent + "-\n" + listed(item, indent + "  ")
                     : indent + "- " + listed(item, "") + "\n";
    }
    return text;
  }
  if (const std::string* text = value.asString()) return withoutMarks(*text);
  return value.isNull() ? "–" : canonicalJson(value);
}

/// A part or an approval: its cover, then its newest issue.
std::string nounWords(const Value& page) {
  const Value::Array issues = listOf(page, "issues");
  return page.text("code") + " " + page.text("name") + "\n" + coverWords(page) +
         (issues.empty() ? "" : "\n" + listed(issues.front(), ""));
}

}  // namespace

std::string plainWords(std::string_view what, const Value& page) {
  if (what == "today") return todayWords(page);
  if (what == "bench") return benchWords(page);
  if (what == "gauge") return gaugeWords(page);
  if (what == "characteristic") return trendWords(page);
  if (what == "shift") return shiftWords(page);
  if (what == "part" || what == "approval") return nounWords(page);
  if (what == "act") return actWords(page);
  if (what == "acts") return actListWords(*page.asArray());
  if (what != "batch" && what != "lot" && what != "load" && what != "judgement")
    return listed(page, "");
  std::vector<std::string> parts{headingOf(what, page) + "\n"};
  if (what == "batch") parts.push_back(page.text("counts_sentence") + "\n");
  if (what == "load") parts.push_back(page.text("details") + "\n\n" + findingsWords(page));
  if (!page["bar"].isNull()) parts.push_back("\n" + barWords(page["bar"]));
  for (const Value& bar : listOf(page, "bars")) parts.push_back("\n" + barWords(bar));
  if (what == "batch") parts.push_back(coverWords(page));
  if (const std::string stale = page.text("stale"); !stale.empty()) parts.push_back(stale + "\n");
  return joined(parts, "");
}

}  // namespace platemark::cli
