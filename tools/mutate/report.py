"""What became of the mutants: report.json for programs, report.txt for people."""
import collections
import csv
import json
import pathlib

from runs import Fate
from sites import Mutant

COLUMNS = ["file", "function", "text", "mutation", "reason"]


def share(fates: list[Fate]) -> float:
    """Percent caught of all; what is accepted counts as not caught."""
    return 100 * sum(f.caught for f in fates) / len(fates) if fates else 0


def read_accepted(path: pathlib.Path) -> list[dict[str, str]]:
    with path.open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    for row in rows:
        if set(row) != set(COLUMNS) or not all(row.values()):
            raise SystemExit(f"{path.name}: a row needs {', '.join(COLUMNS)}: {row}")
    return rows


def accept(fates: list[Fate], rows: list[dict[str, str]], mutants: list[Mutant]) -> list[dict[str, str]]:
    """Gives survivors their reason; answers with the rows that are needless now. A row of a file
    that was not run says nothing."""
    run = {m.file for m in mutants}
    by_key = {tuple(row[c] for c in COLUMNS[:4]): row for row in rows}
    matched = set()
    for fate in fates:
        row = by_key.get(fate.mutant.key)
        if row and not fate.caught:
            fate.reason = row["reason"]
            matched.add(fate.mutant.key)
    return [row for key, row in by_key.items() if key not in matched and row["file"].split("/")[:2] in [f.split("/")[:2] for f in run]]


def caught_before(path: pathlib.Path, mutants: list[Mutant]) -> dict[int, Fate]:
    """What the last report says was caught, if the places are still the same."""
    if not path.is_file():
        return {}
    before = collections.defaultdict(list)
    for entry in json.loads(path.read_text())["mutants"]:
        before[tuple(entry[c] for c in COLUMNS[:4])].append(entry)
    known = {}
    for mutant in mutants:
        list_of = before.get(mutant.key)
        entry = list_of.pop(0) if list_of else None
        if entry and entry["caught_by"]:
            known[mutant.number] = Fate(mutant, entry["caught_by"], entry["reached_by"])
    return known


def by_kind(fates: list[Fate]) -> list[tuple[str, int, int]]:
    total, caught = collections.Counter(), collections.Counter()
    for fate in fates:
        total[fate.mutant.kind] += 1
        caught[fate.mutant.kind] += fate.caught
    return [(kind, caught[kind], total[kind]) for kind in sorted(total)]


def line_of(fate: Fate) -> str:
    m = fate.mutant
    what = fate.caught_by or ("accepted: " + fate.reason if fate.reason else "survived" if fate.reached_by else "not reached")
    return f"{m.file}:{m.line}: {m.kind}: {m.text[:100]} [{m.mutation}]: {what}"


def summary(fates: list[Fate], unmatched: list[dict[str, str]]) -> str:
    lines = [f"{sum(f.caught for f in fates)} of {len(fates)} mutants caught: {share(fates):.1f} %"]
    for room in sorted({f.mutant.file.split("/")[1] for f in fates}):
        of_room = [f for f in fates if f.mutant.file.split("/")[1] == room]
        lines.append(f"  {room}: {sum(f.caught for f in of_room)} of {len(of_room)}: {share(of_room):.1f} %")
    lines += [f"  {kind}: {caught} of {total}: {100 * caught / total:.1f} %" for kind, caught, total in by_kind(fates)]
    left = [f for f in fates if not f.caught]
    lines.append(f"not caught: {len(left)}, of them {sum(not f.reached_by for f in left)} not reached by any test, {sum(bool(f.reason) for f in left)} accepted with a reason")
    lines += [f"this row of accepted.csv matches no survivor: {row['file']}, {row['function']}: {row['text']} [{row['mutation']}]" for row in unmatched]
    return "\n".join(lines)


def write(folder: pathlib.Path, fates: list[Fate], skipped: list[Mutant], unmatched, partly: bool, seconds: float) -> None:
    entries = [{**vars(f.mutant), "caught_by": f.caught_by, "reached_by": f.reached_by, "reason": f.reason} for f in fates]
    whole = {"share": round(share(fates), 2), "seconds": round(seconds), "survivors_only": partly,
             "kinds": [{"kind": k, "caught": c, "of": n} for k, c, n in by_kind(fates)],
             "accepted_without_survivor": unmatched, "mutants": entries, "skipped": [vars(m) for m in skipped]}
    (folder / "report.json").write_text(json.dumps(whole, indent=1, ensure_ascii=False) + "\n", encoding="utf-8")
    left, caught = [f for f in fates if not f.caught], [f for f in fates if f.caught]
    text = [summary(fates, unmatched), "", "Not caught", *map(line_of, left), "", "Left alone"]
    text += [f"{m.file}:{m.line}: {m.kind}: {m.text[:100]}: {m.skipped}" for m in skipped]
    text += ["", "Caught", *map(line_of, caught)]
    (folder / "report.txt").write_text("\n".join(text) + "\n", encoding="utf-8")
