/// What a station on the floor is told: what waits there, what a scanned code
/// means there, the charge sheet of a mix, and what a shift hands over. Words and
/// permissions come from the gate; nothing is judged here.
#pragma once

#include "view.h"

namespace platemark::service::view {

/// What waits at a place, with the machines and gauges it may use. Errors: station.unknown.
[[nodiscard]] Result<Value> station(const Look& look, const std::string& place);
/// What `code` is and what stands in its way at this place. `material`: what a lot is wanted as;
/// any material of the place when empty. Errors: station.unknown, code.unknown.
[[nodiscard]] Result<Value> codeAt(const Look& look, const std::string& place,
                                   const std::string& code, const std::string& material);
/// The lines of a mix in weighing order: wanted, weighed, what is still missing, and the lots on
/// record for them. Errors: mix.unknown, compound.unknown.
[[nodiscard]] Result<Value> chargeSheet(const Look& look, const std::string& mix);
/// Where the line would lie with this mass added; nothing is recorded. Errors: mix.unknown,
/// mix.not_in_formula, decimal.*, unit.*.
[[nodiscard]] Result<Value> tryWeighing(const Look& look, const std::string& mix,
                                        const std::string& material, const std::string& mass);
/// What a press made on its newest day, and how long it stood and waited, by its own times.
[[nodiscard]] Value pressLog(const Look& look, const Machine& machine);
/// The same of every press that ran in the last twelve hours.
[[nodiscard]] Value::Array pressesOfShift(const Look& look);
/// Everything open, for the next shift.
[[nodiscard]] Value shift(const Look& look);

}  // namespace platemark::service::view
