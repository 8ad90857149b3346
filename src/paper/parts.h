// Parts that the papers of a batch share.
#pragma once

#include "platemark/paper/certificate.h"

namespace platemark::paper {

/// A paper with its running head and foot, and no blocks yet.
[[nodiscard]] Paper blankPaper(const BatchHead& head, const std::string& title);

void addHead(Paper& paper, const BatchHead& head);
void addVerdict(Paper& paper, const VerdictWords& verdict);
Result<void> addResults(Paper& paper, const std::vector<ResultWords>& results);
Result<void> addCure(Paper& paper, const std::optional<CureWords>& cure);
void addAdopted(Paper& paper, const std::vector<AdoptedLimit>& adopted);
void addSignatures(Paper& paper, const std::vector<SignatureWords>& signatures);
/// Where this paper stands in the chain of facts.
void addAnchor(Paper& paper, const BatchHead& head);
void addCaution(Paper& paper);

[[nodiscard]] Cell plain(std::string words);
[[nodiscard]] Cell coded(std::string words);
[[nodiscard]] Cell strong(std::string words);

}  // namespace platemark::paper
