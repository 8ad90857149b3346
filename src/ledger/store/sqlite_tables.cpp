#include "sqlite_tables.h"

#include "connection.h"
#include "schema.h"

namespace platemark::ledger {
namespace {

int openFlags(SqliteTables::Use use) {
  return use == SqliteTables::Use::write ? SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE
                                         : SQLite::OPEN_READWRITE;
}

int number(SQLite::Database& db, const char* sql) { return db.execAndGet(sql).getInt(); }

void refuseForeign(SQLite::Database& db) {
  // In this order: another program may be making the record just now.
  const bool empty = number(db, "SELECT count(*) FROM sqlite_schema") == 0;
  const int id = number(db, "PRAGMA application_id");
  if (id != application_id && !(id == 0 && empty)) throw NotARecord();
  if (number(db, "PRAGMA user_version") > static_cast<int>(migrations.size())) throw NewerFormat();
}

/// Two programs may open a new record at once: the version is read under the lock.
void migrateOnce(SQLite::Database& db, int next) {
  db.exec("BEGIN IMMEDIATE");
  if (number(db, "PRAGMA user_version") == next) {
    db.exec(migrations[static_cast<std::size_t>(next)]);
    db.exec("PRAGMA application_id = " + std::to_string(application_id));
    db.exec("PRAGMA user_version = " + std::to_string(next + 1));
  }
  db.exec("COMMIT");
}

std::string blob(const SQLite::Column& column) {
  return {static_cast<const char*>(column.getBlob()), static_cast<std::size_t>(column.getBytes())};
}

void bindBlob(SQLite::Statement& s, int at, const std::string& bytes) {
  s.bind(at, bytes.data(), static_cast<int>(bytes.size()));
}

/// The first key after every key that starts with the prefix; "" when there is none.
std::string pastPrefix(std::string_view prefix) {
  std::string past(prefix);
  while (!past.empty() && static_cast<unsigned char>(past.back()) == 0xFF) past.pop_back();
  if (!past.empty()) past.back() = static_cast<char>(static_cast<unsigned char>(past.back()) + 1);
  return past;
}

}  // namespace

SqliteTables::SqliteTables(const std::string& file, std::string plant, Use use,
                           const DatabaseSettings& settings)
    : plant_(std::move(plant)), db_(file, openFlags(use), busy_ms, settings.vfs) {
  refuseForeign(db_);
  prepareConnection(db_, settings);
  if (use == Use::read) return;
  for (int next = 0; next < static_cast<int>(migrations.size()); ++next) migrateOnce(db_, next);
}

std::string SqliteTables::plantOnRecord() const {
  SQLite::Statement& s = statement("SELECT plant FROM fact LIMIT 1");
  std::string found = s.executeStep() ? s.getColumn(0).getString() : "";
  s.reset();
  return found;
}

SQLite::Statement& SqliteTables::statement(const char* sql) const {
  auto found = statements_.find(sql);
  if (found == statements_.end())
    found = statements_.emplace(sql, std::make_unique<SQLite::Statement>(db_, sql)).first;
  found->second->reset();
  found->second->clearBindings();
  return *found->second;
}

void SqliteTables::run(const char* sql) {
  SQLite::Statement& s = statement(sql);
  s.exec();
  s.reset();
}

void SqliteTables::beginRead() {
  run("BEGIN DEFERRED");
  (void)lastRow();  // a deferred transaction takes its moment at the first read
}
void SqliteTables::endRead() {
  for (auto& [sql, s] : statements_) s->reset();
  run("COMMIT");
}

void SqliteTables::begin() { run("BEGIN IMMEDIATE"); }
void SqliteTables::commit() { run("COMMIT"); }
void SqliteTables::rollback() { run("ROLLBACK"); }
void SqliteTables::savepoint() { run("SAVEPOINT act"); }
void SqliteTables::release() { run("RELEASE act"); }
void SqliteTables::rollbackToSavepoint() {
  run("ROLLBACK TO act");
  run("RELEASE act");
}

FactRow SqliteTables::read(SQLite::Statement& s) {
  return {s.getColumn(0).getInt64(), blob(s.getColumn(1)), blob(s.getColumn(2)),
          blob(s.getColumn(3)), s.getColumn(4).getString()};
}

std::optional<FactRow> SqliteTables::row(Sequence sequence) const {
  SQLite::Statement& s = statement(
      "SELECT sequence, bytes, signer, signature, hash FROM fact WHERE plant = ? AND sequence = ?");
  s.bind(1, plant_);
  s.bind(2, sequence);
  if (!s.executeStep()) return {};
  FactRow found = read(s);
  s.reset();
  return found;
}

std::optional<FactRow> SqliteTables::lastRow() const {
  SQLite::Statement& s = statement(
      "SELECT sequence, bytes, signer, signature, hash FROM fact WHERE plant = ? ORDER BY sequence "
      "DESC LIMIT 1");
  s.bind(1, plant_);
  if (!s.executeStep()) return {};
  FactRow found = read(s);
  s.reset();
  return found;
}

std::vector<FactRow> SqliteTables::rowsAfter(Sequence after, std::size_t limit) const {
  SQLite::Statement& s = statement(
      "SELECT sequence, bytes, signer, signature, hash FROM fact WHERE plant = ? AND sequence > ? "
      "ORDER BY sequence LIMIT ?");
  s.bind(1, plant_);
  s.bind(2, after);
  s.bind(3, static_cast<std::int64_t>(limit));
  std::vector<FactRow> list;
  while (s.executeStep()) list.push_back(read(s));
  s.reset();
  return list;
}

std::vector<Sequence> SqliteTables::sequencesOf(const Subject& subject, Sequence after,
                                                std::size_t limit) const {
  SQLite::Statement& s = statement(
      "SELECT sequence FROM subject WHERE plant = ? AND kind = ? AND id = ? AND sequence > ? ORDER "
      "BY sequence LIMIT ?");
  s.bind(1, plant_);
  s.bind(2, subject.kind);
  s.bind(3, subject.id);
  s.bind(4, after);
  s.bind(5, static_cast<std::int64_t>(limit));
  std::vector<Sequence> list;
  while (s.executeStep()) list.push_back(s.getColumn(0).getInt64());
  s.reset();
  return list;
}

std::optional<TokenRow> SqliteTables::token(std::string_view token) const {
  SQLite::Statement& s =
      statement("SELECT digest, first, last FROM token WHERE plant = ? AND token = ?");
  s.bind(1, plant_);
  s.bind(2, std::string(token));
  if (!s.executeStep()) return {};
  TokenRow found{s.getColumn(0).getString(), s.getColumn(1).getInt64(), s.getColumn(2).getInt64()};
  s.reset();
  return found;
}

std::optional<std::string> SqliteTables::state(std::string_view projection,
                                               std::string_view key) const {
  SQLite::Statement& s =
      statement("SELECT value FROM state WHERE plant = ? AND projection = ? AND key = ?");
  s.bind(1, plant_);
  s.bind(2, std::string(projection));
  s.bind(3, std::string(key));
  if (!s.executeStep()) return {};
  std::string found = s.getColumn(0).getString();
  s.reset();
  return found;
}

std::vector<std::pair<std::string, std::string>> SqliteTables::states(std::string_view projection,
                                                                      std::string_view prefix,
                                                                      std::string_view after,
                                                                      std::size_t limit) const {
  SQLite::Statement& s = statement(
      "SELECT key, value FROM state WHERE plant = ?1 AND projection = ?2 AND key > ?3 AND key >= "
      "?4 AND (?5 = '' OR key < ?5) ORDER BY key LIMIT ?6");
  s.bind(1, plant_);
  s.bind(2, std::string(projection));
  s.bind(3, std::string(after));
  s.bind(4, std::string(prefix));
  s.bind(5, pastPrefix(prefix));
  s.bind(6, static_cast<std::int64_t>(limit));
  std::vector<std::pair<std::string, std::string>> list;
  while (s.executeStep()) list.emplace_back(s.getColumn(0).getString(), s.getColumn(1).getString());
  s.reset();
  return list;
}

std::vector<std::string> SqliteTables::stateKeys(std::string_view projection,
                                                 std::string_view prefix) const {
  SQLite::Statement& s = statement(
      "SELECT key FROM state WHERE plant = ?1 AND projection = ?2 AND key >= ?3 AND (?4 = '' OR "
      "key "
      "< ?4) ORDER BY key");
  s.bind(1, plant_);
  s.bind(2, std::string(projection));
  s.bind(3, std::string(prefix));
  s.bind(4, pastPrefix(prefix));
  std::vector<std::string> list;
  while (s.executeStep()) list.push_back(s.getColumn(0).getString());
  s.reset();
  return list;
}

bool SqliteTables::hasStates() const {
  SQLite::Statement& s = statement("SELECT EXISTS (SELECT 1 FROM state WHERE plant = ?)");
  s.bind(1, plant_);
  s.executeStep();
  const bool some = s.getColumn(0).getInt() != 0;
  s.reset();
  return some;
}

void SqliteTables::eachState(
    const std::function<void(std::string_view, std::string_view, std::string_view)>& visit) const {
  SQLite::Statement& s = statement(
      "SELECT projection, key, value FROM state WHERE plant = ? ORDER BY projection, key");
  s.bind(1, plant_);
  while (s.executeStep())
    visit(s.getColumn(0).getString(), s.getColumn(1).getString(), s.getColumn(2).getString());
  s.reset();
}

std::optional<std::int64_t> SqliteTables::attachmentSize(std::string_view hash) const {
  SQLite::Statement& s = statement("SELECT size FROM attachment WHERE plant = ? AND hash = ?");
  s.bind(1, plant_);
  s.bind(2, std::string(hash));
  if (!s.executeStep()) return {};
  const std::int64_t size = s.getColumn(0).getInt64();
  s.reset();
  return size;
}

void SqliteTables::add(const FactRow& row) {
  SQLite::Statement& s = statement(
      "INSERT INTO fact (plant, sequence, bytes, signer, signature, hash) VALUES (?, ?, ?, ?, ?, "
      "?)");
  s.bind(1, plant_);
  s.bind(2, row.sequence);
  bindBlob(s, 3, row.bytes);
  bindBlob(s, 4, row.signer);
  bindBlob(s, 5, row.signature);
  s.bind(6, row.hash);
  s.exec();
}

void SqliteTables::index(const Subject& subject, Sequence sequence) {
  SQLite::Statement& s =
      statement("INSERT OR IGNORE INTO subject (plant, kind, id, sequence) VALUES (?, ?, ?, ?)");
  s.bind(1, plant_);
  s.bind(2, subject.kind);
  s.bind(3, subject.id);
  s.bind(4, sequence);
  s.exec();
}

void SqliteTables::addToken(std::string_view token, const TokenRow& row) {
  SQLite::Statement& s =
      statement("INSERT INTO token (plant, token, digest, first, last) VALUES (?, ?, ?, ?, ?)");
  s.bind(1, plant_);
  s.bind(2, std::string(token));
  s.bind(3, row.request_digest);
  s.bind(4, row.first);
  s.bind(5, row.last);
  s.exec();
}

void SqliteTables::extendToken(std::string_view token, Sequence last) {
  SQLite::Statement& s = statement("UPDATE token SET last = ? WHERE plant = ? AND token = ?");
  s.bind(1, last);
  s.bind(2, plant_);
  s.bind(3, std::string(token));
  s.exec();
}

void SqliteTables::putState(std::string_view projection, std::string_view key, std::string text) {
  SQLite::Statement& s = statement(
      "INSERT INTO state (plant, projection, key, value) VALUES (?1, ?2, ?3, ?4) ON CONFLICT DO "
      "UPDATE SET value = ?4");
  s.bind(1, plant_);
  s.bind(2, std::string(projection));
  s.bind(3, std::string(key));
  s.bind(4, text);
  s.exec();
}

void SqliteTables::eraseState(std::string_view projection, std::string_view key) {
  SQLite::Statement& s =
      statement("DELETE FROM state WHERE plant = ? AND projection = ? AND key = ?");
  s.bind(1, plant_);
  s.bind(2, std::string(projection));
  s.bind(3, std::string(key));
  s.exec();
}

void SqliteTables::dropDerived() {
  for (const char* sql :
       {"DELETE FROM state WHERE plant = ?", "DELETE FROM subject WHERE plant = ?",
        "DELETE FROM token WHERE plant = ?"}) {
    SQLite::Statement& s = statement(sql);
    s.bind(1, plant_);
    s.exec();
  }
}

void SqliteTables::addAttachment(const Attachment& attachment) {
  SQLite::Statement& s =
      statement("INSERT OR IGNORE INTO attachment (plant, hash, size) VALUES (?, ?, ?)");
  s.bind(1, plant_);
  s.bind(2, attachment.hash);
  s.bind(3, attachment.size);
  s.exec();
}

std::string SqliteTables::setting(const std::string& pragma) const {
  return db_.execAndGet("PRAGMA " + pragma).getString();
}

std::string SqliteTables::integrity() const {
  SQLite::Statement s(db_, "PRAGMA quick_check");
  s.executeStep();
  const std::string answer = s.getColumn(0).getString();
  return answer == "ok" ? "" : answer;
}

}  // namespace platemark::ledger
