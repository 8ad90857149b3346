/// What the papers of a batch say, already worded.
///
/// Strings are printed as they stand: numbers with unit and digits, times in the
/// zone of the plant, people by their number. Nothing here is judged or computed.
#pragma once

#include <string>
#include <vector>

#include "platemark/figure/cure.h"
#include "platemark/figure/strip.h"
#include "platemark/paper/sheet.h"

namespace platemark::paper {

struct BatchHead {
  std::string plant;           ///< "Marrowfen Friction Works"
  std::string batch;           ///< stamp: "K7M4J-7"
  std::string part;            ///< "MF-1041"
  std::string part_words;      ///< what it is
  std::string compound_issue;  ///< "Heron 3, issue 14"
  std::string counts;  ///< "2 400 plates stamped − 4 scrapped − 12 to the laboratory = 2 384 pads"
  std::string control_plan;      ///< "issue 6"
  std::string zone;              ///< "all times UTC+1 (Europe/Berlin)"
  std::string issued;            ///< when this paper was made, in words
  Instant created;               ///< the same moment, for the document's own data
  std::string chain_head;        ///< whole hash, hexadecimal
  std::string chain_head_short;  ///< as printed in the running foot
  std::string sequence;          ///< number of the last fact that this paper saw
  std::string program_version;   ///< "Platemark 0.1.0"
};

struct VerdictWords {
  std::string sentence;  ///< "Conforms: all 9 characteristics are inside their limits."
  std::vector<std::string> reasons;
};

/// One characteristic; its mark and its word come from strip.finding.
struct ResultWords {
  std::string characteristic;
  std::string detail;    ///< "lowest of 3 pads"
  std::string result;    ///< "2.188 ± 0.011 g/cm³"
  bool crosses = false;  ///< the uncertainty reaches over the limit, and the value alone decided
  std::string n;         ///< "3"
  figure::StripInput strip;
  std::string limit;     ///< "2.180 to 2.300"
  std::string source;    ///< "control plan, issue 6"
  std::string standing;  ///< "adopted 2026-10-02 by 0007", "unconfirmed"; empty when confirmed
  std::string method;    ///< "Density by immersion, version 3"
};

struct NumberedWords {
  int number = 0;  ///< as flagged in the chart
  std::string words;
};
struct CureWords {
  figure::CureChartInput chart;
  std::vector<NumberedWords> marked;  ///< faults and gaps
};

struct AdoptedLimit {
  std::string limit;
  std::string document;  ///< the document read: title, edition, place in it
  std::string who;
  std::string when;
};
struct SignatureWords {
  std::string meaning;  ///< "released for dispatch"
  std::string person;   ///< "0007, quality manager"
  std::string when;
  std::string fingerprint;  ///< of the signature, hexadecimal
};

/// What the reader must not forget: a result supports judgement and replaces none.
[[nodiscard]] std::string caution();

}  // namespace platemark::paper
