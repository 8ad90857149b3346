#!/usr/bin/env python3
"""Takes all that the invented plant has issued away as files, and gives it to an empty record.

    tests/demo/export_again.py --server build/test/demo/platemark_demo --program build/test/src/cli/platemark

What the empty record then exports must be the same, byte for byte, as CSV, as
JSON, and out of the ZIP, which is read by another program's reader. Taken once
more, every row is on record already.
"""
import argparse
import filecmp
import json
import os
import subprocess
import sys
import tempfile
import zipfile

ROOT = os.path.dirname(os.path.dirname(os.path.dirname(os.path.abspath(__file__))))
PASSWORD = "marrowfen works"


class Plant:
    def __init__(self, program: str, folder: str) -> None:
        self.program, self.folder = program, folder

    def run(self, *arguments: str) -> str:
        around = os.environ | {"PLATEMARK_RECORD": self.folder, "PLATEMARK_PASSWORD": PASSWORD, "PLATEMARK_NEW_PASSWORD": PASSWORD}
        done = subprocess.run([self.program, *arguments], env=around, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
        if done.returncode != 0:
            raise SystemExit(f"{' '.join(arguments)}: status {done.returncode}\n{done.stdout[-3000:]}{done.stderr[-1000:]}")
        return done.stdout

    def found(self, people: list) -> None:
        """With as many people as the first plant has: keys are made here, and come with no file."""
        self.run("found", "--as", "one", "--plant", "marrowfen", "--name", "A second record", "--zone", "Europe/Berlin", "--person", "One")
        for person in people[1:]:
            name = f"p{person['number']}"
            self.run("--as", "one", "person-add", "--name", name, "--login", name, "--duty", "none yet", "--may", "packing", "--until", "2020-01-01")


def same_files(one: str, other: str) -> None:
    names = sorted(os.listdir(one))
    if names != sorted(os.listdir(other)) or len(names) < 10:
        raise SystemExit(f"other files: {names} and {sorted(os.listdir(other))}")
    _, different, wrong = filecmp.cmpfiles(one, other, names, shallow=False)
    if different or wrong:
        raise SystemExit(f"{one} and {other} differ in {different + wrong}")


def rows_by_word(answer: str) -> dict:
    words = {}
    for preview in json.loads(answer).values():
        for row in preview["rows"]:
            words[row["word"]] = words.get(row["word"], 0) + 1
    return words


def there_and_back(program: str, first: Plant, scratch: str, format: str) -> None:
    away, back, zipped = (os.path.join(scratch, f"{name}-{format}") for name in ("away", "back", "zipped"))
    first.run("export", "all", "--format", format, "--to", away)
    first.run("export", "all", "--format", format, "--to", zipped + ".zip")
    with zipfile.ZipFile(zipped + ".zip") as archive:
        if archive.testzip() is not None:
            raise SystemExit("the ZIP is damaged")
        archive.extractall(zipped)
    same_files(away, zipped)
    second = Plant(program, os.path.join(scratch, f"second-{format}"))
    second.found(json.loads(first.run("export", "person")))
    taken = rows_by_word(second.run("--json", "--as", "one", "import", "all", zipped))
    second.run("export", "all", "--format", format, "--to", back)
    same_files(away, back)
    again = rows_by_word(second.run("--json", "--as", "one", "import", "all", away))
    if set(again) != {"same"} or sum(again.values()) != sum(taken.values()):
        raise SystemExit(f"taken {taken}, once more {again}")
    print(f"{format}: {sum(taken.values())} rows there and back")


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--server", required=True)
    options.add_argument("--program", required=True)
    given = options.parse_args()
    with tempfile.TemporaryDirectory(prefix="platemark-export-") as scratch:
        folder = os.path.join(scratch, "first")
        subprocess.run([sys.executable, os.path.join(ROOT, "demo", "load.py"), "--server", given.server, "--folder", folder], check=True, stdout=subprocess.DEVNULL)
        for format in ("csv", "json"):
            there_and_back(given.program, Plant(given.program, folder), scratch, format)


if __name__ == "__main__":
    main()
