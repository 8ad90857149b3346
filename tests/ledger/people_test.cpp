#include <argon2.h>
#include <doctest/doctest.h>
#include <sodium.h>

#include <SQLiteCpp/SQLiteCpp.h>

#include <random>
#include <thread>

#include "plant.h"
#include "platemark/ledger/people.h"
#include "support/cases.h"
#include "support/hex.h"

using namespace ledger_test;

namespace {

/// The least that the library takes: the tests need the rules, not the cost.
constexpr HashCost cheap{1, 8192};

struct OfPeople {
  Folder folder;
  std::unique_ptr<People> people = open();
  [[nodiscard]] std::unique_ptr<People> open() const {
    std::filesystem::create_directories(folder.at());
    auto opened = openPeople(folder.at(), cheap);
    REQUIRE(opened);
    return std::move(*opened);
  }
  [[nodiscard]] PersonCard add(const std::string& login) const {
    const auto card = people->add("Ilse Quandt " + login, login, "drei alte Hocker");
    REQUIRE_MESSAGE(static_cast<bool>(card), (card ? std::string() : describe(card.error())));
    return *card;
  }
};

template <class T>
std::string codeOf(const Result<T>& result) {
  return result ? "fine" : result.error().code;
}

/// Every byte of every file that keeps the people.
std::string allBytes(const std::string& folder) {
  std::string all;
  for (const auto& file : std::filesystem::directory_iterator(folder)) {
    std::ifstream in(file.path(), std::ios::binary);
    all.append(std::istreambuf_iterator<char>(in), {});
  }
  return all;
}

std::string argonOf(const test::Case& row) {
  std::string password = test::bytesOf(row.text("password_hex")),
              salt = test::bytesOf(row.text("salt_hex"));
  std::string secret = test::bytesOf(row.text("secret_hex")),
              beside = test::bytesOf(row.text("associated_hex"));
  std::string tag(row.text("tag_hex").size() / 2, '\0');
  const auto raw = [](std::string& s) { return reinterpret_cast<std::uint8_t*>(s.data()); };
  const auto size = [](const std::string& s) { return static_cast<std::uint32_t>(s.size()); };
  argon2_context context{};
  context.out = raw(tag);
  context.outlen = size(tag);
  context.pwd = raw(password);
  context.pwdlen = size(password);
  context.salt = raw(salt);
  context.saltlen = size(salt);
  context.secret = raw(secret);
  context.secretlen = size(secret);
  context.ad = raw(beside);
  context.adlen = size(beside);
  context.t_cost = static_cast<std::uint32_t>(row.number("passes"));
  context.m_cost = static_cast<std::uint32_t>(row.number("memory_kib"));
  context.lanes = context.threads = static_cast<std::uint32_t>(row.number("lanes"));
  context.version = ARGON2_VERSION_13;
  REQUIRE(argon2_ctx(&context, Argon2_id) == ARGON2_OK);
  return test::hexOf(tag);
}

}  // namespace

TEST_CASE("a person signs in, signs, and the signature fits the public key") {
  const OfPeople plant;
  const PersonCard card = plant.add("ilse");
  CHECK(card.number == 1);
  CHECK(card.public_key.size() == 64);
  const auto in = plant.people->logIn("ilse", "drei alte Hocker");
  REQUIRE(in);
  CHECK(in->number == card.number);
  CHECK(in->name == "Ilse Quandt ilse");
  const auto signer = plant.people->unlock(card.number, "drei alte Hocker");
  REQUIRE(signer);
  CHECK(test::hexOf(signer->public_key) == card.public_key);
  const std::string signature = signer->sign("bytes");
  CHECK(verifySignature(signer->public_key, "bytes", signature));
  CHECK_FALSE(verifySignature(signer->public_key, "bites", signature));
  CHECK(signer->sign("bytes") == signature);
}

TEST_CASE("the signer of a person signs facts that verify") {
  const OfPeople plant;
  const PersonCard card = plant.add("ilse");
  InMemory kind;
  Act act = actOf({seal("I release this")});
  act.signer = *plant.people->unlock(card.number, "drei alte Hocker");
  (void)must(kind.store->submit(act));
  CHECK(test::hexOf(kind.store->read()->fact(1)->signer) == card.public_key);
  CHECK(kind.store->verify({}).sound);
}

TEST_CASE("a wrong password and an unknown name are refused alike") {
  const OfPeople plant;
  (void)plant.add("ilse");
  const auto wrong = plant.people->logIn("ilse", "drei neue Hocker");
  const auto unknown = plant.people->logIn("nobody", "drei alte Hocker");
  REQUIRE_FALSE(wrong);
  REQUIRE_FALSE(unknown);
  CHECK(describe(wrong.error()) == describe(unknown.error()));
  CHECK(wrong.error().fault == Fault::refused);
  CHECK(codeOf(plant.people->unlock(1, "drei neue Hocker")) == "people.wrong_password");
  CHECK(codeOf(plant.people->unlock(99, "drei alte Hocker")) == "people.wrong_password");
  CHECK(codeOf(plant.people->logIn("ilse", "")) == "people.wrong_login");
}

TEST_CASE("a new password opens the same key, the old one none") {
  const OfPeople plant;
  const PersonCard card = plant.add("ilse");
  CHECK(codeOf(plant.people->changePassword(1, "wrong one here", "vier neue Hocker")) ==
        "people.wrong_password");
  CHECK(codeOf(plant.people->changePassword(1, "drei alte Hocker", "short")) ==
        "password.too_short");
  REQUIRE(plant.people->changePassword(1, "drei alte Hocker", "vier neue Hocker"));
  CHECK(codeOf(plant.people->logIn("ilse", "drei alte Hocker")) == "people.wrong_login");
  CHECK(codeOf(plant.people->unlock(1, "drei alte Hocker")) == "people.wrong_password");
  CHECK(codeOf(plant.people->logIn("ilse", "vier neue Hocker")) == "fine");
  CHECK(test::hexOf(plant.people->unlock(1, "vier neue Hocker")->public_key) == card.public_key);
}

TEST_CASE("an erased name is gone from the files; number and public key stay") {
  OfPeople plant;
  const PersonCard card = plant.add("ilse");
  (void)plant.add("jonas");
  const std::string sealed = [&] {
    SQLite::Database db(plant.folder.at() + "/people.sqlite");
    return db.execAndGet("SELECT sealed_seed FROM person WHERE number = 1").getString();
  }();
  REQUIRE(allBytes(plant.folder.at()).find("Ilse Quandt ilse") != std::string::npos);
  REQUIRE(plant.people->erase(card.number));
  for (const bool reopened : {false, true}) {
    if (reopened) {
      plant.people.reset();
      plant.people = plant.open();
    }
    const std::string bytes = allBytes(plant.folder.at());
    CHECK(bytes.find("Ilse Quandt ilse") == std::string::npos);
    CHECK(bytes.find(sealed) == std::string::npos);
    CHECK(bytes.find("Ilse Quandt jonas") != std::string::npos);
    const auto left = plant.people->card(card.number);
    REQUIRE(left);
    CHECK(left->name.empty());
    CHECK(left->login.empty());
    CHECK(left->public_key == card.public_key);
    CHECK(codeOf(plant.people->logIn("ilse", "drei alte Hocker")) == "people.wrong_login");
    CHECK(codeOf(plant.people->unlock(1, "drei alte Hocker")) == "people.wrong_password");
  }
  // The login is free again, the number is not.
  CHECK(plant.add("ilse").number == 3);
  CHECK(plant.people->all().size() == 3);
}

TEST_CASE("what a password must be") {
  CHECK(codeOf(checkPassword("1234567")) == "password.too_short");
  CHECK(codeOf(checkPassword("äöüäöüä")) == "password.too_short");  // 7 characters, 14 bytes
  CHECK(codeOf(checkPassword("äöüäöüäö")) == "fine");
  CHECK(codeOf(checkPassword("aaaa bbb")) == "fine");  // no rules of composition
  CHECK(codeOf(checkPassword(std::string(64, 'x'))) == "fine");
  CHECK(codeOf(checkPassword(std::string(257, 'x'))) == "password.too_long");
  for (const char* common : {"password", "PASSWORD1", "12345678", "Passw0rd"})
    CHECK(codeOf(checkPassword(common)) == "password.common");
  const OfPeople plant;
  CHECK(codeOf(plant.people->add("A", "a", "password")) == "password.common");
  CHECK(codeOf(plant.people->add("A", "", "drei alte Hocker")) == "people.login_empty");
  (void)plant.add("a");
  CHECK(codeOf(plant.people->add("B", "a", "drei alte Hocker")) == "people.login_taken");
}

TEST_CASE("many sign in at once") {
  const OfPeople plant;
  for (int i = 0; i < 4; ++i) (void)plant.add("p" + std::to_string(i));
  std::vector<std::thread> threads;
  std::atomic<int> in{0};
  for (int t = 0; t < 8; ++t)
    threads.emplace_back([&, t] {
      for (int i = 0; i < 5; ++i)
        if (plant.people->logIn("p" + std::to_string(t % 4), "drei alte Hocker")) ++in;
    });
  for (std::thread& thread : threads) thread.join();
  CHECK(in == 40);
}

TEST_CASE("as shipped a password costs what the header says") {
  Folder folder;
  std::filesystem::create_directories(folder.at());
  const auto people = openPeople(folder.at());
  REQUIRE(people);
  REQUIRE((*people)->add("Ilse Quandt", "ilse", "drei alte Hocker"));
  SQLite::Database db(folder.at() + "/people.sqlite");
  CHECK(db.execAndGet("SELECT password_hash FROM person")
            .getString()
            .starts_with("$argon2id$v=19$m=65536,t=3,p=1$"));
  CHECK(db.execAndGet("SELECT passes || ' ' || memory_bytes FROM person").getString() ==
        "3 67108864");
  CHECK(db.execAndGet("SELECT length(salt) FROM person").getInt() == 16);
}

TEST_CASE("what was hashed and sealed at less than today's cost is made again at sign-in") {
  OfPeople of;
  const PersonCard card = of.add("ilse");
  of.people.reset();
  const auto stored = [&] {
    SQLite::Database db(of.folder.at() + "/people.sqlite");
    return db.execAndGet("SELECT password_hash || ' ' || passes || ' ' || memory_bytes FROM person")
        .getString();
  };
  const std::string weak = stored();
  CHECK(weak.find("$m=8,t=1,") != std::string::npos);
  const auto today = openPeople(of.folder.at(), HashCost{2, 16384});
  REQUIRE(today);
  CHECK(codeOf((*today)->logIn("ilse", "vier alte Hocker")) == "people.wrong_login");
  CHECK(stored() == weak);
  const auto before = (*today)->unlock(card.number, "drei alte Hocker");
  REQUIRE((*today)->logIn("ilse", "drei alte Hocker"));
  const std::string strong = stored();
  CHECK(strong.find("$m=16,t=2,") != std::string::npos);
  CHECK(strong.ends_with(" 2 16384"));
  const auto after = (*today)->unlock(card.number, "drei alte Hocker");
  REQUIRE((before && after));
  CHECK(after->public_key == before->public_key);
  CHECK(codeOf((*today)->logIn("ilse", "drei alte Hocker")) == "fine");
  CHECK(stored() == strong);  // once is enough
  // A program that asks less leaves what is stronger alone.
  CHECK(codeOf((*openPeople(of.folder.at(), cheap))->logIn("ilse", "drei alte Hocker")) == "fine");
  CHECK(stored() == strong);
}

TEST_CASE("a back-up carries the people with it while they change") {
  Folder folder;
  auto store = InSqlite::openAt(folder.at(), std::make_shared<HandClock>());
  auto people = openPeople(folder.at(), cheap);
  REQUIRE((*people)->add("Ilse Quandt", "ilse", "drei alte Hocker"));  // lies in the log still
  REQUIRE(store->backUp(folder.at("copy")));
  REQUIRE(restore(folder.at("copy"), folder.at("back"), testOptions(), {}));
  const auto again = openPeople(folder.at("back"), cheap);
  REQUIRE(again);
  CHECK(codeOf((*again)->logIn("ilse", "drei alte Hocker")) == "fine");
}

TEST_CASE("Argon2id: another library gives the RFC's tag, and ours agrees with that library") {
  for (const test::Case& row : test::loadCases("ledger/cases/argon2id.csv").rows)
    CHECK(argonOf(row) == row.text("tag_hex"));
  std::mt19937 random(9106);
  for (int i = 0; i < 12; ++i) {
    std::string password(1 + random() % 80, '\0'), salt(crypto_pwhash_SALTBYTES, '\0');
    for (std::string* text : {&password, &salt})
      for (char& c : *text) c = static_cast<char>(random());
    const auto passes = static_cast<unsigned>(1 + random() % 4),
               kib = static_cast<unsigned>(8 + random() % 300);
    std::string ours(32, '\0'), theirs(32, '\0');
    REQUIRE(crypto_pwhash(reinterpret_cast<unsigned char*>(ours.data()), ours.size(),
                          password.data(), password.size(),
                          reinterpret_cast<unsigned char*>(salt.data()), passes,
                          std::size_t{kib} * 1024, crypto_pwhash_ALG_ARGON2ID13) == 0);
    REQUIRE(argon2id_hash_raw(passes, kib, 1, password.data(), password.size(), salt.data(),
                              salt.size(), theirs.data(), theirs.size()) == ARGON2_OK);
    CHECK(test::hexOf(ours) == test::hexOf(theirs));
  }
}
