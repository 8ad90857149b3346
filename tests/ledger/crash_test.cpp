/// Sudden ends: attachments when the power goes, the program when it is killed.
#include <doctest/doctest.h>
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include <random>
#include <sstream>
#include <thread>

#include "faulty_files.h"
#include "plant.h"
#include "store/attachments.h"

using namespace ledger_test;

namespace {

/// Stores three attachments until the power goes; the ones that were acknowledged and are not
/// there whole afterwards.
int attachmentsLost(FaultyFiles::Manner manner, bool& died) {
  Folder folder;
  const auto files = std::make_shared<FaultyFiles>(manner);
  std::vector<std::string> acknowledged;
  std::mt19937 random(manner.seed);
  for (int i = 0; i < 3; ++i) {
    const auto sink =
        fileSink(folder.at(), files, [](const Attachment&) { return Result<void>{}; });
    for (int chunk = 0; chunk < 2; ++chunk) {
      const std::string bytes(random() % 5000, static_cast<char>('a' + i));
      if (!sink->write(std::as_bytes(std::span(bytes)))) break;
    }
    if (const Result<Attachment> done = sink->finish()) acknowledged.push_back(done->hash);
  }
  died = files->dead();
  files->startAgain();
  int lost = 0;
  for (const std::string& hash : acknowledged)
    lost += attachmentFileFault(folder.at(), hash).empty() ? 0 : 1;
  return lost;
}

/// Over every operation at which the power may go, and several seeds.
int lossesWith(bool syncs_content, bool syncs_names, int& trials) {
  int lost = 0;
  for (unsigned seed = 1; seed <= 5; ++seed)
    for (int k = 1;; ++k, ++trials) {
      bool died = false;
      lost += attachmentsLost({k, seed, syncs_content, syncs_names}, died);
      if (!died) break;
    }
  return lost;
}

/// In the child: appends from two threads, with attachments, and tells the pipe what it was told.
[[noreturn]] void appendForEver(const std::string& folder, int pipe, int round) {
  auto store = openSqliteStore(folder, testOptions(systemClock()));
  if (!store) ::_exit(2);
  const auto run = [&](int thread) {
    for (int i = 0;; ++i) {
      const std::string text =
          std::to_string(round) + "." + std::to_string(thread) + "." + std::to_string(i);
      std::vector<NewFact> facts{note(text), count("ax", 1)};
      if (i % 8 == 0) {
        const auto sink = (*store)->attach();
        const bool written = static_cast<bool>(sink->write(std::as_bytes(std::span(text))));
        const Result<Attachment> done = sink->finish();
        if (!written || !done) ::_exit(3);
        facts[0] = noteWith(text, done->hash);
      }
      const Result<Receipt> receipt = (*store)->submit(actOf(facts, text));
      if (!receipt) ::_exit(4);
      const std::string line =
          std::to_string(receipt->sequences.back()) + " " + receipt->head + "\n";
      if (::write(pipe, line.data(), line.size()) != static_cast<ssize_t>(line.size())) ::_exit(5);
    }
  };
  std::thread second([&] { run(1); });
  run(0);
  ::_exit(0);
}

std::string readAll(int pipe) {
  std::string all;
  char buffer[4096];
  for (ssize_t n = 0; (n = ::read(pipe, buffer, sizeof buffer)) > 0;)
    all.append(buffer, static_cast<std::size_t>(n));
  return all;
}

/// Starts a child, kills it after `ms`; what it had been told by then.
std::string killedAfter(const std::string& folder, int round, unsigned ms) {
  int pipe[2];
  REQUIRE(::pipe(pipe) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) appendForEver(folder, pipe[1], round);
  ::close(pipe[1]);
  std::this_thread::sleep_for(std::chrono::milliseconds(ms));
  ::kill(child, SIGKILL);
  int status = 0;
  ::waitpid(child, &status, 0);
  CHECK_MESSAGE(WIFSIGNALED(status), "the child ended by itself: ", WEXITSTATUS(status));
  std::string told = readAll(pipe[0]);
  ::close(pipe[0]);
  return told;
}

/// Wall clocks may step back on a machine under test; each such step is a fact of its own.
std::int64_t clockSteps(const Snapshot& snapshot) {
  std::int64_t steps = 0;
  for (const Fact& fact : snapshot.factsAfter(0, static_cast<std::size_t>(snapshot.sequence())))
    steps += fact.kind == "clock.stepped_back" ? 1 : 0;
  return steps;
}

/// Every line the child was told stands in the record under its hash.
void checkAllThere(const std::string& folder, const std::string& told, int& acknowledged) {
  const auto store = openSqliteStore(folder, testOptions(systemClock()));
  REQUIRE(store);
  const auto snapshot = (*store)->read();
  std::istringstream lines(told);
  std::string head;
  for (Sequence sequence = 0; lines >> sequence >> head; ++acknowledged) {
    const std::optional<Fact> fact = snapshot->fact(sequence);
    CHECK((fact && fact->hash == head));
  }
  const Verification verified = (*store)->verify({});
  CHECK_MESSAGE(verified.sound, verified.what);
  const auto sum = snapshot->state("total", "ax");
  CHECK((sum ? *(*sum)["sum"].asInteger() : 0) * 2 == verified.facts - clockSteps(*snapshot));
}

void killRounds(int rounds) {
  std::mt19937 random(20261125);
  int acknowledged = 0;
  std::unique_ptr<Folder> folder;
  for (int round = 0; round < rounds; ++round) {
    if (round % 10 == 0) folder = std::make_unique<Folder>();
    const std::string told =
        killedAfter(folder->at(), round, 5 + static_cast<unsigned>(random() % 160));
    checkAllThere(folder->at(), told, acknowledged);
  }
  MESSAGE("killed " << rounds << " times, " << acknowledged << " acts acknowledged");
  CHECK(acknowledged > rounds);
}

}  // namespace

TEST_CASE("an acknowledged attachment is whole when the power goes at any operation") {
  int trials = 0;
  CHECK(lossesWith(true, true, trials) == 0);
  CHECK(trials > 80);
  // The harness sees what happens without either sync.
  CHECK(lossesWith(false, true, trials) > 10);
  CHECK(lossesWith(true, false, trials) > 10);
}

TEST_CASE("nothing acknowledged is lost when the program is killed") { killRounds(20); }

TEST_CASE("slow: nothing acknowledged is lost in 100 kills" * doctest::skip()) { killRounds(100); }
