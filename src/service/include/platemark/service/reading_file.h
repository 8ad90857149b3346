/// From an instrument's file to what an act reports: readings, a film, charges, one weighing. Read
/// by a saved layout, off the writer. Shared by pages and terminal.
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

/// Whether the act's input may name a file and the layout to read it by.
[[nodiscard]] bool takesFile(std::string_view act);
/// The same for every act that takes a file. 'plates prepare' takes `film`, 'press run' takes
/// `charge_checks` and `underlayer_checks`, 'gauge check' takes `readings`, each from the column
/// that means it, all rows; 'mix weigh' and 'container return' take `mass` from the one weighing
/// whose label is the container, the lot or the material, or from the only one of a file without
/// labels. Errors: those of readingInput, reading_file.other_layout, reading_file.no_weighing,
/// reading_file.several, weighing.*.
[[nodiscard]] Result<Value> fileInput(const House& house, std::string_view act, Value input);

}  // namespace platemark::service
