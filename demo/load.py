#!/usr/bin/env python3
"""Lives a fortnight, or a quarter, at Marrowfen through the program's own interface.

    demo/load.py --server build/release/demo/platemark_demo --folder build/demo [--quarter]

The fortnight has three batches of one part: one clean and shipped with its
certificate, one undercured with a stuck sensor, one with a weak bond. The
quarter begins with them and goes on with some 150 more, and with what goes
wrong in three months. Every fact goes through the acts that a person would
use; only the clock is ours.
"""
import argparse
import json
import time
from datetime import datetime, timedelta, timezone

import fortnight
import quarter
from house import ZONE, House
from simulate import Plant


def options():
    given = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    given.add_argument("--server", required=True)
    given.add_argument("--folder", required=True)
    given.add_argument("--seed", type=int, default=1041)
    given.add_argument("--now", help="ISO time taken as today; the clock's when not given")
    given.add_argument("--quarter", action="store_true", help="three months in place of a fortnight")
    given.add_argument("--batches", type=int, default=150, help="how many batches the quarter has")
    given.add_argument("--a-day", type=float, default=2.6, help="how many of them are begun in a working day")
    given.add_argument("--settle", action="store_true", help="make nothing on the last two days, so that every batch comes to its end")
    return given.parse_args()


def days_after(first: datetime):
    return lambda n, hour=6: (first + timedelta(days=n)).replace(hour=hour, minute=0, second=0, microsecond=0)


def main() -> None:
    given = options()
    now = datetime.fromisoformat(given.now) if given.now else datetime.now(timezone.utc)
    day = days_after(now.astimezone(ZONE) - timedelta(days=quarter.DAYS if given.quarter else 14))
    house = House(given.server, given.folder)
    begun = time.monotonic()
    try:
        house.start(day(0, 8))
        works = fortnight.found(house, Plant(given.seed), quarter.GAUGE_DAYS if given.quarter else 20)
        known = fortnight.live(works, day)
        if given.quarter:
            quarter.live(works, day, given)
    finally:
        if hasattr(house, "process"):
            house.stop()
    seconds = time.monotonic() - begun
    print(json.dumps({role: batch.stamp for role, batch in known.items()} | {"facts": house.facts, "seconds": round(seconds, 1), "facts_per_second": round(house.facts / seconds, 1)}))


if __name__ == "__main__":
    main()
