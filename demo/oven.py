"""What an oven does to its air, and what its recorder writes.

Air follows the programme with a lag. What the air truly was is kept beside
what the recorder read, so that a chart can be known to be clean.
"""
import math
from dataclasses import dataclass
from datetime import datetime, timedelta

# A programme as its controller runs it: target °C, minutes to get there, minutes there.
TWO_STEPS = ((110.0, 38, 45), (181.0, 45, 131))
POST_CURE = ((172.0, 70, 8), (191.0, 24, 102))
ONE_LONG_STEP = ((176.0, 95, 168),)


@dataclass
class Fault:
    """What may go wrong in an oven; minutes count from the start of the recording."""
    stuck: tuple = None  # channel, first and last minute: a sensor repeats itself
    gap: tuple = None  # first and last minute without rows
    soak: float = None  # minutes at the last target, in place of the programme's
    overshoot: float = 0.0  # K above the last target when the air comes up
    start: float = 24.0  # °C of the air when the load goes in
    offset: tuple = (0.6, -0.9)  # K of each channel's place in the oven
    clock: int = 0  # minutes that the recorder's clock is ahead


def knots_of(steps, soak=None, overshoot=0.0, start=24.0):
    """The programme as a line over time: minutes and °C."""
    knots, m = [(0, start)], 0
    for n, (target, ramp, hold) in enumerate(steps):
        last = n == len(steps) - 1
        m += ramp
        if last and overshoot:
            knots += [(m, target + overshoot), (m + 12, target + overshoot), (m + 24, target)]
        else:
            knots.append((m, target))
        m += soak if last and soak is not None else hold
        knots.append((m, target))
    knots.append((m + 95, 62.0))
    return knots


def line_through(knots, m):
    for (m0, t0), (m1, t1) in zip(knots, knots[1:]):
        if m <= m1:
            return t0 + (t1 - t0) * (m - m0) / (m1 - m0)
    return knots[-1][1]


def run(rng, start: datetime, steps, fault: Fault = Fault(), lag_minutes=(3.0, 5.5), noise=0.15):
    """A cure minute by minute: (time, what was read, what was true)."""
    knots = knots_of(steps, fault.soak, fault.overshoot, fault.start)
    air, held, rows = [fault.start, fault.start - 0.4], [None, None], []
    for m in range(int(knots[-1][0]) + 1):
        read = []
        for c in (0, 1):
            air[c] += (line_through(knots, m) + fault.offset[c] - air[c]) * (1 - math.exp(-1 / lag_minutes[c]))
            value = air[c] + rng.gauss(0, noise)
            if fault.stuck and fault.stuck[0] == c and fault.stuck[1] <= m <= fault.stuck[2]:
                held[c] = value if held[c] is None else held[c]
                value = held[c]
            read.append(value)
        if not (fault.gap and fault.gap[0] < m < fault.gap[1]):
            rows.append((start + timedelta(minutes=m), read, list(air)))
    return rows


def truth(rows, target: float, tolerance: float):
    """What the load truly had, by counting minutes: soak, overshoot, channels apart, air at load in."""
    hot = [air for _, _, air in rows if min(air) >= target - tolerance]
    return {"soak": float(len(hot)), "overshoot": max(max(air) for _, _, air in rows) - target,
            "channels-apart": max((abs(a - b) for a, b in hot), default=0.0), "load-in": max(rows[0][2])}


def as_stamped(rows, minutes: int) -> list:
    """The rows with the times that a recorder's clock so far ahead would write."""
    return [(when + timedelta(minutes=minutes), read, air) for when, read, air in rows]


def north_file(rows, oven: str = "North") -> bytes:
    """North's recorder: semicolons, decimal comma, local time, Latin-1 degree sign."""
    lines = [f"Recorder oven {oven}", "Marrowfen Friction Works", "", "date;time;channel 1;channel 2", ";;\u00b0C;\u00b0C"]
    for n, row in enumerate(rows):
        if n and n % 240 == 0:
            lines.append("date;time;channel 1;channel 2")  # the recorder repeats its header after a page
        values = ";".join(f"{v:.1f}".replace(".", ",") for v in row[1])
        lines.append(f"{row[0]:%d.%m.%Y};{row[0]:%H:%M:%S};{values}")
    return ("\r\n".join(lines) + "\r\n").encode("latin-1")


def south_file(rows) -> bytes:
    """South's recorder: commas, decimal point, a byte order mark, one column for the time."""
    lines = ["Oven South, recorder 2", "time,upper zone,lower zone", ",degC,degC"]
    lines += [f"{row[0]:%Y-%m-%dT%H:%M:%S},{row[1][0]:.2f},{row[1][1]:.2f}" for row in rows]
    return ("\ufeff" + "\r\n".join(lines) + "\r\n").encode("utf-8")
