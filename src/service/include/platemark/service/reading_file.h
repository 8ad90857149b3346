/// From an instrument's file to the readings of the act 'reading take': read by a saved layout,
/// off the writer. Shared by pages and terminal.
#pragma once

#include "platemark/plant/value.h"
#include "platemark/service/house.h"

namespace platemark::service {

/// The input with what its file says: `attachment` is read by the layout named in `layout`, and
/// each reading column gives the method's input that it means, in the order of the rows, empty
/// cells left out. A column that means `sample` picks the rows whose number is the input's sample.
/// What the file lacks stays as it was typed. Errors: reading_file.no_file, reading_file.sample,
/// reading_file.no_rows, reading_file.typed_too, layout.unknown, attachment.unknown, intake.*.
[[nodiscard]] Result<Value> readingInput(const House& house, Value input);

}  // namespace platemark::service
