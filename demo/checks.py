"""Gauges against their references, on each day before they are first used."""
import random

from house import ZONE, House

# code: reference, what it should read, how far off it may be, how much it scatters, decimals, unit
DAILY = {
    "SC-4": ("check mass 10 kg, class M1", 10.0, 0.003, 0.0006, 3, "kg"),
    "SC-7": ("check mass 200 g, class F2", 200.0, 0.2, 0.04, 1, "g"),
    "BA-3": ("check mass 200 g, class F1", 200.0, 0.02, 0.004, 2, "g"),
    "HR-1": ("block 84.6 HRR", 84.6, 2.0, 0.4, 1, "{HRR}"),
    "HR-3": ("block 84.6 HRR", 84.6, 2.0, 0.4, 1, "{HRR}"),
    "HR-4": ("block 84.6 HRR", 84.6, 2.0, 0.4, 1, "{HRR}"),
    "HR-5": ("block 84.6 HRR", 84.6, 2.0, 0.4, 1, "{HRR}"),
}


def daily_check(code: str) -> dict:
    reference, nominal, tolerance, _, decimals, unit = DAILY[code]
    return {"reference": reference, "nominal": f"{nominal:.{decimals}f} {unit}", "tolerance": f"{tolerance} {unit}"}


def begin(house: House) -> None:
    """From now on no gauge of the list is used on a day before it was checked."""
    house.checked = dict.fromkeys(DAILY)


def check(house: House, code: str, off: float = 0.0) -> None:
    """Three readings of the reference; `off` is what the gauge reads too much."""
    today = house.now.astimezone(ZONE).date()
    _, nominal, _, scatter, decimals, unit = DAILY[code]
    noise = random.Random(f"{code} {today}")
    readings = [f"{noise.gauss(nominal + off, scatter):.{decimals}f} {unit}" for _ in range(3)]
    house.do("lab", "gauge check", {"gauge": code, "readings": readings}, 0.3)
    house.checked[code] = today


def ready(house: House, code: str) -> str:
    """The gauge, checked where it has not been today."""
    if house.checked and code in house.checked and house.checked[code] != house.now.astimezone(ZONE).date():
        check(house, code)
    return code
