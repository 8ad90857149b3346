/// Sets and the boxes they go into: the counts of pads and sets must fit each other and the box.
#include "act/plant_fixture.h"

namespace platemark::test {
namespace {

/// The fixture's plant whose part is sold in sets of four, with two sizes of boxes.
struct Packing : Plant {
  Packing() {
    done("material issue", box("BX-S", "180 mm", "130 mm", "75 mm"));
    done("material issue", box("BX-M", "300 mm", "180 mm", "140 mm"));
    done("part issue", part(R"({"pads":4,"length":"160 mm","width":"120 mm","height":"70 mm",)"
                            R"("clearance":"2 mm"})"));
    batch_id = batchUpTo("released");
  }
  static std::string box(const std::string& code, const std::string& l, const std::string& w,
                         const std::string& h, const std::string& of = "box") {
    return R"({"noun":{"code":")" + code + R"(","name":"box","class":")" + of +
           R"(","inside":{"length":")" + l + R"(","width":")" + w + R"(","height":")" + h +
           R"("}},"why":""})";
  }
  static std::string part(const std::string& set) {
    return R"({"noun":{"code":"MF-1","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[{"step":"plates"},{"step":"mix"},{"step":"press"},{"step":"clamp"},{"step":"cure","programme":"P-180"},
    {"step":"sample"},{"step":"finish","operations":["grind"]},{"step":"pack"},{"step":"ship"}],"set":)" +
           set + R"(},"why":"sets"})";
  }
  std::string input(int pads, int sets, const std::string& size, const std::string& why = "{}") {
    return R"({"batch":")" + batch_id + R"(","pads":)" + std::to_string(pads) + R"(,"sets":)" +
           std::to_string(sets) + (size.empty() ? "" : R"(,"size":")" + size + "\"") +
           R"(,"remark":)" + why + "}";
  }
  std::string batch_id;
};

}  // namespace

TEST_CASE("so many sets are so many pads") {
  Packing plant;
  checkRefused(plant.ask("box pack", plant.input(5, 1, "")), "1 sets of part MF-1 are 4 pads");
  checkRefused(plant.ask("box pack", plant.input(4, 2, "")), "2 sets of part MF-1 are 8 pads");
  const Sequence packed = plant.done("box pack", plant.input(8, 2, "BX-M"));
  const Result<BoxPacked> box = fromValue<BoxPacked>(plant.store->read()->fact(packed)->body);
  REQUIRE(bool(box));
  CHECK(box->size == "BX-M");
  plant.done("box pack", plant.input(3, 1, "", R"({"why":"one fell, and was sold as it was"})"));
  CHECK(plant.batch(plant.batch_id).holds.size() == 1);
}

TEST_CASE("a box takes no more sets than go in") {
  Packing plant;
  checkRefused(plant.ask("box pack", plant.input(8, 2, "BX-S")), "Box BX-S holds 1 sets");
  plant.done("box pack", plant.input(4, 1, "BX-S"));
  plant.done("box pack", plant.input(16, 4, "BX-M"));
  checkRefused(plant.ask("box pack", plant.input(20, 5, "BX-M")), "Box BX-M holds 4 sets");
  checkCode(plant.ask("box pack", plant.input(4, 1, "BX-L")), "material.unknown");
  checkCode(plant.ask("box pack", plant.input(4, 1, "resin")), "box.size");
}

TEST_CASE("edges of boxes and sets are lengths above zero") {
  Packing plant;
  checkCode(plant.ask("material issue", Packing::box("BX-9", "0 mm", "1 mm", "1 mm")),
            "value.not_positive");
  checkCode(plant.ask("material issue", Packing::box("BX-9", "1 N", "1 mm", "1 mm")),
            "unit.wrong_kind");
  checkCode(plant.ask("material issue", Packing::box("BX-9", "1 mm", "1 mm", "1 mm", "coating")),
            "material.inside");
  const auto set = [&](const std::string& pads, const std::string& width, const std::string& free) {
    return plant.ask("part issue",
                     Packing::part(R"({"pads":)" + pads + R"(,"length":"160 mm","width":")" +
                                   width + R"(","height":"70 mm","clearance":")" + free + R"("})"));
  };
  CHECK(bool(set("4", "120 mm", "0 mm")));
  checkCode(set("0", "120 mm", "2 mm"), "set.pads");
  checkCode(set("4", "-120 mm", "2 mm"), "value.not_positive");
  checkCode(set("4", "120 mm", "-2 mm"), "value.negative");
}

TEST_CASE("a box without a room on file, or a part without sets, is not measured against") {
  Packing plant;
  plant.done("material issue", R"({"noun":{"code":"BX-0","name":"box","class":"box"},"why":""})");
  CHECK(bool(plant.ask("box pack", plant.input(4, 1, "BX-0"))));
  Plant other;
  other.done("material issue", Packing::box("BX-S", "180 mm", "130 mm", "75 mm"));
  const std::string batch = other.batchUpTo("released");
  CHECK(bool(other.ask("box pack", R"({"batch":")" + batch +
                                       R"(","pads":30,"sets":30,"size":"BX-S","remark":{}})")));
}

}  // namespace platemark::test
