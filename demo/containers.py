"""Bags and drums with labels of their own: weighed out of, and weighed back part-used."""
from checks import ready
from house import House
from simulate import Plant

A_LOT = 4  # containers
LOT_KG = 2400


class Containers:
    def __init__(self, house: House, plant: Plant) -> None:
        self.house, self.plant = house, plant
        self.of_lot = {}  # lot: label and kilograms left of each container
        self.open = {}  # label: lot, of those weighed out of and not given back

    def label(self, lot: str, kilograms: float = LOT_KG, containers: int = A_LOT) -> None:
        each = round(kilograms / containers)
        self.of_lot[lot] = {f"{lot}-{n + 1}": float(each) for n in range(containers)}
        self.house.do("floor", "container label", {"lot": lot, "containers": [{"container": label, "quantity": f"{each} kg"} for label in self.of_lot[lot]]}, 4)

    def take(self, lot: str, kilograms: float):
        """The container that so much is weighed out of; none where the lot has no labels."""
        for label, left in self.of_lot.get(lot, {}).items():
            if left >= kilograms:
                self.of_lot[lot][label] -= kilograms
                self.open[label] = lot
                return label
        return None

    def give_back(self) -> None:
        """At the end of the shift; a little dust has stayed on the scoop."""
        for label, lot in self.open.items():
            left = self.of_lot[lot][label] = self.of_lot[lot][label] - abs(self.plant.noisy(0, 0.004))
            self.house.do("floor", "container return", {"container": label, "mass": f"{self.plant.noisy(left, 0.002):.3f} kg", "gauge": ready(self.house, "SC-4")}, 0.5)
        self.open.clear()
