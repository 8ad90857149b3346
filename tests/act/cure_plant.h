/// The fixture's plant with an oven that is surveyed, kinetics of its compound and a plan that asks
/// for a degree of cure. All numbers are invented.
#pragma once

#include "act/plant_fixture.h"

namespace platemark::test {

struct CurePlant : Plant {
  explicit CurePlant(const std::string& folder = "") : Plant(folder) {
    done("machine issue", oven());
    done("survey issue", survey());
    done("stacking issue", stacking());
    done("kinetics issue", kinetics());
    done("plan issue", plan());
    done("programme issue", reworkCure());
  }

  static std::string noun(const std::string& body, const std::string& why = "new") {
    return R"({"noun":)" + body + R"(,"why":")" + why + R"("})";
  }
  static std::string oven(const std::string& due = "2026-12-31") {
    std::string channels;
    for (const std::string name : {"upper", "lower"})
      channels += std::string(channels.empty() ? "" : ",") + R"({"name":")" + name +
                  R"(","role":"record","sensor":{"type":"K","class":1},"calibrated":"2026-01-01",)"
                  R"("calibration_due":")" +
                  due + R"(","calibration":"C-7"})";
    return noun(R"({"code":"O-1","name":"Oven 1","class":"oven","drift_limit":"2 K","channels":[)" +
                channels + "]}");
  }
  static std::string survey(const std::string& surveyed = "2026-02-01", int days = 90,
                            const std::string& offset = "-1.5 K") {
    return noun(
        R"({"code":"S-1","name":"survey","oven":"O-1","surveyed":")" + surveyed +
        R"(","age_limit_days":)" + std::to_string(days) +
        R"(,"set_point":"180 Cel","uniformity":"5 K","source":"report 7","places":[)"
        R"({"tier":1,"position":1,"channel":"lower","offset":")" +
        offset +
        R"(","u":"0.5 K"},{"tier":2,"position":1,"channel":"upper","offset":"1 K","u":"0.5 K"}]})");
  }
  static std::string stacking() {
    const std::string steel =
        R"j({"density":"7850 kg/m3","conductivity":"50 W/(m.K)","capacity":"480 J/(kg.K)","source":"a handbook"})j";
    const std::string friction =
        R"j({"density":"2500 kg/m3","conductivity":"1.2 W/(m.K)","capacity":"1000 J/(kg.K)","source":"own laboratory"})j";
    return noun(
        R"j({"code":"ST-1","name":"stacks","oven":"O-1","pads_in_stack":12,"end_plate":"10 mm","steel":)j" +
        steel + R"j(,"friction":[{"compound":"C-1","properties":)j" + friction +
        R"j(}],"film_ends":"60 W/(m2.K)","film_sides":"120 W/(m2.K)","joint":"500 W/(m2.K)",)j"
        R"j("start":"25 Cel","film_u":"10 %","joint_u":"20 %","conductivity_u":"5 %","capacity_u":"3 %","source":"a trial"})j");
  }
  /// One activation energy; 0.03 /min at 180 °C.
  static std::string kinetics(const std::string& why = "new") {
    return noun(
        R"({"code":"K-1","name":"C-1","compound":"C-1","model":"n-th order","plain":{"factor":"50000000 /min","energy":"80 kJ/mol"},)"
        R"("n":"1","start":"0.1","valid_from":"20 Cel","valid_to":"200 Cel","heat":"200 J/g","binder":"8 %","rate_u":"3 %","heat_u":"10 %","source":"calorimeter, report 12"})",
        why);
  }
  static std::string planLine(const std::string& name, const std::string& method,
                              const std::string& output, const std::string& limit,
                              const std::string& samples = "1") {
    return R"({"characteristic":")" + name + R"(","words":")" + name +
           R"(","gate":"cure","method":")" + method + R"(","output":")" + output +
           R"(","statistic":"each","samples":)" + samples + R"(,"limits":[{)" + limit +
           R"(,"source":{"document":"works","confirmed":true}}],"who":"laboratory technician","reactions":["rework"]})";
  }
  static std::string plan() {
    return noun(R"({"code":"CP-1","name":"pads","rework_loops":1,"lines":[)" +
                planLine("shear", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")", "2") +
                "," + planLine("soak", "cure.chart", "soak", R"("lower":"100 min")") + "," +
                planLine("degree", "cure.load", "least_degree", R"("lower":"95 %")") + "," +
                planLine("hottest pad", "cure.load", "hottest", R"("upper":"190 Cel")") + "]}");
  }
  static std::string reworkCure() {
    return noun(
        R"({"code":"P-180R","name":"180 again","segments":[{"target":"180 Cel","tolerance":"5 K","ramp":"2 K/min","soak_minutes":60}],"longest_gap":"5 min","load_in_below":"60 Cel","adds_to_earlier":true})");
  }
  void adopt(int issue = 1) {
    const auto adopted = sign("kinetics adopt", adoption(issue));
    REQUIRE_MESSAGE(bool(adopted), (adopted ? "" : describe(adopted.error())));
  }
  static std::string adoption(int issue = 1) {
    return R"({"kinetics":"K-1","issue":)" + std::to_string(issue) +
           R"(,"document_read":"report 12, page 3","why":"measured here"})";
  }
};

}  // namespace platemark::test
