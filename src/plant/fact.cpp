#include "platemark/plant/fact.h"

namespace platemark {

std::span<const FactKind> factKinds() { return {}; }

const FactKind* findFactKind(std::string_view name) {
  for (const FactKind& kind : factKinds())
    if (kind.name == name) return &kind;
  return nullptr;
}

}  // namespace platemark
