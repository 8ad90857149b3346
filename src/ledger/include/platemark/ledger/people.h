/// Names, passwords and keys: outside the chain, so that a name can be erased
/// while the record keeps its numbers.
///
/// Passwords are kept as Argon2id hashes (RFC 9106). Each person's Ed25519 seed
/// is sealed under a key that only the password gives: without the password
/// nobody, not even who has the file, can sign for that number.
/// Parameters: RFC 9106's second choice in time and memory, t = 3, m = 64 MiB;
/// lanes p = 1, the only number that libsodium offers (the RFC says 4).
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "platemark/ledger/store.h"
#include "platemark/quantity/result.h"

namespace platemark::ledger {

/// How hard hashing is; tests make it cheap.
struct HashCost {
  unsigned long long passes = 3;
  std::size_t bytes = std::size_t{64} << 20U;
};

struct PersonCard {
  PersonNumber number = 0;
  std::string name;        ///< "" once erased
  std::string login;       ///< "" once erased
  std::string public_key;  ///< 64 hex digits
};

/// May be called from any thread; at most two passwords are hashed at once.
class People {
 public:
  virtual ~People() = default;
  /// Errors: people.login_taken, people.login_empty, password.too_short (under 8 characters),
  /// password.too_long (over 256 bytes), password.common, people.cannot_write.
  [[nodiscard]] virtual Result<PersonCard> add(std::string_view name, std::string_view login,
                                               std::string_view password) = 0;
  /// A hash or a sealed key of less than today's cost is made again at today's.
  /// Errors: people.wrong_login (the same for an unknown name and a wrong password).
  [[nodiscard]] virtual Result<PersonCard> logIn(std::string_view login,
                                                 std::string_view password) = 0;
  /// Opens the person's key with the password. Errors: people.wrong_password.
  [[nodiscard]] virtual Result<Signer> unlock(PersonNumber number, std::string_view password) = 0;
  /// Seals the same key under the new password. Errors: those of unlock and add.
  [[nodiscard]] virtual Result<void> changePassword(PersonNumber number,
                                                    std::string_view old_password,
                                                    std::string_view new_password) = 0;
  /// Name, login, password and sealed key go; the number and its public key stay.
  [[nodiscard]] virtual Result<void> erase(PersonNumber number) = 0;
  [[nodiscard]] virtual std::optional<PersonCard> card(PersonNumber number) const = 0;
  [[nodiscard]] virtual std::vector<PersonCard> all() const = 0;
};

/// Opens or makes people.sqlite in the folder. Errors: people.cannot_open.
[[nodiscard]] Result<std::unique_ptr<People>> openPeople(const std::string& folder,
                                                         HashCost cost = {});

/// The rules a password must meet, without hashing. Errors: password.*.
[[nodiscard]] Result<void> checkPassword(std::string_view password);

}  // namespace platemark::ledger
