#!/usr/bin/env python3
"""Serves the demo and starts it again when a source or a page has changed.

    tools/dev.py <folder of the demo> <port>

Pages are served from web/dist; a changed page needs no compiling.
"""
import os
import subprocess
import sys
import time

ROOT = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
PROGRAM = os.path.join(ROOT, "build/release/src/cli/platemark")


def newest(*folders):
    latest = 0.0
    for folder in folders:
        for where, dirs, names in os.walk(os.path.join(ROOT, folder)):
            dirs[:] = [d for d in dirs if d not in ("node_modules", "dist")]
            for name in names:
                latest = max(latest, os.path.getmtime(os.path.join(where, name)))
    return latest


def serve(folder, port):
    return subprocess.Popen([PROGRAM, "--record", folder, "serve", "--port", port, "--web-dir", os.path.join(ROOT, "web/dist")])


def rebuilt(what):
    print(f"\n{what} changed", flush=True)
    command = ["npm", "run", "--silent", "build"] if what == "pages" else ["cmake", "--build", "--preset", "release", "--target", "platemark"]
    return subprocess.run(command, cwd=os.path.join(ROOT, "web") if what == "pages" else ROOT).returncode == 0


def main():
    folder, port = sys.argv[1:3]
    server = serve(folder, port)
    seen = {"pages": newest("web/src"), "program": newest("src", "cmake")}
    try:
        while True:
            time.sleep(0.5)
            now = {"pages": newest("web/src"), "program": newest("src", "cmake")}
            changed = [what for what in now if now[what] > seen[what]]
            seen = now
            if not changed or not all(rebuilt(what) for what in changed):
                continue
            server.terminate()
            server.wait()
            server = serve(folder, port)
    except KeyboardInterrupt:
        pass
    finally:
        server.terminate()
        server.wait()


main()
