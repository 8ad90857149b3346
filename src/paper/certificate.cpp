#include "platemark/paper/certificate.h"

#include "parts.h"
#include "platemark/words/words.h"

namespace platemark::paper {
namespace {

Error unsignedCertificate(const std::string& batch) {
  Error error;
  error.fault = Fault::refused;
  error.code = "paper.unsigned";
  error.what =
      "A release certificate of batch " + batch + " cannot be made: nobody has signed its release";
  error.expected = "at least one signature";
  error.remedy = "Sign the release first; the batch record can be printed at any time.";
  error.missing = {{"the signature of the release of batch " + batch,
                    "the person responsible for release", "sign the release"}};
  return error;
}

}  // namespace

Result<Paper> certificatePaper(const CertificateContent& content) {
  if (content.signatures.empty()) return unsignedCertificate(content.head.batch);
  Paper paper = blankPaper(content.head, words::say("papers.certificate.title"));
  addHead(paper, content.head);
  addVerdict(paper, content.verdict);
  if (auto added = addResults(paper, content.results); !added) return added.error();
  addAdopted(paper, content.adopted);
  addSignatures(paper, content.signatures);
  addAnchor(paper, content.head);
  addCaution(paper);
  // What decides and who answers for it is read together, the chart behind it: without a page of its
  // own, so that a caution that just spills over does not stand on an empty page.
  if (auto added = addCure(paper, content.cure); !added) return added.error();
  return paper;
}

Result<std::vector<std::byte>> certificate(const CertificateContent& content) {
  const auto paper = certificatePaper(content);
  if (!paper) return paper.error();
  return render(*paper);
}

}  // namespace platemark::paper
