/// What every route works with.
#pragma once

#include <functional>

#include "platemark/http/problem.h"
#include "platemark/http/router.h"
#include "platemark/service/house.h"
#include "heat/jobs.h"
#include "heat/what_if.h"
#include "recordings.h"
#include "sessions.h"
#include "today_shelf.h"
#include "view/view.h"

namespace platemark::service {

struct Context {
  House house;
  Sessions sessions;
  RecordingShelf recordings;
  Shelf<HeatCurves> curves;
  TodayShelf todays;
  Jobs jobs;
  bool behind_tls = false;  ///< cookies are then sent over TLS only

  [[nodiscard]] std::optional<PersonNumber> signedIn(const http::Request& request,
                                                     Sessions::Use use = Sessions::Use::counts);
};

void addSessionRoutes(http::Router& router, Context& context);
void addViewRoutes(http::Router& router, Context& context);
void addStationRoutes(http::Router& router, Context& context);
void addActRoutes(http::Router& router, Context& context);
void addFileRoutes(http::Router& router, Context& context);
void addExportRoutes(http::Router& router, Context& context);
void addHeatRoutes(http::Router& router, Context& context);
void addLabelRoutes(http::Router& router, Context& context);
/// After all routes are there.
void keepDoor(http::Router& router, Context& context);
inline constexpr std::string_view event_path = "/api/events";

[[nodiscard]] http::Response answer(const Value& value, int status = 200);
[[nodiscard]] http::Response answer(const Result<Value>& value);
/// The request's body as an object. Errors: json.*.
[[nodiscard]] Result<Value> bodyOf(const http::Request& request);
/// The signed-in person as the record knows them.
[[nodiscard]] std::optional<Person> personOnRecord(const ledger::Snapshot& snapshot,
                                                   std::optional<PersonNumber> number);
[[nodiscard]] Error notSignedIn();

/// Runs a view on a snapshot of now.
[[nodiscard]] http::Response show(Context& context, const http::Request& request,
                                  const std::function<Result<Value>(const view::Look&)>& make);

}  // namespace platemark::service
