"""Three months at Marrowfen: which batch is made when, and what becomes of it."""
import json
import math
import os
import sys
import time
from datetime import datetime, timedelta

import documents
from checks import begin as begin_checks
from dispositions import scrap_all
from documents import FAMILIES, KEPT_FOR, MORE_MATERIALS, NOT_EXTENDED, SUNDRIES, adopt_regulation, issue_quarter_documents, parts_of_quarter, save_layout
from gauges import study_gauges
from instruments import issue_layouts
from laboratory import measure, pass_gate
from leaving import leave
from lots import clear
from making import Curing, mix, open_batch, prepare_plates, press
from mistakes import BATCH_MISTAKES, DRIFT, LOT_MISTAKES
from oven import POST_CURE, run, south_file
from ovens import issue_oven_documents
from works import Batch, Twist, Works

DAYS = 92
FIRST_DAY = 14  # the first ones belong to the three known batches
GAUGE_DAYS = 13  # hardness tester 2 is out of calibration from then on
NEAR = 0.1  # of the good batches run close to a limit
A_LOAD = 3  # batches in one oven
LOT_DAYS = 20  # working days that a lot lasts
WITH_PAPERS = 10  # of the newest batches
SCRAP_AFTER = 15  # working days that a batch which does not conform lies on hold


class Order:
    """One batch to be made, with the mistake that will be made in it."""

    def __init__(self, part: dict, mistake=None, deviation=False, near=False) -> None:
        self.part, self.mistake, self.deviation, self.near = part, mistake, deviation, near

    def begin(self, works: Works) -> list:
        """The batch; before it the good one that it follows through the mixer, if it must follow one."""
        twist = self.mistake.make(works) if self.mistake else Twist(deviation=self.deviation)
        if twist.follows:
            before = works.plant.rng.choice([p for p in parts_of_quarter() if p["family"] == twist.follows])
            return Order(before).begin(works) + [self.batch(works, twist)]
        if twist.uncleared:
            self.part = other_than_before(works, self.mistake)
        if self.near:
            run_near(works.plant.rng, twist, FAMILIES[self.part["family"]]["limits"])
        return [self.batch(works, twist)]

    def batch(self, works: Works, twist: Twist) -> Batch:
        batch = Batch(self.part, works.plant.rng.randrange(240, 480), twist)
        if self.mistake:
            batch.kind, batch.words, batch.facts["mistake"] = self.mistake.kind, self.mistake.words, self.mistake
        works.batches.append(batch)
        return batch


def other_than_before(works: Works, mistake) -> dict:
    """A part that cannot follow without clearance what ran before it: another part, of another compound."""
    lately = {batch.part["code"] for batch in works.batches[-8:]}
    return works.plant.rng.choice([p for p in parts_of_quarter() if p["family"] in mistake.families and p["code"] not in (*lately, *NOT_EXTENDED, *KEPT_FOR)
                                   and FAMILIES[p["family"]]["compound"] != works.last_on.get("mixer-2")])


def run_near(rng, twist: Twist, limits: dict) -> None:
    """A process that has crept towards a limit; nobody made a mistake."""
    crept = rng.choice(("hardness", "compressibility", "thickness", "density"))
    if crept == "hardness":
        twist.hardness = limits["hardness"][0] + rng.uniform(-0.5, 2)
    elif crept == "compressibility":
        twist.give_over = rng.uniform(-7, -2)
    elif crept == "thickness":
        twist.thick_over = rng.uniform(-0.04, -0.015)
    else:
        middle = sum(limits["density"]) / 2
        twist.density_factor = (limits["density"][0] + rng.uniform(0.002, 0.012)) / middle


# --- which batches, in which order -------------------------------------------

def orders_of_quarter(rng, count: int, good_at_the_end: int) -> list:
    """Mistakes among good batches; the last ones are good, since nobody has come to look at them yet."""
    parts = parts_of_quarter()
    half, count = (count + 3) // 2, count - good_at_the_end
    mistakes = mistakes_in_turn(rng)[:max(1, count * 4 // 5)]
    early = [m for m in mistakes if not m.late] + [None] * (count - len(mistakes))
    rng.shuffle(early)
    for mistake in (m for m in mistakes if m.late):
        early.insert(rng.randrange(min(half, len(early)), len(early) + 1), mistake)
    orders = []
    for n, mistake in enumerate(early + [None] * good_at_the_end):
        orders += orders_for(rng, parts, mistake, curlew_2=n >= 0.8 * (half - 2))
    return orders


def mistakes_in_turn(rng) -> list:
    """Each once, in any order, before one of them is made again."""
    once, again = list(BATCH_MISTAKES), [m for m in BATCH_MISTAKES for _ in range(m.times - 1)]
    rng.shuffle(once)
    rng.shuffle(again)
    return once + again


def orders_for(rng, parts, mistake, curlew_2: bool) -> list:
    """One batch; with a used-up deviation also the good batch that used it."""
    if mistake is None:
        return [Order(rng.choice([p for p in parts if p["code"] not in KEPT_FOR and not (curlew_2 and p["code"] in NOT_EXTENDED)]), near=rng.random() < NEAR)]
    fitting = [p for p in parts if p["code"] == mistake.part or (mistake.part is None and p["family"] in mistake.families and p["code"] not in (*NOT_EXTENDED, *KEPT_FOR))]
    part = rng.choice(fitting)
    return ([Order(part, deviation=True)] if mistake.kind == "deviation used up" else []) + [Order(part, mistake)]


def working_days(day, count: int, a_day: float) -> list:
    """The last working days up to yesterday; yesterday counts even on a Sunday."""
    all_days = [n for n in range(FIRST_DAY, DAYS) if day(n).weekday() < 5 or n == DAYS - 1]
    return all_days[-min(len(all_days), math.ceil(count / a_day) + 2):]


def spread(orders: list, days: int) -> list:
    """Orders of each day, as even as it goes."""
    plan = [[] for _ in range(days)]
    for n, order in enumerate(orders):
        plan[n * days // len(orders)].append(order)
    return plan


# --- a day --------------------------------------------------------------------

class Quarter:
    def __init__(self, works: Works, day, given) -> None:
        self.works, self.day = works, day
        orders = orders_of_quarter(works.plant.rng, given.batches, 0 if given.settle else math.ceil(3 * given.a_day))
        self.days = working_days(day, len(orders), given.a_day)
        making = len(self.days) - (2 if given.settle else 0)
        self.plan = spread(orders, making) + [[]] * (len(self.days) - making)
        self.curlew_2_day = making // 2
        self.total = len(orders)
        self.loads, self.released, self.begun_on = [], [], []
        self.lots = {max(1, len(self.days) * (n + 1) // (len(LOT_MISTAKES) + 2)): m for n, m in enumerate(LOT_MISTAKES)}
        self.begun = time.monotonic()

    def live(self) -> None:
        for n, day in enumerate(self.days):
            self.works.house.until(self.day(day, 6))
            self.works.progress = n / len(self.days)
            self.goods_in(n)
            self.finishing()
            self.bench()
            self.floor(n)
            self.works.shelf.containers.give_back()
            self.ovens(last=n == len(self.days) - 1)
            self.say(n)

    def goods_in(self, n: int) -> None:
        shelf = self.works.shelf
        if n == 0:
            receive_all(self.works)
            self.receive_short_dated()
        elif n % LOT_DAYS == 0:
            for material in documents.MATERIALS:
                shelf.renew(material)
            shelf.in_use["adhesive-ph"] = shelf.adhesive()
        if n == self.curlew_2_day:
            self.issue_curlew_again()
        if n in self.lots:
            plant_lot(self.works, self.lots[n])
        self.clear_the_hold(n)

    def receive_short_dated(self) -> None:
        """Resin that will be too old in the second half of the quarter."""
        last_day = self.day(self.days[self.curlew_2_day]) - timedelta(days=1)
        self.works.short_dated = self.works.shelf.deliver("phenolic-resin", use_by=last_day.strftime("%Y-%m-%d"))
        clear(self.works.house, self.works.short_dated)

    def open_short_dated(self, batches: list) -> None:
        """Somebody weighs out of it while it is good; its drum goes back part-used."""
        for batch in batches:
            if not batch.twist.lots and batch.kind is None:
                batch.twist.lots["phenolic-resin"] = self.works.short_dated
                return

    def clear_the_hold(self, n: int) -> None:
        """What does not conform and has lain long enough is scrapped."""
        for batch, begun in self.begun_on:
            if batch.stopped and batch.verdicts[-1][1] == "does not conform" and n - begun >= SCRAP_AFTER and "scrapped" not in batch.facts:
                scrap_all(self.works, batch)

    def issue_curlew_again(self) -> None:
        """More graphite; the approvals of two parts were not extended."""
        self.works.parts_of["curlew-12"]["graphite"] = 6.5
        documents.issue_compound(self.works.house, "curlew-12", "graphite 6.0 to 6.5 parts, for wear", {"graphite": "6.5"})

    def finishing(self) -> None:
        batches, self.released = self.released, []
        for batch in batches:
            leave(self.works, batch, len(self.works.batches) > self.total - WITH_PAPERS)

    def bench(self) -> None:
        """What came out of the ovens since yesterday is sampled, measured and judged."""
        for curing in self.loads:
            self.unload(curing)
            for batch in curing.batches:
                measure(self.works, batch)
                if pass_gate(self.works, batch, "cure"):
                    self.released.append(batch)
        self.loads = []

    def unload(self, curing: Curing) -> None:
        if not curing.unloaded:
            self.works.house.until(curing.over())
            curing.unload(self.works)

    def floor(self, n: int) -> None:
        today = in_turn([order.begin(self.works) for order in self.plan[n]])
        if n == 0:
            self.open_short_dated(today)
        for step in (open_batch, prepare_plates, mix, press):
            for batch in today:
                step(self.works, batch)
        self.pressed = today
        self.begun_on += [(batch, n) for batch in today]

    def ovens(self, last: bool) -> None:
        """Two ovens at a time; who waits for them goes in when they are empty again."""
        groups = groups_of(self.pressed)
        for first in range(0, len(groups), 2):
            if first and last:
                return  # these wait in front of the ovens this morning
            for curing in self.loads:
                self.unload(curing)
            for oven, batches in zip(("oven-north", "oven-south"), groups[first:first + 2]):
                self.loads.append(Curing(self.works, oven, batches))
            for curing in self.loads:
                if curing.at_once:
                    self.unload(curing)

    def say(self, n: int) -> None:
        spent = time.monotonic() - self.begun
        left = spent / (n + 1) * (len(self.days) - n - 1)
        print(f"  {self.day(self.days[n]):%Y-%m-%d}: {len(self.works.batches)} of {self.total} batches, {self.works.house.facts} facts, {spent:.0f} s, about {left:.0f} s left", file=sys.stderr, flush=True)


def in_turn(begun: list) -> list:
    """What follows yesterday's last run without clearance comes first; what waits for the press comes last; a pair stays together."""
    def place(batches: list) -> tuple:
        twist = batches[-1].twist
        return twist.hours_to_press, len(batches) > 1, twist.uncleared != "mixer-2", twist.uncleared is None
    return [batch for batches in sorted(begun, key=place) for batch in batches]


def groups_of(batches: list) -> list:
    """Batches of one programme share a load; who has a fault of the oven or a hold lies alone."""
    alone = [[b] for b in batches if b.twist.oven or b.twist.deviation or b.twist.why]
    shared = {}
    for batch in batches:
        if [batch] not in alone:
            shared.setdefault(batch.family["programme"], []).append(batch)
    together = [group[i:i + A_LOAD] for group in shared.values() for i in range(0, len(group), A_LOAD)]
    return together + alone


# --- the plant around it --------------------------------------------------------

def prepare(works: Works) -> None:
    """The rest of the documents, the second oven's layout."""
    house = works.house
    issue_quarter_documents(house)
    issue_oven_documents(house)
    begin_checks(house)
    study_gauges(house)
    works.shelf.label_containers()
    issue_layouts(house)
    house.files = True
    rows = run(works.plant.rng, datetime(2026, 3, 2, 6, 10), POST_CURE)
    save_layout(house, "recorder-south", "Recorder of oven South", "south-sample.csv", south_file(rows))
    for plan in FAMILIES:
        if plan != "CP-1041":
            adopt_regulation(house, plan)


def receive_all(works: Works) -> None:
    for material in MORE_MATERIALS:
        works.shelf.renew(material[0])
    for plate in sorted({p["plate"] for p in parts_of_quarter()} - {"plate-1041"}):
        works.shelf.renew_plates(plate)
    for material in SUNDRIES:
        works.shelf.renew_sundry(material)


def plant_lot(works: Works, mistake) -> None:
    lot = mistake.make(works)
    if mistake.refused_because:
        works.house.do("quality", "lot decide", {"lot": lot, "disposition": "refuse", "why": mistake.refused_because})
    works.planted.append({"lot": lot, "kind": mistake.kind, "words": mistake.words})


def planted(works: Works) -> list:
    enough_loads = sum(b.family["route"] == "hot-pressed" for b in works.batches) >= 12
    entries = [*works.planted, *([DRIFT] if enough_loads else [])]
    for batch in works.batches:
        if batch.kind:
            mistake = batch.facts["mistake"]
            entries.append({"batch": batch.stamp, "kind": batch.kind, "words": batch.words, "ends": "scrapped" if "scrapped" in batch.facts else mistake.ends, "refused": batch.facts.get("refusals", 0) >= mistake.refusals}
                           | ({"missed_because": mistake.missed_because} if mistake.missed_because else {}))
    return entries


def summary(works: Works) -> dict:
    """Which batches were truly clean and which lay near a limit, by the simulator's own values."""
    good = [b for b in works.batches if b.kind is None]
    row = lambda b: {"batch": b.stamp, "part": b.part["code"], "nearest": b.nearest()[0], "standard_uncertainties": round(b.nearest()[1], 1), "verdicts": b.verdicts, "shipped": b.shipped}
    done = [b for b in good if b.shipped or b.stopped]
    return {"clean": [row(b) for b in done if b.clean], "outside": [row(b) for b in done if b.outside],
            "borderline": [row(b) for b in done if not b.clean and not b.outside], "under_way": [b.stamp for b in good if not (b.shipped or b.stopped)]}


def keep(works: Works) -> None:
    for name, value in (("planted.json", planted(works)), ("quarter.json", summary(works))):
        with open(os.path.join(works.house.folder, name), "w") as out:
            json.dump(value, out, indent=1, ensure_ascii=False)


def live(works: Works, day, given) -> None:
    prepare(works)
    Quarter(works, day, given).live()
    keep(works)
