/// What the pads of a load saw, put into words and a picture for the load's page.
#pragma once

#include "../heat/what_if.h"
#include "view.h"

namespace platemark::service::view {

/// Whether it has been computed, its worst pads, its doubts, the map as a picture; or what is
/// missing before it can be.
[[nodiscard]] Value heatValue(const Look& look, const LoadState& load, const std::string& zone);
[[nodiscard]] Value whatIfValue(const WhatIf& answer);
[[nodiscard]] Value shorterSoakValue(const std::optional<ShorterSoak>& shorter);
/// Null where there is nothing to say.
[[nodiscard]] Value extraCureValue(const std::optional<ExtraCure>& extra);

/// An oven: its survey as a map, its sensors, the drift of its channels over its loads. Errors:
/// machine.unknown.
[[nodiscard]] Result<Value> oven(const Look& look, const std::string& code);
/// For Today: channels that part beyond the oven's limit, sensors and surveys past their day.
void addLateOvens(const Look& look, Value::Array& rows);

}  // namespace platemark::service::view
