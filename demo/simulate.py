"""The invented plant's physics: what its instruments would have written.

Seeded, with noise and planted faults. Nothing here is taken from the
program's own methods: ovens heat by a lag, powders have a log-normal size,
pads have true values that gauges read with error.
"""
import math
import random
from datetime import datetime, timedelta


class Plant:
    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)

    def noisy(self, value: float, spread: float) -> float:
        return self.rng.gauss(value, spread)

    # --- powders ---------------------------------------------------------
    def sieve_sheet(self, median_um: float, spread: float, apertures_um, taken_g: float):
        """Masses on a stack, coarse to fine, of a powder with log-normal sizes."""
        def finer(x):
            return 0.5 * math.erfc(-(math.log(x / median_um)) / (spread * math.sqrt(2)))

        left, retained = 1.0, []
        for x in apertures_um:
            share = left - finer(x)
            retained.append(max(0.0, share * taken_g * (1 + self.rng.gauss(0, 0.004))))
            left = finer(x)
        lost = taken_g * self.rng.uniform(0.0005, 0.002)
        pan = max(0.0, left * taken_g - lost)
        return [round(m, 2) for m in retained], round(pan, 2)

    # --- the oven --------------------------------------------------------
    def cure(self, start: datetime, soak_minutes: float, lag_minutes=(3.0, 5.5), step_s=60, stuck=None, offset=(0.6, -0.9)):
        """Recorder rows: air temperature of two channels under a programme of ramps and soaks.

        stuck: (channel index, first minute, last minute) during which a sensor repeats itself.
        """
        knots = [(0, 24.0), (38, 110.0), (83, 110.0), (128, 181.0), (128 + soak_minutes, 181.0), (128 + soak_minutes + 95, 62.0)]

        def programme(m):
            for (m0, t0), (m1, t1) in zip(knots, knots[1:]):
                if m <= m1:
                    return t0 + (t1 - t0) * (m - m0) / (m1 - m0)
            return knots[-1][1]

        air = [24.0, 23.6]
        held = [None, None]
        rows = []
        for k in range(int(knots[-1][0] * 60 / step_s) + 1):
            m = k * step_s / 60
            read = []
            for c in (0, 1):
                air[c] += (programme(m) + offset[c] - air[c]) * (1 - math.exp(-(step_s / 60) / lag_minutes[c]))
                value = air[c] + self.rng.gauss(0, 0.15)
                if stuck and stuck[0] == c and stuck[1] <= m <= stuck[2]:
                    held[c] = value if held[c] is None else held[c]
                    value = held[c]
                read.append(value)
            rows.append((start + timedelta(seconds=k * step_s), read))
        return rows

    @staticmethod
    def recorder_file(rows, oven: str) -> bytes:
        """As that oven's recorder writes it: semicolons, decimal comma, local time, Latin-1 degree sign."""
        lines = [f"Recorder oven {oven}", "Marrowfen Friction Works", "", "date;time;channel 1;channel 2", ";;\u00b0C;\u00b0C"]
        for n, (when, read) in enumerate(rows):
            if n and n % 240 == 0:
                lines.append("date;time;channel 1;channel 2")  # the recorder repeats its header after a page
            values = ";".join(f"{v:.1f}".replace(".", ",") for v in read)
            lines.append(f"{when:%d.%m.%Y};{when:%H:%M:%S};{values}")
        return ("\r\n".join(lines) + "\r\n").encode("latin-1")

    # --- pads ------------------------------------------------------------
    def pad(self, density, shear, hardness, compressibility, plate_g=226.4):
        """One pad with its own true values."""
        return {
            "density": self.noisy(density, 0.004), "shear": self.noisy(shear, 14.0), "hardness": self.noisy(hardness, 2.0),
            "compressibility": self.noisy(compressibility, 3.0), "plate": self.noisy(plate_g, 0.4),
        }

    def weigh_in_water(self, pad, volume_cm3: float, water_density: float):
        compound = pad["density"] * volume_cm3
        in_air = compound + pad["plate"]
        displaced = volume_cm3 + pad["plate"] / 7.85
        return round(in_air + self.rng.gauss(0, 0.003), 2), round(in_air - displaced * water_density + self.rng.gauss(0, 0.006), 2)
