/// Containers with their own labels, part-used returns, and use-by days that a retest moves.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "platemark/plant/container.h"
#include "support.h"

namespace platemark::act {
namespace {

Decision label(const Context& context, ContainersLabelled in) {
  const Result<LotState> lot = require<LotState>(context, projection::lot, in.lot);
  if (!lot) return Error(lot.error()).at({"", 0, "", "lot"});
  if (in.containers.empty())
    return badInput("container.none", "No container is named.", "containers");
  std::set<std::string> named;
  for (std::size_t i = 0; i < in.containers.size(); ++i) {
    const Container& container = in.containers[i];
    const std::string field = fmt::format("containers[{}]", i);
    if (container.container.empty() || container.container.find('/') != std::string::npos)
      return badInput("container.label", "A container needs its label.", field + ".container",
                      "the number on the label, without slashes");
    const Result<Mass> mass = massFrom(container.quantity);
    if (!mass) return Error(mass.error()).at({"", 0, "", field + ".quantity"});
    if (mass->in(unit::kilogram) <= 0)
      return badInput("value.not_positive", "A container holds more than nothing.",
                      field + ".quantity");
    if (!named.insert(container.container).second ||
        context.snapshot.state(projection::container, container.container)) {
      Error error = badInput("container.known",
                             fmt::format("Container {} is labelled already.", container.container),
                             field + ".container");
      error.fault = Fault::conflict;
      return error;
    }
  }
  std::vector<Subject> subjects{lotSubject(in.lot)};
  for (const Container& c : in.containers) subjects.push_back({"container", c.container});
  return std::vector<NewFact>{fact(context, "container.labelled", in, std::move(subjects))};
}

struct ReturnContainer {
  std::string container;
  Measure mass;
  std::string gauge;
  std::optional<std::string> attachment;
  std::optional<std::string> layout;  ///< by which `mass` was read from the file before
  Remark remark;
  template <class V>
  void describe(V& v) {
    v("container", container);
    v("mass", mass);
    v("gauge", gauge);
    v("attachment", attachment);
    v("layout", layout);
    v("remark", remark);
  }
};

Measure leftIn(const ContainerState& container) {
  const Measure& quantity = container.quantity;
  return {Decimal::fixed(quantity.value.value() - container.used.value.value(),
                         std::max(quantity.value.decimals(), container.used.value.decimals())),
          quantity.unit};
}

Decision giveBack(const Context& context, ReturnContainer in) {
  const Result<ContainerState> container =
      require<ContainerState>(context, projection::container, in.container);
  if (!container) return Error(container.error()).at({"", 0, "", "container"});
  const Result<Mass> mass = massFrom(in.mass);
  if (!mass) return Error(mass.error()).at({"", 0, "", "mass"});
  if (mass->in(unit::kilogram) < 0)
    return badInput("value.negative", "What is left cannot be below nothing.", "mass");
  if (const auto gauge = requireNoun<Gauge>(context, projection::gauge, in.gauge); !gauge)
    return Error(gauge.error()).at({"", 0, "", "gauge"});
  if (Result<void> c = checkNoCorrection(in.remark,
                                         "Weigh the container again and return it once "
                                         "more: the newest weighing counts.");
      !c)
    return c.error();
  in.remark.irregular.clear();
  const ContainerReturned returned{in.container, in.mass,       leftIn(*container),
                                   in.gauge,     in.attachment, in.remark};
  return std::vector<NewFact>{fact(context, "container.returned", returned,
                                   {{"container", in.container}, lotSubject(container->lot)})};
}

struct ExtendLot {
  std::string lot;
  Day use_by;
  std::string why;
  template <class V>
  void describe(V& v) {
    v("lot", lot);
    v("use_by", use_by);
    v("why", why);
  }
};

Decision extend(const Context& context, ExtendLot in) {
  const Result<LotState> lot = require<LotState>(context, projection::lot, in.lot);
  if (!lot) return Error(lot.error()).at({"", 0, "", "lot"});
  if (in.why.empty())
    return badInput("lot.why_missing", "Moving a use-by day needs its reason.", "why");
  const auto material =
      requireNoun<Material>(context, projection::material, lot->received.material);
  if (!material) return material.error();
  if (gate::Obstacles obstacles = gate::mayExtend(*lot, material->noun, in.use_by, context.today());
      !obstacles.empty())
    return gate::refusal(fmt::format("The use-by day of lot {} stays.", in.lot),
                         std::move(obstacles));
  return std::vector<NewFact>{fact(context, "lot.extended",
                                   LotExtended{in.lot, in.use_by, *lot->gate.verdict, in.why},
                                   {lotSubject(in.lot)})};
}

}  // namespace

std::span<const Kind> storeRoomVerbs() {
  static constexpr Kind list[] = {
      verb<ContainersLabelled, label>("container label", Operation::goods_in,
                                      "label the containers of a lot, each with its quantity"),
      verb<ReturnContainer, giveBack>("container return", Operation::mixing,
                                      "weigh a part-used container back into the store"),
      verb<ExtendLot, extend>("lot extend", Operation::lot_gate,
                              "move a lot's use-by day after a retest"),
  };
  return list;
}

}  // namespace platemark::act
