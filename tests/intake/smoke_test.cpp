#include <doctest/doctest.h>
#include "platemark/intake/series.h"
using namespace platemark; using namespace platemark::intake;
TEST_CASE("x"){
  FileLayout l; l.name="a"; l.time.zone="Europe/Berlin"; l.time.form=StampForm::day_month_year;
  l.decimal_mark=DecimalMark::comma;
  l.columns={{2,Role::reading,"T1","channel 1","Cel",Kind::temperature_point,{},{}}};
  MemorySource s("f.csv","Zeit;T1\n25.11.2026 07:40:00;20,5\n25.11.2026 07:40:01;20,75\n25.11.2026 07:40:02;---\n");
  auto r=readSeries(s,l);
  if(!r) MESSAGE(describe(r.error()));
  REQUIRE(r); CHECK(r->times.size()==3); CHECK(r->columns[0].values[1]==20.75);
  CHECK(formatInstant(Instant::fromUnixMs(r->times[1]))=="2026-11-25T06:40:01Z");
}
