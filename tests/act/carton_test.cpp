/// From the box to the lorry: a box is in one carton, a carton in one place, and what has left is
/// gone.
#include "platemark/plant/carton.h"

#include "act/plant_fixture.h"
#include "platemark/plant/sscc.h"

namespace platemark::test {
namespace {

std::string list(const std::vector<std::string>& ids) {
  std::string text;
  for (const std::string& id : ids) text += (text.empty() ? "\"" : ",\"") + id + "\"";
  return "[" + text + "]";
}

/// The fixture's plant with a company prefix of the range for examples, two places, and a released
/// batch of boxes.
struct Store : Plant {
  Store() {
    done("numbering issue", numbering());
    for (const std::string place : {"A-1", "B-2"})
      done("place issue", R"({"noun":{"code":")" + place + R"(","name":"rack"},"why":""})");
    batch_id = batchUpTo("released");
    for (int i = 0; i < 3; ++i) boxes.push_back(box(batch_id, 4));
  }
  static std::string numbering(const std::string& first = "1", const std::string& why = "") {
    return R"({"noun":{"code":"sscc","name":"cartons","company_prefix":"9521234","first_serial":)" +
           first + R"(,"source":"GS1 prefix 952, for examples"},"why":")" + why + R"("})";
  }
  static std::string packInput(const std::vector<std::string>& ids,
                               const std::string& remark = "{}") {
    return R"({"boxes":)" + list(ids) + R"(,"remark":)" + remark + "}";
  }
  std::string carton(const std::vector<std::string>& ids) {
    const Sequence packed = done("carton pack", packInput(ids));
    return store->read()->fact(packed)->body.text("carton");
  }
  static std::string storeInput(const std::string& carton, const std::string& place,
                                const std::string& remark = "{}") {
    return R"({"carton":")" + carton + R"(","place":")" + place + R"(","remark":)" + remark + "}";
  }
  static std::string takeInput(const std::string& carton, const std::string& remark = "{}") {
    return R"({"carton":")" + carton + R"(","remark":)" + remark + "}";
  }
  static std::string shipInput(const std::vector<std::string>& cartons,
                               const std::vector<std::string>& loose = {},
                               const std::string& remark = "{}") {
    return R"({"customer":"c","order":"1","boxes":)" + list(loose) + R"(,"cartons":)" +
           list(cartons) + R"(,"remark":)" + remark + "}";
  }
  std::vector<std::string> standsIn(const std::string& place) {
    return ledger::stateAs<PlaceState>(*store->read(), projection::stored, place)
        .value_or(PlaceState{})
        .cartons;
  }
  std::string cartonOf(const std::string& box_id) {
    return state<BoxState>(projection::box, box_id).carton;
  }

  std::string batch_id;
  std::vector<std::string> boxes;
};

}  // namespace

TEST_CASE("cartons get codes of the plant's own prefix, one after the other") {
  Store plant;
  const std::string first = plant.carton({plant.boxes[0]}), second = plant.carton({plant.boxes[1]});
  CHECK(first == *ssccNumber(0, "9521234", 1));
  CHECK(second == *ssccNumber(0, "9521234", 2));
  CHECK(*readSscc(first) == first);
  CHECK(plant.cartonOf(plant.boxes[0]) == first);
  const CartonState state = plant.state<CartonState>(projection::carton, first);
  CHECK(state.packed_by == 1);
  CHECK(state.boxes == std::vector{plant.boxes[0]});

  // A numbering that would give a code a second time gives none.
  plant.done("numbering issue", Store::numbering("0", "began anew"));
  checkCode(plant.ask("carton pack", Store::packInput({plant.boxes[2]})), "carton.known");
}

TEST_CASE("a carton needs its boxes, a numbering, and no box twice") {
  Store plant;
  checkCode(plant.ask("carton pack", Store::packInput({})), "carton.empty");
  checkCode(plant.ask("carton pack", Store::packInput({plant.boxes[0], plant.boxes[0]})),
            "carton.doubled");
  checkCode(plant.ask("carton pack", Store::packInput({"X-999999"})), "box.unknown");
  Plant without;
  const std::string box = without.box(without.batchUpTo("released"));
  checkCode(without.ask("carton pack", Store::packInput({box})), "numbering.not_one");
  for (const std::string bad : {"95", "952123A", "9521234567890"})
    checkCode(
        plant.ask("numbering issue", R"({"noun":{"code":"x","name":"x","company_prefix":")" + bad +
                                         R"(","first_serial":1,"source":"GS1"},"why":""})"),
        "sscc.prefix");
  checkCode(
      plant.ask("numbering issue", R"({"noun":{"code":"x","name":"x","company_prefix":"9521234",)"
                                   R"("first_serial":1,"source":""},"why":""})"),
      "numbering.no_source");
}

TEST_CASE("a box lies in one carton; one that has left is not packed again") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0], plant.boxes[1]});
  checkRefused(plant.ask("carton pack", Store::packInput({plant.boxes[1]})),
               "lies in carton " + carton);
  plant.done("shipment send", Store::shipInput({carton}));
  checkRefused(plant.ask("carton pack", Store::packInput({plant.boxes[0]})), "left with shipment");
  CHECK(plant.batch(plant.batch_id).shipped == 8);
  checkRefused(plant.ask("shipment send", Store::shipInput({carton})), "left with shipment");
}

TEST_CASE("it has happened all the same: kept with its reason, and the batch is held") {
  Store plant;
  const std::string first = plant.carton({plant.boxes[0], plant.boxes[1]});
  plant.done("carton pack",
             Store::packInput({plant.boxes[1]}, R"({"why":"the first carton tore"})"));
  const std::string second = plant.cartonOf(plant.boxes[1]);
  CHECK(second != first);
  CHECK(plant.batch(plant.batch_id).holds.size() == 1);
  // The box is sent once, with the carton that has it now.
  plant.done("shipment send", Store::shipInput({first, second}, {}, R"({"why":"on the lorry"})"));
  CHECK(plant.batch(plant.batch_id).shipped == 8);
}

TEST_CASE("a carton of a batch on hold is neither packed nor sent") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0]});
  plant.done("hold place", R"({"subject":{"kind":"batch","id":")" + plant.batch_id +
                               R"("},"why":"a complaint"})");
  checkRefused(plant.ask("carton pack", Store::packInput({plant.boxes[1]})), "a complaint");
  checkRefused(plant.ask("shipment send", Store::shipInput({carton})), "a complaint");
}

TEST_CASE("the wrong boxes reported: corrected, and free again") {
  Store plant;
  const Sequence packed =
      plant.done("carton pack", Store::packInput({plant.boxes[0], plant.boxes[1]}));
  const std::string carton = plant.cartonOf(plant.boxes[0]);
  const std::string remark =
      R"({"corrects":)" + std::to_string(packed) + R"(,"why":"scanned the box beside it"})";
  plant.done("carton pack", Store::packInput({plant.boxes[0], plant.boxes[2]}, remark));
  CHECK(plant.cartonOf(plant.boxes[0]) == carton);
  CHECK(plant.cartonOf(plant.boxes[1]).empty());
  CHECK(plant.cartonOf(plant.boxes[2]) == carton);
  checkCode(plant.ask("carton pack", Store::packInput({plant.boxes[1]}, remark)),
            "correction.mended");
  checkCode(plant.ask("carton pack",
                      Store::packInput({plant.boxes[1]}, R"({"corrects":1,"why":"no carton"})")),
            "correction.other_kind");
  // A correction takes no new number.
  CHECK(plant.carton({plant.boxes[1]}) == *ssccNumber(0, "9521234", 2));

  plant.done("shipment send", Store::shipInput({carton}));
  const Sequence mended =
      plant.store->read()->factsOf({"carton", carton}, packed, 1).front().sequence;
  checkCode(plant.ask("carton pack", Store::packInput({plant.boxes[0]},
                                                      R"({"corrects":)" + std::to_string(mended) +
                                                          R"(,"why":"too late"})")),
            "carton.left");
}

TEST_CASE("a carton stands in one place, until it is taken or sent") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0]});
  checkRefused(plant.ask("carton take", Store::takeInput(carton)), "does not stand in the store");
  checkCode(plant.ask("carton store", Store::storeInput(carton, "Z-9")), "place.unknown");
  checkCode(plant.ask("carton store", Store::storeInput("376104250021234569", "A-1")),
            "carton.unknown");
  checkCode(plant.ask("carton store", Store::storeInput("376104250021234568", "A-1")),
            "sscc.check");

  const Sequence stored = plant.done("carton store", Store::storeInput("(00)" + carton, "A-1"));
  CHECK(plant.standsIn("A-1") == std::vector{carton});
  plant.done("carton store", Store::storeInput(carton, "B-2",
                                               R"({"corrects":)" + std::to_string(stored) +
                                                   R"(,"why":"the other rack"})"));
  CHECK(plant.standsIn("A-1").empty());
  CHECK(plant.standsIn("B-2") == std::vector{carton});
  plant.done("carton take", Store::takeInput(carton));
  CHECK(plant.standsIn("B-2").empty());
  plant.done("carton store", Store::storeInput(carton, "A-1"));
  plant.done("shipment send", Store::shipInput({carton}));
  CHECK(plant.standsIn("A-1").empty());
  checkRefused(plant.ask("carton store", Store::storeInput(carton, "A-1")), "left with shipment");
  CHECK(plant.state<CartonState>(projection::carton, carton).place().empty());
}

TEST_CASE("a shipment takes cartons and loose boxes, and none of them twice") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0], plant.boxes[1]});
  checkCode(plant.ask("shipment send", Store::shipInput({})), "shipment.empty");
  checkCode(plant.ask("shipment send", Store::shipInput({carton, carton})), "shipment.doubled");
  checkRefused(plant.ask("shipment send", Store::shipInput({}, {plant.boxes[0]})),
               "lies in carton " + carton);
  const Sequence sent = plant.done("shipment send", Store::shipInput({carton}, {plant.boxes[2]}));
  const Result<Shipped> shipped = fromValue<Shipped>(plant.store->read()->fact(sent)->body);
  REQUIRE(bool(shipped));
  CHECK(shipped->boxes == std::vector{plant.boxes[2], plant.boxes[0], plant.boxes[1]});
  CHECK(shipped->cartons == std::vector{carton});
  CHECK(plant.batch(plant.batch_id).shipped == 12);
  CHECK(plant.store->read()->factsOf({"carton", carton}, 0, 10).size() == 2);
}

TEST_CASE("a shipment corrected: the carton that did not leave stands where it stood") {
  Store plant;
  const std::string one = plant.carton({plant.boxes[0]}), other = plant.carton({plant.boxes[1]});
  plant.done("carton store", Store::storeInput(other, "A-1"));
  const Sequence sent = plant.done("shipment send", Store::shipInput({one, other}));
  CHECK(plant.standsIn("A-1").empty());
  plant.done("shipment send", Store::shipInput({one}, {},
                                               R"({"corrects":)" + std::to_string(sent) +
                                                   R"(,"why":"one carton stayed on the ramp"})"));
  CHECK(plant.standsIn("A-1") == std::vector{other});
  CHECK(plant.state<CartonState>(projection::carton, other).shipment.empty());
  CHECK_FALSE(plant.state<CartonState>(projection::carton, one).shipment.empty());
  CHECK(plant.batch(plant.batch_id).shipped == 4);
  plant.done("shipment send", Store::shipInput({other}));
  CHECK(plant.batch(plant.batch_id).shipped == 8);
}

TEST_CASE("places and numberings are issued, and a new issue says why") {
  Store plant;
  checkCode(plant.ask("place issue", R"({"noun":{"code":"A-1","name":"another rack"},"why":""})"),
            "issue.why_missing");
  checkCode(plant.ask("place issue", R"({"noun":{"code":"A/1","name":"x"},"why":""})"), "code.bad");
}

TEST_CASE("a carton that nobody packed is found nowhere, and the place in the input is named") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0]});
  const std::string none = *ssccNumber(0, "9521234", 77);
  const auto at = [](const Result<ledger::Receipt>& answer) {
    checkCode(answer, "carton.unknown");
    return answer.error().where.field;
  };
  CHECK(at(plant.ask("carton store", Store::storeInput(none, "A-1"))) == "carton");
  CHECK(at(plant.ask("carton take", Store::takeInput(none))) == "carton");
  CHECK(at(plant.ask("shipment send", Store::shipInput({carton, none}))) == "cartons[1]");
  const auto twice = plant.ask("shipment send", Store::shipInput({carton, carton}));
  checkCode(twice, "shipment.doubled");
  CHECK(twice.error().where.field == "cartons[1]");
}

TEST_CASE("a carton's moves are corrected by their own kind, and name the place it left") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0]});
  const Sequence stored = plant.done("carton store", Store::storeInput(carton, "A-1"));
  const auto mends = [](Sequence fact) {
    return R"({"corrects":)" + std::to_string(fact) + R"(,"why":"misread"})";
  };
  checkCode(plant.ask("carton take", Store::takeInput(carton, mends(stored))),
            "correction.other_kind");
  const Sequence taken = plant.done("carton take", Store::takeInput(carton));
  const std::vector<Subject> subjects = plant.store->read()->fact(taken)->subjects;
  CHECK(subjects == std::vector<Subject>{{"carton", carton}, {"place", "A-1"}});
  checkRefused(plant.ask("carton take", Store::takeInput(carton)), "does not stand in the store");
  // It stands nowhere now, and the report of its taking may be mended all the same.
  CHECK(bool(plant.ask("carton take", Store::takeInput(carton, mends(taken)))));
}

TEST_CASE("a carton is sent once, and not empty") {
  Store plant;
  const std::string carton = plant.carton({plant.boxes[0], plant.boxes[1]});
  const std::string reason = R"({"why":"the first was torn"})";
  const std::string over = plant.carton({plant.boxes[2]});
  plant.done("shipment send", Store::shipInput({over}));
  checkRefused(plant.ask("shipment send", Store::shipInput({over})),
               "Carton " + over + " left with shipment");
  const auto moved =
      plant.ask("carton pack", Store::packInput({plant.boxes[0], plant.boxes[1]}, reason));
  REQUIRE(bool(moved));
  checkRefused(plant.ask("shipment send", Store::shipInput({carton})),
               "Carton " + carton + " holds no box");
}

TEST_CASE("what holds a batch is said once for all its boxes") {
  Store plant;
  plant.done("hold place",
             R"({"subject":{"kind":"batch","id":")" + plant.batch_id + R"("},"why":"it fell"})");
  for (const auto& answer : {plant.ask("carton pack", Store::packInput(plant.boxes)),
                             plant.ask("shipment send", Store::shipInput({}, plant.boxes))}) {
    REQUIRE_FALSE(bool(answer));
    CHECK(missingWords(answer.error()).find("it fell") ==
          missingWords(answer.error()).rfind("it fell"));
  }
}

}  // namespace platemark::test
