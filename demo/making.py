"""From plates to what comes out of the oven."""
from datetime import timedelta

from checks import ready
from documents import COMPOUNDS, MATERIALS, pad_volume
from house import ZONE, subject
from oven import ONE_LONG_STEP, POST_CURE, TWO_STEPS, Fault, as_stamped, north_file, run, south_file, truth
from setups import first_piece
from works import Batch, Works

LOSS = 1.02  # flash and stock ground off, of the pad
SOAK_AT = {"P-180": (TWO_STEPS, 181.0, 6.0), "P-190": (POST_CURE, 191.0, 7.0), "P-176": (ONE_LONG_STEP, 176.0, 6.0)}
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
    batch.mix = subject(works.report(batch, "floor", "mix open", {"batch": batch.stamp, "machine": works.machine_for(batch, "mixer-2")}, 1))
    parts, twist = works.parts_of[batch.compound], batch.twist
    for material, share in parts.items():
        if material == twist.skip:
            continue
        lot = works.lot(batch, twist.stranger[1] if twist.stranger and twist.stranger[0] == material else material)
        for _ in range(2 if material == twist.double else 1):
            weigh(works, batch, material, lot, COMPOUNDS[batch.compound]["mix_kg"] * share / sum(parts.values()))
    works.house.do("floor", "mix finish", {"mix": batch.mix, "minutes": 8}, 4)


def solids_density(works: Works, batch: Batch, of) -> float:
    """Mass of the formula over the volume its grains fill."""
    parts = works.parts_of[batch.compound]
    return sum(parts.values()) / sum(share / of(material) for material, share in parts.items())


def right_charge(works: Works, batch: Batch) -> float:
    """The press closes to one volume and the pores take a fixed share of it: grains fill the rest."""
    nominal = solids_density(works, batch, lambda m: float(MATERIALS[m][2]))
    pores = 1 - float(COMPOUNDS[batch.compound]["target"]) / nominal
    lot_density = lambda m: works.shelf.density.get(works.lot(batch, m), works.shelf.density_of(m))
    return pad_volume(batch.part) * (1 - pores) * solids_density(works, batch, lot_density) * LOSS


def press(works: Works, batch: Batch) -> None:
    right = right_charge(works, batch)
    aimed = pad_volume(batch.part) * float(COMPOUNDS[batch.compound]["target"]) * LOSS if batch.twist.old_charge else right
    charges = [works.plant.noisy(aimed, 0.25) for _ in range(6)]
    for charge in charges:
        batch.stands("charge-weight", charge - right, 0.08)
    batch.density = aimed / LOSS / pad_volume(batch.part) * (batch.twist.density_factor or 1)
    machine, tool = works.machine_for(batch, "press-4"), f"T-{batch.part['code'][3:]}-B"
    works.house.wait(batch.twist.hours_to_press * 60)
    first_piece(works, batch, "press", machine, tool)
    given = {"batch": batch.stamp, "machine": machine, "tool": tool, "gauge": ready(works.house, "SC-7"), "charge_checks": [f"{works.plant.noisy(c, 0.04):.1f} g" for c in charges],
             "counts": count(batch, "press", 2, "short charge")}
    works.report(batch, "floor", "press run", given, 8)


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
        for batch in self.batches:
            works.house.do("floor", "load unclamp", {"load": self.load, "batch": batch.stamp, "counts": count(batch, "cure", 1, "chipped")}, 4)

    def over(self):
        """When its recording is read; one whose clock is fast, not before its last stamp has come."""
        return self.rows[-1][0].replace(tzinfo=ZONE) + timedelta(minutes=10 if self.at_once else max(10, self.clock + 20))
