/// From a recorder's file to the figures of a load: read by its layout, judged
/// by the chart method, off the writer. Shared by pages and terminal.
#pragma once

#include <memory>
#include <string>

#include "platemark/intake/propose.h"
#include "platemark/intake/series.h"
#include "platemark/method/cure/programme.h"
#include "platemark/plant/state.h"
#include "platemark/service/house.h"

namespace platemark::service {

/// A layout as the record keeps it, and back. Errors: value.*, layout.*.
[[nodiscard]] Value layoutValue(const intake::FileLayout& layout);
[[nodiscard]] Result<intake::FileLayout> layoutFrom(const Value& mapping);

/// The file behind an attachment, read by the layout. Errors: attachment.unknown, intake.*.
[[nodiscard]] Result<intake::Series> readRecording(const ledger::Store& store,
                                                   const std::string& attachment,
                                                   const std::string& file_name,
                                                   const intake::FileLayout& layout);

/// The programme as the chart method takes it.
[[nodiscard]] method::cure::Programme windowOf(const Programme& programme);
/// Minutes of the longest soak of a programme.
[[nodiscard]] std::int64_t soakMinutes(const Programme& programme);

struct CureAsked {
  std::string load;
  std::string attachment;
  std::string file_name;
  std::string layout;  ///< code of a saved layout
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("load", load);
    v("attachment", attachment);
    v("file_name", file_name);
    v("layout", layout);
    v("remark", remark);
  }
};
/// The input of the act 'cure record'. Errors: load.unknown, layout.unknown, intake.*, cure.*.
[[nodiscard]] Result<Value> cureInput(const House& house, const CureAsked& asked);

}  // namespace platemark::service
