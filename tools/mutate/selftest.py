"""Known mutants of a known sample: all are found, all but one are caught, and the rest is said."""
import pathlib
import tempfile

import report
import runs
import shadow
import sites

SAMPLE = "tests/mutate/sample.cpp"
FOUND = {  # kind: how many
    "comparison edge": 3, "comparison turned": 3, "condition turned": 1, "branch never taken": 3, "refusal dropped": 1, "not left out": 2, "logical swapped": 1,
    "side left out": 2, "sign": 1, "factor": 1, "unit": 1, "permission granted": 1, "finding dropped": 2,
}
SURVIVES = (SAMPLE, "mayPack", "pads < 1", "< to <=")


def faults_of(program: pathlib.Path) -> list[str]:
    source = sites.Source(shadow.ROOT / SAMPLE, SAMPLE, shadow.arguments(SAMPLE), 1)
    faults, kinds = [], {kind: 0 for kind in FOUND}
    for mutant in source.mutants:
        kinds[mutant.kind] = kinds.get(mutant.kind, 0) + 1
    if kinds != FOUND:
        faults.append(f"found {kinds}, not {FOUND}")
    if {m.skipped for m in source.skipped} != {"a static_assert", "a template"}:
        faults.append(f"left alone: {[(m.text, m.skipped) for m in source.skipped]}")
    sample = runs.Program("sample", program)
    with tempfile.TemporaryDirectory() as folder:
        runs.record(sample, pathlib.Path(folder) / "reached.txt")
    fates = runs.run_all(source.mutants, [sample], print)
    return faults + faults_of_fates(fates, source.mutants)


def faults_of_fates(fates: list[runs.Fate], mutants: list[sites.Mutant]) -> list[str]:
    faults = []
    left = [f.mutant.key for f in fates if not f.caught]
    if left != [SURVIVES]:
        faults.append(f"survived: {left}, not {SURVIVES}")
    row = dict(zip(report.COLUMNS, [*SURVIVES, "left out on purpose"]))
    if report.accept(fates, [row], mutants):
        faults.append("the row of the survivor is said to match nothing")
    needless = {**row, "mutation": "< to >="}
    if report.accept(fates, [needless], mutants) != [needless]:
        faults.append("a row whose mutant is caught is not said to be needless")
    if not 90 < report.share(fates) < 100:
        faults.append(f"a share of {report.share(fates)} %")
    return faults


def run(program: pathlib.Path) -> int:
    faults = faults_of(program)
    for fault in faults:
        print(f"self-test: {fault}")
    print("self-test of the mutations:", "failed" if faults else "passed")
    return 1 if faults else 0
