/// The release certificate of a batch.
#pragma once

#include <optional>

#include "platemark/paper/content.h"

namespace platemark::paper {

struct CertificateContent {
  BatchHead head;
  VerdictWords verdict;
  std::vector<ResultWords> results;
  std::optional<CureWords> cure;
  std::vector<AdoptedLimit> adopted;
  std::vector<SignatureWords> signatures;  ///< at least one
};

/// The blocks of the certificate. Whether the batch may be released is not asked here;
/// but a paper with this title and no signature would be taken for a release.
/// Errors: paper.unsigned (refused); those of evidenceStrip and cureChart.
[[nodiscard]] Result<Paper> certificatePaper(const CertificateContent& content);
/// Its PDF. Errors: those of certificatePaper and render.
[[nodiscard]] Result<std::vector<std::byte>> certificate(const CertificateContent& content);

}  // namespace platemark::paper
