"""Samples on the bench, and the cure gate."""
from checks import check, ready
from documents import bond_area, pad_volume
from house import PASSWORD
from works import GUARD, Batch, Works

USUAL = {  # family: shear, hardness, compressibility, friction normal and hot
    "CP-1041": (450, 78, 115, 0.41, 0.375), "CP-HERON": (450, 78, 115, 0.41, 0.375), "CP-BITTERN": (480, 88, 104, 0.44, 0.40),
    "CP-CURLEW": (430, 72, 130, 0.39, 0.35), "CP-CURLEW-H": (430, 73, 128, 0.39, 0.35)}
RIG_UM = (31.6, 31.2, 31.0)  # what the compression rig itself gives way


def draw_samples(works: Works, batch: Batch) -> None:
    samples = [{"sample": str(n), "clamp": str((n - 1) % 5 + 1)} for n in range(1, 7)]
    works.house.do("lab", "samples draw", {"batch": batch.stamp, "samples": samples, "retained": "sample 6 in cabinet 2 until 2041"}, 3)
    batch.good -= len(samples)


def take(works: Works, batch: Batch, characteristic: str, sample, gauges: list, numbers: dict, choices=None, minutes: float = 0.7, **more) -> int:
    """One reading; the number of its fact."""
    for gauge in gauges:
        if gauge != batch.twist.unchecked:
            ready(works.house, gauge)
    given = {"subject": {"kind": "batch", "id": batch.stamp}, "characteristic": characteristic, "sample": str(sample), "gauges": gauges, "numbers": numbers, "choices": choices or {}}
    late = {k: more.pop(k) for k in ("at", "late_because") if k in more}
    return works.house.do("lab", "reading take", given | more, minutes, **late)["sequences"][0]


def true_pads(works: Works, batch: Batch) -> list:
    """Five pads of the batch; batches differ a little, and pads within a batch."""
    shear, hardness, give, _, _ = USUAL[batch.part["family"]]
    twist, noisy = batch.twist, works.plant.noisy
    means = (batch.density, twist.shear or noisy(shear, 12), twist.hardness or noisy(hardness, 1.5), noisy(give, 2.5) if twist.give_over is None else batch.family["limits"]["compressibility"][1] + twist.give_over)
    return [works.plant.pad(*means) for _ in range(5)]


def hardness(works: Works, batch: Batch, pads: list) -> None:
    if batch.twist.tester_off:
        check(works.house, batch.twist.hardness_gauge, batch.twist.tester_off)
    for n, pad in enumerate(pads, 1):
        take(works, batch, "hardness", n, [batch.twist.hardness_gauge], {"readings": [f"{round(works.plant.noisy(pad['hardness'], 0.8) * 2) / 2:.1f} HRR" for _ in range(5)]})
    batch.stands("hardness", sum(p["hardness"] for p in pads) / len(pads), 0.2)


def density(works: Works, batch: Batch, pads: list) -> None:
    coarse = batch.twist.coarse_balance
    for n, pad in enumerate(pads[:3], 1):
        in_air, in_water = works.plant.weigh_in_water(pad, pad_volume(batch.part), 0.99763, 0.1 if coarse else 0.003)
        take(works, batch, "density", n, ["BA-3"], {
            "in_air": [f"{in_air:.2f} g"], "in_water": [f"{in_water:.2f} g"], "water_temperature": ["22.6 Cel"], "plate_mass": [f"{pad['plate']:.2f} g"], "plate_density": ["7.850 g/cm3"],
            "u_balance": ["1.4 g" if coarse else "0.006 g"], "u_plate_mass": ["0.02 g"], "u_plate_density": ["0.005 g/cm3"], "u_water_temperature": ["0.2 K"]}, {"air_buoyancy": "no"})
        batch.stands("density", pad["density"], 0.001, guard=GUARD)


def compressibility(works: Works, batch: Batch, pads: list) -> None:
    for n, pad in enumerate(pads, 1):
        raw = [pad["compressibility"] * f + m + works.plant.rng.gauss(0, 0.4) for f, m in zip((1.14, 1.03, 1.0), RIG_UM)]
        batch.facts[f"compressibility {n}"] = take(works, batch, "compressibility", n, ["CO-1"], {
            "deflection": [f"{v:.1f} um" for v in raw], "machine_deflection": [f"{m} um" for m in RIG_UM], "thickness": [f"{batch.part['thickness']:.1f} mm"]}, {"pressure_basis": "line"})
    for pad in pads:
        batch.stands("compressibility", pad["compressibility"], 0.5)


def friction(works: Works, batch: Batch) -> None:
    _, _, _, normal, hot = USUAL[batch.part["family"]]
    normal, hot = works.plant.noisy(normal, 0.004), batch.twist.hot or works.plant.noisy(hot, 0.005)
    take(works, batch, "friction", 1, ["FM-1"], {"normal": [f"{works.plant.noisy(normal, 0.006):.3f}" for _ in range(4)], "hot": [f"{works.plant.noisy(hot, 0.01):.3f}" for _ in range(10)]})
    batch.stands("friction-normal", normal, 0.003)
    batch.stands("friction-hot", hot, 0.0035)


def force_numbers(batch: Batch, pad: dict, unit_slip: bool = False) -> dict:
    newtons = round(pad["shear"] * bond_area(batch.part), -1)
    force = f"{newtons / 1000:.2f} N" if unit_slip else f"{newtons:.0f} N"
    return {"force": [force], "bond_area": [f"{bond_area(batch.part):.1f} cm2"], "bond_line_share": [f"{batch.twist.bond_line} %"]}


def shear(works: Works, batch: Batch, pads: list) -> None:
    for n, pad in enumerate(pads[:batch.twist.shear_pads], 1):
        slip = batch.twist.newtons_for_kilonewtons == n
        batch.facts[f"shear {n}"] = take(works, batch, "shear", n, ["SH-1"], force_numbers(batch, pad, slip))
        batch.stands("shear", pad["shear"], 0.5)


def measure(works: Works, batch: Batch) -> None:
    draw_samples(works, batch)
    pads = batch.facts["pads"] = true_pads(works, batch)
    hardness(works, batch, pads)
    density(works, batch, pads)
    compressibility(works, batch, pads)
    friction(works, batch)
    shear(works, batch, pads)
    works.hook(batch, "measured")


def judge(works: Works, batch: Batch, gate: str) -> str:
    """The outcome of a new verdict."""
    sequence = works.house.do("quality", "batch judge", {"batch": batch.stamp, "gate": gate})["sequences"][0]
    outcome = works.ask(f"/api/facts/{sequence}")["body"]["outcome"]
    batch.verdicts.append((gate, outcome))
    batch.facts["verdict"] = sequence
    return outcome


def release(works: Works, batch: Batch, gate: str) -> None:
    meaning = f"I release batch {batch.stamp} at the {gate} gate. I have read the findings and answer for them."
    works.house.do("quality", "batch release", {"batch": batch.stamp, "gate": gate, "verdict": batch.facts["verdict"], "meaning": meaning}, 3, PASSWORD)


def pass_gate(works: Works, batch: Batch, gate: str) -> bool:
    """Judges and, when nothing stands against the batch, signs."""
    if judge(works, batch, gate) == "conforms":
        release(works, batch, gate)
        return True
    works.hook(batch, f"stopped at {gate}")
    batch.stopped = not batch.facts.pop("open anyway", False)
    return not batch.stopped
