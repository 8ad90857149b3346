/// From a recorder's file to the figures of a coat's bake, off the writer; the chart is read as a
/// cure's is, with only the sensors on the metal as evidence. Shared by pages and terminal.
#pragma once

#include "platemark/plant/bake.h"
#include "platemark/service/house.h"

namespace platemark::service {

struct BakeAsked {
  std::string batch;
  std::string operation;
  std::string machine;
  std::int64_t pads = 0;
  std::string attachment;
  std::string file_name;
  std::string layout;  ///< code of a saved layout
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("batch", batch);
    v("operation", operation);
    v("machine", machine);
    v("pads", pads);
    v("attachment", attachment);
    v("file_name", file_name);
    v("layout", layout);
    v("remark", remark);
  }
};

/// The input of the act 'bake record'. Errors: batch.unknown, machine.unknown, bake.not_asked,
/// programme.unknown, layout.*, attachment.unknown, intake.*, cure.*.
[[nodiscard]] Result<Value> bakeInput(const House& house, const BakeAsked& asked);

}  // namespace platemark::service
