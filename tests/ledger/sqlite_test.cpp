/// What only the record on disk must do: opening, formats, several programs, back-ups.
#include <doctest/doctest.h>

#include <SQLiteCpp/SQLiteCpp.h>

#include <set>
#include <thread>

#include "plant.h"
#include "store/schema.h"
#include "store/sqlite_tables.h"

using namespace ledger_test;

namespace {

std::string databaseIn(const std::string& folder) { return folder + "/record.sqlite"; }

std::string answerOf(const std::string& folder, const std::string& sql) {
  SQLite::Database db(databaseIn(folder), SQLite::OPEN_READWRITE, 1000);
  return db.execAndGet(sql).getString();
}

std::string refusalOf(const std::string& folder, const std::string& plant = "marrowfen") {
  const auto store = openSqliteStore(folder, testOptions(std::make_shared<HandClock>(), plant));
  return store ? "opened" : store.error().code;
}

}  // namespace

TEST_CASE("a record survives closing and opening") {
  InSqlite kind;
  const Receipt receipt = must(kind.store->submit(actOf({count("ax", 1), note("n")}, "t")));
  const std::string digest = kind.store->projectionDigest();
  kind.store.reset();
  kind.store = InSqlite::openAt(kind.folder.at(), kind.clock);
  CHECK(kind.store->read()->head() == receipt.head);
  CHECK(kind.store->projectionDigest() == digest);
  CHECK(must(kind.store->submit(actOf({}, "t"))).repeated);
  CHECK(kind.store->verify(Anchor{2, receipt.head}).sound);
}

TEST_CASE("the file says what it is, and every table is strict and named by plant") {
  InSqlite kind;
  const std::string folder = kind.folder.at();
  CHECK(answerOf(folder, "PRAGMA application_id") == std::to_string(application_id));
  CHECK(answerOf(folder, "PRAGMA user_version") == std::to_string(migrations.size()));
  CHECK(answerOf(folder, "PRAGMA journal_mode") == "wal");
  CHECK(answerOf(folder,
                 "SELECT count(*) FROM pragma_table_list WHERE schema = 'main' AND name NOT LIKE "
                 "'sqlite_%' AND strict = 0") == "0");
  CHECK(answerOf(folder, "SELECT count(*) FROM sqlite_schema WHERE type = 'trigger'") == "0");
  SQLite::Database db(databaseIn(folder), SQLite::OPEN_READWRITE, 1000);
  SQLite::Statement tables(db, "SELECT name, sql FROM sqlite_schema WHERE type = 'table'");
  int seen = 0;
  while (tables.executeStep()) {
    ++seen;
    const std::string name = tables.getColumn(0).getString(), sql = tables.getColumn(1).getString();
    CAPTURE(name);
    CHECK(db.execAndGet("SELECT pk FROM pragma_table_info('" + name + "') WHERE name = 'plant'")
              .getInt() == 1);
    // A remark for the table and for each column stays with the file.
    const int columns =
        db.execAndGet("SELECT count(*) FROM pragma_table_info('" + name + "')").getInt();
    int remarks = 0;
    for (std::size_t at = sql.find("--"); at != std::string::npos; at = sql.find("--", at + 2))
      ++remarks;
    CHECK(remarks >= columns + 1);
  }
  CHECK(seen == 5);
}

TEST_CASE("a connection waits, logs, syncs and trusts no schema") {
  Folder folder;
  std::filesystem::create_directories(folder.at());
  const SqliteTables tables(databaseIn(folder.at()), "marrowfen", SqliteTables::Use::write);
  CHECK(tables.setting("busy_timeout") == "10000");
  CHECK(tables.setting("journal_mode") == "wal");
  CHECK(tables.setting("synchronous") == "2");
  CHECK(tables.setting("foreign_keys") == "1");
  CHECK(tables.setting("trusted_schema") == "0");
}

TEST_CASE("a newer format, another plant and a foreign database are refused, untouched") {
  InSqlite kind;
  (void)must(kind.store->submit(actOf({note("n")})));
  kind.store.reset();
  const std::string folder = kind.folder.at();
  CHECK(refusalOf(folder, "thornby") == "store.wrong_plant");
  SQLite::Database(databaseIn(folder), SQLite::OPEN_READWRITE).exec("PRAGMA user_version = 999");
  CHECK(refusalOf(folder) == "store.newer_format");
  CHECK(answerOf(folder, "PRAGMA user_version") == "999");

  const std::string other = kind.folder.at("other");
  std::filesystem::create_directories(other);
  SQLite::Database(databaseIn(other), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE)
      .exec("CREATE TABLE recipes (name)");
  CHECK(refusalOf(other) == "store.cannot_open");
  CHECK(answerOf(other, "SELECT count(*) FROM sqlite_schema") == "1");

  const std::string noise = kind.folder.at("noise");
  std::filesystem::create_directories(noise);
  std::ofstream(databaseIn(noise)) << std::string(5000, 'x');
  CHECK(refusalOf(noise) == "store.cannot_open");
}

TEST_CASE("states that a new version has emptied are made again when the record is opened") {
  InSqlite kind;
  (void)must(kind.store->submit(actOf({count("ax", 3)})));
  const std::string digest = kind.store->projectionDigest(), folder = kind.folder.at();
  kind.store.reset();
  const auto emptied = [&](const std::string& more) {
    SQLite::Database(databaseIn(folder), SQLite::OPEN_READWRITE).exec("DELETE FROM state" + more);
    CHECK(answerOf(folder, "SELECT count(*) FROM state") == "0");
  };
  emptied("");
  CHECK(InSqlite::openAt(folder, kind.clock)->projectionDigest() == digest);
  emptied("; PRAGMA user_version = 2");
  CHECK(InSqlite::openAt(folder, kind.clock)->projectionDigest() == digest);
  CHECK(answerOf(folder, "PRAGMA user_version") == std::to_string(migrations.size()));
}

TEST_CASE("eight programs open a new record at once") {
  for (int round = 0; round < 8; ++round) {
    Folder folder;
    std::vector<std::thread> openers;
    std::vector<std::string> refused(8);
    for (std::string& why : refused)
      openers.emplace_back([&] {
        const auto store = openSqliteStore(folder.at(), testOptions());
        if (!store)
          why = describe(store.error());
        else if (const auto kept = (*store)->submit(actOf({note("n")})); !kept)
          why = describe(kept.error());
      });
    for (std::thread& opener : openers) opener.join();
    for (const std::string& why : refused) CHECK_MESSAGE(why.empty(), why);
    CHECK(InSqlite::openAt(folder.at(), std::make_shared<HandClock>())->verify({}).facts == 8);
  }
}

TEST_CASE("several stores on one folder append to one chain and see each other's states") {
  InSqlite kind;
  const auto other = InSqlite::openAt(kind.folder.at(), kind.clock);
  constexpr int each = 60;
  const auto run = [&](Store& store, const std::string& name) {
    for (int i = 0; i < each; ++i)
      (void)must(store.submit(actOf({count("ax", 1)}, name + std::to_string(i))));
  };
  std::thread one([&] { run(*kind.store, "a"); }), two([&] { run(*other, "b"); });
  one.join();
  two.join();
  CHECK(*(*kind.store->read()->state("total", "ax"))["sum"].asInteger() == 2 * each);
  CHECK(other->read()->head() == kind.store->read()->head());
  CHECK(must(kind.store->submit(actOf({}, "b7"))).repeated);
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE("a full disk refuses, keeps nothing of the act, and the record goes on") {
  InSqlite kind;
  (void)must(kind.store->submit(actOf({note("n")})));
  const std::string before = kind.store->projectionDigest();
  {
    DatabaseSettings settings;
    settings.largest_pages = 12;
    const auto small = openSqliteStore(kind.folder.at("small"), testOptions(), settings);
    REQUIRE(small);
    int kept = 0;
    Result<Receipt> last = Receipt{};
    for (int i = 0; i < 200 && last; ++i)
      if (last = (*small)->submit(actOf({note(std::string(900, 'x')), count("ax", 1)})); last)
        ++kept;
    REQUIRE_FALSE(last);
    CHECK(last.error().code == "store.cannot_write");
    CHECK(last.error().fault == Fault::environment);
    CHECK(kept > 0);
    CHECK((*small)->read()->sequence() == 2 * kept);
    CHECK(*(*(*small)->read()->state("total", "ax"))["sum"].asInteger() == kept);
    CHECK((*small)->verify({}).sound);
  }
  CHECK(kind.store->projectionDigest() == before);
}

TEST_CASE("a back-up taken while writers run restores to a sound record") {
  InSqlite kind;
  std::atomic<bool> stop{false};
  std::vector<std::thread> writers;
  for (int t = 0; t < 3; ++t)
    writers.emplace_back([&, t] {
      for (int i = 0; !stop; ++i) {
        const std::string text = std::to_string(t) + "-" + std::to_string(i);
        const NewFact said =
            i % 6 == 0 ? noteWith(text, attachText(*kind.store, text).hash) : note(text);
        (void)must(kind.store->submit(actOf({said, count("ax", 1)})));
        std::this_thread::sleep_for(std::chrono::milliseconds(10));
      }
    });
  for (int round = 0; round < 3; ++round) {
    const std::string name = std::to_string(round);
    std::this_thread::sleep_for(std::chrono::milliseconds(60));
    const auto seen = kind.store->read();
    const Anchor anchor{seen->sequence(), seen->head()};
    const Result<void> copied = kind.store->backUp(kind.folder.at("copy" + name));
    REQUIRE_MESSAGE(static_cast<bool>(copied), (copied ? std::string() : describe(copied.error())));
    const auto restored = restore(kind.folder.at("copy" + name), kind.folder.at("back" + name),
                                  testOptions(), anchor);
    REQUIRE(restored);
    CHECK_MESSAGE(restored->sound, restored->what);
    CHECK(restored->facts >= anchor.sequence);
    CHECK(anchor.sequence > 0);
    const auto again = InSqlite::openAt(kind.folder.at("back" + name), kind.clock);
    const std::string digest = again->projectionDigest();
    REQUIRE(again->rebuildProjections());
    CHECK(again->projectionDigest() == digest);
    (void)must(again->submit(actOf({note("goes on")})));
    CHECK(again->verify(anchor).sound);
  }
  stop = true;
  for (std::thread& writer : writers) writer.join();
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE("back-up and restore refuse folders in use, and a spoilt back-up is named") {
  InSqlite kind;
  const Attachment abc = attachText(*kind.store, "abc");
  const Receipt receipt = must(kind.store->submit(actOf({note("n"), noteWith("m", abc.hash)})));
  const Anchor anchor{2, receipt.head};
  const std::string copy = kind.folder.at("copy");
  REQUIRE(kind.store->backUp(copy));
  CHECK(kind.store->backUp(copy).error().code == "backup.not_empty");
  CHECK(restore(kind.folder.at("none"), kind.folder.at("b"), testOptions(), {}).error().code ==
        "restore.none");
  CHECK(restore(copy, kind.folder.at(), testOptions(), {}).error().code == "restore.not_empty");
  CHECK_FALSE(std::filesystem::exists(databaseIn(copy) + "-wal"));

  std::filesystem::remove(copy + "/attachments/" + abc.hash.substr(0, 2) + "/" + abc.hash);
  const auto without = restore(copy, kind.folder.at("c"), testOptions(), anchor);
  REQUIRE(without);
  CHECK_FALSE(without->sound);
  CHECK(without->first_broken == 2);

  SQLite::Database(databaseIn(copy), SQLite::OPEN_READWRITE)
      .exec("DELETE FROM fact WHERE sequence = 2");
  const auto cut = restore(copy, kind.folder.at("d"), testOptions(), anchor);
  REQUIRE(cut);
  CHECK_FALSE(cut->sound);
  CHECK(cut->what.find("cut off") != std::string::npos);
}

TEST_CASE("a damaged database file is said to be damaged, not thrown about") {
  InSqlite kind;
  for (int i = 0; i < 60; ++i) (void)must(kind.store->submit(actOf({note(std::string(500, 'x'))})));
  kind.store.reset();
  const std::string file = databaseIn(kind.folder.at());
  std::fstream(file, std::ios::in | std::ios::out | std::ios::binary).seekp(4096 * 3)
      << std::string(4096 * 4, '\x55');
  const auto store = openSqliteStore(kind.folder.at(), testOptions());
  if (!store) {
    CHECK(store.error().code == "store.cannot_open");
    return;
  }
  const Verification v = (*store)->verify({});
  CHECK_FALSE(v.sound);
  CHECK_FALSE(v.what.empty());
}

TEST_CASE("what a crash left among the incoming attachments goes when the record is opened") {
  Folder folder;
  const auto clock = std::make_shared<HandClock>();
  auto store = InSqlite::openAt(folder.at(), clock);
  const std::string incoming = folder.at() + "/attachments/incoming";
  const Attachment kept = attachText(*store, "abc");
  const auto sink = store->attach();
  REQUIRE(sink->write(std::as_bytes(std::span(std::string_view("half a file")))));
  std::ofstream(incoming + "/4711-0-deadbeef") << "half of another";
  const auto files = [&] {
    return std::distance(std::filesystem::directory_iterator(incoming), {});
  };
  CHECK(files() == 2);
  // A second program opens the same record: what the first is writing stays.
  auto second = InSqlite::openAt(folder.at(), clock);
  CHECK(files() == 1);
  CHECK_FALSE(std::filesystem::exists(incoming + "/4711-0-deadbeef"));
  const Result<Attachment> whole = sink->finish();
  REQUIRE(whole);
  CHECK(files() == 0);
  CHECK(*second->attachment(whole->hash) == "half a file");
  CHECK(*second->attachment(kept.hash) == "abc");
}
