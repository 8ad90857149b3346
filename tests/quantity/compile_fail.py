#!/usr/bin/env python3
"""Sees that what must not compile does not.

    compile_fail.py --compiler g++ --include src/quantity/include --cases tests/quantity/compile_fail

Each case is one source that says a thing rightly and, under WRONG, wrongly. The
right form must compile, so that the case does not fail for another reason; the
wrong one must be refused at its own line.
"""
import argparse
import pathlib
import re
import subprocess
import sys


def compiled(given, case: pathlib.Path, *more: str):
    command = [given.compiler, "-std=c++20", "-fsyntax-only", "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-I", given.include, *more, str(case)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120)


def wrong_lines(case: pathlib.Path) -> range:
    lines = case.read_text(encoding="utf-8").splitlines()
    return range(lines.index("#ifdef WRONG") + 2, lines.index("#else") + 1)


def fault_of(given, case: pathlib.Path) -> str:
    right = compiled(given, case)
    if right.returncode != 0:
        return "its right form must compile and does not:\n" + right.stderr
    wrong = compiled(given, case, "-DWRONG")
    if wrong.returncode == 0:
        return "its wrong form compiles"
    places = {int(n) for n in re.findall(re.escape(case.name) + r":(\d+):\d+: error", wrong.stderr)}
    if not places & set(wrong_lines(case)):
        return "its wrong form is refused for another reason:\n" + wrong.stderr
    return ""


def main() -> int:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    for name in ("--compiler", "--include", "--cases"):
        options.add_argument(name, required=True)
    given = options.parse_args()
    cases = sorted(pathlib.Path(given.cases).glob("*.cpp"))
    faults = {case.name: fault for case in cases if (fault := fault_of(given, case))}
    for name, fault in faults.items():
        print(f"{name}: {fault}", file=sys.stderr)
    print(f"{len(cases) - len(faults)} of {len(cases)} wrong forms are refused")
    return 1 if faults or not cases else 0


sys.exit(main())
