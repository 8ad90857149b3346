#include "act/plant_fixture.h"

#include <span>

namespace platemark::test {
namespace {

Person everybody(const Key& key) {
  Person person{1, "quality manager", key.hex(), {}};
  for (std::size_t i = 0; i < EnumWords<Operation>::words.size(); ++i)
    person.permits.push_back({static_cast<Operation>(i), {2030, 12, 31}});
  return person;
}

std::string line(const std::string& name, const std::string& gate, const std::string& method,
                 const std::string& output, const std::string& limits,
                 const std::string& samples = "1", const std::string& confirmed = "true") {
  return R"({"characteristic":")" + name + R"(","words":")" + name + R"(","gate":")" + gate +
         R"(","method":")" + method + R"(","output":")" + output +
         R"(","statistic":"each","samples":)" + samples + R"(,"sampling":"","limits":[{)" + limits +
         R"(,"source":{"document":"Works standard","edition":"1","clause":"2","confirmed":)" +
         confirmed + R"(,"legal":false}}],"who":"laboratory technician","reactions":["scrap"]})";
}

std::string noun(const std::string& body) { return R"({"noun":)" + body + R"(,"why":""})"; }

}  // namespace

Key::Key() {
  REQUIRE(sodium_init() >= 0);
  crypto_sign_keypair(reinterpret_cast<unsigned char*>(public_key.data()),
                      reinterpret_cast<unsigned char*>(secret.data()));
}

std::string Key::hex() const {
  std::string text(public_key.size() * 2 + 1, '\0');
  sodium_bin2hex(text.data(), text.size(),
                 reinterpret_cast<const unsigned char*>(public_key.data()), public_key.size());
  text.pop_back();
  return text;
}

ledger::Signer Key::signer() const {
  return {public_key, [secret = secret](std::string_view bytes) {
            std::string signature(crypto_sign_BYTES, '\0');
            crypto_sign_detached(reinterpret_cast<unsigned char*>(signature.data()), nullptr,
                                 reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size(),
                                 reinterpret_cast<const unsigned char*>(secret.data()));
            return signature;
          }};
}

Plant::Plant(const std::string& folder) {
  ledger::StoreOptions options;
  options.plant = "test";
  options.projections = ledger::plantProjections();
  options.clock = clock;
  options.queued = [this](const std::string&) {
    if (queued) queued();
  };
  if (folder.empty()) {
    store = ledger::openMemoryStore(std::move(options));
  } else {
    Result<std::unique_ptr<ledger::Store>> opened =
        ledger::openSqliteStore(folder, std::move(options));
    REQUIRE(bool(opened));
    store = std::move(*opened);
  }
  REQUIRE(bool(store->submit(act::foundPlant(everybody(key), "found", "Europe/Berlin"))));
  documents();
}

void Plant::documents() {
  const std::string mass = R"("lower":"90 kg","upper":"110 kg")";
  done("plan issue", noun(R"({"code":"CP-lot","name":"lots","lines":[)" +
                          line("mass", "lot", "statistics.summary_mass", "mean", mass) + "]}"));
  done("plan issue",
       noun(R"({"code":"CP-1","name":"pads","lines":[)" +
            line("shear", "cure", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")", "2") +
            "," + line("soak", "cure", "cure.chart", "soak", R"("lower":"100 min")") + "," +
            line("flatness", "final", "statistics.summary", "max", R"("upper":"50 um")") + "]}"));
  for (
      const std::string material :
      {R"({"code":"resin","name":"resin","class":"ingredient","density":"1.28 g/cm3","plan":"CP-lot"})",
       R"({"code":"iron","name":"iron","class":"ingredient","density":"7.8 g/cm3","plan":"CP-lot"})",
       R"({"code":"plate-1","name":"plate","class":"plate","plan":"CP-lot"})",
       R"({"code":"glue-1","name":"glue","class":"adhesive","plan":"CP-lot"})"})
    done("material issue", noun(material));
  done(
      "compound issue",
      noun(
          R"({"code":"C-1","name":"Heron","formula":[{"material":"resin","parts":"20","tolerance":"1 %"},{"material":"iron","parts":"80","tolerance":"1 %"}],
    "target_density":"3.0 g/cm3","mix_mass":"50 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8})"));
  done(
      "programme issue",
      noun(
          R"({"code":"P-180","name":"180","segments":[{"target":"180 Cel","tolerance":"5 K","ramp":"2 K/min","soak_minutes":120}],"longest_gap":"5 min","load_in_below":"60 Cel"})"));
  done(
      "part issue",
      noun(
          R"({"code":"MF-1","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[{"step":"plates"},{"step":"mix"},{"step":"press"},{"step":"clamp"},{"step":"cure","programme":"P-180"},
    {"step":"sample"},{"step":"finish","operations":["grind"]},{"step":"pack"},{"step":"ship"}]})"));
  done(
      "machine issue",
      noun(
          R"({"code":"O-1","name":"Oven 1","class":"oven","channels":[{"name":"air","role":"control"}]})"));
  for (const auto& [code, kind] : {std::pair{"coater", "coater"},
                                   {"mixer", "mixer"},
                                   {"press", "press"},
                                   {"grinder", "finishing"}})
    done("machine issue", noun(R"({"code":")" + std::string(code) + R"(","name":"","class":")" +
                               kind + R"(","channels":[]})"));
  for (const std::string code : {"SC-1", "FM-1"})
    done(
        "gauge issue",
        noun(
            R"({"code":")" + code +
            R"(","name":"gauge","unit":"g","resolution":"1 g","calibration_due":"2026-12-31","calibration":"K-1"})"));
  done(
      "gauge issue",
      noun(
          R"({"code":"OLD-1","name":"old gauge","unit":"g","resolution":"1 g","calibration_due":"2026-01-31","calibration":"K-0"})"));
  done(
      "approval issue",
      noun(
          R"({"code":"A-1","kind":"customer approval","parts":["MF-1"],"compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],"adhesives":["glue-1"],"valid_from":"2026-01-01","valid_until":"2026-12-31"})"));
  clearedLot("R-1", "resin");
  clearedLot("I-1", "iron");
  clearedLot("B-1", "plate-1");
  clearedLot("G-1", "glue-1");
  const std::string bytes = "time;air\n08:00;20\n";
  const auto sink = store->attach();
  REQUIRE(bool(sink->write(std::as_bytes(std::span(bytes)))));
  const Result<ledger::Attachment> kept = sink->finish();
  REQUIRE(bool(kept));
  attachment = kept->hash;
}

Result<ledger::Receipt> Plant::ask(const std::string& name, const std::string& input, How how) {
  Result<Value> value = parseJson(input);
  if (!value) throw std::runtime_error("the test's input is no JSON: " + input);
  act::Request request{name,
                       std::move(*value),
                       how.token.empty() ? "t" + std::to_string(++tokens_) : how.token,
                       how.person,
                       "Europe/Berlin",
                       how.at,
                       how.late_because,
                       how.signer};
  Result<ledger::Act> act = act::prepare(std::move(request));
  if (!act) return act.error();
  return store->submit(std::move(*act));
}

Sequence Plant::done(const std::string& name, const std::string& input, How how) {
  const Result<ledger::Receipt> answer = ask(name, input, std::move(how));
  const std::string why =
      answer ? "" : name + ": " + describe(answer.error()) + missingWords(answer.error());
  REQUIRE_MESSAGE(bool(answer), why);
  return answer->sequences.back();
}

Result<ledger::Receipt> Plant::sign(const std::string& name, const std::string& input, How how) {
  how.signer = key.signer();
  return ask(name, input, std::move(how));
}

std::string Plant::typeApproval(const std::string& more) {
  return R"({"noun":{"code":"T-1","kind":"type approval","by":"the authority","parts":["MF-1"],)"
         R"("compounds":[{"compound":"C-1","issue_from":1,"issue_to":1}],"plates":["plate-1"],)"
         R"("adhesives":["glue-1"],"plants":["test"],"valid_from":"2026-01-01")" +
         (more.empty() ? "" : "," + more) + R"(},"why":"as the authority says"})";
}

void Plant::needsApproval(const std::string& operation, const std::string& more,
                          const std::string& adhesive) {
  Value part = state<Value>(projection::part, ledger::nowKey("MF-1"))["noun"];
  part.asObject()->insert_or_assign("adhesive", adhesive);
  part.asObject()->insert_or_assign(
      "markings", Value::Array{Value::Object{{"marking", "T-1"}, {"operation", operation}}});
  const Value further = more.empty() ? Value(Value::Object{}) : *parseJson(more);
  for (const auto& [name, member] : *further.asObject())
    part.asObject()->insert_or_assign(name, member);
  done("part issue", canonicalJson(Value::Object{{"noun", part}, {"why", "needs an approval"}}));
  done("approval issue", typeApproval(""));
}

void Plant::clearedLot(const std::string& lot, const std::string& material) {
  done("lot receive",
       R"({"lot":")" + lot + R"(","material":")" + material +
           R"(","supplier":"a supplier","supplier_lot":"7","quantity":"100 kg","remark":{}})");
  done(
      "reading take",
      R"({"subject":{"kind":"lot","id":")" + lot +
          R"("},"characteristic":"mass","sample":"","gauges":["SC-1"],"numbers":{"readings":["100 kg"]},"remark":{}})");
  done("lot judge", R"({"lot":")" + lot + R"("})");
  done("lot decide", R"({"lot":")" + lot + R"(","disposition":"clear"})");
}

std::string Plant::openBatch() {
  const Sequence opened = done("batch open", R"({"part":"MF-1","plates":40})");
  return store->read()->fact(opened)->body.text("batch");
}

void Plant::plates(const std::string& batch) {
  done(
      "plates prepare",
      R"({"batch":")" + batch +
          R"(","plate_lot":"B-1","adhesive_lot":"G-1","machine":"coater","counts":{"good":40,"samples":0,"rework":0},"remark":{}})");
}

void Plant::mix(const std::string& batch) {
  const Sequence opened = done("mix open", R"({"batch":")" + batch + R"(","machine":"mixer"})");
  const std::string mix = store->read()->fact(opened)->body.text("mix");
  done("mix weigh",
       R"({"mix":")" + mix +
           R"(","material":"resin","lot":"R-1","mass":"10.02 kg","gauge":"SC-1","remark":{}})");
  done("mix weigh",
       R"({"mix":")" + mix +
           R"(","material":"iron","lot":"I-1","mass":"39.9 kg","gauge":"SC-1","remark":{}})");
  done("mix finish", R"({"mix":")" + mix + R"(","minutes":8,"remark":{}})");
}

void Plant::press(const std::string& batch) {
  done(
      "press run",
      R"({"batch":")" + batch +
          R"(","machine":"press","tool":"T-1","gauge":"SC-1","charge_checks":["147 g"],"counts":{"good":40,"samples":0,"rework":0},"remark":{}})");
}

std::string Plant::load(const std::string& batch) {
  const Sequence built =
      done("load build", R"({"oven":"O-1","clamps":[{"clamp":"1","batch":")" + batch +
                             R"(","pads":40,"tier":1,"position":1}],"remark":{}})");
  return store->read()->fact(built)->body.text("load");
}

std::string Plant::cureInput(const std::string& load, const std::string& soak_minutes,
                             const std::string& remark) {
  // From before the load was built until a moment ago, by a clock a little ahead.
  const auto state = ledger::stateAs<LoadState>(*store->read(), projection::load, load);
  const std::int64_t built = (state ? state->built_at : clock->now()).unixMs();
  const std::string from = formatInstant(Instant::fromUnixMs(built - 4 * 3'600'000)),
                    to = formatInstant(Instant::fromUnixMs(built + 240'000));
  return R"({"recorded":{"load":")" + load + R"(","attachment":")" + attachment +
         R"(","file_name":"r.csv","layout":"L","layout_issue":1,"rows":1,"skipped":0,"from":")" +
         from + R"(","to":")" + to + R"(","remark":)" + remark +
         R"(},"figure":{"subject":{"kind":"load","id":"x"},"characteristic":"","sample":"","method":"cure.chart","method_version":1,
    "inputs_hash":"","values":[{"name":"soak","value":")" +
         soak_minutes + R"( min","determined":true}]}})";
}

void Plant::cure(const std::string& load, const std::string& batch) {
  done("cure record", cureInput(load, "121"));
  done("load unclamp", R"({"load":")" + load + R"(","batch":")" + batch +
                           R"(","counts":{"good":40,"samples":0,"rework":0},"remark":{}})");
}

void Plant::samples(const std::string& batch) {
  done(
      "samples draw",
      R"({"batch":")" + batch +
          R"(","samples":[{"sample":"1","clamp":"1"},{"sample":"2","clamp":"1"}],"retained":"2","remark":{}})");
}

Sequence Plant::shear(const std::string& batch, const std::string& sample, const std::string& force,
                      const std::string& remark) {
  const Result<ledger::Receipt> answer =
      ask("reading take", R"({"subject":{"kind":"batch","id":")" + batch +
                              R"("},"characteristic":"shear","sample":")" + sample +
                              R"(","gauges":["FM-1"],"numbers":{"force":[")" + force +
                              R"("],"bond_area":["47.2 cm2"]},"remark":)" + remark + "}");
  REQUIRE_MESSAGE(bool(answer), (answer ? "" : describe(answer.error())));
  return answer->sequences.front();
}

void Plant::release(const std::string& batch, const std::string& gate) {
  const Sequence verdict =
      done("batch judge", R"({"batch":")" + batch + R"(","gate":")" + gate + R"("})");
  const std::string given = prettyJson(store->read()->fact(verdict)->body);
  REQUIRE_MESSAGE(store->read()->fact(verdict)->body.text("outcome") == "conforms", given);
  const auto signed_release =
      sign("batch release", R"({"batch":")" + batch + R"(","gate":")" + gate + R"(","verdict":)" +
                                std::to_string(verdict) + R"(,"meaning":"I release it"})");
  const std::string why =
      signed_release ? "" : describe(signed_release.error()) + missingWords(signed_release.error());
  REQUIRE_MESSAGE(bool(signed_release), why);
}

void Plant::finish(const std::string& batch) {
  done(
      "batch finish",
      R"({"batch":")" + batch +
          R"(","operation":"grind","machine":"grinder","counts":{"good":38,"samples":0,"rework":0},"remark":{}})");
  done(
      "reading take",
      R"({"subject":{"kind":"batch","id":")" + batch +
          R"("},"characteristic":"flatness","sample":"","gauges":[],"numbers":{"readings":["20 um","30 um"]},"remark":{}})");
}

std::string Plant::batchUpTo(const std::string& step) {
  const std::string batch = openBatch();
  plates(batch);
  mix(batch);
  if (step == "mixed") return batch;
  press(batch);
  if (step == "pressed") return batch;
  const std::string in_load = load(batch);
  if (step == "loaded") return batch;
  cure(in_load, batch);
  if (step == "cured") return batch;
  samples(batch);
  if (step == "sampled") return batch;
  shear(batch, "1");
  shear(batch, "2");
  release(batch, "cure");
  if (step == "cure released") return batch;
  finish(batch);
  if (step == "finished") return batch;
  REQUIRE(step == "released");
  release(batch, "final");
  return batch;
}

std::string Plant::box(const std::string& batch, int pads) {
  const Sequence packed = done("box pack", R"({"batch":")" + batch + R"(","pads":)" +
                                               std::to_string(pads) + R"(,"sets":2,"remark":{}})");
  return store->read()->fact(packed)->body.text("box");
}

std::string Plant::wholeBatch() {
  const std::string batch = batchUpTo("released");
  done("shipment send",
       R"({"customer":"a customer","order":"1","boxes":[")" + box(batch) + R"("],"remark":{}})");
  return batch;
}

std::string missingWords(const Error& error) {
  std::string words;
  for (const Missing& missing : error.missing)
    words += missing.what + " / " + missing.who + " / " + missing.how + "\n";
  return words;
}

void checkRefused(const Result<ledger::Receipt>& answer, const std::string& words) {
  CAPTURE(words);
  REQUIRE_FALSE(bool(answer));
  CAPTURE(describe(answer.error()));
  CHECK(answer.error().fault == Fault::refused);
  const std::string missing = missingWords(answer.error());
  CAPTURE(missing);
  CHECK(missing.find(words) != std::string::npos);
  for (const Missing& m : answer.error().missing) CHECK_FALSE(m.how.empty());
}

void checkCode(const Result<ledger::Receipt>& answer, const std::string& code) {
  REQUIRE_FALSE(bool(answer));
  CHECK(answer.error().code == code);
}

}  // namespace platemark::test
