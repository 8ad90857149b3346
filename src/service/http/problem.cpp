#include "platemark/http/problem.h"

#include <algorithm>
#include <array>
#include <string_view>

#include "json_text.h"

namespace platemark::http {
namespace {

/// Writes one JSON object member by member, leaving out empty ones.
class ObjectText {
 public:
  void add(std::string_view name, std::string_view value) {
    if (value.empty()) return;
    key(name);
    appendJsonString(text_, value);
  }
  void add(std::string_view name, long value) { raw(name, std::to_string(value)); }
  void raw(std::string_view name, const std::string& json) {
    key(name);
    text_ += json;
  }
  [[nodiscard]] bool empty() const { return text_.empty(); }
  [[nodiscard]] std::string done() const { return "{" + text_ + "}"; }

 private:
  void key(std::string_view name) {
    if (!text_.empty()) text_ += ',';
    appendJsonString(text_, name);
    text_ += ':';
  }
  std::string text_;
};

struct Reason {
  int status;
  std::string_view phrase;
};

/// RFC 9110, section 15, and RFC 6585 for 428 to 431.
constexpr std::array reasons{Reason{200, "OK"},
                             Reason{201, "Created"},
                             Reason{202, "Accepted"},
                             Reason{204, "No Content"},
                             Reason{206, "Partial Content"},
                             Reason{301, "Moved Permanently"},
                             Reason{302, "Found"},
                             Reason{303, "See Other"},
                             Reason{304, "Not Modified"},
                             Reason{307, "Temporary Redirect"},
                             Reason{308, "Permanent Redirect"},
                             Reason{400, "Bad Request"},
                             Reason{401, "Unauthorized"},
                             Reason{403, "Forbidden"},
                             Reason{404, "Not Found"},
                             Reason{405, "Method Not Allowed"},
                             Reason{406, "Not Acceptable"},
                             Reason{409, "Conflict"},
                             Reason{410, "Gone"},
                             Reason{412, "Precondition Failed"},
                             Reason{413, "Content Too Large"},
                             Reason{415, "Unsupported Media Type"},
                             Reason{417, "Expectation Failed"},
                             Reason{421, "Misdirected Request"},
                             Reason{422, "Unprocessable Content"},
                             Reason{428, "Precondition Required"},
                             Reason{429, "Too Many Requests"},
                             Reason{431, "Request Header Fields Too Large"},
                             Reason{500, "Internal Server Error"},
                             Reason{501, "Not Implemented"},
                             Reason{503, "Service Unavailable"}};

std::string_view titleOf(Fault fault) {
  switch (fault) {
    case Fault::bad_input:
      return "The input cannot be used";
    case Fault::refused:
      return "Permission is not given";
    case Fault::cannot_decide:
      return "Cannot decide";
    case Fault::not_found:
      return "Not on record";
    case Fault::conflict:
      return "In conflict with the record";
    case Fault::environment:
      return "Cannot be done at the moment";
  }
  return "Error";
}

void addPlace(ObjectText& object, const Place& place) {
  ObjectText where;
  where.add("file", place.file);
  if (place.line > 0) where.add("line", place.line);
  where.add("column", place.column);
  where.add("field", place.field);
  if (!where.empty()) object.raw("where", where.done());
}

std::string missingText(const Missing& missing) {
  ObjectText object;
  object.add("what", missing.what);
  object.add("who", missing.who);
  object.add("how", missing.how);
  return object.done();
}

void addMissing(ObjectText& object, const std::vector<Missing>& all) {
  if (all.empty()) return;
  std::string list;
  for (const Missing& missing : all) list += (list.empty() ? "" : ",") + missingText(missing);
  object.raw("missing", "[" + list + "]");
}

std::string problemText(const Error& error, int status) {
  ObjectText object;
  object.add("type", error.code.empty() ? "about:blank" : "/problems/" + error.code);
  object.add("title", titleOf(error.fault));
  object.add("status", status);
  object.add("detail", error.what);
  object.add("code", error.code);
  addPlace(object, error.where);
  object.add("expected", error.expected);
  object.add("remedy", error.remedy);
  addMissing(object, error.missing);
  return object.done();
}

}  // namespace

int statusOf(Fault fault) {
  switch (fault) {
    case Fault::bad_input:
      return 422;
    case Fault::refused:
      return 403;
    case Fault::cannot_decide:
      return 409;
    case Fault::not_found:
      return 404;
    case Fault::conflict:
      return 409;
    case Fault::environment:
      return 503;
  }
  return 500;
}

Response problem(const Error& error) { return problem(error, statusOf(error.fault)); }

Response problem(const Error& error, int status) {
  Response response = json(problemText(error, status), status);
  response.content_type = "application/problem+json";
  return response;
}

std::string_view reasonPhrase(int status) {
  const auto found = std::find_if(reasons.begin(), reasons.end(),
                                  [&](const Reason& reason) { return reason.status == status; });
  return found == reasons.end() ? "Unknown" : found->phrase;
}

}  // namespace platemark::http
