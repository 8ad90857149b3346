"""A recorder's file as the demo plant's oven writes it, for a cure that has just ended.

    cure_file.py <file to write> <zone of the plant>
"""
import os
import sys
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../demo"))
from simulate import Plant  # noqa: E402

plant = Plant(7)
rows = plant.cure(datetime(2000, 1, 1), 131)
length = rows[-1][0] - rows[0][0]
start = datetime.now(ZoneInfo(sys.argv[2])).replace(tzinfo=None, second=0, microsecond=0) - length - timedelta(minutes=1)
moved = [(start + (when - rows[0][0]), read) for when, read in rows]
with open(sys.argv[1], "wb") as out:
    out.write(plant.recorder_file(moved, "North"))
