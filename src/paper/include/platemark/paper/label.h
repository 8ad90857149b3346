/// Labels and sheets for the floor: drawn when asked, never stored; they are no papers of record.
///
/// What hands in gloves must not misread stands large in the code face, whose zero is struck
/// through. The same input gives the same bytes in every process of one installation.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <vector>

#include "platemark/paper/sheet.h"

namespace platemark::paper {

/// What a scanner reads. Code 128 holds any ASCII text; GS1-128 the 18 digits of an SSCC.
struct Barcode {
  enum class Kind { code128, sscc };
  Kind kind = Kind::code128;
  std::string data;
};

enum class LabelSize {
  small,    ///< 105 × 74 mm (A7 lying), for samples
  floor,    ///< 148 × 105 mm (A6 lying), for containers, clamps and boxes
  shipping  ///< 105 × 148 mm (A6 upright), for cartons
};

struct Label {
  LabelSize size = LabelSize::small;
  std::string what;         ///< "LOT", in a black bar
  std::string big;          ///< its number, as large as fits
  std::string under;        ///< what it is, in bold
  bool under_code = false;  ///< it is a number: larger, in the code face
  std::vector<Fact> facts;
  std::optional<Barcode> barcode;
  std::string warning;  ///< in a frame; what must not be overlooked
  std::string foot;
  std::string program_version;
  Instant created;  ///< date of the document; never the clock
};

/// Errors: paper.font_missing, paper.bad_text, paper.no_glyph, paper.bad_barcode (empty, not
/// ASCII, too long for the label, no SSCC), paper.label_full (the facts need more room than there
/// is), paper.drawing_failed.
[[nodiscard]] Result<std::vector<std::byte>> label(const Label& label, const Typefaces& faces = {});

/// A cell without words is room to write in; a tick is a box to cross.
struct SheetCell {
  std::string words = {};
  bool code = false;
  bool tick = false;
};

/// A4 upright, filled in by hand: rows tall enough for a pen in a glove.
struct FloorSheet {
  std::string what;  ///< "CHARGE SHEET"
  std::string big;   ///< number or stamp, very large
  std::string under;
  std::vector<Fact> facts;
  std::optional<Barcode> barcode;
  std::vector<Column> columns;
  std::vector<std::vector<SheetCell>> rows;
  std::vector<std::string> notes;  ///< below the rows
  std::string warning;             ///< in a frame above the rows
  std::string foot;
  std::string program_version;
  Instant created;
};

/// Errors: those of label(), and paper.bad_table.
[[nodiscard]] Result<std::vector<std::byte>> floorSheet(const FloorSheet& sheet,
                                                        const Typefaces& faces = {});

}  // namespace platemark::paper
