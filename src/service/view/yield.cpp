/// Counts and yield: which batches do not balance, and where the pads of each went.
#include <fmt/format.h>

#include <algorithm>

#include "platemark/gate/balance.h"
#include "platemark/plant/disposition.h"
#include "view.h"

namespace platemark::service::view {
namespace {

constexpr int days_shown = 92;  // a quarter
constexpr std::size_t most_rows = 1000;

std::int64_t sumOf(const std::map<std::string, std::int64_t>& counts) {
  std::int64_t sum = 0;
  for (const auto& [reason, n] : counts) sum += n;
  return sum;
}

/// "2 bent, 1 cracked"
std::string reasons(const std::map<std::string, std::int64_t>& scrap) {
  std::string words;
  for (const auto& [reason, n] : scrap)
    if (n != 0) words += (words.empty() ? "" : ", ") + fmt::format("{} {}", grouped(n), reason);
  return words;
}

std::string differenceWords(std::int64_t difference) {
  if (difference == 0) return "";
  const std::string n = grouped(std::abs(difference));
  return difference > 0 ? say("service.yield.missing", {{"n", n}})
                        : say("service.yield.too_many", {{"n", n}});
}

/// To a tenth of a per cent; "" for a step that nothing went into.
std::string share(std::int64_t part, std::int64_t whole) {
  if (whole <= 0) return "";
  return Decimal::fixed(100.0 * static_cast<double>(part) / static_cast<double>(whole), 1).text() +
         "\u00a0%";
}

Value lineValue(const gate::BalanceLine& line) {
  Value::Object value{{"step", line.step},
                      {"in", grouped(line.in)},
                      {"good", grouped(line.counts.good)},
                      {"scrap", grouped(sumOf(line.counts.scrap))},
                      {"scrap_words", reasons(line.counts.scrap)},
                      {"rework", grouped(line.counts.rework)},
                      {"samples", grouped(line.counts.samples)},
                      {"difference", line.difference},
                      {"difference_words", differenceWords(line.difference)}};
  if (line.fact > 0) value.emplace("fact", line.fact);
  return value;
}

struct BatchYield {
  BatchState batch;
  gate::Balance balance;
};

Value rowValue(const Look& look, const BatchYield& yield) {
  const gate::Balance& balance = yield.balance;
  Value::Array lines;
  std::string first;
  for (const gate::BalanceLine& line : balance.lines) {
    lines.push_back(lineValue(line));
    if (first.empty() && line.difference != 0)
      first = line.step + ": " + differenceWords(line.difference);
  }
  return Value::Object{{"batch", yield.batch.opened.batch},
                       {"part", yield.batch.opened.part},
                       {"when", dayAndTime(look, yield.batch.opened_at)},
                       {"balances", balance.balances()},
                       {"words", first.empty() ? say("service.yield.balances") : first},
                       {"plates", grouped(balance.plates)},
                       {"good", grouped(balance.good)},
                       {"scrap", grouped(balance.scrapped())},
                       {"scrap_words", reasons(balance.scrap)},
                       {"rework", grouped(balance.rework)},
                       {"samples", grouped(balance.samples)},
                       {"yield", share(balance.good, balance.plates)},
                       {"lines", std::move(lines)}};
}

std::vector<BatchYield> yieldsSince(const Look& look, Day from) {
  std::vector<BatchYield> list;
  for (const auto& [key, batch] : ledger::allStates<BatchState>(look.snapshot, projection::batch)) {
    if (dayIn(batch->opened_at, look.card.zone) < from) continue;
    list.push_back({*batch, balanceFor(look, *batch)});
  }
  std::stable_sort(list.begin(), list.end(), [](const BatchYield& a, const BatchYield& b) {
    const bool first = a.balance.balances(), second = b.balance.balances();
    return first != second ? second : b.batch.opened_at < a.batch.opened_at;
  });
  return list;
}

std::string sentence(std::size_t batches, std::size_t off) {
  if (batches == 0) return say("service.yield.none");
  const std::string of = counted(static_cast<std::int64_t>(batches), say("service.count.batch"),
                                 say("service.count.batches"));
  if (off == 0) return say("service.yield.all", {{"batches", of}});
  return say("service.yield.off", {{"n", off}, {"batches", of}});
}

}  // namespace

gate::Balance balanceFor(const Look& look, const BatchState& batch) {
  const auto so_far =
      ledger::stateAs<DispositionState>(look.snapshot, projection::disposition, batch.opened.batch);
  return gate::balanceOf(batch, so_far.value_or(DispositionState{}));
}

Result<Value> yield(const Look& look, const std::string& since) {
  Day from = addDays(look.today(), -days_shown);
  if (!since.empty()) {
    const Result<Day> typed = parseDay(since);
    if (!typed) return Error(typed.error()).at({"", 0, "", "from"});
    from = *typed;
  }
  const std::vector<BatchYield> list = yieldsSince(look, from);
  std::map<std::string, std::int64_t> scrap;
  std::int64_t plates = 0, good = 0;
  std::size_t off = 0;
  Value::Array rows;
  for (const BatchYield& one : list) {
    plates += one.balance.plates;
    good += one.balance.good;
    off += one.balance.balances() ? 0U : 1U;
    for (const auto& [reason, n] : one.balance.scrap) scrap[reason] += n;
    if (rows.size() < most_rows) rows.push_back(rowValue(look, one));
  }
  Value::Array by_reason;
  for (const auto& [reason, n] : scrap)
    by_reason.push_back(
        Value::Object{{"reason", reason}, {"pads", grouped(n)}, {"share", share(n, plates)}});
  return Value(Value::Object{{"sentence", sentence(list.size(), off)},
                             {"from", formatDay(from)},
                             {"plates", grouped(plates)},
                             {"good", grouped(good)},
                             {"yield", share(good, plates)},
                             {"scrap", std::move(by_reason)},
                             {"rows", std::move(rows)}});
}

}  // namespace platemark::service::view
