/// What the checks of issued documents share.
#pragma once

#include "platemark/act/act.h"
#include "platemark/plant/cure.h"
#include "platemark/plant/noun.h"
#include "platemark/quantity/measure.h"
#include "platemark/quantity/result.h"

namespace platemark::act {

using Checked = Result<void>;

/// The measure is of this kind and, when asked, above zero.
[[nodiscard]] Checked measured(const Measure& measure, platemark::Kind kind,
                               const std::string& field, bool positive = true);
/// The same where a number may be typed without a unit: only where none is expected.
[[nodiscard]] Checked measuredIn(const Measure& measure, platemark::Kind kind,
                                 std::string_view unit, const std::string& field,
                                 bool positive = true);
/// What two values of a kind lie apart.
[[nodiscard]] platemark::Kind differenceOf(platemark::Kind kind);
/// Each line of a control plan: method and output on file, limits with a source and in order.
[[nodiscard]] Checked checkPlan(const ControlPlan& plan);

/// The channels of an oven: sensors, corrections, calibration; and how far they may drift.
[[nodiscard]] Checked checkOven(const Machine& machine);
/// A compound has one set of kinetics, an oven one survey and one stacking: each under one code.
[[nodiscard]] Checked checkKinetics(const Context& context, const Kinetics& kinetics);
[[nodiscard]] Checked checkSurvey(const Context& context, const Survey& survey);
[[nodiscard]] Checked checkStacking(const Context& context, const Stacking& stacking);

}  // namespace platemark::act
