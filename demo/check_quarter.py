#!/usr/bin/env python3
"""Lives quarters with fresh seeds and asks whether the program saw what went wrong.

    demo/check_quarter.py --server build/test/demo/platemark_demo [--seeds 20] [--batches 84] [--first-seed 1] [--offset 5]

Of each quarter: no planted mistake is missed, that is, its words stand
together in one sentence of a verdict on its batch or lot, or of Today; what
had to be refused was refused; no batch that is truly clean was stopped, none
that is truly outside has left; and no clean batch is spoken of in a mistake's
words. Batches near a limit are listed. What a version is known to miss is listed with its reason, and must
truly be missed: when it is caught, its mark has to go.
"""
import argparse
import json
import os
import shutil
import subprocess
import sys
import tempfile
from datetime import date, datetime, timezone

from house import House

HERE = os.path.dirname(os.path.abspath(__file__))


def load(server: str, folder: str, seed: int, batches: int) -> None:
    command = [sys.executable, os.path.join(HERE, "load.py"), "--server", server, "--folder", folder, "--seed", str(seed), "--quarter", "--settle", "--batches", str(batches), "--a-day", "4"]
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
    if done.returncode != 0:
        raise SystemExit(f"seed {seed}: the quarter could not be lived through\n{done.stderr[-3000:]}")


def read(folder: str, name: str):
    with open(os.path.join(folder, name)) as file:
        return json.load(file)


class Record:
    """What the program says, asked as a page asks it."""

    def __init__(self, house: House) -> None:
        self.house = house
        house.sign_in("quality")
        self.today = self.ask("/api/today")

    def ask(self, path: str):
        return self.house.request("GET", path, None, "quality")

    def verdicts(self, kind: str, code: str) -> list:
        """Every sentence of every verdict that was given on it."""
        found, after = [], 0
        while True:
            rows = self.ask(f"/api/facts?subject={kind}:{code}&after={after}")["rows"]
            if not rows:
                return found
            for row in rows:
                if row["kind"] == "verdict.given":
                    found += [f["sentence"] for f in self.ask(f"/api/facts/{row['sequence']}")["body"]["findings"]]
            after = rows[-1]["sequence"]

    def now(self, kind: str, code: str) -> list:
        """What a verdict would say now."""
        gates = ("lot",) if kind == "lot" else ("cure", "final")
        pages = [self.ask(f"/api/judge/{gate}/{kind}/{code}") for gate in gates]
        return [f["sentence"] for page in pages for f in page["bar"]["findings"]] + [str(page["stale"]) for page in pages if page["stale"]]

    def on_today(self, code: str) -> list:
        rows = [row for group in ("on_hold", "lots", "late", "shipped_overtaken") for row in self.today[group]]
        return [f"{row.get('why', '')} {row.get('hangs', '')}" for row in rows if code in (row.get("batch"), row.get("lot"), row.get("id"))]

    def sentences(self, kind: str, code: str) -> list:
        if kind == "machine":  # no verdict is given on one
            return self.on_today(code)
        return self.verdicts(kind, code) + self.now(kind, code) + self.on_today(code)


def says(sentences: list, words: list) -> bool:
    return any(all(word in sentence for word in words) for sentence in sentences)


def missed(record: Record, planted: list):
    """What was not seen, and what was seen against expectation."""
    faults, known = [], []
    for entry in planted:
        kind = next(kind for kind in ("batch", "lot", "machine") if kind in entry)
        seen = says(record.sentences(kind, entry[kind]), entry["words"])
        name = f"{entry['kind']} ({kind} {entry[kind]})"
        if "missed_because" in entry:
            (faults if seen else known).append(f"{name}: {'is caught now: take its mark away' if seen else entry['missed_because']}")
        elif not seen:
            faults.append(f"{name}: no sentence says {' … '.join(entry['words'])}")
        elif not entry.get("refused", True):
            faults.append(f"{name}: an act was done that had to be refused")
    return faults, known


def wrongly_stopped(record: Record, clean: list, planted: list) -> list:
    """Clean batches must have passed both gates at the first verdict, and must not be accused."""
    faults, words = [], {tuple(entry["words"]) for entry in planted if "missed_because" not in entry}
    for row in clean:
        if row["verdicts"] != [["cure", "conforms"], ["final", "conforms"]] or not row["shipped"]:
            against = [s for s in record.sentences("batch", row["batch"]) if "outside" in s or "too close" in s or "does not count" in s]
            faults.append(f"clean batch {row['batch']} was stopped: {row['verdicts']}, nearest {row['nearest']} at {row['standard_uncertainties']}; {against[:3]}")
        sentences = record.sentences("batch", row["batch"])
        faults += [f"clean batch {row['batch']} is spoken of as: {' … '.join(w)}" for w in words if says(sentences, w)]
    return faults


def wrongly_passed(outside: list) -> list:
    """What is truly outside, though nobody made a mistake, must not have left."""
    return [f"batch {row['batch']} was shipped with {row['nearest']} at {row['standard_uncertainties']} standard uncertainties" for row in outside if row["shipped"]]


def check(server: str, seed: int, batches: int) -> bool:
    folder = tempfile.mkdtemp(prefix="platemark-quarter-")
    try:
        load(server, folder, seed, batches)
        planted, summary = read(folder, "planted.json"), read(folder, "quarter.json")
        house = House(server, folder)
        house.start(datetime.now(timezone.utc))
        try:
            record = Record(house)
            faults, known = missed(record, planted)
            faults += wrongly_stopped(record, summary["clean"], planted) + wrongly_passed(summary["outside"])
        finally:
            house.stop()
    finally:
        shutil.rmtree(folder)
    if not planted or not summary["clean"]:
        faults.append("the quarter proves nothing: no mistake or no clean batch in it")
    print(f"seed {seed}: {len(planted)} mistakes of {len({p['kind'] for p in planted})} kinds, {len(summary['clean'])} clean, {len(summary['borderline'])} borderline, {len(summary['outside'])} that crept outside, {len(known)} known to be missed, {len(faults)} faults", flush=True)
    for row in summary["borderline"]:
        print(f"  borderline: {row['batch']}, {row['nearest']} {row['standard_uncertainties']} standard uncertainties inside; {'shipped' if row['shipped'] else 'stopped'}")
    for text in known:
        print(f"  known to be missed: {text}")
    for text in faults:
        print(f"  FAULT {text}")
    return not faults


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--server", required=True)
    options.add_argument("--seeds", type=int, default=20)
    options.add_argument("--batches", type=int, default=84)
    options.add_argument("--first-seed", type=int, default=date.today().toordinal() * 100, help="fresh every day when not given")
    options.add_argument("--offset", type=int, default=0, help="leaves so many seeds out, when several of these run beside each other")
    given = options.parse_args()
    first = given.first_seed + given.offset
    results = [check(given.server, first + n, given.batches) for n in range(given.seeds)]
    if not all(results):
        raise SystemExit(f"{results.count(False)} of {given.seeds} quarters have faults")


if __name__ == "__main__":
    main()
