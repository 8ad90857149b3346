/// The plant's folder opened for work: record, people, layouts. Both faces,
/// pages and terminal, stand on this.
#pragma once

#include <memory>
#include <string>

#include "platemark/act/act.h"
#include "platemark/ledger/people.h"
#include "platemark/ledger/store.h"

namespace platemark::service {

/// What plant.json in the folder says; written once by foundHouse().
struct PlantCard {
  std::string plant;  ///< "marrowfen": stands in every key
  std::string name;   ///< "Marrowfen Friction Works"
  std::string zone;   ///< IANA name
  /// So many days before an approval ends Today lists it.
  std::int64_t approval_notice_days = 60;
  template <class V>
  void describe(V& v) {
    v("plant", plant);
    v("name", name);
    v("zone", zone);
    v.defaulted("approval_notice_days", approval_notice_days);
  }
};

struct House {
  std::string folder;
  PlantCard card;
  std::unique_ptr<ledger::Store> store;
  std::unique_ptr<ledger::People> people;
};

/// Errors: house.none (no plant.json), house.bad_card, and those of the store.
[[nodiscard]] Result<House> openHouse(const std::string& folder,
                                      std::shared_ptr<ledger::Clock> clock = ledger::systemClock());

struct Founder {
  std::string name;
  std::string login;
  std::string password;
  std::string duty = "quality manager";
};
/// Makes the folder, its card, its record and the first person, who may do everything that
/// founding needs. Errors: house.exists, and those of the store and of passwords.
[[nodiscard]] Result<House> foundHouse(
    const std::string& folder, const PlantCard& card, const Founder& founder,
    std::shared_ptr<ledger::Clock> clock = ledger::systemClock());

/// Asks one act and waits until it is durable or refused. `password` unlocks the key for acts
/// that must be signed; it is never kept. Hashing is done here, off the writer.
struct Asked {
  std::string name;
  Value input;
  std::string token;
  PersonNumber person = 0;
  std::optional<std::string> at;
  std::optional<std::string> late_because;
  std::optional<std::string> password;
};
[[nodiscard]] Result<ledger::Receipt> ask(House& house, Asked asked);

/// Makes a person who can sign in, and issues their permits; the asker needs the permit for people.
/// Errors: those of People::add and of 'person issue'; a person without issued permits cannot do
/// anything.
[[nodiscard]] Result<ledger::Receipt> addPerson(House& house, PersonNumber asker,
                                                const Founder& person,
                                                const std::vector<Permit>& permits);

/// Takes name, sign-in name, password and sealed key of a person out of the plant; the record keeps
/// the number, its duty, permits and public key. The asker needs the permit for people and gives
/// the password once more. Errors: people.unknown, people.erased, people.own_name,
/// people.wrong_password, permission.refused.
[[nodiscard]] Result<void> erasePerson(House& house, PersonNumber asker,
                                       const std::string& asker_password, PersonNumber number);
/// "person 12 (name erased)"; nothing while the name is there, or when the plant never knew it.
[[nodiscard]] std::optional<std::string> erasedWords(const ledger::People& people,
                                                     PersonNumber number);

}  // namespace platemark::service
