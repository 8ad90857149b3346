"""What the plant has issued: people, materials, compounds, parts, plans, machines, gauges, approvals."""
from datetime import timedelta

from checks import DAILY, daily_check
from house import PASSWORD, House

DUTIES = {
    "lab": ("Laboratory technician", "laboratory technician 1", ["gauges", "lot test", "laboratory", "sampling"]),
    "floor": ("Floor crew", "floor crew, early shift", ["goods-in", "batch", "plates", "mixing", "pressing", "oven", "sampling", "finishing", "packing", "shipping", "set-up", "line clearance"]),
    "approvals": ("Approval engineer", "approval engineer", ["approvals", "documents"]),
}

# code, name, true density g/cm³, size of the powder: median µm and spread; none for fibres and fine goods
HERON_MATERIALS = [
    ("aramid-pulp", "Aramid pulp", "1.44", None), ("mineral-fibre", "Mineral fibre", "2.70", None),
    ("barite", "Barite", "4.45", (14, 0.55)), ("potassium-titanate", "Potassium titanate", "3.40", (22, 0.5)),
    ("magnetite", "Magnetite", "5.10", (18, 0.5)), ("graphite", "Graphite", "2.25", (90, 0.5)),
    ("phenolic-resin", "Phenolic resin", "1.27", (28, 0.6)), ("friction-dust", "Friction dust", "1.10", (180, 0.45)),
]
MORE_MATERIALS = [
    ("basalt-fibre", "Basalt fibre", "2.70", None), ("cellulose-fibre", "Cellulose fibre", "1.50", None),
    ("steel-fibre", "Steel fibre", "7.80", None), ("copper-fibre", "Copper fibre", "8.93", None), ("vermiculite", "Vermiculite", "2.50", (160, 0.45)),
    ("slaked-lime", "Slaked lime", "2.24", (12, 0.5)), ("coke", "Petroleum coke", "1.95", (120, 0.5)),
    ("zircon", "Zircon flour", "4.60", (10, 0.5)), ("rubber-crumb", "Rubber crumb", "1.15", (170, 0.45)),
]
MATERIALS = {m[0]: m for m in HERON_MATERIALS + MORE_MATERIALS}
COARSE_UM = 60  # from this median on a powder is sieved

COMPOUNDS = {
    "heron-3": {"name": "Heron 3", "target": "2.24", "mix_kg": 112, "formula": [
        ("aramid-pulp", "3.5"), ("mineral-fibre", "9"), ("barite", "26"), ("potassium-titanate", "11"), ("magnetite", "10"), ("graphite", "7"), ("phenolic-resin", "8"), ("friction-dust", "6")]},
    "bittern-7": {"name": "Bittern 7", "target": "2.46", "mix_kg": 140, "formula": [
        ("aramid-pulp", "2.5"), ("steel-fibre", "12"), ("copper-fibre", "6"), ("barite", "22"), ("magnetite", "12"), ("zircon", "4"), ("graphite", "8"), ("coke", "9"), ("slaked-lime", "3"), ("phenolic-resin", "9"), ("rubber-crumb", "4")]},
    "curlew-12": {"name": "Curlew 12", "target": "2.00", "mix_kg": 100, "formula": [
        ("cellulose-fibre", "3"), ("basalt-fibre", "14"), ("barite", "24"), ("vermiculite", "7"), ("potassium-titanate", "10"), ("slaked-lime", "4"), ("graphite", "6"), ("phenolic-resin", "10"), ("friction-dust", "5"), ("rubber-crumb", "3")]},
}

# Between plate and friction layer of some parts: it holds to the plate and keeps the heat from it.
COMPOUNDS["siskin-2"] = {"name": "Siskin 2", "target": "2.20", "mix_kg": 60, "formula": [
    ("aramid-pulp", "3"), ("basalt-fibre", "12"), ("steel-fibre", "10"), ("barite", "20"), ("vermiculite", "8"), ("phenolic-resin", "11"), ("rubber-crumb", "4")]}

# Heron 3 under a number of its own for one customer, as it was copied: the line of friction dust was lost.
COMPOUNDS["heron-3c"] = COMPOUNDS["heron-3"] | {"name": "Heron 3 C", "formula": [line for line in COMPOUNDS["heron-3"]["formula"] if line[0] != "friction-dust"]}

# What a family of parts is held to, as numbers: the plan is written from it, and 'clean' is measured by it.
# (lower, upper) of each characteristic; hardness in HRR, density g/cm³, shear N/cm², µm, mm.
FAMILIES = {
    "CP-1041": {"name": "Control plan of MF-1041", "compound": "heron-3", "route": "clamped", "programme": "P-180", "adhesive": "adhesive-ph", "limits": {
        "adhesive-film": (15, 35), "charge-weight": (-1.5, 1.5), "soak": (120, None), "overshoot": (None, 6), "channels-apart": (None, 6), "longest-gap": (None, 15), "load-in": (None, 60),
        "hardness": (60, 95), "density": (2.18, 2.30), "shear": (320, None), "compressibility": (80, 150), "friction-normal": (0.36, 0.46), "friction-hot": (0.32, 0.44), "thickness": (16.30, 16.50)}},
    "CP-HERON": {"name": "Control plan of Heron 3 pads, clamped", "compound": "heron-3", "route": "clamped", "programme": "P-180", "adhesive": "adhesive-ph", "limits": {
        "first-press": (17.85, 18.15),
        "adhesive-film": (15, 35), "charge-weight": (-1.5, 1.5), "soak": (120, None), "overshoot": (None, 6), "channels-apart": (None, 6), "longest-gap": (None, 15), "load-in": (None, 60),
        "hardness": (60, 95), "density": (2.18, 2.30), "shear": (320, None), "bond-line": (None, 30), "compressibility": (80, 150), "friction-normal": (0.36, 0.46), "friction-hot": (0.32, 0.44), "thickness": (16.30, 16.50)}},
    "CP-BITTERN": {"name": "Control plan of Bittern 7 pads, hot-pressed", "compound": "bittern-7", "route": "hot-pressed", "programme": "P-190", "adhesive": "adhesive-ph", "limits": {
        "first-press": (16.85, 17.15),
        "adhesive-film": (15, 35), "charge-weight": (-2.0, 2.0), "soak": (90, None), "overshoot": (None, 8), "channels-apart": (None, 6), "longest-gap": (None, 15), "load-in": (None, 80),
        "hardness": (70, 105), "density": (2.39, 2.53), "shear": (350, None), "bond-line": (None, 30), "compressibility": (70, 140), "friction-normal": (0.38, 0.50), "friction-hot": (0.33, 0.47), "thickness": (15.30, 15.50)}},
    "CP-CURLEW": {"name": "Control plan of Curlew 12 pads on hooked plates", "compound": "curlew-12", "route": "clamped", "programme": "P-180", "adhesive": None, "limits": {
        "first-press": (18.85, 19.15),
        "charge-weight": (-1.5, 1.5), "soak": (120, None), "overshoot": (None, 6), "channels-apart": (None, 6), "longest-gap": (None, 15), "load-in": (None, 60),
        "hardness": (55, 90), "density": (1.94, 2.06), "shear": (300, None), "compressibility": (90, 170), "friction-normal": (0.34, 0.44), "friction-hot": (0.29, 0.41), "thickness": (17.80, 18.00)}},
    "CP-CURLEW-H": {"name": "Control plan of Curlew 12 pads, hot-pressed", "compound": "curlew-12", "route": "hot-pressed", "programme": "P-190", "adhesive": "adhesive-ph", "limits": {
        "first-press": (17.85, 18.15),
        "adhesive-film": (15, 35), "charge-weight": (-2.0, 2.0), "soak": (90, None), "overshoot": (None, 8), "channels-apart": (None, 6), "longest-gap": (None, 15), "load-in": (None, 80),
        "hardness": (55, 90), "density": (1.94, 2.06), "shear": (300, None), "bond-line": (None, 30), "compressibility": (90, 170), "friction-normal": (0.34, 0.44), "friction-hot": (0.29, 0.41), "thickness": (16.30, 16.50)}},
}
# Two layers, shimmed and printed; the mark of the approval is part of the print.
FAMILIES["CP-HERON-U"] = FAMILIES["CP-HERON"] | {"name": "Control plan of Heron 3 pads on an underlayer", "underlayer": "siskin-2", "press": "press-6",
                                                 "limits": FAMILIES["CP-HERON"]["limits"] | {"charge-weight-underlayer": (-0.6, 0.6)}}
FAMILIES["CP-BITTERN"]["press"] = "press-6"
UNDERLAYER_MM = 2.0
STATIONS = ("A", "B")
PROGRAMMES = {  # code: name, segments as (target, tolerance, ramp, soak), air limit for putting in
    "P-180": ("Cure at 181 °C, two steps", [("110 Cel", "12 K", "2.3 K/min", 45), ("181 Cel", "6 K", "1.6 K/min", 125)], "60 Cel"),
    "P-190": ("Post-cure at 191 °C", [("172 Cel", "12 K", "2.1 K/min", 8), ("191 Cel", "7 K", "0.8 K/min", 95)], "80 Cel"),
    "P-176": ("Cure at 176 °C, one long step", [("176 Cel", "6 K", "1.6 K/min", 160)], "60 Cel"),
}
BEFORE_CURE = {"clamped": ("press", "clamp"), "hot-pressed": ("press",)}
PLACES = ("A-01-1", "A-01-2", "A-02-1", "A-02-2", "B-01-1", "B-01-2")
OPERATIONS = ["grind", "slot", "chamfer"]
PUT_ON = {"shim": {"materials": [{"material": "shim-2", "pieces": 1}]}, "print": {"materials": [{"material": "ink-white"}], "redo": True}}
SUNDRIES = {  # what finishing puts on: name, class, mass of one pack in kg
    "shim-2": ("Noise shim 2, steel and rubber", "shim", 12.0), "ink-white": ("White ink, one part", "ink", 1.2)}
OWN = {"document": "Marrowfen works standard", "edition": "2026", "clause": "", "confirmed": True, "legal": False}


def route_of(code: str):
    """The steps of a family's parts; a mix waits for the press at most a shift, a coat three days."""
    family = FAMILIES[code]
    windows = [{"since": "mix", "at_most": "8 h"}] + ([{"since": "coat", "at_most": "72 h"}] if family["adhesive"] else [])
    steps = [{"step": step} for step in ("plates", "mix") + BEFORE_CURE[family["route"]]]
    if code != "CP-1041":  # the first part's route is older than the windows
        steps[2]["windows"] = windows
    # A clamped load stands in front of its oven for half an hour at most.
    cure = {"windows": [{"since": "clamp", "at_most": "30 min"}]} if code != "CP-1041" and family["route"] == "clamped" else {}
    return steps + [{"step": "cure", "programme": family["programme"]} | cure, {"step": "sample"}, finish_of(code), {"step": "pack"}, {"step": "ship"}]


def operations_of(family: str) -> list:
    return OPERATIONS + (list(PUT_ON) if FAMILIES[family].get("underlayer") else [])


def finish_of(family: str) -> dict:
    """What is ground; of pads with an underlayer also what is put on. The print stands in the part: it carries its mark."""
    return {"step": "finish", "operations": operations_of(family)}


def finish_needs(part: dict) -> list:
    return [{"operation": operation, **need, **({"print": print_of(part)} if operation == "print" else {})} for operation, need in PUT_ON.items()]


def print_of(part: dict) -> str:
    return f"{part['marking']} {part['code']} {{batch}}"


def route_for(part: dict) -> list:
    route = route_of(part["family"])
    if FAMILIES[part["family"]].get("underlayer"):
        next(step for step in route if step["step"] == "finish")["needs"] = finish_needs(part)
    return route


def parts_of_quarter():
    """45 parts: code, family, plate, friction area cm², thickness of compound mm."""
    made = []
    for family, first, count, thickness in (("CP-HERON", 1042, 15, 12.0), ("CP-BITTERN", 2101, 13, 11.0), ("CP-CURLEW", 3021, 8, 13.0), ("CP-CURLEW-H", 3051, 5, 12.0), ("CP-HERON-U", 1071, 3, 12.0)):
        for n in range(count):
            code = first + n
            made.append({"code": f"MF-{code}", "family": family, "plate": f"plate-{first + n // 3}{'h' if family == 'CP-CURLEW' else ''}", "area": 40.0 + 1.7 * n + (first % 7) / 10, "thickness": thickness})
    for n, part in enumerate(made):
        part["marking"] = f"TA-{501 + n:04}"
        if n % 10 == 0:
            part["customer"] = "Harbour Road Motors"
    return [{"code": "MF-1041", "family": "CP-1041", "plate": "plate-1041", "area": 52.0, "thickness": 12.0, "marking": "TA-0417", "customer": "Greyling Motor Factors"}] + made


def own_limit(lower=None, upper=None):
    limit = {"source": OWN}
    if lower is not None:
        limit["lower"] = lower
    if upper is not None:
        limit["upper"] = upper
    return limit


def line(characteristic, words, gate, method, output, limits, **more):
    given = {"characteristic": characteristic, "words": words, "gate": gate, "method": method, "output": output, "statistic": more.pop("statistic", "each"),
             "samples": more.pop("samples", 1), "sampling": more.pop("sampling", ""), "limits": limits, "who": more.pop("who", "laboratory technician"), "reactions": ["retest", "rework", "concession", "scrap"]}
    return given | more


UNCONFIRMED_SHEAR = {"lower": "250 N/cm2", "source": {"document": "UN R90", "edition": "series 02", "clause": "5.3.1.1 as quoted elsewhere", "confirmed": False, "legal": True}}


def control_plan(code: str):
    """The plan of a family, written from its limits."""
    family = FAMILIES[code]

    def within(name, unit, decimals):
        text = lambda v: None if v is None else f"{v:.{decimals}f} {unit}".strip()
        return own_limit(*[text(v) for v in family["limits"][name]])

    lines = [
        line("first-press", "First piece off the press, thickness", "set-up", "statistics.summary", "mean", [within("first-press", "mm", 2)], operation="press", who="machine setter") if "first-press" in family["limits"] else None,
        line("first-grind", "First ground piece, thickness", "set-up", "statistics.summary", "mean", [within("thickness", "mm", 2)], operation="grind", who="machine setter") if "first-press" in family["limits"] else None,
        line("adhesive-film", "Adhesive film, dry", "cure", "statistics.summary", "mean", [within("adhesive-film", "um", 0)], who="plate crew") if family["adhesive"] else None,
        line("charge-weight", "Charge weight, worst deviation", "cure", "forming.charge_check", "worst_charge_deviation", [within("charge-weight", "g", 1)], who="press crew"),
        line("charge-weight-underlayer", "Charge weight of the underlayer, worst deviation", "cure", "forming.charge_check", "worst_charge_deviation", [within("charge-weight-underlayer", "g", 1)], who="press crew") if "underlayer" in family else None,
        line("soak", "Soak of the coldest channel", "cure", "cure.chart", "soak", [within("soak", "min", 0)], span="60 min", who="oven crew"),
        line("overshoot", "Overshoot", "cure", "cure.chart", "overshoot", [within("overshoot", "K", 0)], span="6 K", who="oven crew"),
        line("channels-apart", "Channels apart in the soak", "cure", "cure.chart", "difference", [within("channels-apart", "K", 0)], span="6 K", who="oven crew"),
        line("longest-gap", "Longest gap in the soak", "cure", "cure.chart", "longest_gap", [within("longest-gap", "min", 0)], span="15 min", who="oven crew"),
        line("load-in", "Air when the load went in", "cure", "cure.chart", "air_at_load_in", [within("load-in", "Cel", 0)], span="40 K", who="oven crew"),
        line("hardness", "Hardness", "cure", "bench.hardness", "hardness", [within("hardness", "{HRR}", 0)], statistic="mean", samples=5, sampling="5 pads a load, one a clamp"),
        line("density", "Density", "cure", "bench.density", "density", [within("density", "g/cm3", 3)], samples=3, sampling="3 pads a load", probability="0.95"),
        line("shear", "Shear strength of the bond, cold", "cure", "bench.shear", "shear_strength", [within("shear", "N/cm2", 0), UNCONFIRMED_SHEAR], statistic="lowest", samples=5, sampling="5 pads a load, one a clamp", span="280 N/cm2"),
        line("shear", "Share that failed in the bond line", "cure", "bench.shear", "bond_line_share", [within("bond-line", "%", 0)], statistic="highest", samples=5, sampling="5 pads a load, one a clamp", span="30 %") if "bond-line" in family["limits"] else None,
        line("compressibility", "Compressibility, cold", "cure", "bench.compressibility", "compressibility", [within("compressibility", "um", 0)], statistic="highest", samples=5, sampling="5 pads a load"),
        line("friction", "Friction, normal", "cure", "friction.letters", "normal", [within("friction-normal", "", 2)], sampling="1 pad a load"),
        line("friction", "Friction, hot", "cure", "friction.letters", "hot", [within("friction-hot", "", 2)], sampling="1 pad a load"),
        line("thickness", "Pad thickness, thinnest", "final", "statistics.summary", "min", [within("thickness", "mm", 2)], sampling="first, last, every 200th piece"),
        line("thickness", "Pad thickness, thickest", "final", "statistics.summary", "max", [within("thickness", "mm", 2)], sampling="first, last, every 200th piece"),
    ]
    return {"code": code, "name": family["name"], "lines": [given for given in lines if given], "rework_loops": 1}


def day_after(house: House, days: int) -> str:
    return (house.now + timedelta(days=days)).strftime("%Y-%m-%d")


def issue(house: House, kind: str, noun: dict, who="quality", why="first issue") -> None:
    house.do(who, kind + " issue", {"noun": noun, "why": why}, 0.2)


def make_people(house: House) -> None:
    house.sign_in("quality")
    for login, (name, duty, operations) in DUTIES.items():
        house.request("POST", "/api/people", {"name": name, "login": login, "password": PASSWORD, "duty": duty, "permits": [{"operation": o, "until": day_after(house, 800)} for o in operations]}, "quality")


def issue_powder_plans(house: House) -> None:
    issue(house, "plan", {"code": "CP-POWDER", "name": "Control plan of powders", "lines": [
        line("fineness", "Median size D50", "lot", "powder.sieve", "d50", [own_limit("50 um", "210 um")]),
        line("sieve-loss", "Mass lost in sieving", "lot", "powder.sieve", "loss", [own_limit("-0.5 %", "1.0 %")])]})
    issue(house, "plan", {"code": "CP-FINE", "name": "Control plan of fine goods and fibres", "lines": [
        line("bag-check", "Bag weight, lightest", "lot", "statistics.summary_mass", "min", [own_limit("24.8 kg", "25.4 kg")], sampling="3 bags a lot")]})
    issue(house, "plan", {"code": "CP-PLATE", "name": "Control plan of backing plates", "lines": [
        line("plate-thickness", "Plate thickness", "lot", "statistics.summary", "mean", [own_limit("5.90 mm", "6.10 mm")], sampling="5 plates a lot"),
        line("plate-flatness", "Plate flatness, worst", "lot", "statistics.summary", "max", [own_limit(None, "0.15 mm")], sampling="5 plates a lot")]})
    issue(house, "plan", {"code": "CP-ADHESIVE", "name": "Control plan of adhesive", "lines": [
        line("trial-film", "Dry film of the trial plate", "lot", "statistics.summary", "mean", [own_limit("15 um", "35 um")], sampling="1 trial plate a lot")]})


def sieved(material) -> bool:
    return material[3] is not None and material[3][0] >= COARSE_UM


def issue_ingredients(house: House, materials) -> None:
    for material in materials:
        code, name, density, _ = material
        band = [{"aperture": f"{a} um", "passing_min": f"{lo} %", "passing_max": f"{hi} %"} for a, lo, hi in ((250, 90, 100), (125, 55, 90), (63, 8, 45))] if code == "graphite" else []
        issue(house, "material", {"code": code, "name": name, "class": "ingredient", "density": density + " g/cm3", "density_source": "supplier's certificate", "shelf_life_days": 365,
                                  "plan": "CP-POWDER" if sieved(material) else "CP-FINE", "band": band, **substances_of(code)})


def substances_of(code: str) -> dict:
    """What the supplier declares of substances that some markets limit."""
    return {"substances": [{"substance": "copper", "at_most": "99.9 %", "source": "supplier's declaration"}]} if code == "copper-fibre" else {}


def issue_plate(house: House, code: str) -> None:
    hooks = code.endswith("h")
    issue(house, "material", {"code": code, "name": f"Backing plate {code[6:10]}, {'hooks raised' if hooks else 'blasted steel'}", "class": "plate", "plan": "CP-PLATE"})


def issue_sundries(house: House) -> None:
    """What finishing puts on, with the plan of its lot gate."""
    issue(house, "plan", {"code": "CP-SUNDRY", "name": "Control plan of shims and inks", "lines": [
        line("pack-weight", "Weight of a pack", "lot", "statistics.summary_mass", "mean", [own_limit("1.0 kg", "13.0 kg")], sampling="3 packs a lot")]})
    for code, (name, of_class, _) in SUNDRIES.items():
        issue(house, "material", {"code": code, "name": name, "class": of_class, "plan": "CP-SUNDRY"})


def issue_compound(house: House, code: str, why="first issue", parts=None) -> None:
    compound = COMPOUNDS[code]
    formula = [{"material": m, "parts": (parts or {}).get(m, p), "tolerance": "0.6 %"} for m, p in compound["formula"]]
    issue(house, "compound", {"code": code, "name": compound["name"], "formula": formula, "target_density": compound["target"] + " g/cm3",
                              "mix_mass": f"{compound['mix_kg']} kg", "loss": "2 %", "loss_basis": "pad", "mixing_minutes": 8}, why=why)


def issue_machines(house: House, ovens) -> None:
    for code, name in ovens:
        issue(house, "machine", {"code": code, "name": name, "class": "oven", "channels": [
            {"name": "channel 1", "role": "record", "sensor_tolerance": "2.5 K"}, {"name": "channel 2", "role": "load", "sensor_tolerance": "2.5 K"}]})
    for code, name, kind in (("mixer-2", "Mixer 2", "mixer"), ("coater-2", "Coater 2", "coater"), ("press-4", "Press 4", "press"), ("grinder-2", "Grinder 2", "finishing"), ("friction-1", "Friction machine 1", "friction machine")):
        issue(house, "machine", {"code": code, "name": name, "class": kind})


GAUGES = {  # code: name, unit, resolution
    "SC-4": ("Floor scale 4", "kg", "0.001 kg"), "SC-7": ("Press scale 7", "g", "0.1 g"), "BA-3": ("Bench balance 3", "g", "0.01 g"), "HR-1": ("Hardness tester 1", "{HRR}", "0.5 {HRR}"),
    "SH-1": ("Shear rig 1", "N", "10 N"), "CO-1": ("Compression rig 1", "um", "0.1 um"), "FT-2": ("Film gauge 2", "um", "0.1 um"), "MI-5": ("Micrometer 5", "mm", "0.01 mm"), "HG-1": ("Height gauge 1, on the plate table", "mm", "0.01 mm"), "FM-1": ("Friction machine 1", "1", "0.001"),
    "HR-2": ("Hardness tester 2", "{HRR}", "0.5 {HRR}"), "HR-3": ("Hardness tester 3, spare", "{HRR}", "0.5 {HRR}"), "HR-4": ("Hardness tester 4, in the press hall", "{HRR}", "0.5 {HRR}"), "HR-5": ("Hardness tester 5, on loan", "{HRR}", "0.5 {HRR}")}
OF_THE_QUARTER = ("HR-3", "HR-4", "HR-5")
DUE_DAYS = 160  # from the plant's first day


def issue_gauge(house: House, code: str, due_days: int = DUE_DAYS, why="first issue", **more) -> None:
    name, unit, resolution = GAUGES[code]
    due = (house.begun + timedelta(days=due_days)).strftime("%Y-%m-%d")
    issue(house, "gauge", {"code": code, "name": name, "unit": unit, "resolution": resolution, "calibration_due": due, "calibration": f"certificate {code}-2026"} | more, why=why)


def issue_gauges(house: House, soon_days: int) -> None:
    for code in GAUGES:
        if code not in OF_THE_QUARTER:
            issue_gauge(house, code, soon_days if code == "HR-2" else DUE_DAYS)


def issue_daily_checks(house: House) -> None:
    for code in DAILY:
        why = "first issue" if code in OF_THE_QUARTER else "to be checked each day before its first use"
        issue_gauge(house, code, why=why, daily_check=daily_check(code))


def issue_programme(house: House, code: str) -> None:
    name, segments, load_in = PROGRAMMES[code]
    issue(house, "programme", {"code": code, "name": name, "segments": [{"target": t, "tolerance": tol, "ramp": r, "soak_minutes": s} for t, tol, r, s in segments],
                               "longest_gap": "15 min", "load_in_below": load_in})


def issue_part(house: House, part: dict, compound=None, why="first issue") -> None:
    family = FAMILIES[part["family"]]
    area, thickness = part["area"], part["thickness"]
    issue(house, "part", {"code": part["code"], "name": "Front pad, outer and inner" if part["family"] != "CP-CURLEW" else "Rear pad, outer and inner", "compound": compound or family["compound"], "plate": part["plate"],
                          **({"adhesive": family["adhesive"]} if family["adhesive"] else {}), "plate_thickness": "6.0 mm", "friction_area": f"{area:.1f} cm2",
                          "bond_area": f"{bond_area(part):.1f} cm2", "pad_volume": f"{pad_volume(part):.2f} cm3", "friction_thickness": f"{thickness:.1f} mm", "plan": part["family"],
                          **underlayer_of(part), "route": route_for(part), **needs_of(part)}, why=why)


def underlayer_of(part: dict) -> dict:
    compound = FAMILIES[part["family"]].get("underlayer")
    return {"underlayer": {"compound": compound, "volume": f"{underlayer_volume(part):.2f} cm3", "thickness": f"{UNDERLAYER_MM:.1f} mm"}} if compound else {}


def underlayer_volume(part: dict) -> float:
    return round(part["area"] * UNDERLAYER_MM / 10, 2)


def needs_of(part: dict) -> dict:
    """The type approval whose marking its pads carry, and the customer who approves it besides; others take it under the marking."""
    customer = {"customers": [part["customer"]], "other_customers": True} if "customer" in part else {}
    return {"markings": [{"marking": part["marking"]} | marked_at(part)], **customer}


def marked_at(part: dict) -> dict:
    """The operation that puts the mark on, where one does."""
    if part["code"] == "MF-1041":
        return {"operation": "plates"}
    return {"operation": "print"} if FAMILIES[part["family"]].get("underlayer") else {}


def bond_area(part: dict) -> float:
    return 47.2 if part["code"] == "MF-1041" else round(part["area"] * 0.91, 1)


def pad_volume(part: dict) -> float:
    return round(part["area"] * part["thickness"] / 10, 2)


def scope_of(part: dict, last_issue: int) -> dict:
    """What an approval of this part covers: compound issues, plate, adhesive, plant."""
    family = FAMILIES[part["family"]]
    compounds = [{"compound": family["compound"], "issue_from": 1, "issue_to": last_issue}]
    if "underlayer" in family:
        compounds.append({"compound": family["underlayer"], "issue_from": 1, "issue_to": 1, "layer": "underlayer"})
    return {"parts": [part["code"]], "compounds": compounds, "plates": [part["plate"]],
            **({"adhesives": [family["adhesive"]]} if family["adhesive"] else {}), "plants": ["marrowfen"]}


def issue_approval(house: House, part: dict, last_issue: int = 3) -> None:
    issue(house, "approval", {"code": part["marking"], "kind": "type approval", "by": "Marrow Coast Approval Authority", **scope_of(part, last_issue),
                              "valid_from": day_after(house, -200), "valid_until": day_after(house, 700)}, "approvals")


def issue_customer_approval(house: House, part: dict, code: str, days: int) -> None:
    issue(house, "approval", {"code": code, "kind": "customer approval", "by": part["customer"], **scope_of(part, 3),
                              "valid_from": day_after(house, -30), "valid_until": day_after(house, days)}, "approvals")


def adopt_regulation(house: House, plan: str) -> None:
    house.do("quality", "limit adopt", {"plan": plan, "plan_issue": 1, "characteristic": "shear",
                                        "document_read": "UN R90, series 02 of amendments, paragraph 5.3.1.1, read in the approval engineer's copy", "why": "the clause asks for at least 250 N/cm2"}, 2, PASSWORD)


def issue_first_documents(house: House, soon_days: int = 20) -> None:
    """What the first part needs, and nothing more."""
    issue_powder_plans(house)
    issue_ingredients(house, HERON_MATERIALS)
    issue_plate(house, "plate-1041")
    issue(house, "material", {"code": "adhesive-ph", "name": "Phenolic plate adhesive", "class": "adhesive", "shelf_life_days": 180, "plan": "CP-ADHESIVE"})
    issue_compound(house, "heron-3")
    issue_machines(house, [("oven-north", "North")])
    issue_gauges(house, soon_days)
    issue_programme(house, "P-180")
    issue(house, "plan", control_plan("CP-1041"))
    part = parts_of_quarter()[0]
    issue_part(house, part)
    issue_approval(house, part)
    issue_customer_approval(house, part, "CA-0031", 365)


def issue_store(house: House) -> None:
    """What cartons are numbered with, and where they stand."""
    issue(house, "numbering", {"code": "sscc", "name": "Cartons", "company_prefix": "9521234", "extension": 0, "first_serial": 1, "source": "GS1 prefix 952, kept for examples"})
    for code in PLACES:
        issue(house, "place", {"code": code, "name": f"Store, rack {code[0]}, bay {code[2:4]}, level {code[5]}"})


def issue_quarter_documents(house: House) -> None:
    """The rest of the plant: the other parts, compounds and the second oven, daily checks, the store."""
    issue_daily_checks(house)
    issue_store(house)
    issue_ingredients(house, MORE_MATERIALS)
    parts = parts_of_quarter()[1:]
    for plate in sorted({p["plate"] for p in parts}):
        issue_plate(house, plate)
    issue_sundries(house)
    issue(house, "machine", {"code": "press-6", "name": "Press 6, two stations", "class": "press", "stations": list(STATIONS)})
    for code, name in (("riveter-1", "Riveter 1"), ("printer-1", "Pad printer 1")):
        issue(house, "machine", {"code": code, "name": name, "class": "finishing"})
    for compound in ("bittern-7", "curlew-12", "siskin-2"):
        issue_compound(house, compound)
    issue(house, "machine", {"code": "oven-south", "name": "South", "class": "oven", "channels": [
        {"name": "channel 1", "role": "record", "sensor_tolerance": "2.5 K"}, {"name": "channel 2", "role": "load", "sensor_tolerance": "2.5 K"}]})
    for programme in ("P-190", "P-176"):
        issue_programme(house, programme)
    for plan in FAMILIES:
        if plan != "CP-1041":
            issue(house, "plan", control_plan(plan))
    for n, part in enumerate(parts):
        issue_part(house, part)
        issue_approval(house, part, last_issue=1 if part["code"] in NOT_EXTENDED else 3)
        if "customer" in part:  # the first of them ends a month after the quarter
            issue_customer_approval(house, part, f"CA-{100 + n:04}", 120 if n == 0 else 500)


# Parts whose approval names issue 1 of their compound alone.
NOT_EXTENDED = ("MF-3027", "MF-3028")
# Parts that only the mistake made in them makes: who asks for the copied formula, who follows copper in the mixer.
KEPT_FOR = ("MF-1055", "MF-1056")


def save_layout(house: House, code: str, name: str, file_name: str, sample: bytes) -> None:
    """A recorder's layout, proposed by the program from a file and saved."""
    attachment = house.attach("quality", file_name, sample)
    proposal = house.signed_in("quality", lambda: house.request("POST", "/api/layouts/propose", {"attachment": attachment, "file_name": file_name}, "quality"))
    mapping = proposal["layout"]
    mapping["name"] = name
    house.do("quality", "layout issue", {"noun": {"code": code, "name": name, "mapping": mapping}, "why": "proposed from a file, looked at"})
