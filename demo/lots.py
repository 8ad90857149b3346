"""Goods-in: lots arrive, are tested and cleared."""
from datetime import timedelta

from checks import ready
from containers import LOT_KG, Containers
from documents import MATERIALS, SUNDRIES, sieved
from house import House
from instruments import attached, numbers_of
from simulate import Plant

APERTURES = [250, 180, 125, 90, 63, 45]


def take(house: House, lot: str, characteristic: str, gauge: str, numbers: dict, minutes: float = 1, **file) -> None:
    house.do("lab", "reading take", file | {"subject": {"kind": "lot", "id": lot}, "characteristic": characteristic, "sample": "", "gauges": [ready(house, gauge)], "numbers": numbers}, minutes)


def judge(house: House, lot: str) -> None:
    house.do("lab", "lot judge", {"lot": lot})


def clear(house: House, lot: str) -> None:
    judge(house, lot)
    house.do("quality", "lot decide", {"lot": lot, "disposition": "clear"})


def receive_ingredient(house: House, lot: str, material, density: float, supplier_lot: str, use_by=None, said_median=None) -> None:
    certificate = {"fineness": f"{said_median or material[3][0]} um"} if sieved(material) else {}
    given = {"lot": lot, "material": material[0], "supplier": "Oldmere Minerals", "supplier_lot": supplier_lot, "quantity": f"{LOT_KG} kg", "density": f"{density} g/cm3", "certificate": certificate}
    house.do("floor", "lot receive", given | ({"use_by": use_by} if use_by else {}))


def sieve(house: House, plant: Plant, lot: str, median: float, spread: float, lost=None) -> None:
    retained, pan = plant.sieve_sheet(median, spread, APERTURES, 100.0, lost)
    sheet, beside = list(zip(APERTURES, retained)), {"pan": [f"{pan:.2f} g"], "initial": ["100.00 g"]}
    file = attached(house, "fineness", lot, sheet) if house.files else {}
    for characteristic in ("fineness", "sieve-loss"):
        take(house, lot, characteristic, "BA-3", beside if file else beside | numbers_of("fineness", sheet), 2, **file)


def weigh_bags(house: House, plant: Plant, lot: str, mean: float = 25.06) -> None:
    take(house, lot, "bag-check", "SC-4", {"readings": [f"{plant.noisy(mean, 0.03):.2f} kg" for _ in range(3)]})


def ingredient_tested(house: House, plant: Plant, lot: str, material) -> None:
    if sieved(material):
        sieve(house, plant, lot, *material[3])
    else:
        weigh_bags(house, plant, lot)


def receive_plates(house: House, plant: Plant, lot: str, material: str, thickness: float = 6.0, supplier_lot: str = "S-311", bow: float = 0.05) -> None:
    house.do("floor", "lot receive", {"lot": lot, "material": material, "supplier": "Saltholme Stampings", "supplier_lot": supplier_lot, "quantity": "6000 kg"})
    take(house, lot, "plate-thickness", "MI-5", {"readings": [f"{plant.noisy(thickness, 0.012):.3f} mm" for _ in range(5)]})
    take(house, lot, "plate-flatness", "HG-1", {"readings": [f"{abs(plant.noisy(bow, 0.012)):.2f} mm" for _ in range(5)]})


def receive_sundry(house: House, plant: Plant, lot: str, material: str) -> None:
    house.do("floor", "lot receive", {"lot": lot, "material": material, "supplier": "Fenwold Trade Goods", "supplier_lot": f"F-{lot[2:]}", "quantity": "400 kg"})
    take(house, lot, "pack-weight", "SC-4", {"readings": [f"{plant.noisy(SUNDRIES[material][2], 0.02):.2f} kg" for _ in range(3)]})


def receive_adhesive(house: House, plant: Plant, lot: str, film: float, use_by=None) -> None:
    given = {"lot": lot, "material": "adhesive-ph", "supplier": "Tern Adhesives", "supplier_lot": f"T-{lot[2:]}", "quantity": "60 kg"}
    house.do("floor", "lot receive", given | ({"use_by": use_by} if use_by else {}))
    take(house, lot, "trial-film", "FT-2", {"readings": [f"{plant.noisy(film, 0.8):.1f} um" for _ in range(5)]})


def receive_first(house: House, plant: Plant, materials) -> dict:
    """What the first part needs; one lot that nobody has tested yet."""
    lots = {}
    for n, material in enumerate(materials):
        code, _, density, _ = material
        lots[code] = f"{code[0].upper()}-{2280 + n}"
        receive_ingredient(house, lots[code], material, round(float(density) * (1 + plant.rng.gauss(0, 0.002)), 3), f"OM-{7700 + n}")
        ingredient_tested(house, plant, lots[code], material)
        clear(house, lots[code])
    lots["plate-1041"] = "P-0877"
    receive_plates(house, plant, "P-0877", "plate-1041")
    clear(house, "P-0877")
    for lot, film in (("A-0219", 24), ("A-0224", 22)):
        receive_adhesive(house, plant, lot, film)
        clear(house, lot)
    lots["adhesive-ph"] = "A-0219"
    house.do("floor", "lot receive", {"lot": "R-2310", "material": "phenolic-resin", "supplier": "Oldmere Resins", "supplier_lot": "OR-118", "quantity": "500 kg", "density": "1.272 g/cm3"})
    return lots


class Shelf:
    """Which cleared lot of each material is in use, and what each lot truly weighs for its volume."""

    def __init__(self, house: House, plant: Plant, first: dict) -> None:
        self.house, self.plant = house, plant
        self.in_use = dict(first)
        self.density = {}
        self.containers = None  # until containers get labels of their own
        self._next = 3001

    def label_containers(self) -> None:
        """From now on each container of an ingredient has its label."""
        self.containers = Containers(self.house, self.plant)
        for material, lot in self.in_use.items():
            if material in MATERIALS:
                self.containers.label(lot)

    def label(self, material: str) -> str:
        self._next += 1
        return f"{material[0].upper()}-{self._next - 1}"

    def density_of(self, material: str) -> float:
        return self.density.get(self.in_use.get(material), float(MATERIALS[material][2]))

    def deliver(self, material: str, density_factor=None, use_by=None) -> str:
        """An ingredient's next lot arrives and is tested; who calls clears it."""
        lot, row = self.label(material), MATERIALS[material]
        factor = density_factor or 1 + self.plant.rng.gauss(0, 0.002)
        self.density[lot] = round(float(row[2]) * factor, 3)
        receive_ingredient(self.house, lot, row, self.density[lot], f"OM-{lot[2:]}", use_by)
        ingredient_tested(self.house, self.plant, lot, row)
        if self.containers:
            self.containers.label(lot)
        return lot

    def renew(self, material: str) -> None:
        lot = self.deliver(material)
        clear(self.house, lot)
        self.in_use[material] = lot

    def renew_plates(self, material: str) -> None:
        lot = self.label(material)
        receive_plates(self.house, self.plant, lot, material, supplier_lot=f"S-{lot[2:]}")
        clear(self.house, lot)
        self.in_use[material] = lot

    def renew_sundry(self, material: str) -> None:
        lot = self.label(material)
        receive_sundry(self.house, self.plant, lot, material)
        clear(self.house, lot)
        self.in_use[material] = lot

    def adhesive(self, use_by=None) -> str:
        """A lot of adhesive, tested and cleared, and left on the shelf."""
        lot = self.label("adhesive-ph")
        receive_adhesive(self.house, self.plant, lot, self.plant.rng.uniform(22, 25), use_by)
        clear(self.house, lot)
        return lot

    def days_from_now(self, days: int) -> str:
        return (self.house.now + timedelta(days=days)).strftime("%Y-%m-%d")
