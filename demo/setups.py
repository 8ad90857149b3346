"""The first piece of a run is measured and judged before the run."""
from house import subject
from works import Batch, Works

OF_OPERATION = {"press": ("first-press", "first-press"), "grind": ("first-grind", "thickness")}  # characteristic of the plan, name of its limits


def first_piece(works: Works, batch: Batch, operation: str, machine: str, tool: str = "", **station) -> None:
    """Set-up, reading, verdict; where the twist says so one of them is wrong or left out."""
    characteristic, name = OF_OPERATION[operation]
    if "first-press" not in batch.family["limits"]:
        return  # the first part's plan is older than the set-up gate
    if batch.twist.no_first_piece == operation:
        return
    made = works.report(batch, "floor", "set-up make", {"batch": batch.stamp, "operation": operation, "machine": machine, "tool": tool} | station, 2)
    measure(works, batch, subject(made), characteristic, name, batch.twist.bad_first_piece == operation)
    if batch.twist.unjudged != operation:
        works.house.do("floor", "set-up judge", {"set_up": subject(made)}, 1)


def measure(works: Works, batch: Batch, set_up: str, characteristic: str, name: str, bad: bool) -> None:
    lower, upper = batch.family["limits"][name]
    true = upper + 0.08 if bad else works.plant.noisy((lower + upper) / 2, 0.008)
    batch.stands(characteristic, true, 0.002, (lower, upper))
    readings = [f"{works.plant.noisy(true, 0.003):.2f} mm" for _ in range(5)]
    works.house.do("lab", "reading take", {"subject": {"kind": "set-up", "id": set_up}, "characteristic": characteristic, "sample": "", "gauges": ["MI-5"], "numbers": {"readings": readings}}, 1)
