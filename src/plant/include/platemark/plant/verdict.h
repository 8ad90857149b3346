/// What the gate said and what people decided on it: verdicts, releases, adoptions.
#pragma once

#include "platemark/plant/noun.h"

namespace platemark {

enum class Outcome { conforms, does_not_conform, cannot_decide };
template <>
struct EnumWords<Outcome> {
  static constexpr std::array<std::string_view, 3> words{"conforms", "does not conform",
                                                         "cannot decide"};
};

enum class FindingWord {
  inside,
  outside_above,
  outside_below,
  too_close,
  missing,
  unconfirmed,
  no_limit,
  not_met
};
template <>
struct EnumWords<FindingWord> {
  static constexpr std::array<std::string_view, 8> words{
      "inside",  "outside above",     "outside below",    "too close to say",
      "missing", "unconfirmed limit", "no limit on file", "not met"};
};

/// One reason of a verdict: figure, limit, source.
struct Finding {
  std::string characteristic;
  FindingWord word = FindingWord::missing;
  std::string sentence;
  std::string title;  ///< words of the characteristic
  std::optional<Measure> result;
  std::optional<Measure> u;
  std::optional<Measure> at_least;  ///< what is known of a result that is not determined
  std::optional<Measure> at_most;
  std::optional<std::string> note;  ///< what a reader of the word must know besides
  std::int64_t counted = 0;
  std::int64_t wanted = 0;
  std::vector<Measure> singles;
  std::optional<Measure> lower;
  std::optional<Measure> upper;
  std::optional<Measure> span;
  std::string source;
  bool confirmed = true;
  bool adopted = false;
  std::string who;
  std::vector<Sequence> figures;  ///< facts it rests on
  template <class V>
  void describe(V& v) {
    v("characteristic", characteristic);
    v("word", word);
    v("sentence", sentence);
    v("title", title);
    v("result", result);
    v("u", u);
    v("at_least", at_least);
    v("at_most", at_most);
    v("note", note);
    v("counted", counted);
    v("wanted", wanted);
    v("singles", singles);
    v("lower", lower);
    v("upper", upper);
    v("span", span);
    v("source", source);
    v("confirmed", confirmed);
    v("adopted", adopted);
    v("who", who);
    v("figures", figures);
  }
};

struct VerdictGiven {
  Gate gate = Gate::lot;
  Subject subject;
  Outcome outcome = Outcome::cannot_decide;
  Sequence seen = 0;  ///< the newest fact it could see
  std::string plan;
  std::int64_t plan_issue = 0;
  std::vector<Finding> findings;
  std::string digest;  ///< SHA-256 over all the above
  template <class V>
  void describe(V& v) {
    v("gate", gate);
    v("subject", subject);
    v("outcome", outcome);
    v("seen", seen);
    v("plan", plan);
    v("plan_issue", plan_issue);
    v("findings", findings);
    v("digest", digest);
  }
};

/// Signed: a person answers for what the verdict says.
struct ReleaseSigned {
  Gate gate = Gate::cure;
  Subject subject;
  Sequence verdict = 0;
  std::string verdict_digest;
  Outcome outcome = Outcome::conforms;
  std::string meaning;  ///< "I release batch K7M4J-7 for finishing …"
  template <class V>
  void describe(V& v) {
    v("gate", gate);
    v("subject", subject);
    v("verdict", verdict);
    v("verdict_digest", verdict_digest);
    v("outcome", outcome);
    v("meaning", meaning);
  }
};

/// Signed: quality adopts an unconfirmed limit after reading the document.
struct LimitAdopted {
  std::string plan;
  std::int64_t plan_issue = 0;
  std::string characteristic;
  std::string document_read;  ///< title, edition, page
  std::string why;
  template <class V>
  void describe(V& v) {
    v("plan", plan);
    v("plan_issue", plan_issue);
    v("characteristic", characteristic);
    v("document_read", document_read);
    v("why", why);
  }
};

}  // namespace platemark
