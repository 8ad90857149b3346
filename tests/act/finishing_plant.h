/// The fixture's plant with pads that get shims, clips, powder, print and paint spots.
#pragma once

#include "act/plant_fixture.h"

namespace platemark::test {

inline std::string planLine(const std::string& name, const std::string& gate,
                            const std::string& method, const std::string& output,
                            const std::string& limit, const std::string& more = "") {
  return R"({"characteristic":")" + name + R"(","words":")" + name + R"(","gate":")" + gate +
         R"(","method":")" + method + R"(","output":")" + output +
         R"(","statistic":"each","samples":1,"limits":[{)" + limit +
         R"(,"source":{"document":"Card of the powder","edition":"1","confirmed":true}}],)" +
         R"("who":"finishing crew","reactions":["scrap"])" + more + "}";
}

inline std::string nounOf(const std::string& body) {
  return R"({"noun":)" + body + R"(,"why":"finishing"})";
}

inline std::string materialOf(const std::string& code, const std::string& of_class,
                              const std::string& more = "") {
  return nounOf(R"({"code":")" + code + R"(","name":")" + code + R"(","class":")" + of_class +
                R"(","plan":"CP-lot")" + more + "}");
}

/// One part: "MF-1" at its next issue, with this finish step.
inline std::string partWith(const std::string& finish_step) {
  return nounOf(
      R"({"code":"MF-1","name":"pad","compound":"C-1","plate":"plate-1","adhesive":"glue-1","plate_thickness":"5 mm","friction_area":"45 cm2","bond_area":"47.2 cm2",
    "pad_volume":"48 cm3","friction_thickness":"11 mm","plan":"CP-1","route":[{"step":"plates"},{"step":"mix"},{"step":"press"},{"step":"clamp"},{"step":"cure","programme":"P-180"},
    {"step":"sample"},{"step":"finish",)" +
      finish_step + R"(},{"step":"pack"},{"step":"ship"}]})");
}

inline const std::string all_needs =
    R"("operations":["grind","shim","clip","coat","print","spot"],"needs":[)"
    R"({"operation":"shim","materials":[{"material":"shim-9","pieces":1}]},)"
    R"({"operation":"clip","materials":[{"material":"clip-4","pieces":2}]},)"
    R"({"operation":"coat","materials":[{"material":"powder-1"}],"bake":"PB-200"},)"
    R"({"operation":"print","materials":[{"material":"ink-1"}],"print":"MF-1 {batch}"},)"
    R"({"operation":"spot","spots":[{"place":"left edge","threshold":"430 Cel","material":"paint-430"},)"
    R"({"place":"right edge","threshold":"560 Cel","material":"paint-560"}]}])";

struct FinishingPlant : Plant {
  explicit FinishingPlant(const std::string& folder = "", const std::string& plan_lines = "")
      : Plant(folder) {
    done(
        "plan issue",
        nounOf(
            R"({"code":"CP-1","name":"pads","lines":[)" +
            planLine("shear", "cure", "bench.shear", "shear_strength", R"("lower":"250 N/cm2")") +
            "," + planLine("flatness", "final", "statistics.summary", "max", R"("upper":"50 um")") +
            "," +
            planLine("bake-time", "final", "coat.bake", "time_at_least", R"("lower":"10 min")") +
            "," + planLine("bake-heat", "final", "coat.bake", "hottest", R"("upper":"220 Cel")") +
            plan_lines + "]}"));
    done("material issue", materialOf("shim-9", "shim"));
    done("material issue", materialOf("clip-4", "clip"));
    done("material issue", materialOf("powder-1", "coating"));
    done("material issue", materialOf("ink-1", "ink"));
    done("material issue", materialOf("paint-430", "thermal paint", R"(,"changes_at":"430 Cel")"));
    done("material issue", materialOf("paint-560", "thermal paint", R"(,"changes_at":"560 Cel")"));
    for (const auto& [lot, material] : {std::pair{"S-1", "shim-9"},
                                        {"C-1", "clip-4"},
                                        {"P-1", "powder-1"},
                                        {"K-1", "ink-1"},
                                        {"T-430", "paint-430"},
                                        {"T-560", "paint-560"}})
      clearedLot(lot, material);
    done("programme issue",
         nounOf(R"({"code":"PB-200","name":"powder","segments":[{"target":"205 Cel",)"
                R"("tolerance":"5 K","soak_minutes":10}],"longest_gap":"1 min",)"
                R"("load_in_below":"60 Cel"})"));
    done("part issue", partWith(all_needs));
  }

  static std::string report(const std::string& batch, const std::string& operation,
                            const std::string& more, const std::string& remark = "{}") {
    return R"({"batch":")" + batch + R"(","operation":")" + operation +
           R"(","machine":"grinder",)" + more + R"("counts":{"good":38},"remark":)" + remark + "}";
  }
  static std::string used(const std::string& id, const std::string& pieces = "") {
    return R"("lots":[{"lot":")" + id + "\"" + (pieces.empty() ? "" : R"(,"pieces":)" + pieces) +
           "}],";
  }
  static std::string spots(const std::string& left, const std::string& right) {
    return R"("spots":[{"place":"left edge","lot":")" + left +
           R"("},{"place":"right edge","lot":")" + right + R"("}],)";
  }
  static std::string bake(const std::string& batch, const std::string& readings,
                          const std::string& more = R"("hottest":"206 Cel",)",
                          const std::string& remark = "{}") {
    return R"({"batch":")" + batch + R"(","operation":"coat","machine":"O-1","pads":38,)" + more +
           R"("readings":)" + readings + R"(,"remark":)" + remark + "}";
  }
  static std::string readings(const std::string& metal, const std::string& time) {
    return R"([{"metal":")" + metal + R"(","time":")" + time + R"("}])";
  }

  /// Everything as the part asks but the operation named.
  std::string finishedBut(const std::string& left_out) {
    const std::string batch = batchUpTo("cure released");
    finish(batch);
    const auto unless = [&](const std::string& operation, const std::string& more) {
      if (operation != left_out) done("batch finish", report(batch, operation, more));
    };
    unless("shim", used("S-1", "38"));
    unless("clip", used("C-1", "80"));
    unless("coat", used("P-1"));
    unless("print", used("K-1") + R"("printed":"MF-1 )" + batch + R"(",)");
    unless("spot", spots("T-430", "T-560"));
    if (left_out != "coat" && left_out != "bake")
      done("bake enter", bake(batch, readings("200 Cel", "11 min")));
    return batch;
  }

  VerdictGiven judged(const std::string& batch) {
    const Sequence verdict = done("batch judge", R"({"batch":")" + batch + R"(","gate":"final"})");
    return *fromValue<VerdictGiven>(store->read()->fact(verdict)->body);
  }
};

/// Sentences of what is not inside.
inline std::string against(const VerdictGiven& verdict) {
  std::string text;
  for (const Finding& finding : verdict.findings)
    if (finding.word != FindingWord::inside)
      text += std::string(word(finding.word)) + ": " + finding.sentence + "\n";
  return text;
}

}  // namespace platemark::test
