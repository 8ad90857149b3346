/// What 'show' answers, put into words and plain tables for people.
#pragma once

#include <string>
#include <string_view>

#include "platemark/plant/value.h"

namespace platemark::cli {

/// A page's answer without its drawings: heading, what is missing, findings, verdict.
/// `what` is the question as 'show' takes it; other questions than those on a batch, lot,
/// load or judgement are listed member by member.
[[nodiscard]] std::string plainWords(std::string_view what, const Value& page);

}  // namespace platemark::cli
