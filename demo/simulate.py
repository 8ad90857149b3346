"""The invented plant's physics: what its instruments would have written.

Seeded, with noise and planted faults. Nothing here is taken from the
program's own methods: ovens heat by a lag, powders have a log-normal size,
pads have true values that gauges read with error.
"""
import math
import random
from datetime import datetime

import oven


class Plant:
    def __init__(self, seed: int) -> None:
        self.rng = random.Random(seed)

    def noisy(self, value: float, spread: float) -> float:
        return self.rng.gauss(value, spread)

    # --- powders ---------------------------------------------------------
    def sieve_sheet(self, median_um: float, spread: float, apertures_um, taken_g: float, lost: float = None):
        """Masses on a stack, coarse to fine, of a powder with log-normal sizes."""
        def finer(x):
            return 0.5 * math.erfc(-(math.log(x / median_um)) / (spread * math.sqrt(2)))

        left, retained = 1.0, []
        for x in apertures_um:
            share = left - finer(x)
            retained.append(max(0.0, share * taken_g * (1 + self.rng.gauss(0, 0.004))))
            left = finer(x)
        lost_g = taken_g * (self.rng.uniform(0.0005, 0.002) if lost is None else lost)
        kept = 1 - lost_g / taken_g if lost is not None else 1.0
        pan = max(0.0, left * taken_g * kept - (lost_g if lost is None else 0.0))
        return [round(m * kept, 2) for m in retained], round(pan, 2)

    # --- the oven --------------------------------------------------------
    def cure(self, start: datetime, soak_minutes: float, stuck=None):
        """Recorder rows of oven North under the two-step programme.

        stuck: (channel index, first minute, last minute) during which a sensor repeats itself.
        """
        rows = oven.run(self.rng, start, oven.TWO_STEPS, oven.Fault(stuck=stuck, soak=soak_minutes))
        return [(when, read) for when, read, _ in rows]

    @staticmethod
    def recorder_file(rows, name: str) -> bytes:
        return oven.north_file(rows, name)

    # --- pads ------------------------------------------------------------
    def pad(self, density, shear, hardness, compressibility, plate_g=226.4):
        """One pad with its own true values."""
        return {
            "density": self.noisy(density, 0.004), "shear": self.noisy(shear, 14.0), "hardness": self.noisy(hardness, 2.0),
            "compressibility": self.noisy(compressibility, 3.0), "plate": self.noisy(plate_g, 0.4),
        }

    def weigh_in_water(self, pad, volume_cm3: float, water_density: float, spread: float = 0.003):
        compound = pad["density"] * volume_cm3
        in_air = compound + pad["plate"]
        displaced = volume_cm3 + pad["plate"] / 7.85
        return round(in_air + self.rng.gauss(0, spread), 2), round(in_air - displaced * water_density + self.rng.gauss(0, 2 * spread), 2)
