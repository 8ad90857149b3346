/// What is exported is what an import takes: there and back gives the same, to the byte.
#include <doctest/doctest.h>
#include <fmt/format.h>
#include <unistd.h>

#include <filesystem>

#include "platemark/act/act.h"
#include "platemark/service/noun_export.h"
#include "platemark/service/noun_import.h"

namespace {

using namespace platemark;
namespace fs = std::filesystem;
using service::ExportFile;
using service::House;

/// A founded plant in a folder of its own.
class Plant {
 public:
  explicit Plant(const std::string& name)
      : folder_((fs::temp_directory_path() / fmt::format("platemark-{}-{}", name, ::getpid()))
                    .string()) {
    fs::remove_all(folder_);
    Result<House> house = service::foundHouse(folder_, {"here", "A plant", "Europe/Berlin"},
                                              {"Quality", "quality", "marrowfen works"});
    REQUIRE(house);
    house_ = std::make_unique<House>(std::move(*house));
  }
  ~Plant() {
    house_.reset();
    fs::remove_all(folder_);
  }
  Plant(const Plant&) = delete;
  Plant& operator=(const Plant&) = delete;

  [[nodiscard]] House& house() { return *house_; }
  void done(const std::string& name, const std::string& input) {
    const Result<Value> value = parseJson(input);
    REQUIRE_MESSAGE(value, input);
    const auto receipt =
        service::ask(*house_, {name, *value, fmt::format("t{}", ++tokens_), 1, {}, {}, {}});
    REQUIRE_MESSAGE(receipt, (receipt ? "" : describe(receipt.error())));
  }
  void issue(const std::string& kind, const std::string& noun, const std::string& why = "") {
    done(kind + " issue", R"({"noun":)" + noun + R"(,"why":")" + why + R"("})");
  }
  Value take(const std::string& kind, const std::string& format, const std::string& bytes) {
    const Result<Value> taken =
        service::importNouns(*house_, {kind, format, bytes, fmt::format("i{}", ++tokens_), 1});
    REQUIRE_MESSAGE(taken, (taken ? "" : describe(taken.error())));
    return *taken;
  }
  void addPerson(const std::string& login) {
    REQUIRE(service::addPerson(*house_, 1, {login, login, "marrowfen works", "packer"},
                               {{Operation::packing, {2030, 1, 1}}}));
  }

 private:
  std::string folder_;
  std::unique_ptr<House> house_;
  int tokens_ = 0;
};

/// Of every kind at least one, with what is awkward in a table: commas, quotes, line ends, signs
/// that a spreadsheet would run, text that looks like a list, an empty name.
void fill(Plant& plant) {
  plant.issue(
      "plan",
      R"({"code":"CP","name":"lots, \"all\"\nof them","lines":[{"characteristic":"friction","words":"friction","gate":"cure","method":"friction.letters","output":"normal","statistic":"each","samples":1,"limits":[{"lower":"0.36","upper":"0.46","source":{"document":"Works standard","confirmed":true}}],"reactions":["rework"]}],"rework_loops":2})");
  plant.issue(
      "programme",
      R"({"code":"P","name":"=1+1","segments":[{"target":"180 Cel","tolerance":"5 K","soak_minutes":120}],"longest_gap":"5 min","load_in_below":"60 Cel"})");
  plant.issue("material", R"({"code":"plate","name":"[1]","class":"plate"})");
  plant.issue("material", R"({"code":"glue","name":"","class":"adhesive","shelf_life_days":180})");
  plant.issue(
      "material",
      R"({"code":"resin","name":"Harz für Beläge","class":"ingredient","density":"1.270 g/cm3","density_source":"paper","substances":[{"substance":"lead","at_most":"0.1 %","source":"declared, 2026"}],"band":[{"aperture":"63 um","passing_min":"8 %","passing_max":"45 %"}]})");
  plant.issue(
      "material",
      R"({"code":"box","name":" box ","class":"box","inside":{"length":"300 mm","width":"200 mm","height":"100.0 mm"}})");
  const std::string compound =
      R"({"code":"C","name":"c","formula":[{"material":"resin","parts":"8.50","tolerance":"0.6 %"}],"target_density":"2.24 g/cm3","mix_mass":"112 kg","loss":"2 %","loss_basis":"charge","mixing_minutes":8})";
  plant.issue("compound", compound);
  plant.issue(
      "compound",
      R"({"code":"U","name":"u","formula":[{"material":"resin","parts":"1","tolerance":"0.6 %"}],"target_density":"1.2 g/cm3","mix_mass":"60 kg","loss":"2 %","loss_basis":"pad","mixing_minutes":8})");
  plant.issue("compound", compound, "again");
  plant.issue(
      "machine",
      R"({"code":"O","name":"","class":"oven","channels":[{"name":"1","role":"record","sensor_tolerance":"2.5 K"}]})");
  plant.issue("machine", R"({"code":"M","name":"mixer","class":"mixer"})");
  plant.issue(
      "gauge",
      R"({"code":"G","name":"Härte","unit":"{HRR}","resolution":"0.5 {HRR}","standard_uncertainty":"0.30 {HRR}","calibration_due":"2030-01-01","calibration":"K-1","daily_check":{"reference":"block 84.6 HRR","nominal":"84.6 {HRR}","tolerance":"1 {HRR}"}})");
  plant.issue(
      "gauge",
      R"({"code":"F","name":"f","unit":"1","resolution":"0.001","calibration_due":"2030-01-01","calibration":"-"})");
  plant.issue(
      "part",
      R"({"code":"MF-1","name":"pad","compound":"C","plate":"plate","adhesive":"glue","plate_thickness":"5.0 mm","friction_area":"45 cm2","bond_area":"47.2 cm2","pad_volume":"48 cm3","friction_thickness":"11 mm","underlayer":{"compound":"U","volume":"8.0 cm3","thickness":"2 mm"},"plan":"CP","route":[{"step":"plates"},{"step":"cure","programme":"P"},{"step":"finish","operations":["print"],"windows":[{"since":"cure","at_most":"8 h"}]}],"set":{"pads":4,"length":"1 m","width":"2 cm","height":"3 mm","clearance":"0 mm"},"markings":[{"marking":"T-1","operation":"print"}],"customers":["A, \"B\" & Sons"],"other_customers":true})");
  plant.issue(
      "approval",
      R"({"code":"T-1","kind":"type approval","by":"the authority","parts":["MF-1"],"compounds":[{"compound":"C","issue_from":1,"issue_to":2}],"plates":["plate"],"adhesives":["glue"],"plants":["here"],"valid_from":"2026-01-01","valid_until":"2030-12-31","withdrawn_from":"2029-01-01"})");
  plant.issue("layout", R"({"code":"L","name":"l","mapping":{"columns":[1,2],"unit":"Cel"}})");
  plant.issue(
      "numbering",
      R"({"code":"sscc","name":"c","company_prefix":"0952123","first_serial":7,"source":"GS1 prefix 952, for examples"})");
  plant.issue("place", R"({"code":"A-03-2","name":"-"})");
  plant.issue(
      "kinetics",
      R"j({"code":"K-C","name":"k","compound":"C","model":"Kamal","plain":{"factor":"1000 /s","energy":"80 kJ/mol"},"autocatalytic":{"factor":"2000 /min","energy":"60 kJ/mol"},"m":"0.8","n":"1.20","diffusion":{"steepness":"30","critical_at_zero":"-1","critical_per_kelvin":"0.004 /K"},"start":"0.1","valid_from":"100 Cel","valid_to":"210 Cel","heat":"200 J/g","binder":"8 %","rate_u":"3 %","heat_u":"10 %","source":"a report"})j");
  plant.issue(
      "survey",
      R"({"code":"S-O","name":"s","oven":"O","surveyed":"2026-01-02","age_limit_days":90,"set_point":"180 Cel","uniformity":"5 K","places":[{"tier":1,"position":1,"channel":"1","offset":"-2.0 K","u":"0.5 K"},{"tier":2,"position":1,"channel":"1","offset":"1 K","u":"0.5 K"}],"source":"report, 7"})");
  plant.issue(
      "stacking",
      R"j({"code":"ST-O","name":"s","oven":"O","pads_in_stack":12,"steel":{"density":"7850 kg/m3","conductivity":"50 W/(m.K)","capacity":"480 J/(kg.K)","source":"a handbook"},"friction":[{"compound":"C","properties":{"density":"2500 kg/m3","conductivity":"1.2 W/(m.K)","capacity":"1000 J/(kg.K)","conductivity_slope":"0.001 /K","source":"own"}}],"film_ends":"60 W/(m2.K)","film_sides":"120 W/(m2.K)","start":"25 Cel","film_u":"10 %","joint_u":"20 %","conductivity_u":"5 %","capacity_u":"3 %","source":"a trial"})j");
  plant.done(
      "lot receive",
      R"({"lot":"R-1","material":"resin","supplier":"a, b","supplier_lot":"007","quantity":"500.0 kg","use_by":"2027-01-31","density":"1.28 g/cm3","certificate":{"moisture":"0.4 %"},"remark":{"why":"late lorry"}})");
  plant.done(
      "lot receive",
      R"({"lot":"G-1","material":"glue","supplier":"","supplier_lot":"","quantity":"20 kg"})");
}

std::vector<ExportFile> everything(Plant& plant, const std::string& format) {
  Result<std::vector<ExportFile>> files = service::exportAll(plant.house(), format);
  REQUIRE(files);
  return std::move(*files);
}

std::string kindOf(const ExportFile& file) { return file.name.substr(3, file.name.find('.') - 3); }

std::int64_t numberIn(const Value& preview, std::string_view name) {
  return *preview[name].asInteger();
}

}  // namespace

TEST_CASE("there and back: an empty record takes the export and gives the same again") {
  for (const std::string format : {"csv", "json"}) {
    CAPTURE(format);
    Plant first("export-a"), second("export-b");
    fill(first);
    const std::vector<ExportFile> away = everything(first, format);
    CHECK(away.size() == service::importOrder().size());
    for (const ExportFile& file : away) {
      const Value taken = second.take(kindOf(file), format, file.bytes);
      CAPTURE(prettyJson(taken));
      CHECK(numberIn(taken, "wrong") == 0);
    }
    const std::vector<ExportFile> back = everything(second, format);
    REQUIRE(back.size() == away.size());
    for (std::size_t i = 0; i < away.size(); ++i) {
      CHECK(back[i].name == away[i].name);
      CHECK(back[i].bytes == away[i].bytes);
    }
    // What a person would see: the nouns themselves, and that a second import has nothing to do.
    for (const ExportFile& file : everything(first, format == "csv" ? "json" : "csv")) {
      const Value again = second.take(kindOf(file), format == "csv" ? "json" : "csv", file.bytes);
      CAPTURE(prettyJson(again));
      CHECK(numberIn(again, "recordable") == 0);
      for (const Value& row : *again["rows"].asArray()) CHECK(row.text("word") == "same");
    }
  }
}

TEST_CASE("an export says what counts now, and brings neither history nor keys") {
  Plant plant("export-c");
  fill(plant);
  const std::string compounds = *service::exportKind(plant.house(), "compound", "json");
  CHECK(parseJson(compounds)->asArray()->size() == 2);
  CHECK(compounds.find("again") == std::string::npos);
  plant.done("place issue",
             R"({"noun":{"code":"A-03-2","name":"later"},"effective":"2099-01-01","why":"moves"})");
  plant.done("place issue",
             R"({"noun":{"code":"B","name":"new"},"effective":"2099-01-01","why":""})");
  CHECK(*service::exportKind(plant.house(), "place", "csv") == "code,name\r\nA-03-2,'-\r\n");
  CHECK(service::exportKind(plant.house(), "person", "csv")->find("public_key") ==
        std::string::npos);
  const std::string lots = *service::exportKind(plant.house(), "lot", "json");
  CHECK(lots.find("late lorry") == std::string::npos);
  CHECK(lots.find("\"use_by\": \"2027-01-31\"") != std::string::npos);
  CHECK(service::exportKind(plant.house(), "batch", "csv").error().code == "noun.unknown_kind");
  CHECK(service::exportKind(plant.house(), "part", "xml").error().code == "noun.format");
  CHECK(service::exportAll(plant.house(), "xml").error().code == "noun.format");
}

TEST_CASE("every kind that is issued can be exported, in an order that can be imported") {
  for (const act::Kind& kind : act::kinds()) {
    const std::string name(kind.name);
    if (!name.ends_with(" issue") || name == "paper issue") continue;
    const std::string noun = name.substr(0, name.find(' '));
    CAPTURE(noun);
    CHECK(std::count(service::importOrder().begin(), service::importOrder().end(), noun) == 1);
  }
}

TEST_CASE("people keep the key they have here; whoever is not here must be made first") {
  Plant first("export-d"), second("export-e");
  first.addPerson("two");
  first.addPerson("three");
  const std::string people = *service::exportKind(first.house(), "person", "csv");
  second.addPerson("two");
  const Value missing = second.take("person", "csv", people);
  CHECK(numberIn(missing, "wrong") == 1);
  CHECK(missing["done"].isNull());
  second.addPerson("three");
  CHECK(numberIn(second.take("person", "csv", people), "wrong") == 0);
  CHECK(*service::exportKind(second.house(), "person", "csv") == people);
  const std::string foreign =
      R"([{"number":2,"duty":"x","public_key":")" + std::string(64, 'a') + R"(","permits":[]}])";
  const Value other = second.take("person", "json", foreign);
  REQUIRE(numberIn(other, "wrong") == 1);
  CHECK((*other["rows"].asArray())[0]["problem"].text("code") == "person.other_key");
}

TEST_CASE("a lot that is on record otherwise, and a word that is no yes or no, are wrong rows") {
  Plant plant("export-f");
  fill(plant);
  const Value lot = plant.take("lot", "csv",
                               "lot,material,supplier,supplier_lot,quantity\nR-1,resin,a,b,1 kg\n"
                               "R-2,resin,a,b,1 kg\n");
  CHECK(numberIn(lot, "wrong") == 1);
  CHECK(numberIn(lot, "recordable") == 1);
  CHECK(lot["done"].isNull());
  std::string parts = *service::exportKind(plant.house(), "part", "csv");
  parts.replace(parts.rfind(",yes"), 4, ",perhaps");
  const Value part = plant.take("part", "csv", parts);
  REQUIRE(numberIn(part, "wrong") == 1);
  CHECK((*part["rows"].asArray())[0]["problem"].text("code") == "value.wrong_type");
}
