/// The bodies of the facts: what happened in the plant, as it was reported.
#pragma once

#include "platemark/plant/noun.h"
#include "platemark/plant/verdict.h"

namespace platemark {

/// What may stand beside any report. A correction names the fact it mends; an
/// irregular report was not permitted but happened, with the reason given.
struct Remark {
  std::optional<Sequence> corrects;
  std::optional<std::string> why;
  std::vector<std::string> irregular;  ///< which permissions were missing, in words
  template <class V>
  void describe(V& v) {
    v("corrects", corrects);
    v("why", why);
    v("irregular", irregular);
  }
};

/// Nothing to remark is the usual case and leaves no trace.
template <>
inline constexpr bool described::may_be_left_out<Remark> = true;

struct LotReceived {
  std::string lot;
  std::string material;
  std::string supplier;
  std::string supplier_lot;
  Measure quantity;
  std::optional<Day> use_by;
  std::optional<Measure> density;              ///< of this lot, from the certificate or measured
  std::map<std::string, Measure> certificate;  ///< supplier's values by characteristic
  std::optional<std::string> attachment;       ///< the certificate itself
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("material", material);
    v("supplier", supplier);
    v("supplier_lot", supplier_lot);
    v("quantity", quantity);
    v("use_by", use_by);
    v("density", density);
    v("certificate", certificate);
    v("attachment", attachment);
    v("remark", remark);
  }
};

/// What quality decided about a lot, resting on a verdict.
enum class LotDisposition { clear, hold, refuse };
template <>
struct EnumWords<LotDisposition> {
  static constexpr std::array<std::string_view, 3> words{"clear", "hold", "refuse"};
};
struct LotDecided {
  std::string lot;
  LotDisposition disposition = LotDisposition::hold;
  std::optional<Sequence> verdict;
  std::optional<std::string> why;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("disposition", disposition);
    v("verdict", verdict);
    v("why", why);
  }
};

/// Shelf life moves only by a retest: a verdict that conforms on results taken again.
struct LotExtended {
  std::string lot;
  Day use_by;
  Sequence verdict = 0;
  std::string why;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("use_by", use_by);
    v("verdict", verdict);
    v("why", why);
  }
};

struct BatchOpened {
  std::string batch;  ///< the plate stamp
  std::string part;
  std::int64_t part_issue = 0;
  std::string compound;
  std::int64_t compound_issue = 0;
  std::string plan;
  std::int64_t plan_issue = 0;
  std::int64_t plates = 0;
  std::optional<CompoundIssue> underlayer;  ///< of a part that has one
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("part", part);
    v("part_issue", part_issue);
    v("compound", compound);
    v("compound_issue", compound_issue);
    v("plan", plan);
    v("plan_issue", plan_issue);
    v("plates", plates);
    v("underlayer", underlayer);
  }
};

/// Pieces after a step: good + scrap by reason + taken away must balance with what went in.
struct Counts {
  std::int64_t good = 0;
  std::map<std::string, std::int64_t> scrap;  ///< by reason
  std::int64_t samples = 0;
  std::int64_t rework = 0;
  template <class V>
  void describe(V& v) {
    v("good", good);
    v("scrap", scrap);
    v.defaulted("samples", samples);
    v.defaulted("rework", rework);
  }
};

struct PlatesPrepared {
  std::string batch;
  std::string plate_lot;
  std::optional<std::string> adhesive_lot;
  std::string machine;
  std::optional<std::string> gauge;
  std::vector<Measure> film;            ///< dry adhesive film thickness readings
  std::vector<std::string> deviations;  ///< by which the adhesive is another than the part's
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("plate_lot", plate_lot);
    v("adhesive_lot", adhesive_lot);
    v("machine", machine);
    v("gauge", gauge);
    v("film", film);
    v.defaulted("deviations", deviations);
    v("counts", counts);
    v("remark", remark);
  }
};

struct MixOpened {
  std::string mix;
  std::string batch;
  std::string compound;
  std::int64_t compound_issue = 0;
  std::string machine;
  Measure mass;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("mix", mix);
    v("batch", batch);
    v("compound", compound);
    v("compound_issue", compound_issue);
    v("machine", machine);
    v("mass", mass);
    v("remark", remark);
  }
};

struct Weighed {
  std::string mix;
  std::string material;
  std::string lot;
  Measure wanted;
  Measure tolerance;  ///< same unit as the mass
  Measure mass;
  std::string gauge;
  std::optional<std::string> container;   ///< it was taken from
  std::optional<std::string> attachment;  ///< the balance's file, where it was read from one
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("mix", mix);
    v("material", material);
    v("lot", lot);
    v("wanted", wanted);
    v("tolerance", tolerance);
    v("mass", mass);
    v("gauge", gauge);
    v("container", container);
    v("attachment", attachment);
    v("remark", remark);
  }
};

struct MixFinished {
  std::string mix;
  std::int64_t minutes = 0;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("mix", mix);
    v("minutes", minutes);
    v("remark", remark);
  }
};

struct PressRun {
  std::string batch;
  std::vector<std::string> mixes;
  std::string machine;
  std::optional<std::string> station;  ///< of a press that has stations
  std::string tool;
  std::vector<std::string> cavities;  ///< of the tool, those that were filled
  std::string gauge;
  Measure charge_target;  ///< computed from volume, target density and the lots' densities
  std::vector<Measure> charge_checks;
  std::vector<std::string> check_cavities;   ///< where named, the cavity of each charge check
  std::optional<Measure> underlayer_target;  ///< the same for the underlayer
  std::vector<Measure> underlayer_checks;
  std::optional<Instant> started;  ///< when the press closed on the first stroke
  std::optional<Instant> ended;    ///< when it opened after the last
  std::optional<std::int64_t> strokes;
  std::optional<Measure> press_time;     ///< of one stroke, closing until open again, s
  std::optional<std::string> programme;  ///< of the press, where the route names one
  std::vector<std::string> deviations;   ///< by which the programme is another than the route's
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("mixes", mixes);
    v("machine", machine);
    v("station", station);
    v("tool", tool);
    v("cavities", cavities);
    v("gauge", gauge);
    v("charge_target", charge_target);
    v("charge_checks", charge_checks);
    v("check_cavities", check_cavities);
    v("underlayer_target", underlayer_target);
    v.defaulted("underlayer_checks", underlayer_checks);
    v("started", started);
    v("ended", ended);
    v("strokes", strokes);
    v("press_time", press_time);
    v("programme", programme);
    v.defaulted("deviations", deviations);
    v("counts", counts);
    v("remark", remark);
  }
};

struct Clamp {
  std::string clamp;
  std::string batch;
  std::int64_t pads = 0;
  std::int64_t tier = 0;
  std::int64_t position = 0;
  template <class V>
  void describe(V& v) {
    v("clamp", clamp);
    v("batch", batch);
    v("pads", pads);
    v("tier", tier);
    v("position", position);
  }
};

struct LoadBuilt {
  std::string load;
  std::string oven;
  std::string programme;
  std::int64_t programme_issue = 0;
  std::vector<Clamp> clamps;
  std::vector<std::string> deviations;  ///< by which the programme is another than the route's
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("oven", oven);
    v("programme", programme);
    v("programme_issue", programme_issue);
    v("clamps", clamps);
    v.defaulted("deviations", deviations);
    v("remark", remark);
  }
};

/// By how much a channel lay above the mean of its oven's air channels in the soak of one load.
struct ChannelOffset {
  std::string channel;
  Measure offset;  ///< K
  template <class V>
  void describe(V& v) {
    v("channel", channel);
    v("offset", offset);
  }
};

/// A recorder's file was read for a load. The figures follow as figure.computed.
struct CureRecorded {
  std::string load;
  std::string attachment;  ///< the file as it came
  std::string file_name;
  std::string layout;
  std::int64_t layout_issue = 0;
  std::int64_t rows = 0;
  std::int64_t skipped = 0;
  std::vector<std::string> skipped_why;  ///< "line 4: no number" (the first hundred)
  Instant from;
  Instant to;
  std::vector<ChannelOffset> offsets;  ///< none where there was no soak, or one channel only
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("attachment", attachment);
    v("file_name", file_name);
    v("layout", layout);
    v("layout_issue", layout_issue);
    v("rows", rows);
    v("skipped", skipped);
    v("skipped_why", skipped_why);
    v("from", from);
    v("to", to);
    v("offsets", offsets);
    v("remark", remark);
  }
};

/// The pads of one batch are out of the oven and out of their clamps, counted.
struct Unclamped {
  std::string load;
  std::string batch;
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("batch", batch);
    v("counts", counts);
    v("remark", remark);
  }
};

struct Sample {
  std::string sample;                 ///< "1" … within its batch
  std::string clamp;                  ///< where it was drawn
  std::optional<std::string> cavity;  ///< of the press tool in which it was pressed
  template <class V>
  void describe(V& v) {
    v("sample", sample);
    v("clamp", clamp);
    v("cavity", cavity);
  }
};
struct SamplesDrawn {
  std::string batch;
  std::vector<Sample> samples;
  std::string retained;  ///< "4 in cabinet 2 until 2041"
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("samples", samples);
    v("retained", retained);
    v("counts", counts);
    v("remark", remark);
  }
};

/// Raw readings for one characteristic of one sample, as they came.
struct ReadingTaken {
  Subject subject;  ///< lot, batch, load
  std::string characteristic;
  std::string sample;  ///< "" when the subject itself is measured
  std::string method;
  std::int64_t method_version = 1;
  std::vector<std::string> gauges;
  std::map<std::string, std::vector<Measure>> numbers;
  std::map<std::string, std::string> choices;
  std::optional<std::string> attachment;
  std::vector<std::string> doubts;  ///< why it is kept but not counted
  std::optional<std::string> repeat_because;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("characteristic", characteristic);
    v("sample", sample);
    v("method", method);
    v("method_version", method_version);
    v("gauges", gauges);
    v("numbers", numbers);
    v("choices", choices);
    v("attachment", attachment);
    v("doubts", doubts);
    v("repeat_because", repeat_because);
    v("remark", remark);
  }
};

struct FigureValue {
  std::string name;
  Measure value;
  std::optional<Measure> u;  ///< standard uncertainty
  bool determined = true;    ///< false: a bound or a guess, never counted
  std::optional<std::string> why;
  std::optional<Measure> at_least;  ///< bounds of an undetermined one, where they are known
  std::optional<Measure> at_most;
  template <class V>
  void describe(V& v) {
    v("name", name);
    v("value", value);
    v("u", u);
    v("determined", determined);
    v("why", why);
    v("at_least", at_least);
    v("at_most", at_most);
  }
};

/// A mark on a chart: a sensor fault, a gap, a moment.
struct ChartMark {
  std::string kind;
  std::string channel;
  Instant from;
  Instant to;
  std::string words;
  template <class V>
  void describe(V& v) {
    v("kind", kind);
    v("channel", channel);
    v("from", from);
    v("to", to);
    v("words", words);
  }
};

/// What a method made of readings.
struct FigureComputed {
  Subject subject;
  std::string characteristic;  ///< "" when it serves several
  std::string sample;
  std::string method;
  std::int64_t method_version = 1;
  std::vector<Sequence>
      readings;             ///< the facts it rests on; empty when it rests on the fact before it
  std::string inputs_hash;  ///< SHA-256 over the canonical inputs
  std::vector<FigureValue> values;
  std::vector<ChartMark> marks;
  std::vector<std::string> notes;
  std::vector<std::string> doubts;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("characteristic", characteristic);
    v("sample", sample);
    v("method", method);
    v("method_version", method_version);
    v("readings", readings);
    v("inputs_hash", inputs_hash);
    v("values", values);
    v("marks", marks);
    v("notes", notes);
    v("doubts", doubts);
  }
};

struct Finished {
  std::string batch;
  std::string operation;  ///< "grind", "slot", …
  std::string machine;
  std::vector<UsedLot> lots;           ///< shims, clips, powder, ink
  std::optional<std::string> printed;  ///< text or mark
  std::vector<SpotPut> spots;
  Counts counts;
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("lots", lots);
    v("printed", printed);
    v("spots", spots);
    v("counts", counts);
    v("remark", remark);
  }
};

struct BoxPacked {
  std::string box;
  std::string batch;
  std::int64_t pads = 0;
  std::int64_t sets = 0;
  std::optional<std::string> concession;  ///< under which these pads leave
  std::optional<std::string> size;        ///< material code of the box
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("box", box);
    v("batch", batch);
    v("pads", pads);
    v("sets", sets);
    v("concession", concession);
    v("size", size);
    v("remark", remark);
  }
};

struct Shipped {
  std::string shipment;
  std::string customer;
  std::string order;
  std::vector<std::string> boxes;    ///< all of them, those in cartons too
  std::vector<std::string> cartons;  ///< that left as they were
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("shipment", shipment);
    v("customer", customer);
    v("order", order);
    v("boxes", boxes);
    v("cartons", cartons);
    v("remark", remark);
  }
};

struct HoldPlaced {
  Subject subject;
  std::string why;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("why", why);
  }
};
struct HoldLifted {
  Subject subject;
  Sequence hold = 0;
  std::string why;
  template <class V>
  void describe(V& v) {
    v("subject", subject);
    v("hold", hold);
    v("why", why);
  }
};

struct PaperIssued {
  std::string paper;  ///< "certificate", "batch record"
  std::string number;
  Subject subject;
  std::string attachment;
  Sequence anchor = 0;
  std::string anchor_head;
  template <class V>
  void describe(V& v) {
    v("paper", paper);
    v("number", number);
    v("subject", subject);
    v("attachment", attachment);
    v("anchor", anchor);
    v("anchor_head", anchor_head);
  }
};

struct ClockSteppedBack {
  Instant from;
  Instant to;
  template <class V>
  void describe(V& v) {
    v("from", from);
    v("to", to);
  }
};

}  // namespace platemark
