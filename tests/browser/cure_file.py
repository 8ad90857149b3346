"""A recorder's file as the demo plant's oven writes it, for a cure that has just ended.

    cure_file.py <file to write> <zone of the plant> North|South

Oven North cures clamped pads, oven South post-cures hot-pressed ones.
"""
import os
import random
import sys
from datetime import datetime, timedelta
from zoneinfo import ZoneInfo

sys.path.insert(0, os.path.join(os.path.dirname(os.path.abspath(__file__)), "../../demo"))
from oven import POST_CURE, TWO_STEPS, Fault, north_file, run, south_file  # noqa: E402

file, zone, oven = sys.argv[1:]
steps, soak, written = (TWO_STEPS, 131, north_file) if oven == "North" else (POST_CURE, 102, south_file)
rows = run(random.Random(7), datetime(2000, 1, 1), steps, Fault(soak=soak))
length = rows[-1][0] - rows[0][0]
start = datetime.now(ZoneInfo(zone)).replace(tzinfo=None, second=0, microsecond=0) - length - timedelta(minutes=1)
with open(file, "wb") as out:
    out.write(written([(start + (when - rows[0][0]), read, air) for when, read, air in rows]))
