"""From plates to what comes out of the oven."""
import math
from datetime import timedelta, timezone

from checks import ready
from documents import COMPOUNDS, MATERIALS, STATIONS, pad_volume, underlayer_volume
from house import ZONE, subject
from oven import ONE_LONG_STEP, POST_CURE, TWO_STEPS, Fault, as_stamped, north_file, run, south_file, truth
from ovens import may_be_heated
from setups import first_piece
from works import Batch, Works

LOSS = 1.02  # flash and stock ground off, of the pad
CAVITIES = [str(n + 1) for n in range(12)]
PRESS_S, CHANGE_S, LOAD_S = 14, 4, 12  # one stroke closed, the press going to the other station, unloading and loading where there is one station
SOAK_AT = {"P-180": (TWO_STEPS, 181.0, 6.0), "P-190": (POST_CURE, 191.0, 7.0), "P-176": (ONE_LONG_STEP, 176.0, 6.0)}
HEATED_FROM = 0.85  # of the quarter: from here on the oven crew computes what the pads saw
OVENS = {"oven-north": ("recorder-north", north_file), "oven-south": ("recorder-south", south_file)}


def open_batch(works: Works, batch: Batch) -> None:
    batch.stamp = subject(works.house.do("floor", "batch open", {"part": batch.part["code"], "plates": batch.plates}, 3))
    batch.good = batch.plates


def count(batch: Batch, step: str, lost: int, reason: str) -> dict:
    """Good and scrap after a step; where the twist says so a few pieces are gone without a word."""
    batch.good -= lost
    gone = 7 if batch.twist.lost_at == step else 0
    batch.good -= gone
    return {"good": batch.good, "scrap": {reason: lost} if lost else {}}


def prepare_plates(works: Works, batch: Batch) -> None:
    if batch.twist.no_plates:
        return
    given = {"batch": batch.stamp, "plate_lot": works.lot(batch, batch.part["plate"]), "machine": works.machine_for(batch, "coater-2"), "counts": count(batch, "plates", 2, "bent")}
    if batch.family["adhesive"]:
        coat = batch.twist.film or works.plant.noisy(24, 1.2)
        given |= {"adhesive_lot": works.lot(batch, batch.family["adhesive"]), "gauge": "FT-2", "film": [f"{works.plant.noisy(coat, 1.6):.1f} um" for _ in range(8)]}
        batch.stands("adhesive-film", coat, 0.6)
    works.report(batch, "floor", "plates prepare", given, 6)


def weigh(works: Works, batch: Batch, material: str, lot: str, wanted: float) -> None:
    true = works.plant.noisy(wanted, wanted * 0.0012) * (1.03 if batch.twist.heavy == material else 1)
    batch.stands("weighing " + material, true - wanted, wanted * 0.0003, (-0.006 * wanted, 0.006 * wanted))
    given = {"mix": batch.mix, "material": material, "lot": lot, "mass": f"{works.plant.noisy(true, wanted * 0.0003):.3f} kg", "gauge": ready(works.house, "SC-4")}
    container = works.shelf.containers and works.shelf.containers.take(lot, true)
    if container:
        given["container"] = container
    works.report(batch, "floor", "mix weigh", given, 0.7)


def mix(works: Works, batch: Batch) -> None:
    """Of a part with an underlayer that one first: the mixer is cleared in between."""
    for compound in filter(None, (batch.family.get("underlayer"), batch.compound)):
        mix_compound(works, batch, compound)


def mix_compound(works: Works, batch: Batch, compound: str) -> None:
    given = {"batch": batch.stamp, "machine": works.machine_for(batch, "mixer-2", compound)} | ({"compound": compound} if "underlayer" in batch.family else {})
    batch.mix = subject(works.report(batch, "floor", "mix open", given, 1))
    parts, twist = works.parts_of[compound], batch.twist
    for material, share in parts.items():
        if material == twist.skip:
            continue
        lot = works.lot(batch, twist.stranger[1] if twist.stranger and twist.stranger[0] == material else material)
        for _ in range(2 if material == twist.double else 1):
            weigh(works, batch, material, lot, COMPOUNDS[compound]["mix_kg"] * share / sum(parts.values()))
    works.house.do("floor", "mix finish", {"mix": batch.mix, "minutes": 8}, 4)


def solids_density(works: Works, compound: str, of) -> float:
    """Mass of the formula over the volume its grains fill."""
    parts = works.parts_of[compound]
    return sum(parts.values()) / sum(share / of(material) for material, share in parts.items())


def right_charge(works: Works, batch: Batch, compound: str, volume: float) -> float:
    """The press closes to one volume and the pores take a fixed share of it: grains fill the rest."""
    nominal = solids_density(works, compound, lambda m: float(MATERIALS[m][2]))
    pores = 1 - float(COMPOUNDS[compound]["target"]) / nominal
    lot_density = lambda m: works.shelf.density.get(works.lot(batch, m), works.shelf.density_of(m))
    return volume * (1 - pores) * solids_density(works, compound, lot_density) * LOSS


def charges(works: Works, batch: Batch, right: float, aimed: float, characteristic: str, spread: float) -> list:
    """Weighed on the press's scale."""
    weighed = [works.plant.noisy(aimed, spread) for _ in range(6)]
    for charge in weighed:
        batch.stands(characteristic, charge - right, 0.08)
    return [f"{works.plant.noisy(c, 0.04):.1f} g" for c in weighed]


def press(works: Works, batch: Batch) -> None:
    volume, target = pad_volume(batch.part), float(COMPOUNDS[batch.compound]["target"])
    right = right_charge(works, batch, batch.compound, volume)
    aimed = volume * target * LOSS if batch.twist.old_charge else right
    given = {"batch": batch.stamp, "tool": f"T-{batch.part['code'][3:]}-B", "charge_checks": charges(works, batch, right, aimed, "charge-weight", 0.25)}
    if "underlayer" in batch.family:
        lower = right_charge(works, batch, batch.family["underlayer"], underlayer_volume(batch.part))
        given["underlayer_checks"] = charges(works, batch, lower, lower, "charge-weight-underlayer", 0.06)
    batch.density = aimed / LOSS / volume * (batch.twist.density_factor or 1)
    given["machine"] = works.machine_for(batch, batch.family.get("press", "press-4"))
    works.house.wait(batch.twist.hours_to_press * 60)
    stations = [{"station": s} for s in STATIONS] if "press" in batch.family else [{}]
    for station in stations:
        first_piece(works, batch, "press", given["machine"], given["tool"], **station)
    run_press(works, batch, given | {"gauge": ready(works.house, "SC-7")}, stations)


def run_press(works: Works, batch: Batch, given: dict, stations: list) -> None:
    """Each station in turn while the other is loaded; the counter and the clock of the press are read at the end."""
    before = batch.good
    total = count(batch, "press", 2, "short charge")
    shares = [before // len(stations) + (n < before % len(stations)) for n in range(len(stations))]
    strokes = [math.ceil(share / len(CAVITIES)) for share in shares]
    cycle = PRESS_S + (CHANGE_S if len(stations) > 1 else LOAD_S)
    started = works.house.now
    works.house.wait(math.ceil(sum(strokes) * cycle / 60))
    good = total["good"]
    for n, station in enumerate(stations):
        part = good if n + 1 == len(stations) else shares[n] - (2 if n == 0 else 0)
        good -= part
        counts = {"good": part, "scrap": total["scrap"] if n == 0 else {}}
        times = {"started": stamp(started + timedelta(seconds=n * cycle)), "ended": stamp(works.house.now - timedelta(seconds=(len(stations) - 1 - n) * cycle)), "strokes": strokes[n], "press_time": f"{PRESS_S} s"}
        works.report(batch, "floor", "press run", given | station | times | {"cavities": CAVITIES, "counts": counts}, 1)


def stamp(moment) -> str:
    return moment.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ")


def clamps_of(batch: Batch, first: int) -> list:
    """Five clamps, or trays where the route has no clamps, each with its place in the oven."""
    clamps = []
    for n in range(5):
        pads = batch.good // 5 + (1 if n < batch.good % 5 else 0)
        clamps.append({"clamp": f"{first + n + 1}", "batch": batch.stamp, "pads": pads, "tier": (first + n) // 5 + 1, "position": n + 1})
    return clamps


def build_load(works: Works, oven: str, batches: list) -> str:
    clamps = [clamp for n, batch in enumerate(batches) for clamp in clamps_of(batch, 5 * n)]
    given = {"oven": oven, "clamps": clamps}
    if batches[0].twist.deviation:
        given["deviations"] = [works.deviation_for(batches[0])]
    return subject(works.report(batches[0], "floor", "load build", given, 1))


class Curing:
    """A load in its oven until the morning."""

    def __init__(self, works: Works, oven: str, batches: list) -> None:
        self.oven, self.batches, self.unloaded = oven, batches, False
        self.load = build_load(works, oven, batches)
        programme = "P-176" if batches[0].twist.deviation else batches[0].family["programme"]
        steps, target, tolerance = SOAK_AT[programme]
        fault = batches[0].twist.oven or Fault(soak=steps[-1][2] + works.plant.rng.uniform(-2, 4), offset=works.zones(oven))
        start = works.house.now.astimezone(ZONE).replace(tzinfo=None)
        self.clock, self.at_once = fault.clock, batches[0].twist.read_at_once
        self.rows = run(works.plant.rng, start, steps, fault)
        self.name = f"{oven[5:]}-{start:%Y%m%d-%H%M}.csv"
        for name, value in truth(self.rows, target, tolerance).items():
            for batch in batches:
                batch.stands(name, value, {"soak": 1.0}.get(name, 0.3))

    def unload(self, works: Works) -> None:
        self.unloaded = True
        layout, written = OVENS[self.oven]
        attachment = works.house.attach("floor", self.name, written(as_stamped(self.rows, self.clock)))
        works.report(self.batches[0], "floor", "cure record", {"load": self.load, "attachment": attachment, "file_name": self.name, "layout": layout}, 2)
        if works.progress >= HEATED_FROM and may_be_heated(self.batches):
            works.house.do("floor", "load heat", {"load": self.load}, 2)
        for batch in self.batches:
            works.house.do("floor", "load unclamp", {"load": self.load, "batch": batch.stamp, "counts": count(batch, "cure", 1, "chipped")}, 4)

    def over(self):
        """When its recording is read; one whose clock is fast, not before its last stamp has come."""
        return self.rows[-1][0].replace(tzinfo=ZONE) + timedelta(minutes=10 if self.at_once else max(10, self.clock + 20))
