#include "platemark/plant/gauge_check.h"
#include "fold.h"

namespace platemark::ledger {

Projection gaugeCheckProjection() {
  return {projection::gauge_check, [](const Fact& fact, ProjectionView& view) {
            if (fact.kind != "gauge.checked") return;
            const auto checked = bodyOf<GaugeChecked>(fact);
            const Day day = dayIn(fact.happened.instant, fact.happened.zone);
            view.put(checked.gauge + "/" + formatDay(day), GaugeCheckState{fact.sequence, checked});
          }};
}

}  // namespace platemark::ledger
