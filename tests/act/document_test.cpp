/// Each part of a document that is checked, wrong once: refused with its code and place; and right.
#include "act/plant_fixture.h"
#include "support/cases.h"

namespace platemark::test {
namespace {

struct Document {
  std::string act, text;
};

const std::map<std::string, Document>& documents() {
  static const std::map<std::string, Document> all{
      {"box",
       {"material issue",
        "{'code':'BX-9','name':'x','class':'box','inside':{'length':'400 mm','width':'300 mm',"
        "'height':'200 mm'}}"}},
      {"powder",
       {"material issue",
        "{'code':'M-9','name':'x','class':'ingredient','density':'2.0 g/cm3','plan':'CP-lot',"
        "'band':[{'aperture':'0.25 mm','passing_min':'0 %','passing_max':'90 %'},{'aperture':"
        "'0.5 mm','passing_min':'90 %','passing_max':'100 %'}]}"}},
      {"part",
       {"part issue",
        "{'code':'MF-9','name':'x','compound':'C-1','plate':'plate-1','adhesive':'glue-1',"
        "'plate_thickness':'5 mm','friction_area':'45 cm2','bond_area':'47.2 cm2','pad_volume':"
        "'48 cm3','friction_thickness':'11 mm','plan':'CP-1','route':[{'step':'plates'},{'step':"
        "'press','windows':[{'since':'mix','at_most':'8 h'},{'since':'coat','at_most':'4 h'}]},"
        "{'step':'cure','programme':'P-180'}],'set':{'pads':4,'length':'150 mm','width':'60 mm',"
        "'height':'70 mm','clearance':'0 mm'}}"}},
      {"bare part",
       {"part issue",
        "{'code':'MF-9','name':'x','compound':'C-1','plate':'plate-1','plate_thickness':'5 mm',"
        "'friction_area':'45 cm2','bond_area':'47.2 cm2','pad_volume':'48 cm3',"
        "'friction_thickness':'11 mm','plan':'CP-1','route':[{'step':'plates'}]}"}},
      {"compound",
       {"compound issue",
        "{'code':'C-9','name':'x','formula':[{'material':'resin','parts':'20','tolerance':'1 %'},"
        "{'material':'iron','parts':'80','tolerance':'2 %'},{'material':'chalk','parts':'3',"
        "'tolerance':'1 %'}],'target_density':'3.0 g/cm3','mix_mass':'50 kg','loss':'2 %',"
        "'loss_basis':'pad','mixing_minutes':8}"}},
      {"bare compound",
       {"compound issue",
        "{'code':'C-9','name':'x','formula':[{'material':'resin','parts':'20','tolerance':'1 %'}],"
        "'target_density':'3.0 g/cm3','mix_mass':'50 kg','loss':'2 %','loss_basis':'pad',"
        "'mixing_minutes':8}"}},
      {"oven",
       {"machine issue",
        "{'code':'O-9','name':'x','class':'oven','channels':[{'name':'air','role':'control'},"
        "{'name':'pad','role':'load','sensor_tolerance':'1.5 K'}]}"}},
      {"press",
       {"machine issue",
        "{'code':'PR-9','name':'x','class':'press','channels':[],'stations':['A','B']}"}},
      {"thermometer",
       {"gauge issue",
        "{'code':'T-9','name':'x','unit':'Cel','resolution':'0.1 K','standard_uncertainty':"
        "'0.2 K','calibration_due':'2026-12-31','calibration':'K','daily_check':{'reference':"
        "'ice','nominal':'0 Cel','tolerance':'0.5 K'}}"}},
      {"plan",
       {"plan issue",
        "{'code':'CP-9','name':'x','lines':[{'characteristic':'shear','words':'shear','gate':"
        "'cure','method':'bench.shear','output':'shear_strength','statistic':'each','samples':1,"
        "'limits':[{'lower':'250 N/cm2','upper':'600 N/cm2','source':{'document':'Works "
        "standard','edition':'','clause':'','confirmed':true,'legal':false}}],'who':''},"
        "{'characteristic':'late','words':'late','gate':'final','method':'bench.shear','output':"
        "'shear_strength','statistic':'each','samples':2,'span':'40 N/cm2','limits':[{'lower':"
        "'200 N/cm2','source':{'document':'Works standard','edition':'','clause':'','confirmed':"
        "true,'legal':false}},{'upper':'900 N/cm2','source':{'document':'Law 7','edition':'',"
        "'clause':'','confirmed':true,'legal':true}}],'who':''}]}"}},
      {"programme",
       {"programme issue",
        "{'code':'P-9','name':'x','segments':[{'target':'180 Cel','tolerance':'5 K','ramp':'2 "
        "K/min','soak_minutes':60},{'target':'150 Cel','tolerance':'4 K','soak_minutes':60}],"
        "'longest_gap':'5 min','load_in_below':'60 Cel'}"}},
      {"bare programme",
       {"programme issue",
        "{'code':'P-9','name':'x','segments':[{'target':'180 Cel','tolerance':'5 K',"
        "'soak_minutes':60}],'longest_gap':'5 min','load_in_below':'60 Cel'}"}},
      {"approval",
       {"approval issue",
        "{'code':'A-9','kind':'type approval','parts':['MF-1'],'compounds':[{'compound':'C-1',"
        "'issue_from':1,'issue_to':1}],'plates':['plate-1'],'adhesives':[],'plants':[],'valid_from'"
        ":"
        "'2026-01-01','valid_until':'2026-12-31'}"}},
      {"numbering",
       {"numbering issue",
        "{'code':'N-9','name':'x','company_prefix':'4012345','first_serial':1,'source':"
        "'a letter'}"}},
      {"calibrated oven",
       {"machine issue",
        "{'code':'O-9','name':'x','class':'oven','drift_limit':'2 "
        "K','channels':[{'name':'1','role':"
        "'record','sensor_tolerance':'3 "
        "K','sensor':{'type':'K','class':1},'corrections':[{'at':'20 "
        "Cel','add':'1 K'},{'at':'200 Cel','add':'-2 K'}],'calibrated':'2026-01-01',"
        "'calibration_due':'2026-12-31','calibration':'C-7'},{'name':'2','role':"
        "'over-temperature'}]}"}},
      {"survey",
       {"survey issue",
        "{'code':'S-9','name':'x','oven':'O-1','surveyed':'2026-02-01','age_limit_days':90,"
        "'set_point':'180 Cel','uniformity':'5 K','source':'report','places':[{'tier':1,'position':"
        "1,'channel':'air','offset':'-2 K','u':'0.5 K'},{'tier':1,'position':2,'channel':'air',"
        "'offset':'1 K','u':'0.4 K'}]}"}},
      {"stacking",
       {"stacking issue",
        "{'code':'ST-9','name':'x','oven':'O-1','pads_in_stack':12,'end_plate':'10 mm','separator':"
        "'2 mm','area_over_girth':'17 mm','steel':{'density':'7850 kg/m3','conductivity':'50 "
        "W/(m.K)','capacity':'480 J/(kg.K)','capacity_slope':'0.001 /K','source':'a handbook'},"
        "'friction':[{'compound':'C-1','properties':{'density':'2500 kg/m3','conductivity':'1.2 "
        "W/(m.K)','capacity':'1000 J/(kg.K)','source':'own laboratory'}}],'film_ends':'60 "
        "W/(m2.K)','film_sides':'120 W/(m2.K)','joint':'500 W/(m2.K)','start':'25 "
        "Cel','film_u':'10 "
        "%','joint_u':'20 %','conductivity_u':'5 %','capacity_u':'3 %','source':'a trial'}"}},
      {"kinetics",
       {"kinetics issue",
        "{'code':'K-9','name':'x','compound':'C-1','model':'Kamal','plain':{'factor':'1000 /s',"
        "'energy':'80 kJ/mol'},'autocatalytic':{'factor':'2000 /min','energy':'60 kJ/mol'},'m':"
        "'0.8','n':'1.2','diffusion':{'steepness':'30','critical_at_zero':'-1','critical_per_"
        "kelvin'"
        ":'0.004 /K'},'start':'0.1','valid_from':'100 Cel','valid_to':'210 Cel','heat':'200 J/g',"
        "'binder':'8 %','rate_u':'3 %','heat_u':'10 %','source':'a report'}"}},
      {"person", {"person issue", "{'number':9,'duty':'x','public_key':'','permits':[]}"}},
  };
  return all;
}

/// The document of the row with its piece replaced, as it is sent.
std::string inputOf(const Case& row) {
  std::string text = documents().at(row.text("document")).text;
  const std::string& piece = row.text("piece");
  if (!piece.empty()) {
    const auto at = text.find(piece);
    REQUIRE_MESSAGE(at != std::string::npos, piece);
    text.replace(at, piece.size(), row.text("by"));
  }
  for (char& c : text)
    if (c == '\'') c = '"';
  return R"({"noun":)" + text + R"(,"why":""})";
}

}  // namespace

TEST_CASE("each part of a document is checked: kept as a whole, or refused with code and place") {
  Plant plant;
  plant.done("material issue", R"({"noun":{"code":"chalk","name":"chalk","class":"ingredient",)"
                               R"("density":"2.7 g/cm3","plan":"CP-lot"},"why":""})");
  for (const Case& row : loadCases("act/cases/document.csv").rows) {
    INFO(describeCase(row));
    std::string input = inputOf(row);
    const std::string act = documents().at(row.text("document")).act;
    const Sequence before = plant.store->read()->sequence();
    if (row.text("code").empty()) {
      // The good ones stand on record already, as earlier issues.
      input.replace(input.rfind(R"("why":"")"), 8, R"("why":"x")");
      const auto kept = plant.ask(act, input);
      const std::string why = kept ? "" : describe(kept.error());
      CHECK_MESSAGE(bool(kept), why);
      continue;
    }
    const auto answer = plant.ask(act, input);
    CHECK(plant.store->read()->sequence() == before);
    CHECK_FALSE(bool(answer));
    if (answer) continue;
    CHECK(answer.error().code == row.text("code"));
    CHECK(answer.error().where.field == row.text("field"));
  }
}

}  // namespace platemark::test
