"""Runs the tests against one mutant after the other: only the test cases that reach it."""
import collections
import concurrent.futures
import dataclasses
import os
import pathlib
import re
import shutil
import subprocess
import tempfile

from sites import Mutant

NICE = ["nice", "-n", "15"]
SEED = {"RC_PARAMS": "seed=1"}  # drawn cases are the same in every run


@dataclasses.dataclass
class Program:
    name: str
    path: pathlib.Path
    seconds: dict[str, float] = dataclasses.field(default_factory=dict)
    reaches: dict[int, list[str]] = dataclasses.field(default_factory=lambda: collections.defaultdict(list))
    kills: dict[tuple[str, str], collections.Counter] = dataclasses.field(default_factory=lambda: collections.defaultdict(collections.Counter))

    def likely_first(self, mutant: Mutant) -> list[str]:
        """The test cases that reach it: first those that caught another of the same function."""
        kills = self.kills[mutant.file, mutant.function]
        return sorted(self.reaches.get(mutant.number, ()), key=lambda case: (-kills[case], self.seconds[case]))


@dataclasses.dataclass
class Fate:
    mutant: Mutant
    caught_by: str = ""   # "act: a box takes no more sets than go in"
    reached_by: int = 0   # test cases
    reason: str = ""      # of an accepted one

    @property
    def caught(self) -> bool:
        return bool(self.caught_by)


def filter_of(cases: list[str]) -> str:
    """Names as doctest filters them: a comma would end the name, so any sign may stand there."""
    return "-tc=" + ",".join(re.sub(r'[,\\"]', "?", case) for case in cases)


def start(program: Program, arguments: list[str], variables: dict[str, str], limit: float) -> tuple[int, str]:
    """Return code and what was printed; -999 when the time was over. Its files go when it ends."""
    folder = tempfile.mkdtemp(prefix="pm-", dir="/dev/shm" if os.access("/dev/shm", os.W_OK) else None)
    environment = {**os.environ, **SEED, **variables, "TMPDIR": folder}
    process = subprocess.Popen([*NICE, str(program.path), *arguments], env=environment, stdout=subprocess.PIPE,
                               stderr=subprocess.STDOUT, start_new_session=True, text=True, errors="replace")
    try:
        printed, _ = process.communicate(timeout=limit)
        return process.returncode, printed
    except subprocess.TimeoutExpired:
        process.kill()
        return -999, process.communicate()[0] or ""
    finally:
        shutil.rmtree(folder, ignore_errors=True)


def record(program: Program, notes: pathlib.Path) -> None:
    """One run with no mutant on: which test case reaches which place, and how long it takes."""
    code, printed = start(program, [], {"PLATEMARK_REACHED": str(notes)}, 600)
    if code != 0:
        raise SystemExit(f"{program.name} does not pass with no mutant on:\n{printed[-3000:]}")
    for line in notes.read_text().splitlines():
        case, seconds, reached = line.split("\t")
        program.seconds[case] = float(seconds)
        for number in reached.split():
            program.reaches[int(number)].append(case)


def caught_by(program: Program, mutant: Mutant) -> str:
    """The test case that fails with this mutant on; empty when none does."""
    cases = program.likely_first(mutant)
    for first, last in ((0, 4), (4, 20), (20, len(cases))):
        if failed := first_failure(program, cases[first:last], mutant.number):
            program.kills[mutant.file, mutant.function][failed] += 1
            return f"{program.name}: {failed}"
    return ""


def first_failure(program: Program, cases: list[str], number: int) -> str:
    if not cases:
        return ""
    limit = 10 + 40 * sum(program.seconds[c] for c in cases)
    code, printed = start(program, [filter_of(cases), "--abort-after=1", "--no-colors", "--no-intro"], {"PLATEMARK_MUTANT": str(number)}, limit)
    if code == 0:
        return ""
    if code == -999:
        return "does not end"
    named = re.search(r"^TEST CASE:\s+(.*(?:\n  .+)*)", printed, re.MULTILINE)
    return " ".join(named.group(1).split()) if named else "ends early"


def fate_of(mutant: Mutant, programs: list[Program]) -> Fate:
    fate = Fate(mutant, reached_by=sum(len(p.reaches.get(mutant.number, ())) for p in programs))
    for program in programs:
        fate.caught_by = caught_by(program, mutant)
        if fate.caught:
            break
    return fate


def run_all(mutants: list[Mutant], programs: list[Program], say) -> list[Fate]:
    fates = []
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        for n, fate in enumerate(pool.map(lambda m: fate_of(m, programs), mutants), 1):
            fates.append(fate)
            if n % 100 == 0:
                say(f"{n} of {len(mutants)}: {sum(f.caught for f in fates)} caught")
    return fates
