#include "platemark/ledger/people.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>
#include <sodium.h>

#include <algorithm>
#include <array>
#include <cstdio>
#include <mutex>
#include <semaphore>

#include "store/connection.h"

namespace platemark::ledger {
namespace {

constexpr std::size_t shortest_password = 8;
constexpr std::size_t longest_password = 256;
/// Four hashes at once would need 256 MiB; two are enough for a plant and bound what a flood can
/// take.
std::counting_semaphore<2> hashing_slots(2);

struct SlotGuard {
  SlotGuard() { hashing_slots.acquire(); }
  ~SlotGuard() { hashing_slots.release(); }
  SlotGuard(const SlotGuard&) = delete;
  SlotGuard& operator=(const SlotGuard&) = delete;
};

/// Among the first that anybody tries, and long enough to pass the length rule.
constexpr std::array<std::string_view, 24> common_passwords{
    "password",  "password1", "12345678", "123456789", "1234567890", "qwertyui",
    "qwerty123", "iloveyou",  "sunshine", "princess",  "football",   "baseball",
    "welcome1",  "abc12345",  "letmein1", "monkey123", "dragon123",  "passw0rd",
    "11111111",  "00000000",  "87654321", "asdfghjk",  "trustno1",   "superman"};

Error peopleError(std::string_view code, std::string what, std::string remedy = "") {
  Error error;
  error.code = std::string(code);
  error.what = std::move(what);
  error.remedy = std::move(remedy);
  return error;
}

Error wrongLogin() {
  Error error = peopleError(
      "people.wrong_login", "Name or password is wrong.",
      "Try again; after a forgotten password the quality manager has a new person issued.");
  error.fault = Fault::refused;
  return error;
}

Error storageFault(const std::exception& e) {
  Error error = peopleError("people.cannot_write",
                            fmt::format("The people's file could not be used: {}", e.what()),
                            "Check the disk, then try again.");
  error.fault = Fault::environment;
  return error;
}

std::string hexOf(std::string_view raw) {
  std::string hex;
  for (const char c : raw) hex += fmt::format("{:02x}", static_cast<unsigned char>(c));
  return hex;
}

std::string randomBytes(std::size_t n) {
  std::string bytes(n, '\0');
  randombytes_buf(bytes.data(), n);
  return bytes;
}

unsigned char* raw(std::string& s) { return reinterpret_cast<unsigned char*>(s.data()); }
const unsigned char* raw(const std::string& s) {
  return reinterpret_cast<const unsigned char*>(s.data());
}

/// Text that is wiped when it goes.
struct Secret {
  explicit Secret(std::size_t n) : bytes(n, '\0') {}
  ~Secret() { sodium_memzero(bytes.data(), bytes.size()); }
  Secret(const Secret&) = delete;
  Secret& operator=(const Secret&) = delete;
  std::string bytes;
};

std::string hashPassword(std::string_view password, const HashCost& cost) {
  const SlotGuard slot;
  char hash[crypto_pwhash_STRBYTES];
  if (crypto_pwhash_str_alg(hash, password.data(), password.size(), cost.passes, cost.bytes,
                            crypto_pwhash_ALG_ARGON2ID13) != 0)
    throw std::bad_alloc();
  return hash;
}

/// The cost that a hash names: "$argon2id$v=19$m=65536,t=3,p=1$…", m in KiB.
HashCost costOf(const std::string& hash) {
  HashCost cost{0, 0};
  std::size_t kibibytes = 0;
  if (const auto at = hash.find("$m=");
      at != std::string::npos &&
      std::sscanf(hash.c_str() + at, "$m=%zu,t=%llu", &kibibytes, &cost.passes) == 2)
    cost.bytes = kibibytes * 1024;
  return cost;
}

bool isCheaper(const HashCost& cost, const HashCost& wanted) {
  return cost.passes < wanted.passes || cost.bytes < wanted.bytes;
}

bool passwordFits(const std::string& hash, std::string_view password) {
  const SlotGuard slot;
  return crypto_pwhash_str_verify(hash.c_str(), password.data(), password.size()) == 0;
}

/// The key that seals a seed; its salt is another than that of the stored hash.
void sealingKey(Secret& key, std::string_view password, const std::string& salt,
                const HashCost& cost) {
  const SlotGuard slot;
  if (crypto_pwhash(raw(key.bytes), key.bytes.size(), password.data(), password.size(), raw(salt),
                    cost.passes, cost.bytes, crypto_pwhash_ALG_ARGON2ID13) != 0)
    throw std::bad_alloc();
}

struct Sealed {
  std::string salt, nonce, box;
  HashCost cost;
};

Sealed seal(const std::string& seed, std::string_view password, const HashCost& cost) {
  Sealed sealed{randomBytes(crypto_pwhash_SALTBYTES), randomBytes(crypto_secretbox_NONCEBYTES),
                std::string(seed.size() + crypto_secretbox_MACBYTES, '\0'), cost};
  Secret key(crypto_secretbox_KEYBYTES);
  sealingKey(key, password, sealed.salt, cost);
  crypto_secretbox_easy(raw(sealed.box), raw(seed), seed.size(), raw(sealed.nonce), raw(key.bytes));
  return sealed;
}

bool open(Secret& seed, const Sealed& sealed, std::string_view password) {
  if (sealed.box.size() != seed.bytes.size() + crypto_secretbox_MACBYTES) return false;
  Secret key(crypto_secretbox_KEYBYTES);
  sealingKey(key, password, sealed.salt, sealed.cost);
  return crypto_secretbox_open_easy(raw(seed.bytes), raw(sealed.box), sealed.box.size(),
                                    raw(sealed.nonce), raw(key.bytes)) == 0;
}

/// An opened key lives as long as its signer and is wiped with it.
Signer signerOf(const Secret& seed) {
  auto secret = std::make_shared<Secret>(crypto_sign_SECRETKEYBYTES);
  std::string public_key(crypto_sign_PUBLICKEYBYTES, '\0');
  crypto_sign_seed_keypair(raw(public_key), raw(secret->bytes), raw(seed.bytes));
  return {public_key, [secret](std::string_view bytes) {
            std::string signature(crypto_sign_BYTES, '\0');
            crypto_sign_detached(raw(signature), nullptr,
                                 reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                                 raw(secret->bytes));
            return signature;
          }};
}

class SqlitePeople final : public People {
 public:
  SqlitePeople(const std::string& file, HashCost cost)
      : cost_(cost), db_(file, SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE, busy_ms) {
    prepareConnection(db_, {});
    db_.exec("PRAGMA secure_delete = ON");  // a name that was erased must not lie on in a free page
    db_.exec(R"sql(
      CREATE TABLE IF NOT EXISTS person (     -- who stands behind a number of the record
        number        INTEGER PRIMARY KEY AUTOINCREMENT, -- what the record knows the person by; never given twice
        name          TEXT NOT NULL,      -- '' once erased
        login         TEXT UNIQUE,        -- null once erased
        password_hash TEXT NOT NULL,      -- Argon2id with its parameters; '' once erased
        public_key    TEXT NOT NULL,      -- Ed25519, hex
        salt          BLOB NOT NULL,      -- of the key that seals the seed
        nonce         BLOB NOT NULL,      -- of the seal
        sealed_seed   BLOB NOT NULL,      -- Ed25519 seed, sealed; empty once erased
        passes        INTEGER NOT NULL,   -- Argon2id cost of the sealing key
        memory_bytes  INTEGER NOT NULL    -- of the sealing key
      ) STRICT)sql");
  }

  Result<PersonCard> add(std::string_view name, std::string_view login,
                         std::string_view password) override {
    if (login.empty())
      return peopleError("people.login_empty", "A person needs a name to sign in with.");
    if (Result<void> sound = checkPassword(password); !sound) return sound.error();
    Secret seed(crypto_sign_SEEDBYTES);
    randombytes_buf(seed.bytes.data(), seed.bytes.size());
    const std::string public_key = hexOf(signerOf(seed).public_key);
    try {
      const std::string hash = hashPassword(password, cost_);
      const Sealed sealed = seal(seed.bytes, password, cost_);
      const std::lock_guard lock(mutex_);
      if (numberOf(login))
        return peopleError("people.login_taken",
                           fmt::format("Somebody signs in as '{}' already.", login),
                           "Choose another name to sign in with.");
      SQLite::Statement s(
          db_,
          "INSERT INTO person (name, login, password_hash, public_key, salt, nonce, sealed_seed, "
          "passes, memory_bytes) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)");
      s.bind(1, std::string(name));
      s.bind(2, std::string(login));
      s.bind(3, hash);
      s.bind(4, public_key);
      bindSealed(s, 5, sealed);
      s.exec();
      return PersonCard{db_.getLastInsertRowid(), std::string(name), std::string(login),
                        public_key};
    } catch (const std::exception& e) {
      return storageFault(e);
    }
  }

  Result<PersonCard> logIn(std::string_view login, std::string_view password) override {
    try {
      std::optional<PersonNumber> number;
      std::string hash;
      {
        const std::lock_guard lock(mutex_);
        number = numberOf(login);
        if (number) hash = textOf(*number, "SELECT password_hash FROM person WHERE number = ?");
      }
      // An unknown name takes as long as a wrong password.
      if (hash.empty()) {
        (void)hashPassword(password, cost_);
        return wrongLogin();
      }
      if (!passwordFits(hash, password)) return wrongLogin();
      strengthen(*number, hash, password);
      return *card(*number);
    } catch (const std::exception& e) {
      return storageFault(e);
    }
  }

  Result<Signer> unlock(PersonNumber number, std::string_view password) override {
    try {
      const std::optional<Sealed> sealed = sealedOf(number);
      Secret seed(crypto_sign_SEEDBYTES);
      if (sealed && open(seed, *sealed, password)) return signerOf(seed);
    } catch (const std::exception& e) {
      return storageFault(e);
    }
    Error error = peopleError("people.wrong_password", "The password is wrong; nothing was signed.",
                              "Give your password again.");
    error.fault = Fault::refused;
    error.where.field = "password";
    return error;
  }

  Result<void> changePassword(PersonNumber number, std::string_view old_password,
                              std::string_view new_password) override {
    if (Result<void> sound = checkPassword(new_password); !sound) return sound;
    if (Result<Signer> known = unlock(number, old_password); !known) return known.error();
    try {
      const std::string before = hashOf(number);
      Secret seed(crypto_sign_SEEDBYTES);
      if (!open(seed, *sealedOf(number), old_password)) return wrongLogin();
      reseal(number, before, seed, new_password);
    } catch (const std::exception& e) {
      return storageFault(e);
    }
    return {};
  }

  Result<void> erase(PersonNumber number) override {
    try {
      const std::lock_guard lock(mutex_);
      SQLite::Statement s(db_,
                          "UPDATE person SET name = '', login = NULL, password_hash = '', salt = "
                          "x'', nonce = x'', sealed_seed = x'' WHERE number = ?");
      s.bind(1, number);
      s.exec();
      // Out of the log as well; a reader elsewhere may delay that until the last program closes.
      db_.exec("PRAGMA wal_checkpoint(TRUNCATE)");
    } catch (const std::exception& e) {
      return storageFault(e);
    }
    return {};
  }

  std::optional<PersonCard> card(PersonNumber number) const override {
    const std::lock_guard lock(mutex_);
    SQLite::Statement s(
        db_, "SELECT number, name, coalesce(login, ''), public_key FROM person WHERE number = ?");
    s.bind(1, number);
    if (!s.executeStep()) return {};
    return cardFrom(s);
  }

  std::vector<PersonCard> all() const override {
    const std::lock_guard lock(mutex_);
    SQLite::Statement s(
        db_, "SELECT number, name, coalesce(login, ''), public_key FROM person ORDER BY number");
    std::vector<PersonCard> list;
    while (s.executeStep()) list.push_back(cardFrom(s));
    return list;
  }

 private:
  /// What was hashed or sealed at less than today's cost is done again while the password is at
  /// hand. Signing in does not depend on it.
  void strengthen(PersonNumber number, const std::string& hash, std::string_view password) {
    try {
      const std::optional<Sealed> sealed = sealedOf(number);
      if (!sealed || !(isCheaper(costOf(hash), cost_) || isCheaper(sealed->cost, cost_))) return;
      Secret seed(crypto_sign_SEEDBYTES);
      if (open(seed, *sealed, password)) reseal(number, hash, seed, password);
    } catch (const std::exception&) {
      // The next sign-in tries again.
    }
  }
  /// Nothing is written when the password was changed meanwhile.
  void reseal(PersonNumber number, const std::string& hash_before, const Secret& seed,
              std::string_view password) {
    const std::string hash = hashPassword(password, cost_);
    const Sealed sealed = seal(seed.bytes, password, cost_);
    const std::lock_guard lock(mutex_);
    SQLite::Statement s(db_,
                        "UPDATE person SET password_hash = ?, salt = ?, nonce = ?, sealed_seed = "
                        "?, passes = ?, memory_bytes = ? WHERE number = ? AND password_hash = ?");
    s.bind(1, hash);
    bindSealed(s, 2, sealed);
    s.bind(7, number);
    s.bind(8, hash_before);
    s.exec();
  }
  std::string hashOf(PersonNumber number) const {
    const std::lock_guard lock(mutex_);
    return textOf(number, "SELECT password_hash FROM person WHERE number = ?");
  }
  static PersonCard cardFrom(SQLite::Statement& s) {
    return {s.getColumn(0).getInt64(), s.getColumn(1).getString(), s.getColumn(2).getString(),
            s.getColumn(3).getString()};
  }
  static std::string blob(const SQLite::Column& c) {
    return {static_cast<const char*>(c.getBlob()), static_cast<std::size_t>(c.getBytes())};
  }
  static void bindSealed(SQLite::Statement& s, int at, const Sealed& sealed) {
    s.bind(at, sealed.salt.data(), static_cast<int>(sealed.salt.size()));
    s.bind(at + 1, sealed.nonce.data(), static_cast<int>(sealed.nonce.size()));
    s.bind(at + 2, sealed.box.data(), static_cast<int>(sealed.box.size()));
    s.bind(at + 3, static_cast<std::int64_t>(sealed.cost.passes));
    s.bind(at + 4, static_cast<std::int64_t>(sealed.cost.bytes));
  }
  std::optional<PersonNumber> numberOf(std::string_view login) const {
    SQLite::Statement s(db_, "SELECT number FROM person WHERE login = ?");
    s.bind(1, std::string(login));
    return s.executeStep() ? std::optional<PersonNumber>(s.getColumn(0).getInt64()) : std::nullopt;
  }
  std::string textOf(PersonNumber number, const char* sql) const {
    SQLite::Statement s(db_, sql);
    s.bind(1, number);
    return s.executeStep() ? s.getColumn(0).getString() : "";
  }
  std::optional<Sealed> sealedOf(PersonNumber number) const {
    const std::lock_guard lock(mutex_);
    SQLite::Statement s(
        db_, "SELECT salt, nonce, sealed_seed, passes, memory_bytes FROM person WHERE number = ?");
    s.bind(1, number);
    if (!s.executeStep() || s.getColumn(2).getBytes() == 0) return {};
    return Sealed{blob(s.getColumn(0)),
                  blob(s.getColumn(1)),
                  blob(s.getColumn(2)),
                  {static_cast<unsigned long long>(s.getColumn(3).getInt64()),
                   static_cast<std::size_t>(s.getColumn(4).getInt64())}};
  }

  HashCost cost_;
  mutable std::mutex mutex_;
  mutable SQLite::Database db_;
};

}  // namespace

Result<void> checkPassword(std::string_view password) {
  const auto characters =
      static_cast<std::size_t>(std::count_if(password.begin(), password.end(), [](char c) {
        return (static_cast<unsigned char>(c) & 0xC0U) != 0x80U;
      }));
  if (characters < shortest_password)
    return peopleError("password.too_short",
                       fmt::format("The password has {} characters.", characters),
                       "Take at least 8; a few words in a row are good.");
  if (password.size() > longest_password)
    return peopleError("password.too_long", "The password is longer than 256 bytes.",
                       "Take a shorter one.");
  std::string lower;
  for (const char c : password)
    lower += static_cast<char>(c >= 'A' && c <= 'Z' ? c - 'A' + 'a' : c);
  if (std::find(common_passwords.begin(), common_passwords.end(), lower) != common_passwords.end())
    return peopleError("password.common", "This password is among the first that anybody tries.",
                       "Take another; a few words in a row are good.");
  return {};
}

Result<std::unique_ptr<People>> openPeople(const std::string& folder, HashCost cost) {
  if (sodium_init() < 0)
    return peopleError("people.cannot_open", "The cryptographic library did not start.");
  try {
    return std::unique_ptr<People>(std::make_unique<SqlitePeople>(folder + "/people.sqlite", cost));
  } catch (const std::exception& e) {
    return storageFault(e);
  }
}

}  // namespace platemark::ledger
