"""A batch on its way through the plant, and what is true of it."""
import math
from dataclasses import dataclass, field

from documents import COMPOUNDS, FAMILIES
from house import PASSWORD, House, Refused, subject
from lots import Shelf
from oven import Fault
from simulate import Plant

ZONES = (0.6, -0.9)  # K that each channel of an oven lies off the set point
DRIFT = -1.0  # K that the lower zone of South loses in the quarter
CLEAR_BY = 3.0  # a batch is clean when every true value lies so many standard uncertainties inside
GUARD = 1.645  # a limit with an asked chance of 0.95 accepts so many less of the limits' width
HOW_CLEANED = {"mixer-2": "scraped, flushed with 5 kg barite, flush scrapped", "coater-2": "nozzles and belt wiped", "press-4": "hopper and cavities blown out", "grinder-2": "belt and guard emptied, dust drawn off",
               "press-6": "both hoppers and all cavities blown out", "riveter-1": "table and magazine emptied", "printer-1": "plate and pad washed"}


@dataclass
class Twist:
    """In what one batch differs from a good one. Nothing given: it is a good one."""
    lots: dict = field(default_factory=dict)  # material: another lot than the shelf's
    why: str = ""  # the reason with which what was refused is reported
    no_plates: bool = False
    film: float = None
    skip: str = None
    double: str = None
    heavy: str = None
    stranger: tuple = None  # material wanted, material whose lot went in
    old_charge: bool = False
    uncleared: str = None  # machine that was not cleared of what ran before
    hours_to_press: float = 0.0
    lost_at: str = None  # step whose count does not balance
    oven: Fault = None
    read_at_once: bool = False  # the recording is read as soon as the oven is empty
    deviation: bool = False
    shear: float = None
    bond_line: int = 0
    hardness: float = None
    give_over: float = None  # µm above what the plan allows
    density_factor: float = None
    hot: float = None
    coarse_balance: bool = False
    hardness_gauge: str = "HR-1"
    unchecked: str = None  # gauge that nobody has checked that day
    tester_off: float = None  # what the hardness tester reads too much, seen at its block and not acted upon
    no_first_piece: str = None  # operation of which no set-up is recorded
    unjudged: str = None  # operation whose first piece was measured and not judged
    bad_first_piece: str = None  # operation whose first piece is outside
    shear_pads: int = 5
    typed: str = None  # characteristic whose readings are typed from the sheet, not read from the file
    newtons_for_kilonewtons: int = None  # sample whose force was typed in the wrong unit
    thick_over: float = None  # mm above what the plan allows
    compound: str = None  # another than the family's
    follows: str = None  # family of a good batch that runs through the mixer just before
    hooks: dict = field(default_factory=dict)  # stage: what happens there besides


@dataclass
class Batch:
    part: dict
    plates: int
    twist: Twist = field(default_factory=Twist)
    kind: str = None  # of the planted mistake; none: nothing was planted
    words: list = field(default_factory=list)
    stamp: str = ""
    mix: str = ""
    good: int = 0
    stopped: bool = False
    shipped: bool = False
    density: float = 0.0
    margins: dict = field(default_factory=dict)
    verdicts: list = field(default_factory=list)
    facts: dict = field(default_factory=dict)  # what later acts must name

    @property
    def family(self) -> dict:
        return FAMILIES[self.part["family"]]

    @property
    def compound(self) -> str:
        return self.twist.compound or self.family["compound"]

    def stands(self, name: str, value: float, u: float, limits=None, guard: float = 0.0) -> None:
        """Keeps how many standard uncertainties the true value lies inside its limits."""
        lower, upper = limits or self.family["limits"][name]
        room = min(value - lower if lower is not None else math.inf, upper - value if upper is not None else math.inf)
        self.margins[name] = min(self.margins.get(name, math.inf), room / u - guard)

    def nearest(self):
        return min(self.margins.items(), key=lambda item: item[1])

    @property
    def clean(self) -> bool:
        return self.kind is None and bool(self.margins) and self.nearest()[1] >= CLEAR_BY

    @property
    def outside(self) -> bool:
        """So far beyond a limit, nobody's mistake, that no luck of a reading can hide it."""
        return self.kind is None and bool(self.margins) and self.nearest()[1] <= -CLEAR_BY - GUARD


class Works:
    """The plant while it is lived through."""

    def __init__(self, house: House, plant: Plant, shelf: Shelf) -> None:
        self.house, self.plant, self.shelf = house, plant, shelf
        self.parts_of = {code: {m: float(p) for m, p in c["formula"]} for code, c in COMPOUNDS.items()}
        self.planted = []
        self.batches = []
        self.deviations = {}
        self.short_dated = None  # lot of resin whose drums came back part-used
        self.progress = 0.0  # of the quarter, 0 to 1
        self.last_on = {}  # machine: what ran on it last, a compound in the mixer, else a part

    def lot(self, batch: Batch, material: str) -> str:
        return batch.twist.lots.get(material) or self.shelf.in_use[material]

    def ask(self, path: str):
        return self.house.signed_in("quality", lambda: self.house.request("GET", path, None, "quality"))

    def report(self, batch: Batch, who: str, act: str, given: dict, minutes: float = 1):
        """An act; when it is answered no, it is reported with the batch's reason, if it has one."""
        try:
            return self.house.do(who, act, given, minutes)
        except Refused as refused:
            if not batch.twist.why or "permission.refused" not in str(refused):
                raise
            batch.facts["refusals"] = batch.facts.get("refusals", 0) + 1
            return self.house.do(who, act, given | {"remark": {"why": batch.twist.why}}, minutes)

    def machine_for(self, batch: Batch, machine: str, compound=None) -> str:
        """The machine, cleared where something else ran on it before."""
        now = compound or batch.compound if machine.startswith("mixer") else batch.part["code"]
        if self.last_on.get(machine, now) != now and batch.twist.uncleared != machine:
            self.house.do("floor", "line clear", {"machine": machine, "cleaned": HOW_CLEANED[machine]}, 1)
        self.last_on[machine] = now
        return machine

    def deviation_for(self, batch: Batch) -> str:
        """One batch of the part may be cured under the other programme."""
        code = batch.part["code"]
        if code not in self.deviations:
            done = self.house.do("quality", "deviation allow", {
                "part": code, "step": "cure", "instead_of": batch.family["programme"], "use": "P-176", "reason": "the first burner of the oven is being repaired", "batches": 1,
                "from": self.shelf.days_from_now(0), "until": self.shelf.days_from_now(30)}, 3, PASSWORD)
            self.deviations[code] = subject(done)
        return self.deviations[code]

    def zones(self, oven: str) -> tuple:
        """South's lower zone cools a little more each week; no single load shows it."""
        upper, lower = ZONES
        return upper, lower + (DRIFT * self.progress if oven == "oven-south" else 0.0)

    def hook(self, batch: Batch, stage: str) -> None:
        if stage in batch.twist.hooks:
            batch.twist.hooks[stage](self, batch)
