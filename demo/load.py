#!/usr/bin/env python3
"""Lives a fortnight at Marrowfen through the program's own interface.

    demo/load.py --server build/release/demo/platemark_demo --folder build/demo

Three batches of one part: one clean and shipped with its certificate, one
undercured with a stuck sensor, one with a weak bond. Every fact goes through
the acts that a person would use; only the clock is ours.
"""
import argparse
import http.client
import json
import os
import subprocess
import sys
from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

from simulate import Plant

ZONE = ZoneInfo("Europe/Berlin")
PASSWORD = "marrowfen works"


class Refused(Exception):
    pass


class House:
    """The service, asked as the pages ask it."""

    def __init__(self, server: str, folder: str, pages: str) -> None:
        os.makedirs(folder, exist_ok=True)
        self.clock_file = os.path.join(folder, "clock.txt")
        self.token = 0
        self.cookies = {}
        self.now = None
        self._command = [server, folder, self.clock_file, pages]

    def start(self, moment: datetime) -> None:
        self.at(moment)
        self.process = subprocess.Popen(self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        line = self.process.stdout.readline().strip()
        if not line:
            raise SystemExit("the demo's server did not start")
        self.port = int(line)

    def stop(self) -> None:
        self.process.stdin.close()
        self.process.wait(timeout=30)
        os.remove(self.clock_file)

    def at(self, moment: datetime) -> None:
        self.now = moment
        temporary = self.clock_file + ".new"
        with open(temporary, "w") as out:
            out.write(moment.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ\n"))
        os.replace(temporary, self.clock_file)

    def wait(self, minutes: float) -> None:
        self.at(self.now + timedelta(minutes=minutes))

    def request(self, method: str, path: str, body=None, who=None, raw=None, headers=None):
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
        sent = {"X-Platemark": "1", "Content-Type": "application/json", **(headers or {})}
        if who in self.cookies:
            sent["Cookie"] = self.cookies[who]
        connection.request(method, path, raw if raw is not None else json.dumps(body) if body is not None else None, sent)
        answer = connection.getresponse()
        text = answer.read()
        cookie = answer.getheader("Set-Cookie")
        if cookie and who:
            self.cookies[who] = cookie.split(";")[0]
        value = json.loads(text) if text else None
        if answer.status >= 400:
            raise Refused(f"{method} {path}: {json.dumps(value, ensure_ascii=False)}")
        return value

    def asked(self, who: str, *request, **more):
        """A request; signs in again when the session was idle for too long."""
        try:
            return self.request(*request, who=who, **more)
        except Refused as refused:
            if "session.none" not in str(refused):
                raise
        self.sign_in(who)
        return self.request(*request, who=who, **more)

    def sign_in(self, who: str) -> None:
        self.request("POST", "/api/session", {"login": who, "password": PASSWORD}, who)

    def do(self, who: str, act: str, given: dict, minutes: float = 1, password=None):
        """One act; then the clock moves on."""
        self.token += 1
        body = {"token": f"demo-{self.token}", "input": given}
        if password:
            body["password"] = password
        done = self.asked(who, "POST", "/api/acts/" + act.replace(" ", "/"), body)
        self.wait(minutes)
        return done

    def attach(self, who: str, name: str, content: bytes) -> str:
        return self.asked(who, "POST", "/api/attachments", raw=content, headers={"X-File-Name": name})["hash"]


def subject(done) -> str:
    return done["created"]["id"]


DUTIES = {
    "lab": ("Laboratory technician", "laboratory technician 1", ["gauges", "lot test", "laboratory", "sampling"]),
    "floor": ("Floor crew", "floor crew, early shift", ["goods-in", "batch", "plates", "mixing", "pressing", "oven", "sampling", "finishing", "packing", "shipping", "set-up", "line clearance"]),
    "approvals": ("Approval engineer", "approval engineer", ["approvals", "documents"]),
}

# name, true density g/cm³, mass parts, median size µm, spread
INGREDIENTS = [
    ("aramid-pulp", "Aramid pulp", "1.44", "3.5", None), ("mineral-fibre", "Mineral fibre", "2.70", "9", None),
    ("barite", "Barite", "4.45", "26", (14, 0.55)), ("potassium-titanate", "Potassium titanate", "3.40", "11", (22, 0.5)),
    ("magnetite", "Magnetite", "5.10", "10", (18, 0.5)), ("graphite", "Graphite", "2.25", "7", (90, 0.5)),
    ("phenolic-resin", "Phenolic resin", "1.27", "8", (28, 0.6)), ("friction-dust", "Friction dust", "1.10", "6", (180, 0.45)),
]
APERTURES = [250, 180, 125, 90, 63, 45]
OWN = {"document": "Marrowfen works standard", "edition": "2026", "clause": "", "confirmed": True, "legal": False}


def own_limit(lower=None, upper=None):
    limit = {"source": OWN}
    if lower:
        limit["lower"] = lower
    if upper:
        limit["upper"] = upper
    return limit


def line(characteristic, words, gate, method, output, limits, **more):
    given = {"characteristic": characteristic, "words": words, "gate": gate, "method": method, "output": output, "statistic": more.pop("statistic", "each"),
             "samples": more.pop("samples", 1), "sampling": more.pop("sampling", ""), "limits": limits, "who": more.pop("who", "laboratory technician"), "reactions": ["retest", "rework", "scrap"]}
    return given | more


def control_plan():
    unconfirmed = {"lower": "250 N/cm2", "source": {"document": "UN R90", "edition": "series 02", "clause": "5.3.1.1 as quoted elsewhere", "confirmed": False, "legal": True}}
    return {"code": "CP-1041", "name": "Control plan of MF-1041", "lines": [
        line("adhesive-film", "Adhesive film, dry", "cure", "statistics.summary", "mean", [own_limit("15 um", "35 um")], who="plate crew"),
        line("charge-weight", "Charge weight, worst deviation", "cure", "forming.charge_check", "worst_charge_deviation", [own_limit("-1.5 g", "1.5 g")], who="press crew"),
        line("soak", "Soak of the coldest channel", "cure", "cure.chart", "soak", [own_limit("120 min")], span="60 min", who="oven crew"),
        line("overshoot", "Overshoot", "cure", "cure.chart", "overshoot", [own_limit(None, "6 K")], span="6 K", who="oven crew"),
        line("channels-apart", "Channels apart in the soak", "cure", "cure.chart", "difference", [own_limit(None, "6 K")], span="6 K", who="oven crew"),
        line("longest-gap", "Longest gap in the soak", "cure", "cure.chart", "longest_gap", [own_limit(None, "15 min")], span="15 min", who="oven crew"),
        line("load-in", "Air when the load went in", "cure", "cure.chart", "air_at_load_in", [own_limit(None, "60 Cel")], span="40 K", who="oven crew"),
        line("hardness", "Hardness", "cure", "bench.hardness", "hardness", [own_limit("60 {HRR}", "95 {HRR}")], statistic="mean", samples=5, sampling="5 pads a load, one a clamp"),
        line("density", "Density", "cure", "bench.density", "density", [own_limit("2.180 g/cm3", "2.300 g/cm3")], samples=3, sampling="3 pads a load", probability="0.95"),
        line("shear", "Shear strength of the bond, cold", "cure", "bench.shear", "shear_strength", [own_limit("320 N/cm2"), unconfirmed], statistic="lowest", samples=5, sampling="5 pads a load, one a clamp", span="280 N/cm2"),
        line("compressibility", "Compressibility, cold", "cure", "bench.compressibility", "compressibility", [own_limit("80 um", "150 um")], statistic="highest", samples=5, sampling="5 pads a load"),
        line("friction", "Friction, normal", "cure", "friction.letters", "normal", [own_limit("0.36", "0.46")], sampling="1 pad a load"),
        line("friction", "Friction, hot", "cure", "friction.letters", "hot", [own_limit("0.32", "0.44")], sampling="1 pad a load"),
        line("thickness", "Pad thickness, thinnest", "final", "statistics.summary", "min", [own_limit("16.30 mm", "16.50 mm")], sampling="first, last, every 200th piece"),
        line("thickness", "Pad thickness, thickest", "final", "statistics.summary", "max", [own_limit("16.30 mm", "16.50 mm")], sampling="first, last, every 200th piece"),
    ]}


def issue_documents(house: House) -> None:
    def issue(kind, noun, who="quality"):
        house.do(who, kind + " issue", {"noun": noun, "why": "first issue"}, 0.2)

    issue("plan", {"code": "CP-POWDER", "name": "Control plan of powders", "lines": [
        line("fineness", "Median size D50", "lot", "powder.sieve", "d50", [own_limit("50 um", "210 um")]),
        line("sieve-loss", "Mass lost in sieving", "lot", "powder.sieve", "loss", [own_limit("-0.5 %", "1.0 %")])]})
    issue("plan", {"code": "CP-FINE", "name": "Control plan of fine goods and fibres", "lines": [
        line("bag-check", "Bag weight, lightest", "lot", "statistics.summary_mass", "min", [own_limit("24.8 kg", "25.4 kg")], sampling="3 bags a lot")]})
    issue("plan", {"code": "CP-PLATE", "name": "Control plan of backing plates", "lines": [
        line("plate-thickness", "Plate thickness", "lot", "statistics.summary", "mean", [own_limit("5.90 mm", "6.10 mm")], sampling="5 plates a lot")]})
    issue("plan", {"code": "CP-ADHESIVE", "name": "Control plan of adhesive", "lines": [
        line("trial-film", "Dry film of the trial plate", "lot", "statistics.summary", "mean", [own_limit("15 um", "35 um")], sampling="1 trial plate a lot")]})
    for code, name, density, _, size in INGREDIENTS:
        coarse = size is not None and size[0] >= 60
        band = [{"aperture": f"{a} um", "passing_min": f"{lo} %", "passing_max": f"{hi} %"} for a, lo, hi in ((250, 90, 100), (125, 55, 90), (63, 8, 45))] if code == "graphite" else []
        issue("material", {"code": code, "name": name, "class": "ingredient", "density": density + " g/cm3", "density_source": "supplier's certificate", "shelf_life_days": 365,
                           "plan": "CP-POWDER" if coarse else "CP-FINE", "band": band})
    issue("material", {"code": "plate-1041", "name": "Backing plate 1041, blasted steel", "class": "plate", "plan": "CP-PLATE"})
    issue("material", {"code": "adhesive-ph", "name": "Phenolic plate adhesive", "class": "adhesive", "shelf_life_days": 180, "plan": "CP-ADHESIVE"})
    issue("compound", {"code": "heron-3", "name": "Heron 3", "formula": [{"material": c, "parts": p, "tolerance": "0.6 %"} for c, _, _, p, _ in INGREDIENTS],
                       "target_density": "2.24 g/cm3", "mix_mass": "112 kg", "loss": "2 %", "loss_basis": "pad", "mixing_minutes": 8})
    issue("machine", {"code": "oven-north", "name": "North", "class": "oven", "channels": [
        {"name": "channel 1", "role": "record", "sensor_tolerance": "2.5 K"}, {"name": "channel 2", "role": "load", "sensor_tolerance": "2.5 K"}]})
    for code, name, kind in (("mixer-2", "Mixer 2", "mixer"), ("coater-2", "Coater 2", "coater"), ("press-4", "Press 4", "press"), ("grinder-2", "Grinder 2", "finishing"), ("friction-1", "Friction machine 1", "friction machine")):
        issue("machine", {"code": code, "name": name, "class": kind})
    due = (house.now + timedelta(days=160)).strftime("%Y-%m-%d")
    for code, name, unit, resolution in (("SC-4", "Floor scale 4", "kg", "0.001 kg"), ("SC-7", "Press scale 7", "g", "0.1 g"), ("BA-3", "Bench balance 3", "g", "0.01 g"), ("HR-1", "Hardness tester 1", "{HRR}", "0.5 {HRR}"),
                                         ("SH-1", "Shear rig 1", "N", "10 N"), ("CO-1", "Compression rig 1", "um", "0.1 um"), ("FT-2", "Film gauge 2", "um", "0.1 um"), ("MI-5", "Micrometer 5", "mm", "0.01 mm"), ("FM-1", "Friction machine 1", "1", "0.001")):
        issue("gauge", {"code": code, "name": name, "unit": unit, "resolution": resolution, "calibration_due": due, "calibration": f"certificate {code}-2026"})
    soon = (house.now + timedelta(days=20)).strftime("%Y-%m-%d")
    issue("gauge", {"code": "HR-2", "name": "Hardness tester 2", "unit": "{HRR}", "resolution": "0.5 {HRR}", "calibration_due": soon, "calibration": "certificate HR-2-2026"})
    issue("programme", {"code": "P-180", "name": "Cure at 181 °C, two steps", "segments": [
        {"target": "110 Cel", "tolerance": "12 K", "ramp": "2.3 K/min", "soak_minutes": 45}, {"target": "181 Cel", "tolerance": "6 K", "ramp": "1.6 K/min", "soak_minutes": 125}],
        "longest_gap": "15 min", "load_in_below": "60 Cel"})
    issue("plan", control_plan())
    issue("part", {"code": "MF-1041", "name": "Front pad, outer and inner", "compound": "heron-3", "plate": "plate-1041", "adhesive": "adhesive-ph", "plate_thickness": "6.0 mm", "friction_area": "52.0 cm2",
                   "bond_area": "47.2 cm2", "pad_volume": "62.4 cm3", "friction_thickness": "12.0 mm", "plan": "CP-1041",
                   "route": [{"step": "plates"}, {"step": "mix"}, {"step": "press"}, {"step": "clamp"}, {"step": "cure", "programme": "P-180"}, {"step": "sample"},
                             {"step": "finish", "operations": ["grind", "slot", "chamfer"]}, {"step": "pack"}, {"step": "ship"}]})
    until = (house.now + timedelta(days=700)).strftime("%Y-%m-%d")
    issue("approval", {"code": "TA-0417", "kind": "type approval", "part": "MF-1041", "compound": "heron-3", "compound_issue_from": 1, "compound_issue_to": 3, "plate": "plate-1041", "adhesive": "adhesive-ph",
                       "valid_from": "2026-01-01", "valid_until": until}, "approvals")


def save_layout(house: House, plant: Plant) -> None:
    """The recorder's layout, proposed by the program from a file and saved."""
    sample = plant.recorder_file(plant.cure(house.now.replace(tzinfo=None), 130), "North")
    attachment = house.attach("quality", "north-sample.csv", sample)
    proposal = house.asked("quality", "POST", "/api/layouts/propose", {"attachment": attachment, "file_name": "north-sample.csv"})
    mapping = proposal["layout"]
    mapping["name"] = "Recorder of oven North"
    house.do("quality", "layout issue", {"noun": {"code": "recorder-north", "name": "Recorder of oven North", "mapping": mapping}, "why": "proposed from a file, looked at"})


def receive_lots(house: House, plant: Plant) -> dict:
    lots = {}
    for n, (code, _, density, _, size) in enumerate(INGREDIENTS):
        lot = f"{code[0].upper()}-{2280 + n}"
        lots[code] = lot
        true_density = round(float(density) * (1 + plant.rng.gauss(0, 0.002)), 3)
        house.do("floor", "lot receive", {"lot": lot, "material": code, "supplier": "Oldmere Minerals", "supplier_lot": f"OM-{7700 + n}", "quantity": "1000 kg", "density": f"{true_density} g/cm3",
                                          "certificate": {"fineness": f"{size[0]} um"} if size and size[0] >= 60 else {}})
        if size and size[0] >= 60:
            retained, pan = plant.sieve_sheet(size[0], size[1], APERTURES, 100.0)
            numbers = {"apertures": [f"{a} um" for a in APERTURES], "retained": [f"{m:.2f} g" for m in retained], "pan": [f"{pan:.2f} g"], "initial": ["100.00 g"]}
            for characteristic in ("fineness", "sieve-loss"):
                house.do("lab", "reading take", {"subject": {"kind": "lot", "id": lot}, "characteristic": characteristic, "sample": "", "gauges": ["BA-3"], "numbers": numbers}, 2)
        else:
            bags = [f"{plant.noisy(25.06, 0.03):.2f} kg" for _ in range(3)]
            house.do("lab", "reading take", {"subject": {"kind": "lot", "id": lot}, "characteristic": "bag-check", "sample": "", "gauges": ["SC-4"], "numbers": {"readings": bags}})
        clear(house, lot)
    lots["plate-1041"] = "P-0877"
    house.do("floor", "lot receive", {"lot": "P-0877", "material": "plate-1041", "supplier": "Saltholme Stampings", "supplier_lot": "S-311", "quantity": "6000 kg"})
    house.do("lab", "reading take", {"subject": {"kind": "lot", "id": "P-0877"}, "characteristic": "plate-thickness", "sample": "", "gauges": ["MI-5"], "numbers": {"readings": [f"{plant.noisy(6.0, 0.012):.3f} mm" for _ in range(5)]}})
    clear(house, "P-0877")
    for lot, film in (("A-0219", 24), ("A-0224", 22)):
        house.do("floor", "lot receive", {"lot": lot, "material": "adhesive-ph", "supplier": "Tern Adhesives", "supplier_lot": f"T-{lot[2:]}", "quantity": "60 kg"})
        house.do("lab", "reading take", {"subject": {"kind": "lot", "id": lot}, "characteristic": "trial-film", "sample": "", "gauges": ["FT-2"], "numbers": {"readings": [f"{plant.noisy(film, 0.8):.1f} um" for _ in range(5)]}})
        clear(house, lot)
    lots["adhesive-ph"] = "A-0219"
    # One lot that nobody has tested yet.
    house.do("floor", "lot receive", {"lot": "R-2310", "material": "phenolic-resin", "supplier": "Oldmere Resins", "supplier_lot": "OR-118", "quantity": "500 kg", "density": "1.272 g/cm3"})
    return lots


def clear(house: House, lot: str) -> None:
    house.do("lab", "lot judge", {"lot": lot})
    house.do("quality", "lot decide", {"lot": lot, "disposition": "clear"})


def make_batch(house: House, plant: Plant, lots: dict, plates: int):
    """Batch opened, plates, one mix, pressed; the number on its plates."""
    batch = subject(house.do("floor", "batch open", {"part": "MF-1041", "plates": plates}, 20))
    film = [f"{plant.noisy(24, 1.6):.1f} um" for _ in range(8)]
    house.do("floor", "plates prepare", {"batch": batch, "plate_lot": lots["plate-1041"], "adhesive_lot": lots["adhesive-ph"], "machine": "coater-2", "gauge": "FT-2", "film": film,
                                         "counts": {"good": plates - 2, "scrap": {"bent": 2}}}, 45)
    mix = subject(house.do("floor", "mix open", {"batch": batch, "machine": "mixer-2"}, 5))
    total = sum(float(p) for _, _, _, p, _ in INGREDIENTS)
    for code, _, _, parts, _ in INGREDIENTS:
        wanted = 112.0 * float(parts) / total
        house.do("floor", "mix weigh", {"mix": mix, "material": code, "lot": lots[code], "mass": f"{plant.noisy(wanted, wanted * 0.0012):.3f} kg", "gauge": "SC-4"}, 2)
    house.do("floor", "mix finish", {"mix": mix, "minutes": 8}, 30)
    return batch, mix


def charge_target(house: House, batch: str) -> float:
    """What the program wants a charge to weigh, asked with a trial charge at the bench."""
    parts = [{"name": c, "density": d, "parts": p} for c, _, d, p, _ in INGREDIENTS]
    answer = house.asked("floor", "POST", "/api/methods/forming.charge/evaluate", {"numbers": {
        "pad_volume": ["62.4 cm3"], "target_density": ["2.24 g/cm3"], "loss": ["2 %"], "parts": [p["parts"] for p in parts],
        "nominal_densities": [p["density"] for p in parts], "lot_densities": [p["density"] for p in parts]}, "choices": {"loss_basis": "pad"}})
    return float(answer["outputs"][0]["value"])


def press_and_load(house: House, plant: Plant, batch: str, plates: int):
    target = charge_target(house, batch)
    checks = [f"{plant.noisy(target, 0.25):.1f} g" for _ in range(6)]
    house.do("floor", "press run", {"batch": batch, "machine": "press-4", "tool": "T-1041-B", "gauge": "SC-7", "charge_checks": checks, "counts": {"good": plates - 4, "scrap": {"short charge": 2}}}, 60)
    in_clamps = plates - 4
    clamps = []
    for n in range(5):
        pads = in_clamps // 5 + (1 if n < in_clamps % 5 else 0)
        clamps.append({"clamp": f"{n + 1}", "batch": batch, "pads": pads, "tier": n // 3 + 1, "position": n % 3 + 1})
    return subject(house.do("floor", "load build", {"oven": "oven-north", "clamps": clamps}, 1)), in_clamps


def cure(house: House, plant: Plant, load: str, batch: str, pads: int, soak: float, stuck=None) -> None:
    start = house.now.astimezone(ZONE).replace(tzinfo=None)
    rows = plant.cure(start, soak, stuck=stuck)
    house.at(house.now + timedelta(minutes=rows.__len__()))
    name = f"north-{start:%Y%m%d-%H%M}.csv"
    attachment = house.attach("floor", name, plant.recorder_file(rows, "North"))
    house.do("floor", "cure record", {"load": load, "attachment": attachment, "file_name": name, "layout": "recorder-north"}, 20)
    house.do("floor", "load unclamp", {"load": load, "batch": batch, "counts": {"good": pads - 1, "scrap": {"chipped": 1}}}, 40)
    samples = [{"sample": str(n), "clamp": str((n - 1) % 5 + 1)} for n in range(1, 7)]
    house.do("lab", "samples draw", {"batch": batch, "samples": samples, "retained": "sample 6 in cabinet 2 until 2041"}, 60)


def measure(house: House, plant: Plant, batch: str, shear: float, shear_pads: int = 5, bond_line: int = 0) -> None:
    def take(characteristic, sample, gauges, numbers, choices=None):
        house.do("lab", "reading take", {"subject": {"kind": "batch", "id": batch}, "characteristic": characteristic, "sample": str(sample), "gauges": gauges, "numbers": numbers, "choices": choices or {}}, 3)

    pads = [plant.pad(2.238, shear, 78, 118) for _ in range(5)]
    for n, pad in enumerate(pads, 1):
        take("hardness", n, ["HR-1"], {"readings": [f"{round(plant.noisy(pad['hardness'], 0.8) * 2) / 2:.1f} HRR" for _ in range(5)]})
    for n, pad in enumerate(pads[:3], 1):
        in_air, in_water = plant.weigh_in_water(pad, 62.4, 0.99763)
        take("density", n, ["BA-3"], {"in_air": [f"{in_air:.2f} g"], "in_water": [f"{in_water:.2f} g"], "water_temperature": ["22.6 Cel"], "plate_mass": [f"{pad['plate']:.2f} g"], "plate_density": ["7.850 g/cm3"],
                                      "u_balance": ["0.006 g"], "u_plate_mass": ["0.02 g"], "u_plate_density": ["0.005 g/cm3"], "u_water_temperature": ["0.2 K"]}, {"air_buoyancy": "no"})
    for n, pad in enumerate(pads, 1):
        machine = [31.6, 31.2, 31.0]
        raw = [pad["compressibility"] * f + m + plant.rng.gauss(0, 0.4) for f, m in zip((1.14, 1.03, 1.0), machine)]
        take("compressibility", n, ["CO-1"], {"deflection": [f"{v:.1f} um" for v in raw], "machine_deflection": [f"{m} um" for m in machine], "thickness": ["12.0 mm"]}, {"pressure_basis": "line"})
    take("friction", 1, ["FM-1"], {"normal": [f"{plant.noisy(0.405, 0.006):.3f}" for _ in range(4)], "hot": [f"{plant.noisy(0.372, 0.01):.3f}" for _ in range(10)]})
    for n, pad in enumerate(pads[:shear_pads], 1):
        take("shear", n, ["SH-1"], {"force": [f"{round(pad['shear'] * 47.2, -1):.0f} N"], "bond_area": ["47.2 cm2"], "bond_line_share": [f"{bond_line} %"]})


def judge_and_release(house: House, batch: str, gate: str) -> None:
    verdict = house.do("quality", "batch judge", {"batch": batch, "gate": gate})["sequences"][0]
    meaning = f"I release batch {batch} at the {gate} gate. I have read the findings and answer for them."
    house.do("quality", "batch release", {"batch": batch, "gate": gate, "verdict": verdict, "meaning": meaning}, 5, PASSWORD)


def finish_and_ship(house: House, plant: Plant, batch: str, pads: int) -> None:
    for operation, lost in (("grind", 3), ("slot", 1), ("chamfer", 0)):
        pads -= lost
        house.do("floor", "batch finish", {"batch": batch, "operation": operation, "machine": "grinder-2", "counts": {"good": pads, "scrap": {"ground too thin": lost} if lost else {}}}, 50)
    house.do("lab", "reading take", {"subject": {"kind": "batch", "id": batch}, "characteristic": "thickness", "sample": "", "gauges": ["MI-5"],
                                     "numbers": {"readings": [f"{plant.noisy(16.40, 0.018):.2f} mm" for _ in range(6)]}}, 10)
    judge_and_release(house, batch, "final")
    house.do("quality", "paper issue", {"batch": batch, "paper": "certificate"}, 2)
    house.do("quality", "paper issue", {"batch": batch, "paper": "batch record"}, 2)
    boxes = [subject(house.do("floor", "box pack", {"batch": batch, "pads": 160, "sets": 40}, 6)) for _ in range(3)]
    house.do("floor", "shipment send", {"customer": "Greyling Motor Factors", "order": "5498", "boxes": boxes}, 10)


def live(house: House, plant: Plant, now: datetime) -> dict:
    day = lambda back, hour, minute=0: (now.astimezone(ZONE) - timedelta(days=back)).replace(hour=hour, minute=minute, second=0, microsecond=0)
    house.start(day(14, 8))
    house.sign_in("quality")
    until = (now + timedelta(days=700)).strftime("%Y-%m-%d")
    for login, (name, duty, operations) in DUTIES.items():
        house.asked("quality", "POST", "/api/people", {"name": name, "login": login, "password": PASSWORD, "duty": duty, "permits": [{"operation": o, "until": until} for o in operations]})
        house.sign_in(login)
    issue_documents(house)
    save_layout(house, plant)
    lots = receive_lots(house, plant)
    adopted = {"plan": "CP-1041", "plan_issue": 1, "characteristic": "shear", "document_read": "UN R90, series 02 of amendments, paragraph 5.3.1.1, read in the approval engineer's copy", "why": "the clause asks for at least 250 N/cm2"}

    plates = 700
    house.at(day(9, 6))
    clean, _ = make_batch(house, plant, lots, plates)
    load, pads = press_and_load(house, plant, clean, plates)
    cure(house, plant, load, clean, pads, 131)
    house.at(day(8, 9))
    measure(house, plant, clean, 452)
    house.do("quality", "limit adopt", adopted, 10, PASSWORD)
    judge_and_release(house, clean, "cure")
    house.at(day(7, 6))
    finish_and_ship(house, plant, clean, pads - 1 - 6)

    house.at(day(4, 6))
    stuck, _ = make_batch(house, plant, lots, plates)
    load, pads = press_and_load(house, plant, stuck, plates)
    cure(house, plant, load, stuck, pads, 96, stuck=(1, 112, 152))
    house.at(day(3, 9))
    measure(house, plant, stuck, 448)
    house.do("quality", "batch judge", {"batch": stuck, "gate": "cure"})

    house.at(day(2, 6))
    weak, _ = make_batch(house, plant, lots | {"adhesive-ph": "A-0224"}, plates)
    load, pads = press_and_load(house, plant, weak, plates)
    cure(house, plant, load, weak, pads, 133)
    house.at(day(1, 9))
    measure(house, plant, weak, 296, bond_line=85)
    house.do("quality", "batch judge", {"batch": weak, "gate": "cure"})
    return {"clean": clean, "stuck": stuck, "weak": weak}


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--server", required=True)
    options.add_argument("--folder", required=True)
    options.add_argument("--seed", type=int, default=1041)
    options.add_argument("--now", help="ISO time taken as today; the clock's when not given")
    given = options.parse_args()
    now = datetime.fromisoformat(given.now) if given.now else datetime.now(timezone.utc)
    house = House(given.server, given.folder, "-")
    try:
        batches = live(house, Plant(given.seed), now)
    finally:
        if hasattr(house, "process"):
            house.stop()
    print(json.dumps(batches))


if __name__ == "__main__":
    sys.path.insert(0, os.path.dirname(os.path.abspath(__file__)))
    main()
