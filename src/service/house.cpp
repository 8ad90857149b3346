#include "platemark/service/house.h"

#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <sstream>

#include "platemark/gate/permission.h"
#include "platemark/ledger/projections.h"
#include "platemark/service/show.h"

namespace platemark::service {
namespace {

namespace fs = std::filesystem;

Error houseError(std::string_view code, std::string what, std::string remedy,
                 const std::string& file) {
  Error error;
  error.fault = Fault::environment;
  error.code = std::string(code);
  error.what = std::move(what);
  error.remedy = std::move(remedy);
  error.where.file = file;
  return error;
}

std::string cardFile(const std::string& folder) { return folder + "/plant.json"; }

Result<House> open(const std::string& folder, PlantCard card,
                   std::shared_ptr<ledger::Clock> clock) {
  ledger::StoreOptions options;
  options.plant = card.plant;
  options.projections = ledger::plantProjections();
  options.clock = std::move(clock);
  Result<std::unique_ptr<ledger::Store>> store =
      ledger::openSqliteStore(folder, std::move(options));
  if (!store) return store.error();
  Result<std::unique_ptr<ledger::People>> people = ledger::openPeople(folder);
  if (!people) return people.error();
  return House{folder, std::move(card), std::move(*store), std::move(*people)};
}

/// Whoever founds the plant may do everything that founding needs, for ten years.
std::vector<Permit> allPermits(Day today) {
  std::vector<Permit> permits;
  for (std::size_t i = 0; i < EnumWords<Operation>::words.size(); ++i)
    permits.push_back({static_cast<Operation>(i),
                       {today.year + 10, today.month, today.month == 2 ? 28 : today.day}});
  return permits;
}

/// What stands in the way of somebody who wants to make or erase a person.
gate::Obstacles againstPeople(const House& house, PersonNumber asker) {
  const std::unique_ptr<ledger::Snapshot> snapshot = house.store->read();
  const auto known = ledger::stateAs<Issued<Person>>(*snapshot, projection::person,
                                                     ledger::nowKey(std::to_string(asker)));
  if (!known) return {{"the asker is not on record", "quality manager", ""}};
  return gate::mayOperate(known->noun, Operation::people, dayIn(snapshot->now(), house.card.zone));
}

/// What is wrong with erasing this name, besides who asks.
Result<void> mayBeErased(const House& house, PersonNumber asker, PersonNumber number) {
  Error error;
  const std::optional<ledger::PersonCard> card = house.people->card(number);
  if (!card) {
    error.fault = Fault::not_found;
    error.code = "people.unknown";
    error.what = fmt::format("There is no person {}.", number);
    error.remedy = "The list of people names the numbers.";
  } else if (card->login.empty()) {
    error.fault = Fault::conflict;
    error.code = "people.erased";
    error.what = fmt::format("The name of person {} is erased already.", number);
  } else if (number == asker) {
    error.fault = Fault::conflict;
    error.code = "people.own_name";
    error.what = "You cannot erase your own name: nobody might be left to make people.";
    error.remedy = "Ask somebody else with the permit for people.";
  } else {
    return {};
  }
  return error;
}

}  // namespace

Result<PlantCard> readCard(const std::string& folder) {
  std::ifstream file(cardFile(folder), std::ios::binary);
  if (!file)
    return houseError("house.none", "There is no plant in this folder.",
                      "Found one with 'platemark found', or name the right folder.", folder);
  std::ostringstream text;
  text << file.rdbuf();
  const Result<Value> value = parseJson(text.str());
  if (!value) return value.error();
  return fromValue<PlantCard>(*value);
}

Result<House> openHouse(const std::string& folder, std::shared_ptr<ledger::Clock> clock) {
  Result<PlantCard> card = readCard(folder);
  if (!card) return card.error();
  return open(folder, std::move(*card), std::move(clock));
}

Result<House> foundHouse(const std::string& folder, const PlantCard& card, const Founder& founder,
                         std::shared_ptr<ledger::Clock> clock) {
  if (fs::exists(cardFile(folder)))
    return houseError("house.exists", "There is a plant in this folder already.",
                      "Name an empty folder.", folder);
  if (const Result<LocalTime> known = localTime(clock->now(), card.zone); !known)
    return known.error();
  if (Result<void> sound = ledger::checkPassword(founder.password); !sound) return sound.error();
  std::error_code ignored;
  fs::create_directories(folder, ignored);
  Result<House> house = open(folder, card, clock);
  if (!house) return house.error();
  const Result<ledger::PersonCard> person =
      house->people->add(founder.name, founder.login, founder.password);
  if (!person) return person.error();
  const Person first{person->number, founder.duty, person->public_key,
                     allPermits(dayIn(clock->now(), card.zone))};
  Result<ledger::Receipt> founded =
      house->store->submit(act::foundPlant(first, "found-" + card.plant, card.zone));
  if (!founded) return founded.error();
  // The card is written last: a folder with a card is a founded plant.
  std::ofstream file(cardFile(folder), std::ios::binary);
  file << prettyJson(toValue(card));
  file.close();
  if (!file)
    return houseError("house.cannot_write", "The plant's card could not be written.",
                      "Check room and rights in the folder.", folder);
  return house;
}

Result<ledger::Receipt> addPerson(House& house, PersonNumber asker, const Founder& founder,
                                  const std::vector<Permit>& permits) {
  if (const auto refused = againstPeople(house, asker); !refused.empty())
    return gate::refusal("No person can be made.", refused);
  const Result<ledger::PersonCard> card =
      house.people->add(founder.name, founder.login, founder.password);
  if (!card) return card.error();
  const Person person{card->number, founder.duty, card->public_key, permits};
  return ask(house, {"person issue",
                     Value::Object{{"noun", toValue(person)}, {"why", "a new person"}},
                     "person-" + card->public_key,
                     asker,
                     {},
                     {},
                     {}});
}

Result<void> erasePerson(House& house, PersonNumber asker, const std::string& asker_password,
                         PersonNumber number) {
  if (const auto refused = againstPeople(house, asker); !refused.empty())
    return gate::refusal("No name can be erased.", refused);
  if (Result<void> sound = mayBeErased(house, asker, number); !sound) return sound;
  if (Result<ledger::Signer> known = house.people->unlock(asker, asker_password); !known) {
    Error error = known.error();
    if (error.code == "people.wrong_password")
      error.what = "The password is wrong; nothing was erased.";
    return error;
  }
  return house.people->erase(number);
}

std::optional<std::string> erasedWords(const ledger::People& people, PersonNumber number) {
  const std::optional<ledger::PersonCard> card = people.card(number);
  if (!card || !card->login.empty()) return {};
  return fmt::format("person {} (name erased)", number);
}

Result<ledger::Receipt> ask(House& house, Asked asked) {
  act::Request request{
      asked.name,      std::move(asked.input), std::move(asked.token),        asked.person,
      house.card.zone, std::move(asked.at),    std::move(asked.late_because), {}};
  const act::Kind* kind = act::find(request.name);
  if (kind != nullptr && kind->must_be_signed && asked.password) {
    Result<ledger::Signer> signer = house.people->unlock(asked.person, *asked.password);
    if (!signer) return signer.error();
    request.signer = std::move(*signer);
  }
  Result<ledger::Act> act = act::prepare(std::move(request));
  if (!act) return act.error();
  return house.store->submit(std::move(*act));
}

}  // namespace platemark::service
