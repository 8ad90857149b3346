"""Samples on the bench, and the cure gate."""
from checks import check, ready
from documents import bond_area, pad_volume
from house import PASSWORD
from instruments import attached, numbers_of
from works import GUARD, Batch, Works

USUAL = {  # family: shear, hardness, compressibility, friction normal and hot
    "CP-1041": (450, 78, 115, 0.41, 0.375), "CP-HERON": (450, 78, 115, 0.41, 0.375), "CP-BITTERN": (480, 88, 104, 0.44, 0.40),
    "CP-CURLEW": (430, 72, 130, 0.39, 0.35), "CP-CURLEW-H": (430, 73, 128, 0.39, 0.35)}
USUAL["CP-HERON-U"] = USUAL["CP-HERON"]
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


def bench(works: Works, batch: Batch, characteristic: str, gauges: list, pieces: dict, beside=None, choices=None, slips=None) -> None:
    """Rows of each piece as its instrument writes them. They are read from the file; where there is none, or the twist says so, they are typed.

    `beside`: what no instrument writes of a piece; `slips`: what is typed wrongly of one.
    """
    file = attached(works.house, characteristic, batch.stamp, [row for rows in pieces.values() for row in rows]) if works.house.files else {}
    for piece, rows in pieces.items():
        slip = (slips or {}).get(piece)
        numbers = beside(piece) if beside else {}
        if slip or not file or batch.twist.typed == characteristic:
            numbers |= slip or numbers_of(characteristic, rows)
            named = {k: v for k, v in file.items() if k == "attachment"}
        else:
            named = file
        batch.facts[f"{characteristic} {piece}"] = take(works, batch, characteristic, piece, gauges, numbers, choices, **named)


def hardness(works: Works, batch: Batch, pads: list) -> None:
    if batch.twist.tester_off:
        check(works.house, batch.twist.hardness_gauge, batch.twist.tester_off)
    pieces = {n: [(n, round(works.plant.noisy(pad["hardness"], 0.8) * 2) / 2) for _ in range(5)] for n, pad in enumerate(pads, 1)}
    bench(works, batch, "hardness", [batch.twist.hardness_gauge], pieces)
    batch.stands("hardness", sum(p["hardness"] for p in pads) / len(pads), 0.2)


def density(works: Works, batch: Batch, pads: list) -> None:
    coarse = batch.twist.coarse_balance
    for n, pad in enumerate(pads[:3], 1):
        batch.stands("density", pad["density"], 0.001, guard=GUARD)
    pieces = {n: [(n, *works.plant.weigh_in_water(pad, pad_volume(batch.part), 0.99763, 0.1 if coarse else 0.003), 22.6)] for n, pad in enumerate(pads[:3], 1)}
    plates = {n: f"{pad['plate']:.2f} g" for n, pad in enumerate(pads[:3], 1)}
    bench(works, batch, "density", ["BA-3"], pieces, lambda n: {
        "plate_mass": [plates[n]], "plate_density": ["7.850 g/cm3"],
        "u_balance": ["1.4 g" if coarse else "0.006 g"], "u_plate_mass": ["0.02 g"], "u_plate_density": ["0.005 g/cm3"], "u_water_temperature": ["0.2 K"]}, {"air_buoyancy": "no"})


def compressibility(works: Works, batch: Batch, pads: list) -> None:
    def strokes(n: int, pad: dict) -> list:
        return [(n, stroke, pad["compressibility"] * f + rig + works.plant.rng.gauss(0, 0.4), rig) for stroke, (f, rig) in enumerate(zip((1.14, 1.03, 1.0), RIG_UM), 1)]

    bench(works, batch, "compressibility", ["CO-1"], {n: strokes(n, pad) for n, pad in enumerate(pads, 1)}, lambda n: {"thickness": [f"{batch.part['thickness']:.1f} mm"]}, {"pressure_basis": "line"})
    for pad in pads:
        batch.stands("compressibility", pad["compressibility"], 0.5)


def friction(works: Works, batch: Batch) -> None:
    _, _, _, normal, hot = USUAL[batch.part["family"]]
    normal, hot = works.plant.noisy(normal, 0.004), batch.twist.hot or works.plant.noisy(hot, 0.005)
    rows = [(works.plant.noisy(93, 2), works.plant.noisy(normal, 0.006), None) for _ in range(4)] + [(works.plant.noisy(232 + 12 * n, 3), None, works.plant.noisy(hot, 0.01)) for n in range(10)]
    bench(works, batch, "friction", ["FM-1"], {1: rows})
    batch.stands("friction-normal", normal, 0.003)
    batch.stands("friction-hot", hot, 0.0035)


def beside_force(batch: Batch) -> dict:
    return {"bond_area": [f"{bond_area(batch.part):.1f} cm2"], "bond_line_share": [f"{batch.twist.bond_line} %"]}


def newtons(batch: Batch, pad: dict) -> float:
    return round(pad["shear"] * bond_area(batch.part), -1)


def force_numbers(batch: Batch, pad: dict) -> dict:
    return {"force": [f"{newtons(batch, pad):.0f} N"]} | beside_force(batch)


def shear(works: Works, batch: Batch, pads: list) -> None:
    pulled = dict(enumerate(pads[:batch.twist.shear_pads], 1))
    pieces = {n: [(n, abs(works.plant.noisy(1.4, 0.2)), newtons(batch, pad))] for n, pad in pulled.items()}
    slips = {n: {"force": [f"{newtons(batch, pad) / 1000:.2f} N"]} for n, pad in pulled.items() if n == batch.twist.newtons_for_kilonewtons}
    bench(works, batch, "shear", ["SH-1"], pieces, lambda n: beside_force(batch), slips=slips)
    for pad in pulled.values():
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
