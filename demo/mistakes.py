"""What goes wrong at Marrowfen in a quarter, and the words in which the program must say so.

Each mistake is made on the morning of its batch. `words` must stand together
in one sentence of a verdict on the batch or of Today; where an act must have
been refused, it must have been.
"""
from dataclasses import dataclass

from dispositions import box_too_much, concede, fill_from_the_next_pallet, hold_boxes, late_sheet, mend_force, mend_give, order_rework, pack_on_hold, finish_unsigned, measure_until_it_passes, scrap_all, unlucky_lot
from gauges import find_wrong
from lots import clear, judge, receive_ingredient, receive_plates, sieve, weigh_bags
from documents import MATERIALS, issue_compound, issue_part, parts_of_quarter
from oven import Fault
from works import Twist, Works

ADHESIVE = "adhesive-ph"
BONDED = ("CP-HERON", "CP-BITTERN", "CP-CURLEW-H")


@dataclass
class Mistake:
    kind: str
    words: list
    make: object  # works → Twist
    families: tuple = ("CP-HERON", "CP-BITTERN", "CP-CURLEW", "CP-CURLEW-H")
    times: int = 1
    refusals: int = 0  # acts that must be answered no before they are reported
    part: str = None
    ends: str = "held"
    missed_because: str = None  # why the program does not catch it yet
    late: bool = False  # only in the second half of the quarter


def twist(**given):
    """A mistake that needs nothing made ready."""
    return lambda works: Twist(**given)


def uncleared(works: Works) -> Twist:
    lot = works.shelf.deliver("phenolic-resin")
    return Twist(lots={"phenolic-resin": lot}, why="the only resin on the floor that night; its test was still running")


def expired(works: Works) -> Twist:
    lot = works.shelf.adhesive(use_by=works.shelf.days_from_now(-2))
    return Twist(lots={ADHESIVE: lot}, why="the drum's date was read as next month")


def stranger(works: Works) -> Twist:
    return Twist(stranger=("barite", "magnetite"), why="two grey bags stood side by side; seen when the bag was empty")


def old_card(works: Works) -> Twist:
    lot = works.shelf.deliver("barite", density_factor=0.90)
    clear(works.house, lot)
    return Twist(lots={"barite": lot}, old_charge=True)


def used_up_deviation(works: Works) -> Twist:
    return Twist(deviation=True, why="the controller still had last week's programme in it")


def recalled(works: Works) -> Twist:
    return Twist(lots={ADHESIVE: works.shelf.adhesive()}, hooks={"shipped": unlucky_lot})


def returned_drum(works: Works) -> Twist:
    return Twist(lots={"phenolic-resin": works.short_dated}, why="the drum had come back from the mixer and stood with the fresh ones")


def copied_formula(works: Works) -> Twist:
    """Heron 3 is issued again under another number, and one part is to be made of it."""
    issue_compound(works.house, "heron-3c", why="Heron 3 under a number of its own")
    part = next(p for p in parts_of_quarter() if p["code"] == "MF-1056")
    issue_part(works.house, part, compound="heron-3c", why="the compound has a number of its own now")
    return Twist(compound="heron-3c")


BATCH_MISTAKES = [
    Mistake("lot used before it was cleared", ["was used and is not cleared"], uncleared, times=2, refusals=1),
    Mistake("lot used after it expired", ["On hold", "expired on"], expired, families=BONDED, refusals=1),
    Mistake("bag of another material in the mix", ["On hold", "barite is wanted here"], stranger, refusals=1),
    Mistake("weighing skipped", ["graphite: no weighing is on record"], twist(skip="graphite"), times=2),
    Mistake("weighing doubled", ["barite:", "was weighed", "was wanted"], twist(double="barite")),
    Mistake("weighing outside its tolerance", ["phenolic-resin:", "was weighed", "was wanted"], twist(heavy="phenolic-resin")),
    Mistake("adhesive film too thin", ["Adhesive film, dry", "outside"], twist(film=11.0), families=BONDED, times=2),
    Mistake("plates not prepared on record", ["The step 'plates' of the route is not on record"], twist(no_plates=True, why="the sheet of the plate crew was lost"), refusals=1),
    Mistake("charge weight of the old lot", ["Charge weight, worst deviation", "outside"], old_card, families=("CP-HERON",), times=2),
    Mistake("mix left too long before pressing", ["On hold", "'mix' ended", "'press' must follow within"], twist(hours_to_press=11, why="the press stood still that night"), refusals=1),
    Mistake("mixer not cleared of the last compound", ["On hold", "mixer-2 last ran", "has not been cleared"], twist(uncleared="mixer-2", why="two mixes were to be ready before the shift ended"), refusals=1),
    Mistake("two parts on one press without clearance", ["On hold", "press-4 last ran", "has not been cleared"], twist(uncleared="press-4", why="the cavity looked empty"), families=("CP-HERON", "CP-CURLEW", "CP-CURLEW-H"), refusals=1),
    Mistake("copper carried over without cleaning", ["On hold", "mixer-2 last ran bittern-7", "has not been cleared"], twist(uncleared="mixer-2", follows="CP-BITTERN", why="the mixer looked clean from the platform"), part="MF-1055", families=("CP-HERON",), refusals=1),
    Mistake("two parts on one grinder without clearance", ["On hold", "grinder-2 last ran", "has not been cleared"], twist(uncleared="grinder-2", why="the belt was still running"), refusals=1),
    Mistake("returned container used after its shelf life", ["On hold", "expired on"], returned_drum, refusals=1, late=True),
    Mistake("formula copied with one line dropped", ["Compound heron-3c issue 1 is not in type approval", "which covers heron-3 issue"], copied_formula, part="MF-1056", families=("CP-HERON",)),
    Mistake("set-up not judged before the run", ["On hold", "Set-up", "has not been judged"], twist(unjudged="press", why="the setter was called to the other press"), refusals=1),
    Mistake("no first piece before the run", ["On hold", "No first piece of 'press'"], twist(no_first_piece="press", why="the tool had only been out for an hour"), refusals=1),
    Mistake("first piece outside, run all the same", ["On hold", "The verdict on set-up", "does not conform"], twist(bad_first_piece="grind", why="the stop was to be turned after the first tray"), refusals=1),
    Mistake("sensor stuck", ["Soak of the coldest channel", "cannot be known in all of the soak"], twist(oven=Fault(stuck=(1, 112, 190), soak=131)), families=("CP-HERON", "CP-CURLEW")),
    Mistake("recorder gap in the soak", ["Longest gap in the soak", "outside"], twist(oven=Fault(gap=(190, 232), soak=131)), families=("CP-HERON", "CP-CURLEW"), times=2),
    Mistake("soak too short", ["Soak of the coldest channel", "outside"], twist(oven=Fault(soak=92)), families=("CP-HERON", "CP-CURLEW"), times=2),
    Mistake("air overshot the set point", ["Overshoot", "outside"], twist(oven=Fault(soak=131, overshoot=12)), families=("CP-HERON", "CP-CURLEW")),
    Mistake("load put in while the oven was hot", ["Air when the load went in", "outside"], twist(oven=Fault(soak=131, start=97)), families=("CP-HERON", "CP-CURLEW")),
    Mistake("oven zone drifted", ["Channels apart in the soak", "outside"], twist(oven=Fault(soak=131, offset=(4.3, -4.4))), families=("CP-HERON", "CP-CURLEW")),
    Mistake("recorder's clock an hour slow", ["Air when the load went in", "outside"], twist(oven=Fault(soak=131, clock=-60)), families=("CP-HERON", "CP-CURLEW")),
    Mistake("recorder's clock an hour fast", ["On hold", "which has not come yet"], twist(oven=Fault(soak=131, clock=60), read_at_once=True, why="the recorder still ran on another time"), families=("CP-HERON", "CP-CURLEW"), refusals=1),
    Mistake("recorder's clock an hour fast, read later", ["On hold", "'clamp' ended", "'cure' must follow within"], twist(oven=Fault(soak=131, clock=60), why="the recorder still ran on another time"), families=("CP-HERON", "CP-CURLEW"), refusals=1),
    Mistake("bond too weak", ["Shear strength of the bond, cold", "outside"], twist(shear=262), times=2),
    Mistake("bond failed in the bond line", ["Share that failed in the bond line", "outside"], twist(bond_line=85), families=BONDED),
    Mistake("weak batch scrapped", ["Shear strength of the bond, cold", "outside"], twist(shear=240, hooks={"stopped at cure": scrap_all}), ends="scrapped"),
    Mistake("pads pressed too light", ["Density", "outside"], twist(density_factor=0.955)),
    Mistake("density too close to its limit to say", ["Density", "too close to say"], twist(coarse_balance=True)),
    Mistake("friction fades when hot", ["Friction, hot", "outside"], twist(hot=0.26)),
    Mistake("pads too soft", ["Hardness", "outside"], twist(hardness=44)),
    Mistake("gauge out of calibration", ["Hardness", "gauge HR-2 was out of calibration"], twist(hardness_gauge="HR-2"), times=2),
    Mistake("daily check missed", ["Hardness", "gauge HR-3 was not checked with its block"], twist(hardness_gauge="HR-3", unchecked="HR-3")),
    Mistake("daily check failed, gauge used all the same", ["Hardness", "gauge HR-4 failed its check"], twist(hardness_gauge="HR-4", tester_off=5.5)),
    Mistake("gauge found wrong after shipping", ["a gauge was found wrong", "came after its verdict"], twist(hardness_gauge="HR-5", hooks={"shipped": find_wrong}), ends="overtaken"),
    Mistake("result typed in the wrong unit, mended before release", ["Shear strength of the bond, cold", "outside"], twist(newtons_for_kilonewtons=3, hooks={"stopped at cure": mend_force}), ends="released"),
    Mistake("result mended after release", ["came after its verdict"], twist(typed="compressibility", hooks={"shipped": mend_give}), ends="overtaken"),
    Mistake("measured again until it passes", ["Shear strength of the bond, cold", "outside"], twist(shear=275, hooks={"measured": measure_until_it_passes}), times=2),
    Mistake("a pad not measured", ["Shear strength of the bond, cold", "4 of 5 results"], twist(shear_pads=4)),
    Mistake("counts do not balance", ["press", "pieces went in", "7 are missing"], twist(lost_at="press")),
    Mistake("pads lost at the oven", ["cure:", "pieces went in", "7 are missing"], twist(lost_at="cure")),
    Mistake("approval does not cover the compound's issue", ["Compound curlew-12 issue 2 is not in type approval", "which covers curlew-12 issue 1 only"], twist(), families=("CP-CURLEW",), part="MF-3027", late=True),
    Mistake("approval does not cover the compound's issue", ["Compound curlew-12 issue 2 is not in type approval", "which covers curlew-12 issue 1 only"], twist(), families=("CP-CURLEW",), part="MF-3028", late=True),
    Mistake("shift's sheet entered late", ["came after its verdict"], twist(hooks={"shipped": late_sheet}), families=BONDED, ends="overtaken"),
    Mistake("finished before the cure gate was signed", ["On hold", "the cure gate has not been judged"], twist(why="the morning crew took the wrong pallet", hooks={"measured": finish_unsigned}), refusals=1),
    Mistake("packed while on hold", ["On hold", "the final gate has not been judged"], twist(why="the lorry was at the door", hooks={"finished": pack_on_hold}), refusals=1),
    Mistake("more boxed than there is", ["On hold", "good pads left to pack"], twist(why="the last box was filled up from the bench", hooks={"to be packed": box_too_much}), refusals=1, ends="overtaken"),
    Mistake("two batches in one box", ["On hold", "good pads left to pack"], twist(why="a box must be full, and the next pallet stood beside it", hooks={"to be packed": fill_from_the_next_pallet}), refusals=1, ends="overtaken"),
    Mistake("carton packed and stored with a batch on hold", ["On hold", "happened without permission", "is on hold again"], twist(why="the boxes blocked the table", hooks={"boxed": hold_boxes}), refusals=1, ends="overtaken"),
    Mistake("lot found wrong after shipping", ["came after its verdict", "of it changed"], recalled, families=BONDED, ends="overtaken"),
    Mistake("thickness reworked", ["Pad thickness, thickest", "outside"], twist(thick_over=0.03, hooks={"stopped at final": order_rework}), ends="released"),
    Mistake("soft pads conceded by the customer", ["Compressibility, cold", "outside"], twist(give_over=7, hooks={"stopped at cure": concede}), ends="conceded"),
    Mistake("deviation used up", ["On hold", "which are used up"], used_up_deviation, part="MF-1045", families=("CP-HERON",), refusals=1),
]


# Nobody's mistake of one day: what South's zones are apart grows from load to load, and stays inside.
DRIFT = {"machine": "oven-south", "kind": "slow drift while every value is inside", "words": ["oven-south", "drift"]}


def coarse_powder(works: Works) -> str:
    lot = works.shelf.label("graphite")
    receive_ingredient(works.house, lot, MATERIALS["graphite"], 2.25, f"OM-{lot[2:]}")
    sieve(works.house, works.plant, lot, 232, 0.4)
    judge(works.house, lot)
    return lot


def torn_sieve(works: Works) -> str:
    lot = works.shelf.label("coke")
    receive_ingredient(works.house, lot, MATERIALS["coke"], 1.95, f"OM-{lot[2:]}")
    sieve(works.house, works.plant, lot, 120, 0.5, lost=0.031)
    judge(works.house, lot)
    return lot


def light_bags(works: Works) -> str:
    lot = works.shelf.label("aramid-pulp")
    receive_ingredient(works.house, lot, MATERIALS["aramid-pulp"], 1.44, f"OM-{lot[2:]}")
    weigh_bags(works.house, works.plant, lot, 24.3)
    judge(works.house, lot)
    return lot


def thick_plates(works: Works) -> str:
    lot = works.shelf.label("plate-1041")
    receive_plates(works.house, works.plant, lot, "plate-1041", 6.21, f"S-{lot[2:]}")
    judge(works.house, lot)
    return lot


def bowed_plates(works: Works) -> str:
    lot = works.shelf.label("plate-1041")
    receive_plates(works.house, works.plant, lot, "plate-1041", supplier_lot=f"S-{lot[2:]}", bow=0.24)
    judge(works.house, lot)
    return lot


@dataclass
class LotMistake:
    kind: str
    words: list
    make: object  # works → label
    refused_because: str = None  # what quality decided; none: it still waits


LOT_MISTAKES = [
    LotMistake("powder too coarse", ["Median size D50", "outside"], coarse_powder, "sent back to the supplier"),
    LotMistake("powder too coarse", ["Median size D50", "outside"], coarse_powder),
    LotMistake("powder lost in sieving", ["Mass lost in sieving", "outside"], torn_sieve),
    LotMistake("bags too light", ["Bag weight, lightest", "outside"], light_bags, "sent back to the supplier"),
    LotMistake("plates bowed", ["Plate flatness, worst", "outside"], bowed_plates, "sent back to the supplier"),
    LotMistake("plates too thick", ["Plate thickness", "outside"], thick_plates),
]
