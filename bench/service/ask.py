#!/usr/bin/env python3
"""How long Today and a batch's history take while fifty pages ask once a second.

    bench/service/ask.py <platemark> <folder of a loaded quarter> [seconds]

Fifty connections that stay open, each asking once a second in turn for Today
and for one batch's history, spread evenly over the second. Times are from the
request's last byte sent to the answer's last byte read, on loopback. Prints a
JSON line for each of the two.
"""
import http.client
import json
import random
import subprocess
import sys
import threading
import time

CLIENTS = 50
TARGET_MS = 50
sys.path.insert(0, __file__.rsplit("/", 3)[0] + "/demo")
from house import PASSWORD  # noqa: E402


class Client:
    def __init__(self, port: int, cookie: str = "") -> None:
        self.connection = http.client.HTTPConnection("127.0.0.1", port, timeout=30)
        self.cookie = cookie

    def ask(self, method: str, path: str, body=None):
        self.connection.request(method, path, json.dumps(body) if body else None, {"X-Platemark": "1", "Content-Type": "application/json", "Cookie": self.cookie})
        answer = self.connection.getresponse()
        text = answer.read()
        if answer.status != 200:
            raise SystemExit(f"{path}: {answer.status} {text[:300]!r}")
        return answer, text


def serve(platemark: str, folder: str):
    process = subprocess.Popen([platemark, "--record", folder, "serve", "--port", "0"], stdout=subprocess.PIPE, text=True)
    return process, int(process.stdout.readline().split(":")[2].split("/")[0])


def signed_in(port: int) -> str:
    answer, _ = Client(port).ask("POST", "/api/session", {"login": "quality", "password": PASSWORD})
    return answer.getheader("Set-Cookie").split(";")[0]


def live(client: Client, number: int, begin: float, seconds: int, batches, times) -> None:
    chance = random.Random(number)
    for turn in range(seconds):
        time.sleep(max(0.0, begin + turn + number / CLIENTS - time.monotonic()))
        what, path = ("history", "/api/batches/" + chance.choice(batches)) if (turn + number) % 2 else ("today", "/api/today")
        start = time.monotonic()
        client.ask("GET", path)
        times[what].append((time.monotonic() - start) * 1000)


def all_batches(client: Client):
    batches, after = [], ""
    while True:
        page = json.loads(client.ask("GET", "/api/batches" + (f"?after={after}" if after else ""))[1])
        batches += [row["id"] for row in page["rows"]]
        after = page.get("next")
        if not after:
            return batches


def measure(port: int, seconds: int):
    cookie = signed_in(port)
    batches = all_batches(Client(port, cookie))
    times = {"today": [], "history": []}
    begin = time.monotonic() + 1
    threads = [threading.Thread(target=live, args=(Client(port, cookie), n, begin, seconds, batches, times)) for n in range(CLIENTS)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    return times, len(batches)


def main() -> None:
    seconds = int(sys.argv[3]) if len(sys.argv) > 3 else 30
    process, port = serve(sys.argv[1], sys.argv[2])
    try:
        times, batches = measure(port, seconds)
    finally:
        process.terminate()
        process.wait(timeout=30)
    for what, list_of in times.items():
        list_of.sort()
        p99 = list_of[len(list_of) * 99 // 100]
        print(json.dumps({"name": f"service.{what}.50_clients", "ours": round(p99, 1), "reference": TARGET_MS, "unit": "ms at the 99th percentile", "ratio": round(TARGET_MS / p99, 2), "target": 1, "met": p99 <= TARGET_MS,
                          "note": f"median {list_of[len(list_of) // 2]:.1f} ms, {len(list_of)} answers, {batches} batches on record; reference: the time allowed"}))


main()
