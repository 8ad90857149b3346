/// A paper as a list of blocks that flow over A4 pages, and its PDF.
///
/// The PDF is tagged (headings, paragraphs, tables, figures with their sentence as
/// alternative text), its text can be selected, and it depends on nothing but
/// the input: the same Paper gives the same bytes in every process of one
/// installation. Everything reads in black and white.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <variant>
#include <vector>

#include "platemark/figure/scene.h"
#include "platemark/quantity/result.h"
#include "platemark/quantity/time.h"

namespace platemark::paper {

enum class Align { left, right };

/// 1: the title of the paper, once; 2: a section.
struct Heading {
  int level = 2;
  std::string words;
};
enum class Voice {
  body,
  note,     ///< small, second text
  verdict,  ///< between two rules, large: the sentence the paper is about
  caution   ///< in a frame
};
struct Paragraph {
  std::string words;
  Voice voice = Voice::body;
};
/// Short facts in two columns: what, and its value.
struct Fact {
  std::string what;
  std::string value;
  bool code = false;  ///< value in the code face: numbers read off a plate or label
};
struct FactGrid {
  std::vector<Fact> facts;
};
struct Cell {
  std::string words = {};
  std::string note = {};    ///< second line, small
  std::string remark = {};  ///< bold line that must not be overlooked: corrected, late
  bool bold = false;
  bool code = false;
  std::optional<figure::Scene> mark = {};     ///< small, left of the words
  std::optional<figure::Scene> drawing = {};  ///< above the words, fitted to the column
};
struct Column {
  std::string head;
  double share = 1.0;  ///< of the width, > 0, against the other columns
  Align align = Align::left;
};
struct Row {
  std::vector<Cell> cells;      ///< as many as columns
  bool keep_with_next = false;  ///< no page break after this row when the kept rows fit on a page
};
struct Table {
  std::string name;  ///< for error messages
  std::vector<Column> columns;
  std::vector<Row> rows;
  std::string none;  ///< said in place of a table without rows: "None: no lot was held."
};
/// A chart in the full width, with its sentence beneath.
struct Drawing {
  figure::Scene scene;
  std::string caption;
};
/// Blocks that stand on one page when they fit on one.
struct Break {};  ///< starts a new page, unless one has just begun

using Block = std::variant<Heading, Paragraph, FactGrid, Table, Drawing, Break>;

struct Paper {
  std::string title;            ///< running head and document title
  std::string record_id;        ///< running head: "K7M4J-7"
  std::string author;           ///< document author: the plant
  std::string chain_head;       ///< short form, running foot
  std::string program_version;  ///< running foot
  Instant created;              ///< creation date of the document; never the clock
  std::string language = "en";
  std::vector<Block> blocks;
};

/// Families that must be present; nothing is put in their place.
struct Typefaces {
  std::string text = "Noto Sans";
  std::string code = "Noto Sans Mono";
};

/// The PDF of a paper.
/// Errors: paper.font_missing (environment); paper.bad_text (not UTF-8, or control
/// characters); paper.no_glyph (a sign that neither family has); paper.bad_table (no
/// columns, a share that is not > 0, or a row with another number of cells);
/// paper.drawing_failed (environment).
[[nodiscard]] Result<std::vector<std::byte>> render(const Paper& paper,
                                                    const Typefaces& faces = {});

}  // namespace platemark::paper
