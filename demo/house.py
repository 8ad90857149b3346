"""The service, asked as the pages ask it, with a clock that is ours."""
import http.client
import json
import os
import subprocess
from datetime import datetime, timedelta, timezone
from zoneinfo import ZoneInfo

ZONE = ZoneInfo("Europe/Berlin")
PASSWORD = "marrowfen works"
IDLE_MINUTES = 25  # a session ends after half an hour without use


class Refused(Exception):
    pass


class House:
    def __init__(self, server: str, folder: str, pages: str = "-") -> None:
        os.makedirs(folder, exist_ok=True)
        self.folder = folder
        self.clock_file = os.path.join(folder, "clock.txt")
        self.files = False  # until the laboratory's instruments write files
        self.token = 0
        self.facts = 0
        self.cookies = {}
        self.checked = {}  # gauges with a daily check: the day of the newest
        self.now = None
        self.connection = None
        self._seen = None
        self._command = [server, folder, self.clock_file, pages]

    def start(self, moment: datetime) -> None:
        self.begun = moment
        self._write_clock(moment)
        self.process = subprocess.Popen(self._command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True)
        line = self.process.stdout.readline().strip()
        if not line:
            raise SystemExit("the demo's server did not start")
        self.port = int(line)

    def stop(self) -> None:
        if self.connection:
            self.connection.close()
        self.process.stdin.close()
        self.process.wait(timeout=30)
        os.remove(self.clock_file)

    def _write_clock(self, moment: datetime) -> None:
        self.now = moment
        temporary = self.clock_file + ".new"
        with open(temporary, "w") as out:
            out.write(moment.astimezone(timezone.utc).strftime("%Y-%m-%dT%H:%M:%SZ\n"))
        os.replace(temporary, self.clock_file)

    def at(self, moment: datetime) -> None:
        """Lives up to the moment; who is signed in stays so over a gap of a few hours, not over a night."""
        if self._seen and moment - self._seen > timedelta(hours=5):
            self.cookies.clear()
        while self.cookies and moment - self._seen > timedelta(minutes=IDLE_MINUTES):
            self._write_clock(self._seen + timedelta(minutes=IDLE_MINUTES))
            self._stay_signed_in()
        self._write_clock(moment)

    def wait(self, minutes: float) -> None:
        self.at(self.now + timedelta(minutes=minutes))

    def until(self, moment: datetime) -> None:
        self.at(max(self.now, moment))

    def _stay_signed_in(self) -> None:
        self._seen = self.now
        for who in list(self.cookies):
            self.request("GET", "/api/session", None, who)

    def request(self, method: str, path: str, body=None, who=None, raw=None, headers=None):
        sent = {"X-Platemark": "1", "Content-Type": "application/json", **(headers or {})}
        if who in self.cookies:
            sent["Cookie"] = self.cookies[who]
        answer, text = self._exchange(method, path, raw if raw is not None else json.dumps(body) if body is not None else None, sent)
        cookie = answer.getheader("Set-Cookie")
        if cookie and who:
            self.cookies[who] = cookie.split(";")[0]
        value = json.loads(text) if text else None
        if answer.status >= 400:
            raise Refused(f"{method} {path}: {json.dumps(value, ensure_ascii=False)}")
        return value

    def _exchange(self, method, path, body, headers):
        """One connection is kept; the service closes it after a minute, so a second try is due."""
        for again in (True, False):
            if self.connection is None:
                self.connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=60)
            try:
                self.connection.request(method, path, body, headers)
                answer = self.connection.getresponse()
                return answer, answer.read()
            except (http.client.HTTPException, ConnectionError):
                self.connection.close()
                self.connection = None
                if not again:
                    raise

    def sign_in(self, who: str) -> None:
        if not self.cookies:
            self._seen = self.now
        self.request("POST", "/api/session", {"login": who, "password": PASSWORD}, who)

    def signed_in(self, who: str, ask):
        """Asks; signs in and asks once more when the session has ended."""
        if who not in self.cookies:
            self.sign_in(who)
        try:
            return ask()
        except Refused as refused:
            if "session.none" not in str(refused):
                raise
            self.sign_in(who)
            return ask()

    def do(self, who: str, act: str, given: dict, minutes: float = 1, password=None, at=None, late_because=None):
        """One act; then the clock moves on."""
        self.token += 1
        body = {"token": f"demo-{self.token}", "input": given}
        body |= {k: v for k, v in (("password", password), ("at", at), ("late_because", late_because)) if v}
        done = self.signed_in(who, lambda: self.request("POST", "/api/acts/" + act.replace(" ", "/"), body, who))
        self.facts += len(done["sequences"])
        self.wait(minutes)
        return done

    def attach(self, who: str, name: str, content: bytes) -> str:
        return self.signed_in(who, lambda: self.request("POST", "/api/attachments", None, who, content, {"X-File-Name": name}))["hash"]


def subject(done) -> str:
    return done["created"]["id"]
