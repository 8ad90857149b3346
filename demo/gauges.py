"""Studies of the laboratory's gauges, and a tester that is found to read wrong."""
import random

from house import PASSWORD, House

# gauge, characteristic: lowest and highest piece, what the gauge scatters, what its people differ, decimals, unit
STUDIES = {
    ("HR-1", "hardness"): (62.0, 92.0, 0.30, 0.10, 1, "{HRR}"),  # pads
    ("SH-1", "shear"): (14000, 30000, 700, 350, 0, "N"),  # spring elements in place of pads: a sheared pad cannot be sheared again
}
PEOPLE, PIECES, TRIALS = "ABC", 10, 2


def readings_of(gauge: str, characteristic: str) -> list:
    """Every piece read by everybody, each time in another order; a row for each piece and person."""
    low, high, scatter, apart, decimals, unit = STUDIES[gauge, characteristic]
    noise = random.Random(f"study of {gauge}")
    rows = []
    for person, name in enumerate(PEOPLE):
        for piece in range(PIECES):
            true = low + (high - low) * piece / (PIECES - 1) + apart * (person - 1)
            rows.append({"appraiser": name, "part": str(piece + 1), "readings": [f"{noise.gauss(true, scatter):.{decimals}f} {unit}" for _ in range(TRIALS)]})
    return rows


def study(house: House, gauge: str, characteristic: str) -> int:
    given = {"gauge": gauge, "characteristic": characteristic, "readings": readings_of(gauge, characteristic)}
    return house.do("lab", "gauge study", given, 60)["sequences"][0]


def study_gauges(house: House) -> None:
    """The hardness tester may be used as it is; for the shear rig quality signs."""
    noise = random.Random("bias and linearity")
    study(house, "HR-1", "hardness")
    blocks = [{"reference": f"{block} {{HRR}}", "readings": [f"{noise.gauss(block + 0.01 * (block - 80), 0.3):.1f} {{HRR}}" for _ in range(5)]} for block in (61.2, 72.5, 84.6, 95.1)]
    house.do("lab", "gauge linearity", {"gauge": "HR-1", "characteristic": "hardness", "references": blocks}, 20)
    house.do("lab", "gauge bias", {"gauge": "HR-1", "characteristic": "hardness", "reference": "84.6 {HRR}", "readings": [f"{noise.gauss(84.7, 0.3):.1f} {{HRR}}" for _ in range(10)]}, 10)
    rig = study(house, "SH-1", "shear")
    house.do("quality", "gauge accept", {"gauge": "SH-1", "characteristic": "shear", "study": rig,
                                         "reason": "pads lie far above the limit; a finer load cell is ordered"}, 2, PASSWORD)


def find_wrong(works, batch) -> None:
    """The tester that was lent to the press hall comes back and reads too hard on every block."""
    works.house.do("lab", "gauge found-wrong", {"gauge": "HR-5", "found": "its ball is flattened; it reads too hard on every block", "off": "3.5 {HRR}"}, 5)
