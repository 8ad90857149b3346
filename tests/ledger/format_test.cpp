/// The document of the enduring format tells the truth: its worked example is
/// what the program writes, and hashes to what the document says.
#include <doctest/doctest.h>
#include <sodium.h>

#include <sstream>

#include "plant.h"
#include "platemark/plant/digest.h"
#include "platemark/plant/event.h"
#include "support/cases.h"
#include "support/hex.h"

using namespace ledger_test;

namespace {

/// The lines of the document's example: "name: value".
std::map<std::string, std::string> exampleOf(const std::string& heading) {
  std::ifstream file(std::string(PLATEMARK_TESTS_DIR) + "/../docs/record-format.md");
  std::map<std::string, std::string> example;
  bool inside = false;
  for (std::string line; std::getline(file, line);) {
    if (line.starts_with("### ")) inside = line == "### " + heading;
    const auto colon = line.find(": ");
    if (inside && line.starts_with("    ") && colon != std::string::npos)
      example[line.substr(4, colon - 4)] = line.substr(colon + 2);
  }
  return example;
}

Signer signerFrom(const std::string& seed) {
  std::string public_key(crypto_sign_PUBLICKEYBYTES, '\0'),
      secret(crypto_sign_SECRETKEYBYTES, '\0');
  const auto raw = [](const std::string& s) {
    return reinterpret_cast<const unsigned char*>(s.data());
  };
  crypto_sign_seed_keypair(reinterpret_cast<unsigned char*>(public_key.data()),
                           reinterpret_cast<unsigned char*>(secret.data()), raw(seed));
  return {public_key, [=](std::string_view bytes) {
            std::string signature(crypto_sign_BYTES, '\0');
            crypto_sign_detached(reinterpret_cast<unsigned char*>(signature.data()), nullptr,
                                 reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                                 raw(secret));
            return signature;
          }};
}

/// The seed of RFC 8032, test 1, so that anybody can make the signature again.
std::string publishedSeed() {
  return test::bytesOf(test::loadCases("ledger/cases/ed25519.csv").rows.front().text("seed"));
}

std::vector<Fact> exampleFacts() {
  const auto clock = std::make_shared<HandClock>();
  clock->ms = parseInstant("2026-11-25T06:41:12.250Z")->unixMs();
  const auto store = openMemoryStore(testOptions(clock));
  const Happened when{*parseInstant("2026-11-25T06:40:00Z"), "Europe/Berlin", "7:40", {}};
  const Subject batch{"batch", "K7M4J-7"};
  Act hold = actOf({{"hold.placed",
                     1,
                     when,
                     12,
                     {batch},
                     toValue(HoldPlaced{batch, "edge chipped on 3 pads – set aside"})}},
                   "3f1c");
  hold.request = "hold place K7M4J-7";
  (void)must(store->submit(hold));
  ReleaseSigned release{Gate::cure,
                        batch,
                        1,
                        std::string(64, 'a'),
                        Outcome::conforms,
                        "I release batch K7M4J-7 for finishing."};
  Act sign = actOf({{"release.signed", 1, when, 12, {batch}, toValue(release)}}, "3f1d");
  sign.request = "release K7M4J-7";
  sign.signer = signerFrom(publishedSeed());
  (void)must(store->submit(sign));
  return allFacts(*store);
}

}  // namespace

TEST_CASE("the worked example of the format's document is what the program writes") {
  const std::vector<Fact> facts = exampleFacts();
  for (const Fact& fact : facts) {
    const auto example = exampleOf(fact.signature.empty() ? "An unsigned fact" : "A signed fact");
    CAPTURE(fact.bytes);
    REQUIRE(example.contains("bytes"));
    CHECK(example.at("bytes") == fact.bytes);
    CHECK(example.at("signer") == (fact.signer.empty() ? "(none)" : test::hexOf(fact.signer)));
    CHECK(example.at("signature") ==
          (fact.signature.empty() ? "(none)" : test::hexOf(fact.signature)));
    CHECK(example.at("hash") == fact.hash);
    CHECK(std::stoul(example.at("length")) == fact.bytes.size());
  }
}

TEST_CASE("the document's hashes and signature hold without the program's own words") {
  const auto one = exampleOf("An unsigned fact"), two = exampleOf("A signed fact");
  REQUIRE(one.contains("hash"));
  REQUIRE(two.contains("hash"));
  CHECK(sha256Hex(one.at("bytes")) == one.at("hash"));
  const std::string signer = test::bytesOf(two.at("signer")),
                    signature = test::bytesOf(two.at("signature"));
  CHECK(sha256Hex(two.at("bytes") + signer + signature) == two.at("hash"));
  CHECK(verifySignature(signer, two.at("bytes"), signature));
  CHECK(two.at("bytes").find("\"previous\":\"" + one.at("hash") + "\"") != std::string::npos);
}
