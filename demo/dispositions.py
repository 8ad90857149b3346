"""What people do about a batch that went wrong, and what they do wrong besides."""
from datetime import timedelta

from house import PASSWORD
from laboratory import RIG_UM, force_numbers, judge, release, take
from works import Batch, Works


def mend_force(works: Works, batch: Batch) -> None:
    """The kilonewtons typed as newtons are mended; then the batch is judged anew and released."""
    n = batch.twist.newtons_for_kilonewtons
    take(works, batch, "shear", n, ["SH-1"], force_numbers(batch, batch.facts["pads"][n - 1]), remark={"corrects": batch.facts[f"shear {n}"], "why": "typed in kN, the field wants N"})
    if judge(works, batch, "cure") == "conforms":
        release(works, batch, "cure")
        batch.facts["open anyway"] = True


def mend_give(works: Works, batch: Batch) -> None:
    """A compressibility is mended when the pads are gone."""
    raw = [batch.facts["pads"][0]["compressibility"] * f + m for f, m in zip((1.14, 1.03, 1.0), RIG_UM)]
    take(works, batch, "compressibility", 1, ["CO-1"], {
        "deflection": [f"{v:.1f} um" for v in raw], "machine_deflection": [f"{m} um" for m in RIG_UM], "thickness": [f"{batch.part['thickness']:.1f} mm"]}, {"pressure_basis": "line"},
        remark={"corrects": batch.facts["compressibility 1"], "why": "the sheet has another third stroke than was typed"})


def measure_until_it_passes(works: Works, batch: Batch) -> None:
    """The weakest pad's rest is pulled again and again; every result counts."""
    for more in (40, 75, 130):
        pad = batch.facts["pads"][0] | {"shear": batch.facts["pads"][0]["shear"] + more}
        take(works, batch, "shear", 1, ["SH-1"], force_numbers(batch, pad), repeat_because="the pull looked crooked")


def late_sheet(works: Works, batch: Batch) -> None:
    """A second sheet of film readings turns up on another day."""
    happened = (works.house.now - timedelta(days=1, hours=20)).strftime("%Y-%m-%dT%H:%M:%SZ")
    film = [f"{works.plant.noisy(23.5, 1.6):.1f} um" for _ in range(8)]
    take(works, batch, "adhesive-film", "", ["FT-2"], {"readings": film}, repeat_because="second sheet of the same coat", at=happened, late_because="entered from the shift's paper sheet")


def finish_unsigned(works: Works, batch: Batch) -> None:
    works.report(batch, "floor", "batch finish", {"batch": batch.stamp, "operation": "grind", "machine": works.machine_for(batch, "grinder-2"), "counts": {"good": batch.good}}, 5)


def pack_on_hold(works: Works, batch: Batch) -> None:
    works.report(batch, "floor", "box pack", {"batch": batch.stamp, "pads": 80, "sets": 20}, 2)


def box_too_much(works: Works, batch: Batch) -> None:
    """The first box is written with more pads than the batch has."""
    works.report(batch, "floor", "box pack", {"batch": batch.stamp, "pads": batch.good + 24, "sets": (batch.good + 24) // 4}, 2)
    batch.stopped = True


def fill_from_the_next_pallet(works: Works, batch: Batch) -> None:
    """The last box is filled up with pads of another batch; by the count there are more than there can be."""
    from leaving import A_BOX, box  # packing is there, and it asks for this hook
    for _ in range(batch.good // A_BOX + 1):
        box(works, batch, A_BOX)
    batch.stopped = True


def hold_boxes(works: Works, batch: Batch) -> None:
    """The laboratory holds the batch when its boxes stand before the carton."""
    works.house.do("lab", "hold place", {"subject": {"kind": "batch", "id": batch.stamp}, "why": "the retained sample has a crack across the chamfer"}, 3)
    batch.stopped = True


def unlucky_lot(works: Works, batch: Batch) -> None:
    """The supplier admits days later that the adhesive was stored warm."""
    lot = batch.twist.lots["adhesive-ph"]
    works.house.do("quality", "hold place", {"subject": {"kind": "lot", "id": lot}, "why": "the supplier says that this lot stood in a warm store"}, 3)


def scrap_all(works: Works, batch: Batch) -> None:
    works.house.do("quality", "scrap sign", {"batch": batch.stamp, "pads": batch.good, "reason": batch.kind or "outside its limits"}, 3, PASSWORD)
    batch.facts["scrapped"] = True


def order_rework(works: Works, batch: Batch) -> None:
    """Ground once more, measured anew, released."""
    from leaving import gauge_thickness  # the final gate is there, and it asks for this hook
    order = works.house.do("quality", "rework order", {"batch": batch.stamp, "gate": "final", "verdict": batch.facts["verdict"], "characteristics": ["thickness"], "instruction": "grind to 0.1 mm less on grinder 2"}, 10, PASSWORD)
    rework = works.ask(f"/api/facts/{order['sequences'][0]}")["body"]["rework"]
    works.house.do("floor", "rework report", {"rework": rework, "machine": "grinder-2", "counts": {"good": batch.good - 2, "scrap": {"ground too thin": 2}}}, 20)
    batch.good -= 2
    lower, upper = batch.family["limits"]["thickness"]
    gauge_thickness(works, batch, mean=(lower + upper) / 2, repeat_because=f"after rework {rework}")
    if judge(works, batch, "final") == "conforms":
        release(works, batch, "final")
        batch.facts["open anyway"] = True


def concede(works: Works, batch: Batch) -> None:
    """The customer takes so many soft pads, until a day."""
    until = (works.house.now + timedelta(days=120)).strftime("%Y-%m-%d")
    works.house.do("quality", "concession grant", {
        "batch": batch.stamp, "gate": "cure", "verdict": batch.facts["verdict"], "characteristics": ["compressibility"], "authority": "Greyling Motor Factors, quality",
        "reference": f"GMF-{works.plant.rng.randrange(1000, 9999)}", "pads": batch.good, "until": until}, 10, PASSWORD)
    batch.facts["open anyway"] = True

