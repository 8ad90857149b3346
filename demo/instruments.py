"""What the laboratory's instruments write: one file for each batch or lot and test, one row for each reading."""
from dataclasses import dataclass
from datetime import timedelta

from house import ZONE, House


@dataclass(frozen=True)
class Instrument:
    """How one of them writes. `columns`: title, what it means to the method (nothing: it is not read), unit, decimals."""
    layout: str
    name: str
    columns: tuple
    separator: str = ";"
    comma: bool = True
    seconds: int = 20  # between two rows
    heading: tuple = ()

    def number(self, value, decimals: int) -> str:
        if value is None:
            return "---"
        text = f"{value:.{decimals}f}"
        return text.replace(".", ",") if self.comma else text

    def file(self, house: House, rows: list) -> bytes:
        """Rows of values in the order of the columns; nothing stands for no reading."""
        lines = [*self.heading, self.separator.join(["time", *(title for title, *_ in self.columns)])]
        begun = house.now.astimezone(ZONE).replace(tzinfo=None)
        for n, row in enumerate(rows):
            cells = [self.number(value, decimals) for value, (_, _, _, decimals) in zip(row, self.columns)]
            lines.append(self.separator.join([f"{begun + timedelta(seconds=n * self.seconds):%Y-%m-%d %H:%M:%S}", *cells]))
        return ("\r\n".join(lines) + "\r\n").encode("utf-8")

    def mapping(self) -> dict:
        """Its layout, as a person would have filled it in beside a first file."""
        columns = [{"position": n, "role": "reading" if meaning else "ignored", "title": title, "meaning": meaning, "unit": unit} for n, (title, meaning, unit, _) in enumerate(self.columns, 2)]
        return {"name": self.name, "delimiter": "tab" if self.separator == "\t" else self.separator, "decimal_mark": "comma" if self.comma else "point", "encoding": "utf-8",
                "title_lines": len(self.heading), "header_line": len(self.heading) + 1, "unit_line": 0, "time_column": 1, "clock_column": 0, "time_form": "year-month-day", "zone": str(ZONE),
                "elapsed_unit": "s", "columns": columns, "empty_marks": ["---"], "last_line_may_lack_end": False}


PIECE = ("piece", "sample", "1", 0)
INSTRUMENTS = {
    "hardness": Instrument("hardness-tester", "Hardness testers", (PIECE, ("HRR", "readings", "{HRR}", 1)), heading=("Hardness tester", "ball 12.7 mm, 588 N")),
    "density": Instrument("bench-balance", "Bench balance, weighing in water", (PIECE, ("air g", "in_air", "g", 2), ("water g", "in_water", "g", 2), ("bath C", "water_temperature", "Cel", 1)), separator="\t", comma=False, seconds=70),
    "compressibility": Instrument("compression-rig", "Compression rig", (PIECE, ("stroke", "", "1", 0), ("pad um", "deflection", "um", 1), ("rig um", "machine_deflection", "um", 1)), comma=False, seconds=15),
    "friction": Instrument("friction-machine", "Friction machine, one row for each reading", (("drum C", "", "Cel", 0), ("mu normal", "normal", "1", 3), ("mu hot", "hot", "1", 3)), seconds=40, heading=("Friction machine 1", "sample 25 mm x 25 mm")),
    "fineness": Instrument("sieve-balance", "Sieve balance, one row for each sieve", (("mesh um", "apertures", "um", 0), ("left g", "retained", "g", 2)), separator="\t", comma=False, seconds=45),
    "shear": Instrument("shear-rig", "Shear rig", (PIECE, ("travel mm", "", "mm", 2), ("force N", "force", "N", 0)), separator=",", comma=False, seconds=90),
}


def issue_layouts(house: House) -> None:
    for instrument in INSTRUMENTS.values():
        house.do("quality", "layout issue", {"noun": {"code": instrument.layout, "name": instrument.name, "mapping": instrument.mapping()}, "why": "filled in beside a first file"}, 0.5)


def attached(house: House, characteristic: str, of: str, rows: list) -> dict:
    """The file of a batch or lot, kept; what a reading from it must name."""
    instrument = INSTRUMENTS[characteristic]
    name = f"{instrument.layout}-{of}-{house.now:%H%M}.csv"
    return {"attachment": house.attach("lab", name, instrument.file(house, rows)), "layout": instrument.layout}


def numbers_of(characteristic: str, rows: list) -> dict:
    """The same rows as a person would type them."""
    numbers = {}
    for n, (_, meaning, unit, decimals) in enumerate(INSTRUMENTS[characteristic].columns):
        if meaning not in ("", "sample"):
            numbers[meaning] = [f"{row[n]:.{decimals}f} {unit}".removesuffix(" 1") for row in rows if row[n] is not None]
    return numbers
