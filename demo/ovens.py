"""What is issued about the two ovens and the cure: sensors, surveys, stackings, kinetics. All numbers are invented."""
from documents import PASSWORD, day_after, issue
from house import House

OVEN_NAMES = {"oven-north": "North", "oven-south": "South"}
CHANNELS = (("channel 1", "record"), ("channel 2", "load"))
DRIFT_LIMIT = "0.35 K"
TIERS, POSITIONS = 3, 5

# K that the air of a place lies off its channel: warm at the top, cold at the door (position 1).
def offset_of(oven: str, tier: int, position: int) -> float:
    return round(0.5 * (tier - 2) - 0.9 * (position == 1) + 0.3 * (position == 3) + (0.2 if oven == "oven-south" else 0.0), 1)


STEEL = {"density": "7850 kg/m3", "conductivity": "52 W/(m.K)", "capacity": "490 J/(kg.K)", "source": "works handbook of materials, page 12"}
FRICTION = {"heron-3": ("2240 kg/m3", "1.1 W/(m.K)", "1000 J/(kg.K)"), "bittern-7": ("2460 kg/m3", "1.8 W/(m.K)", "920 J/(kg.K)"), "curlew-12": ("2000 kg/m3", "0.9 W/(m.K)", "1050 J/(kg.K)")}
# One activation energy for each; the factor in 1/min.
KINETICS = {"heron-3": ("62000000 /min", "80 kJ/mol", "8 %"), "bittern-7": ("58000000 /min", "80 kJ/mol", "9 %"), "curlew-12": ("64000000 /min", "80 kJ/mol", "10 %")}
ADOPTED = ("heron-3", "curlew-12")  # what the plant's own calorimeter has measured


def issue_sensors(house: House, oven: str) -> None:
    channels = [{"name": name, "role": role, "sensor_tolerance": "2.5 K", "sensor": {"type": "K", "class": 2}, "calibrated": day_after(house, -12), "calibration_due": day_after(house, 353), "calibration": f"certificate {oven} {name}"} for name, role in CHANNELS]
    issue(house, "machine", {"code": oven, "name": OVEN_NAMES[oven], "class": "oven", "channels": channels, "drift_limit": DRIFT_LIMIT}, why="its sensors were calibrated")


def issue_survey(house: House, oven: str) -> None:
    places = [{"tier": tier, "position": position, "channel": CHANNELS[0][0] if tier == TIERS else CHANNELS[1][0], "offset": f"{offset_of(oven, tier, position)} K", "u": "0.6 K"}
              for tier in range(1, TIERS + 1) for position in range(1, POSITIONS + 1)]
    issue(house, "survey", {"code": f"survey-{oven[5:]}", "name": f"Uniformity of {OVEN_NAMES[oven]}", "oven": oven, "surveyed": day_after(house, -12), "age_limit_days": 365,
                            "set_point": "181 Cel", "uniformity": "3 K", "places": places, "source": f"survey report {OVEN_NAMES[oven]} 1"})


def issue_stacking(house: House, oven: str) -> None:
    friction = [{"compound": code, "properties": {"density": density, "conductivity": conductivity, "capacity": capacity, "source": "own laboratory, flash and calorimeter"}}
                for code, (density, conductivity, capacity) in FRICTION.items()]
    issue(house, "stacking", {"code": f"stacks-{oven[5:]}", "name": f"Clamps and trays in {OVEN_NAMES[oven]}", "oven": oven, "pads_in_stack": 10, "end_plate": "12 mm", "steel": STEEL, "friction": friction,
                              "film_ends": "45 W/(m2.K)", "film_sides": "70 W/(m2.K)", "joint": "400 W/(m2.K)", "start": "24 Cel", "film_u": "10 %", "joint_u": "20 %", "conductivity_u": "5 %", "capacity_u": "3 %",
                              "source": "trial with a stack of 20 sensors"})


def issue_kinetics(house: House) -> None:
    for compound, (factor, energy, binder) in KINETICS.items():
        issue(house, "kinetics", {"code": f"kinetics-{compound}", "name": f"Cure of {compound}", "compound": compound, "model": "n-th order", "plain": {"factor": factor, "energy": energy}, "n": "1", "start": "0.15",
                                  "valid_from": "100 Cel", "valid_to": "210 Cel", "heat": "250 J/g", "binder": binder, "rate_u": "5 %", "heat_u": "10 %",
                                  "source": "own calorimeter, four heating rates" if compound in ADOPTED else "the resin maker's sheet, for the neat resin"})
    for compound in ADOPTED:
        house.do("quality", "kinetics adopt", {"kinetics": f"kinetics-{compound}", "issue": 1, "document_read": f"report of the calorimeter runs on {compound}, pages 1 to 6", "why": "measured on the filled compound"}, 2, PASSWORD)


def issue_oven_documents(house: House) -> None:
    for oven in OVEN_NAMES:
        issue_sensors(house, oven)
        issue_survey(house, oven)
        issue_stacking(house, oven)
    issue_kinetics(house)


def may_be_heated(batches: list) -> bool:
    """Made as it should be of a compound whose properties are on record."""
    return all(b.twist.oven is None and b.twist.deviation is None and b.family["compound"] in FRICTION for b in batches)
