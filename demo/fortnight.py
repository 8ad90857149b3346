"""Three batches of one part: one clean and shipped with its certificate, one undercured with a stuck sensor, one with a weak bond."""
from documents import HERON_MATERIALS, adopt_regulation, issue_first_documents, make_people, parts_of_quarter, save_layout
from house import House, subject
from laboratory import measure, pass_gate
from leaving import finish, gauge_thickness, papers
from lots import Shelf, receive_first
from making import Curing, mix, open_batch, prepare_plates, press
from oven import Fault
from simulate import Plant
from works import Batch, Twist, Works

PLATES = 700


def found(house: House, plant: Plant, soon_days: int = 20) -> Works:
    """People, the first documents, the recorder's layout, the first lots."""
    make_people(house)
    issue_first_documents(house, soon_days=soon_days)
    sample = plant.recorder_file(plant.cure(house.now.replace(tzinfo=None), 130), "North")
    save_layout(house, "recorder-north", "Recorder of oven North", "north-sample.csv", sample)
    return Works(house, plant, Shelf(house, plant, receive_first(house, plant, HERON_MATERIALS)))


def make(works: Works, twist: Twist) -> Batch:
    """A batch from its opening to the samples on the bench."""
    batch = Batch(parts_of_quarter()[0], PLATES, twist)
    for step in (open_batch, prepare_plates, mix, press):
        step(works, batch)
        works.house.wait(24)
    curing = Curing(works, "oven-north", [batch])
    works.house.until(curing.over())
    curing.unload(works)
    return batch


def ship_three_boxes(works: Works, batch: Batch) -> None:
    boxes = [subject(works.house.do("floor", "box pack", {"batch": batch.stamp, "pads": 160, "sets": 40}, 6)) for _ in range(3)]
    works.house.do("floor", "shipment send", {"customer": "Greyling Motor Factors", "order": "5498", "boxes": boxes}, 10)


def live(works: Works, day) -> dict:
    """`day(n, hour)` is the moment so many days after the first."""
    house = works.house
    house.until(day(5, 6))
    clean = make(works, Twist(film=24.0, shear=452))
    house.until(day(6, 9))
    measure(works, clean)
    adopt_regulation(house, "CP-1041")
    pass_gate(works, clean, "cure")
    house.until(day(7, 6))
    finish(works, clean)
    gauge_thickness(works, clean)
    pass_gate(works, clean, "final")
    papers(works, clean)
    ship_three_boxes(works, clean)

    house.until(day(10, 6))
    stuck = make(works, Twist(film=24.0, shear=448, oven=Fault(soak=96, stuck=(1, 112, 152))))
    house.until(day(11, 9))
    measure(works, stuck)
    pass_gate(works, stuck, "cure")

    house.until(day(12, 6))
    weak = make(works, Twist(film=24.0, shear=296, bond_line=85, lots={"adhesive-ph": "A-0224"}))
    house.until(day(13, 9))
    measure(works, weak)
    pass_gate(works, weak, "cure")
    return {"clean": clean, "stuck": stuck, "weak": weak}
