#include "platemark/paper/certificate.h"

#include "parts.h"

namespace platemark::paper {

Result<Paper> certificatePaper(const CertificateContent& content) {
  Paper paper = blankPaper(content.head, "Release certificate");
  addHead(paper, content.head);
  addVerdict(paper, content.verdict);
  if (auto added = addResults(paper, content.results); !added) return added.error();
  if (auto added = addCure(paper, content.cure); !added) return added.error();
  addAdopted(paper, content.adopted);
  addSignatures(paper, content.signatures);
  addAnchor(paper, content.head);
  addCaution(paper);
  return paper;
}

Result<std::vector<std::byte>> certificate(const CertificateContent& content) {
  const auto paper = certificatePaper(content);
  if (!paper) return paper.error();
  return render(*paper);
}

}  // namespace platemark::paper
