"""Finishing, the final gate, boxes and shipment."""
from documents import PLACES, print_of
from house import subject
from laboratory import pass_gate, take
from making import count
from setups import first_piece
from works import Batch, Works

CUSTOMERS = ("Greyling Motor Factors", "Saltmarsh Parts", "Harbour Road Motors", "Fenwold Fleet")
A_BOX = 160
A_CARTON = 2  # boxes


def finish(works: Works, batch: Batch) -> None:
    machine = works.machine_for(batch, "grinder-2")
    first_piece(works, batch, "grind", machine)
    for operation, lost in (("grind", 3), ("slot", 1), ("chamfer", 0)):
        works.report(batch, "floor", "batch finish", {"batch": batch.stamp, "operation": operation, "machine": machine, "counts": count(batch, operation, lost, "ground too thin")}, 5)
    if "underlayer" in batch.family:
        put_on(works, batch)


def put_on(works: Works, batch: Batch) -> None:
    """A shim on each pad, one dropped now and then; the print with the approval's mark."""
    done = lambda operation, machine, more: works.report(batch, "floor", "batch finish", {"batch": batch.stamp, "operation": operation, "machine": works.machine_for(batch, machine), "counts": {"good": batch.good}} | more, 4)
    done("shim", "riveter-1", {"lots": [{"lot": works.shelf.in_use["shim-2"], "pieces": batch.good + works.plant.rng.randrange(3)}]})
    done("print", "printer-1", {"lots": [{"lot": works.shelf.in_use["ink-white"]}], "printed": print_of(batch.part).replace("{batch}", batch.stamp)})


def gauge_thickness(works: Works, batch: Batch, mean=None, **more) -> None:
    lower, upper = batch.family["limits"]["thickness"]
    over = batch.twist.thick_over
    mean = mean or (works.plant.noisy((lower + upper) / 2, 0.008) if over is None else upper + over)
    pads = [works.plant.noisy(mean, 0.015) for _ in range(6)]
    for pad in pads:
        batch.stands("thickness", pad, 0.005)
    take(works, batch, "thickness", "", ["MI-5"], {"readings": [f"{works.plant.noisy(p, 0.003):.2f} mm" for p in pads]}, minutes=3, **more)


def box(works: Works, batch: Batch, pads: int) -> str:
    return subject(works.report(batch, "floor", "box pack", {"batch": batch.stamp, "pads": pads, "sets": pads // 4}, 2))


def pack(works: Works, batch: Batch) -> None:
    works.hook(batch, "to be packed")
    if batch.stopped:
        return
    left, batch.facts["boxes"] = batch.good, []
    while left >= 4:
        pads = min(A_BOX, left - left % 4)
        batch.facts["boxes"].append(box(works, batch, pads))
        left -= pads
    works.hook(batch, "boxed")
    store(works, batch)


def store(works: Works, batch: Batch) -> None:
    """Boxes go into cartons, and the cartons into the store."""
    boxes, batch.facts["cartons"] = batch.facts["boxes"], []
    for first in range(0, len(boxes), A_CARTON):
        carton = subject(works.report(batch, "floor", "carton pack", {"boxes": boxes[first:first + A_CARTON]}, 2))
        works.report(batch, "floor", "carton store", {"carton": carton, "place": works.plant.rng.choice(PLACES)}, 1)
        batch.facts["cartons"].append(carton)


def ship(works: Works, batch: Batch) -> None:
    for carton in batch.facts["cartons"]:
        works.house.do("floor", "carton take", {"carton": carton}, 1)
    given = {"customer": works.plant.rng.choice(CUSTOMERS), "order": str(5400 + len(works.batches)), "boxes": [], "cartons": batch.facts["cartons"]}
    works.house.do("floor", "shipment send", given, 5)
    batch.shipped = True
    works.hook(batch, "shipped")


def papers(works: Works, batch: Batch) -> None:
    for paper in ("certificate", "batch record"):
        works.house.do("quality", "paper issue", {"batch": batch.stamp, "paper": paper}, 2)


def leave(works: Works, batch: Batch, with_papers: bool) -> None:
    """All that is left after the cure gate."""
    finish(works, batch)
    works.hook(batch, "finished")
    gauge_thickness(works, batch)
    if not pass_gate(works, batch, "final"):
        return
    if with_papers:
        papers(works, batch)
    pack(works, batch)
    if not batch.stopped:
        ship(works, batch)
