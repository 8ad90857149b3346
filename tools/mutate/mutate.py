#!/usr/bin/env python3
"""Changes every comparison, unit and permission of the rooms that judge and act, one at a time, and
sees whether a test notices.

    tools/mutate/mutate.py                   all of src/gate and src/act; 1 when too few are caught
    tools/mutate/mutate.py --room gate       one room
    tools/mutate/mutate.py --survivors       only what the last report says was not caught
    tools/mutate/mutate.py --switchable SOURCE INTO      one source made switchable
    tools/mutate/mutate.py --self-test PROGRAM           a small sample with known mutants, one of which survives

Writes build/mutate/report.json and report.txt. What is not caught and need not be stands in
tools/mutate/accepted.csv with its reason.
"""
import argparse
import pathlib
import sys
import time

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import report
import runs
import selftest
import shadow
import sites

ASKED = 95.0
FOLDER = shadow.ROOT / "build" / "mutate"
PROGRAMS = ("gate", "act", "service")  # the later ones only for what the earlier ones let through


def say(text: str) -> None:
    print(f"[{time.strftime('%H:%M:%S')}] {text}", flush=True)


def prepared(rooms: list[str]):
    """The mutants, what was left alone, and the built programs with what each test reaches."""
    say("reading the sources")
    found = shadow.read_sources(shadow.source_names(["gate", "act"]), FOLDER / "read")
    shadow.switchable_tree(FOLDER / "tree", ["gate", "act"], {name: text for name, text, _, _ in found})
    say("building")
    built = shadow.build(FOLDER / "tree", [f"test_{p}" for p in PROGRAMS])
    programs = [runs.Program(p, built / "tests" / p / f"test_{p}") for p in PROGRAMS]
    for program in programs:
        runs.record(program, FOLDER / f"reached_{program.name}.txt")
        say(f"{program.name}: {len(program.seconds)} test cases, {sum(program.seconds.values()):.1f} s, reach {len(program.reaches)} places")
    wanted = tuple(f"src/{room}/" for room in rooms)
    mutants = [m for _, _, list_of, _ in found for m in list_of if m.file.startswith(wanted)]
    skipped = [m for _, _, _, list_of in found for m in list_of if m.file.startswith(wanted)]
    return mutants, skipped, programs


def switchable(source: pathlib.Path, into: pathlib.Path) -> int:
    name = str(source.resolve().relative_to(shadow.ROOT))
    into.write_text('#include "mutant.h"\n' + sites.Source(source, name, shadow.arguments(name), 1).switchable())
    return 0


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--room", action="append", choices=["gate", "act"])
    parser.add_argument("--survivors", action="store_true")
    parser.add_argument("--self-test", type=pathlib.Path)
    parser.add_argument("--switchable", nargs=2, type=pathlib.Path)
    asked = parser.parse_args()
    if asked.self_test:
        return selftest.run(asked.self_test)
    if asked.switchable:
        return switchable(*asked.switchable)
    mutants, skipped, programs = prepared(asked.room or ["gate", "act"])
    known = report.caught_before(FOLDER / "report.json", mutants) if asked.survivors else {}
    started = time.monotonic()
    say(f"{len(mutants) - len(known)} mutants to run")
    fates = list(known.values()) + runs.run_all([m for m in mutants if m.number not in known], programs, say)
    fates.sort(key=lambda f: f.mutant.number)
    rows = report.read_accepted(pathlib.Path(__file__).with_name("accepted.csv"))
    unmatched = report.accept(fates, rows, mutants)
    report.write(FOLDER, fates, skipped, unmatched, asked.survivors, time.monotonic() - started)
    print(report.summary(fates, unmatched))
    return 0 if report.share(fates) >= ASKED and not unmatched else 1


if __name__ == "__main__":
    sys.exit(main())
