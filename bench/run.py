#!/usr/bin/env python3
"""Runs every benchmark and writes bench/results.json (not committed).

    python3 bench/run.py build/bench

Each program prints JSON lines {name, ours, reference, unit, ratio, target,
met, note}; ratios come from one run on one machine. A figure that misses its
target is shown and does not fail the run: a busy machine is not a broken one.
"""
import json
import os
import subprocess
import sys
import tempfile


def lines_of(command, **more):
    print("running", " ".join(command), flush=True)
    done = subprocess.run(command, stdout=subprocess.PIPE, text=True, **more)
    if done.returncode != 0:
        return [{"name": os.path.basename(command[0]), "met": False, "note": f"ended with status {done.returncode}"}]
    found = []
    for line in done.stdout.splitlines():
        try:
            found.append(json.loads(line))
        except ValueError:
            print("  ", line)
    return found


def programs(build):
    for where, _, names in os.walk(os.path.join(build, "bench")):
        for name in sorted(names):
            path = os.path.join(where, name)
            if name.startswith("bench_") and os.access(path, os.X_OK) and os.path.isfile(path):
                yield path


def load_demo(build, root, folder):
    """The quarter, and how fast its facts were taken in."""
    command = [sys.executable, os.path.join(root, "demo", "load.py"), "--server", os.path.join(build, "demo", "platemark_demo"), "--folder", folder, "--quarter"]
    print("running", " ".join(command), flush=True)
    loaded = json.loads(subprocess.run(command, check=True, stdout=subprocess.PIPE, text=True).stdout.splitlines()[-1])
    return {"name": "demo.load", "ours": loaded["facts_per_second"], "unit": "facts/s", "reference": None, "ratio": None, "target": "the quarter in at most 150 s", "met": loaded["seconds"] <= 150,
            "note": f"{loaded['facts']} facts in {loaded['seconds']} s, one act after the other, each on disk before the next"}


def main():
    build = os.path.abspath(sys.argv[1])
    root = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    results = []
    with tempfile.TemporaryDirectory() as folder:
        demo = os.path.join(folder, "demo")
        results.append(load_demo(build, root, demo))
        for program in programs(build):
            results += lines_of([program] + ([demo] if program.endswith("bench_judge_batch") else []), cwd=os.path.join(root, "bench"))
        results += lines_of([sys.executable, os.path.join(root, "bench", "service", "ask.py"), os.path.join(build, "src", "cli", "platemark"), demo])
    with open(os.path.join(root, "bench", "results.json"), "w") as out:
        json.dump(results, out, indent=1, ensure_ascii=False)
    for r in results:
        print(f"{'met   ' if r.get('met') else 'missed'} {r.get('name')}: ours {r.get('ours')} {r.get('unit', '')}, reference {r.get('reference')}, ratio {r.get('ratio')} (target {r.get('target')}) {r.get('note', '')}")


main()
