#include "paper/papers.h"

namespace samples {

BatchHead batchHead() {
  BatchHead head;
  head.plant = "Marrowfen Friction Works";
  head.batch = "K7M4J-7";
  head.part = "MF-1041";
  head.part_words = "front disc brake pad, outer";
  head.compound_issue = "Heron 3, issue 14";
  head.counts = "2 400 plates stamped \u2212 4 scrapped \u2212 12 to the laboratory = 2 384 pads";
  head.control_plan = "issue 6";
  head.zone = "UTC+1 (Europe/Berlin)";
  head.issued = "2026-11-25 16:10";
  head.created = platemark::Instant::fromUnixMs(1795619400000);
  head.chain_head = "9f3c1a7be0d24586a1c77e90b25d4f6803c1e9aa57b8402d6f10c3e8d94b7a21";
  head.chain_head_short = "9f3c 1a7b e0d2";
  head.sequence = "48 213";
  head.program_version = "Platemark 0.1.0";
  return head;
}

ResultWords resultOf(StripInput strip, std::string detail, std::string n, std::string limit,
                     std::string source, std::string standing, std::string method) {
  ResultWords out;
  out.characteristic = strip.name;
  out.detail = std::move(detail);
  out.result = strip.result_words;
  if (!strip.uncertainty_words.empty()) out.result += " ± " + strip.uncertainty_words;
  out.result += "\u00a0" + strip.unit;
  out.n = std::move(n);
  out.limit = std::move(limit);
  out.source = std::move(source);
  out.standing = std::move(standing);
  out.method = std::move(method);
  out.strip = std::move(strip);
  return out;
}

StripInput inside(std::string name, std::string unit, double result, std::string words, double u,
                  std::string u_words, double low, std::string low_words, double high,
                  std::string high_words) {
  StripInput in;
  in.name = std::move(name);
  in.unit = std::move(unit);
  in.result = result;
  in.result_words = std::move(words);
  in.uncertainty = u;
  in.uncertainty_words = std::move(u_words);
  in.lower = StripLimit{low, std::move(low_words)};
  in.upper = StripLimit{high, std::move(high_words)};
  in.finding = Finding::inside;
  return in;
}

CertificateContent certificateContent() {
  CertificateContent content;
  content.head = batchHead();
  content.verdict = {
      "Conforms: all 6 characteristics of the final gate are inside their limits.",
      {"Cure gate: conforms; the least cured of 3 840 pads reached 0.973 against at least 0.950.",
       "Friction, hot: the limit was adopted by the plant on 2026-10-02; see below."}};
  StripInput shear = samples::shear();
  shear.readings = {421, 436, 452, 447, 430};
  shear.finding = Finding::inside;
  shear.uncertainty = 14;
  shear.uncertainty_words = "14";
  content.results = {
      resultOf(shear, "lowest of 5 pads", "5", "at least 320", "control plan, issue 6", "",
               "Shear of the bond, version 2"),
      resultOf(
          inside("Density", "g/cm³", 2.231, "2.231", 0.002, "0.002", 2.18, "2.180", 2.3, "2.300"),
          "lowest of 3 pads", "3", "2.180 to 2.300", "control plan, issue 6", "",
          "Density by immersion, version 3"),
      resultOf(samples::hardness(), "mean of 5 pads", "5", "60 to 95", "control plan, issue 6",
               "", "Hardness HRR, version 1"),
      resultOf(inside("Compressibility, cold", "µm", 126, "126", 5, "5", 80, "80", 150, "150"),
               "cycle 3, highest of 5 pads", "5", "80 to 150", "control plan, issue 6", "",
               "Compressibility, version 2"),
      resultOf(inside("Friction, normal", "", 0.403, "0.403", 0.010, "0.010", 0.36, "0.36", 0.46,
                      "0.46"),
               "", "3", "0.36 to 0.46", "registered for Heron 3", "",
               "Friction level, version 4"),
      resultOf(
          inside("Friction, hot", "", 0.371, "0.371", 0.012, "0.012", 0.32, "0.32", 0.44, "0.44"),
          "", "3", "0.32 to 0.44", "registered for Heron 3", "adopted 2026-10-02 by 0007",
          "Friction level, version 4"),
  };
  CureWords cure;
  cure.chart = samples::cure();
  cure.marked = {{1,
                  "Door open 23:21 to 23:24. Air fell 9 K and was back after 8 min. In the "
                  "calculation; changes nothing."},
                 {2,
                  "Channel 1 stood still 00:12 to 00:26 at 124.9 °C while the programme rose 16 K. "
                  "Not used for those 14 min."},
                 {3,
                  "Channel 2 not recorded 02:06 to 02:17, in the soak. From channel 1 it was never "
                  "below 171 °C. Costs at most 4 min."}};
  content.cure = cure;
  content.adopted = {{"Friction, hot: 0.32 to 0.44", "Approval file of Heron 3, edition 2, table 4",
                      "0007, quality manager", "2026-10-02 11:05"}};
  content.signatures = {
      {"results reviewed", "0042, laboratory", "2026-11-25 15:40", "5b1e 77c0 2a94 e3d8"},
      {"released for marking and dispatch", "0007, quality manager", "2026-11-25 16:08",
       "c40d 9e12 71fb 0a66"}};
  return content;
}

BatchRecordContent recordContent() {
  BatchRecordContent content;
  content.certificate = certificateContent();
  content.dispositions = {{"released", "2 384 pads, for marking and dispatch; fact 48 213",
                           "2026-11-25 16:08", "0007"}};
  content.steps = {
      {"2026-11-23 06:10", "Mixed", "3 mixes of 112.0 kg on mixer 2; spread of the mix 2.1 ± 0.7 %",
       "", "", "", "", "", ""},
      {"2026-11-23 08:30", "Pressed", "on plates P-0877, press 4, cavities 1 to 8; adhesive A-0219",
       "2 400", "2 400", "0", "0", "2 400 = 2 400", ""},
      {"2026-11-23 17:10", "Clamped", "15 clamps of 160 pads, 1.22 MPa", "2 400", "2 400", "0", "0",
       "2 400 = 2 400", ""},
      {"2026-11-23 21:40", "Cured", "oven North, load N-0412, programme P-180 issue 3, 7 h 18 min",
       "2 400", "2 400", "0", "0", "2 400 = 2 400",
       "Late: recorded 2026-11-24 08:02; the station had no network."},
      {"2026-11-24 05:22", "Unclamped", "4 chipped at the edge", "2 400", "2 396", "4", "0",
       "2 400 = 2 396 + 4", "Corrected by fact 47 988: scrap was entered as 3."},
      {"2026-11-24 06:35", "Sampled", "12 pads from 12 clamps", "2 396", "2 384", "0", "12",
       "2 396 = 2 384 + 12", ""}};
  content.lots = {
      {"R-2291", "phenolic resin", "supplier 3, certificate 2026-118", "2026-11-12, flow 31 ± 1 mm",
       "38.4 kg in mixes 1 to 3",
       "Drift since this lot: flow is 2 mm below the mean of the last 8 lots."},
      {"R-2310", "barite", "supplier 7, certificate B-4410", "2026-11-14, 4.2 % above 45 µm",
       "71.2 kg in mixes 1 to 3", ""},
      {"P-0877", "plates", "supplier 2", "2026-11-19", "2 400 plates", ""},
      {"A-0219", "adhesive", "supplier 9", "2026-11-10, use by 2027-01-31", "11.3 kg", ""}};
  const char* ingredients[] = {"phenolic resin",
                               "barite",
                               "steel fibre",
                               "graphite",
                               "aramid pulp",
                               "magnesia",
                               "antimony-free lubricant",
                               "rubber crumb",
                               "copper-free abrasive",
                               "vermiculite",
                               "coke",
                               "iron oxide",
                               "lime"};
  for (int mix = 1; mix <= 3; ++mix) {
    for (int i = 0; i < 13; ++i) {
      const std::string grams = std::to_string(12800 - i * 700 + mix * 3);
      content.weighings.push_back(
          {"M-" + std::to_string(mix), ingredients[i], "R-" + std::to_string(2291 + i),
           std::to_string(12800 - i * 700) + " ± 40 g", grams + " g", "BA-7",
           "2026-11-23 05:" + std::to_string(7 + mix * 13 + i), "0031", ""});
    }
  }
  content.charge_checks = {
      {"2026-11-23 08:31", "1", "138.2 g", "136.5 to 139.5", "BA-2", "0019", ""},
      {"2026-11-23 09:04", "5", "137.9 g", "136.5 to 139.5", "BA-2", "0019", ""}};
  content.plates = {{"P-0877", "2 400, steel 6.0 mm", "blasted 2026-11-22 14:00, used within 19 h",
                     "A-0219, film 24 ± 3 µm", ""}};
  content.samples = {
      {"S-1", "2026-11-24 06:35", "clamps 1, 4, 8, 11, 15", "shear, 5 pads", "destroyed", ""},
      {"S-2", "2026-11-24 06:35", "clamps 2, 6, 9", "density, 3 pads", "kept, shelf 4", ""}};
  for (int i = 1; i <= 5; ++i) {
    content.readings.push_back({"Shear, force at break", "pad " + std::to_string(i),
                                "19." + std::to_string(80 + i) + " kN", "TM-1", "2027-03-01",
                                "2026-11-24 10:0" + std::to_string(i), "0042",
                                i == 2 ? "Corrected by fact 48 101: read as 18.92." : ""});
  }
  content.corrections = {{"47 988 corrects 47 951", "scrap at unclamping 4, was 3", "counted again",
                          "2026-11-24 07:10", "0023"},
                         {"48 101 corrects 48 077", "shear of pad 2: 19.82 kN, was 18.92 kN",
                          "figures exchanged when typing", "2026-11-24 10:31", "0042"}};
  return content;
}

}  // namespace samples
