#include <fmt/format.h>

#include <fstream>

#include "context.h"
#include "platemark/service/cure_file.h"

namespace platemark::service {
namespace {

constexpr std::size_t first_bytes = 64U << 10U;
constexpr std::size_t preview_rows = 20;

/// Streams an upload into the record's attachments.
class AttachmentUpload final : public http::UploadSink {
 public:
  AttachmentUpload(std::unique_ptr<ledger::AttachmentSink> sink, std::string name)
      : sink_(std::move(sink)), name_(std::move(name)) {}
  Result<void> write(std::string_view piece) override {
    return sink_->write(std::as_bytes(std::span(piece)));
  }
  http::Response finish() override {
    const Result<ledger::Attachment> kept = sink_->finish();
    if (!kept) return http::problem(kept.error());
    return answer(Value::Object{{"hash", kept->hash}, {"size", kept->size}, {"name", name_}}, 201);
  }
  void abort() override { sink_.reset(); }

 private:
  std::unique_ptr<ledger::AttachmentSink> sink_;
  std::string name_;
};

std::string percentDecoded(std::string_view text) {
  std::string out;
  for (std::size_t i = 0; i < text.size(); ++i) {
    if (text[i] == '%' && i + 2 < text.size()) {
      out += static_cast<char>(std::stoi(std::string(text.substr(i + 1, 2)), nullptr, 16));
      i += 2;
    } else {
      out += text[i];
    }
  }
  return out;
}

bool isHexEscaped(std::string_view text) {
  for (std::size_t i = 0; i < text.size(); ++i)
    if (text[i] == '%' && (i + 2 >= text.size() ||
                           text.substr(i + 1, 2).find_first_not_of("0123456789abcdefABCDEF") !=
                               std::string_view::npos))
      return false;
  return true;
}

/// A file name for a header: no path, no quotes, no control characters.
std::string safeName(std::string_view name) {
  std::string out;
  for (const char c : name)
    if (static_cast<unsigned char>(c) >= 0x20 && c != '"' && c != '/' && c != '\\') out += c;
  return out.empty() ? "file" : out.substr(0, 120);
}

Result<std::string> beginningOf(const Context& context, const std::string& attachment) {
  const Result<std::string> path = context.house.store->attachmentPath(attachment);
  if (!path) return path.error();
  std::ifstream file(*path, std::ios::binary);
  std::string bytes(first_bytes, '\0');
  file.read(bytes.data(), static_cast<std::streamsize>(bytes.size()));
  bytes.resize(static_cast<std::size_t>(file.gcount()));
  return bytes;
}

Value columnsValue(const intake::FileLayout& layout) {
  Value::Array list;
  for (const intake::Column& c : layout.columns)
    list.push_back(Value::Object{{"title", c.title},
                                 {"use", intake::nameOf(c.role)},
                                 {"channel", c.meaning},
                                 {"unit", c.unit}});
  return list;
}

/// A saved layout whose mapping is the proposed one, name apart.
Value savedLike(const Context& context, const Value& mapping) {
  const auto snapshot = context.house.store->read();
  for (const Issued<Layout>& saved : act::allOf<Layout>(*snapshot, projection::layout)) {
    Value other = saved.noun.mapping, mine = mapping;
    for (Value* v : {&other, &mine})
      if (v->asObject() != nullptr) v->asObject()->erase("name");
    if (other == mine)
      return Value::Object{
          {"code", saved.noun.code}, {"issue", saved.issue}, {"name", saved.noun.name}};
  }
  return {};
}

http::Response propose(Context& context, const http::Request& request) {
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const Result<std::string> bytes = beginningOf(context, body->text("attachment"));
  if (!bytes) return http::problem(bytes.error());
  const Result<intake::Proposal> proposal =
      intake::proposeLayout(*bytes, context.house.card.zone, body->text("file_name"));
  if (!proposal) return http::problem(proposal.error());
  Value::Array reasons, doubts;
  for (const intake::Guess& g : proposal->guesses)
    reasons.push_back(fmt::format("{}: {} ({})", g.about, g.value, g.reason));
  for (const intake::Guess& g : proposal->questions()) {
    std::string others;
    for (const std::string& a : g.alternatives)
      others += (others.empty() ? " It may also be: " : ", ") + a;
    doubts.push_back(fmt::format("{}: {}.{}", g.about, g.reason, others));
  }
  Value mapping = layoutValue(proposal->layout);
  Value::Object value{{"columns", columnsValue(proposal->layout)},
                      {"reasons", std::move(reasons)},
                      {"doubts", std::move(doubts)}};
  if (Value saved = savedLike(context, mapping); !saved.isNull())
    value.emplace("saved", std::move(saved));
  value.emplace("layout", std::move(mapping));
  return answer(std::move(value));
}

Value skippedValue(const intake::Report& report) {
  Value::Array list;
  for (const intake::Tally& tally : report.tallies)
    for (const intake::Remark& r : tally.first)
      if (list.size() < 100)
        list.push_back(Value::Object{{"line", r.line},
                                     {"why", std::string(intake::wordsFor(tally.code)) +
                                                 (r.text.empty() ? "" : ": " + r.text)}});
  return list;
}

http::Response previewLayout(Context& context, const http::Request& request) {
  const Result<Value> body = bodyOf(request);
  if (!body) return http::problem(body.error());
  const Result<intake::FileLayout> layout = layoutFrom((*body)["layout"]);
  if (!layout) return http::problem(layout.error());
  const Result<std::string> bytes = beginningOf(context, body->text("attachment"));
  if (!bytes) return http::problem(bytes.error());
  const Result<intake::Preview> seen =
      intake::preview(*layout, *bytes, preview_rows, body->text("file_name"));
  if (!seen) return http::problem(seen.error());
  Value::Array columns{"time"}, rows;
  for (const intake::SeriesColumn& c : seen->series.columns)
    columns.push_back(c.meaning +
                      (c.unit == "1" ? "" : " / " + std::string(findUnit(c.unit)->symbol)));
  for (const intake::PreviewRow& r : seen->rows) {
    Value::Array row{formatLocal(r.time, context.house.card.zone, true)};
    for (const double v : r.values) row.push_back(v == v ? Decimal::fixed(v, 2).text() : "");
    rows.push_back(std::move(row));
  }
  const auto count = static_cast<std::int64_t>(seen->series.times.size());
  const std::string span = count == 0
                               ? ""
                               : formatLocal(Instant::fromUnixMs(seen->series.times.front()),
                                             context.house.card.zone, true) +
                                     " to " +
                                     formatLocal(Instant::fromUnixMs(seen->series.times.back()),
                                                 context.house.card.zone, true);
  return answer(Value::Object{{"columns", std::move(columns)},
                              {"rows", std::move(rows)},
                              {"total", fmt::format("{} rows in the first {} kB",
                                                    view::grouped(count), bytes->size() / 1024)},
                              {"skipped", skippedValue(seen->series.report)},
                              {"skipped_total", view::grouped(seen->series.report.rowsLeftOut())},
                              {"span", span}});
}

http::Response download(Context& context, const http::Request& request) {
  const Result<std::string> content = context.house.store->attachment(request.param("hash"));
  if (!content) return http::problem(content.error());
  const std::string name = safeName(request.queryValue("name").value_or("file"));
  const bool pdf = content->starts_with("%PDF-");
  // Only papers that this program has drawn are shown in the browser; whatever was uploaded is
  // saved.
  if (pdf)
    return http::bytes(*content, "application/pdf")
        .with("Content-Disposition", "inline; filename=\"" + name + "\"");
  return http::bytes(*content, "application/octet-stream", name);
}

}  // namespace

void addFileRoutes(http::Router& router, Context& context) {
  router.upload(
      "POST", "/api/attachments",
      [&](const http::Request& request) -> Result<std::unique_ptr<http::UploadSink>> {
        const std::string header(request.header("x-file-name").value_or("file"));
        const std::string name = safeName(isHexEscaped(header) ? percentDecoded(header) : header);
        return std::unique_ptr<http::UploadSink>(
            std::make_unique<AttachmentUpload>(context.house.store->attach(), name));
      },
      2ULL << 30U);
  router.get("/api/attachments/{hash}",
             [&](const http::Request& request) { return download(context, request); });
  router.post("/api/layouts/propose",
              [&](const http::Request& request) { return propose(context, request); });
  router.post("/api/layouts/preview",
              [&](const http::Request& request) { return previewLayout(context, request); });
}

}  // namespace platemark::service
