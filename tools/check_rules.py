#!/usr/bin/env python3
"""The rules of the build that no compiler checks; run by ./run test.

    tools/check_rules.py              every broken rule with place and remedy; 1 when there is one
    tools/check_rules.py --self-test  breaks each rule in a copy of the tree and sees it found
"""
import json
import os
import pathlib
import re
import shutil
import sys
import tempfile

SKIPPED = {".git", "build", "node_modules", "dist", "__pycache__"}
CODE = {".cpp", ".h", ".ts", ".tsx", ".mjs", ".py", ".cmake", ".css", ""}
LONGEST = 600
# In pieces, so that this file does not break its own rules.
LEFT_OVER = re.compile(r"\b(TO" r"DO|FIX" r"ME|XX" r"X|place" r"holder(?!\||=))\b")
MACHINE_PATH = re.compile(r"(?:^|[\s\"'`(=:])(/(?:home|root|work|Users)/\w|[A-Z]:\\\\?Users)")
REGISTRY = re.compile(r"\b(registry\.(?:npm" r"js|yarn" r"pkg)\.\w+|deb\.deb" r"ian\.org|py" r"pi\.org|crates\.i" r"o|proxy\.go" r"lang\.org)")
SQL = re.compile(r"\"\s*(SELECT|INSERT|UPDATE|DELETE|CREATE TABLE)\s|R\"sql\(")
HEAVY = re.compile(r"#include\s*[<\"](nlohmann|Eigen|boost|CLI|spdlog)[/.]")


class Tree:
    def __init__(self, root: pathlib.Path) -> None:
        self.root = root
        self.faults: list[str] = []
        self.files = sorted(self._walk())

    def _walk(self):
        for where, folders, names in os.walk(self.root):
            folders[:] = [f for f in folders if f not in SKIPPED]
            yield from (pathlib.Path(where, n) for n in names if n != ".git")

    def under(self, folder: str, *suffixes: str):
        for path in self.files:
            name = path.relative_to(self.root).as_posix()
            if name.startswith(folder) and (not suffixes or path.suffix in suffixes):
                yield path, name

    def text(self, name: str) -> str:
        path = self.root / name
        return path.read_text(encoding="utf-8", errors="replace") if path.is_file() else ""

    def lines(self, folder: str, *suffixes: str):
        for path, name in self.under(folder, *suffixes):
            for n, line in enumerate(path.read_text(encoding="utf-8", errors="replace").splitlines(), 1):
                yield name, n, line

    def fault(self, place: str, what: str, remedy: str) -> None:
        self.faults.append(f"{place}: {what}. {remedy}.")


def arrows(tree: Tree) -> dict[str, set[str]]:
    """Which rooms a room may include: those it uses, and those they use."""
    direct, public = {"http": {"quantity"}}, {"http": {"quantity"}}
    for path, _ in tree.under("src/"):
        if path.name != "CMakeLists.txt" or path.parent.parent.name != "src":
            continue
        text, room = re.sub(r"#.*", "", path.read_text(encoding="utf-8")), path.parent.name
        uses = re.search(r"\bUSES\s+([\w\s]+?)\s*(?:PRIVATE_LIBS|\))", text)
        public[room] = set(uses.group(1).split()) if uses else set()
        linked = re.findall(r"\bplatemark_(\w+)", " ".join(re.findall(r"PRIVATE_LIBS[^)]*\)|target_link_libraries\([^)]*\)", text)))
        direct[room] = public[room] | set(linked)
    return {room: {room, *reach(uses, public)} for room, uses in direct.items()}


def reach(rooms: set[str], public: dict[str, set[str]]) -> set[str]:
    found, todo = set(), list(rooms)
    while todo:
        room = todo.pop()
        if room not in found:
            found.add(room)
            todo += public.get(room, ())
    return found


def check_includes(tree: Tree) -> None:
    allowed = arrows(tree)
    for name, n, line in tree.lines("src/", ".cpp", ".h"):
        room = "http" if name.startswith("src/service/http/") else name.split("/")[1]
        into = re.match(r"\s*#include\s*[<\"](?:platemark/)(\w+)/", line)
        if into and into.group(1) not in allowed.get(room, {room}):
            tree.fault(f"{name}:{n}", f"room {room} includes from {into.group(1)}, an arrow that is not drawn", f"Move the code, or draw the arrow in src/{room}/CMakeLists.txt and ARCHITECTURE.md")
        heavy = HEAVY.match(line)
        if heavy and "/include/" in name:
            tree.fault(f"{name}:{n}", f"a public header includes {heavy.group(1)}", "Keep the library behind the header, in a .cpp file")
        if heavy and heavy.group(1) == "boost" and room != "http":
            tree.fault(f"{name}:{n}", f"room {room} includes boost", "Only src/service/http may")
        if SQL.search(line) and room != "ledger":
            tree.fault(f"{name}:{n}", f"SQL in room {room}", "Ask the ledger through a snapshot")


def check_cases(tree: Tree) -> None:
    for path, name in tree.under("tests/"):
        if "/cases/" in name and not re.search(r"^(?:# )?source:\s*\S", path.read_text(encoding="utf-8", errors="replace"), re.M):
            tree.fault(f"{name}:1", "a case file without its source", "Begin it with '# source: …', the outside source of its numbers")


def check_rooms(tree: Tree) -> None:
    page = tree.text("ARCHITECTURE.md")
    for n, line in enumerate(page.splitlines(), 1):
        for folder in re.findall(r"`((?:src|web|tests|docs|demo|bench|tools|cmake)/[\w/.-]*)`", line):
            if not (tree.root / folder).exists():
                tree.fault(f"ARCHITECTURE.md:{n}", f"{folder} does not exist", "Name what is there")
    for path, name in tree.under("src/"):
        room = name.rpartition("/")[0]
        if path.name == "CMakeLists.txt" and (room.count("/") == 1 or room == "src/service/http") and f"`{room}/`" not in page:
            tree.fault(f"{name}:1", "the room is not named in ARCHITECTURE.md", f"Add a row for `{room}/`")


def mentioned(tree: Tree, found, page: str, what: str) -> None:
    for name, place in found:
        if f"`{name}`" not in tree.text(page):
            tree.fault(place, f"{what} '{name}' does not stand in {page}", "Describe it there")


def names_in(tree: Tree, folder: str, pattern: str):
    return ((found, f"{name}:{n}") for name, n, line in tree.lines(folder, ".cpp") for found in re.findall(pattern, line))


def check_mentions(tree: Tree) -> None:
    mentioned(tree, names_in(tree, "src/service/", r"(?:\.(?:get|post|events)\(|\bon\(router, context, |\.(?:on|upload)\(\"\w+\", )\"(/api/[^\"]*)\""), "docs/api.md", "the route")
    mentioned(tree, names_in(tree, "src/act/", r"\bverb<.*>\(\"([^\"]+)\""), "docs/acts.md", "the act")
    mentioned(tree, names_in(tree, "src/plant/fact.cpp", r"\bkind<.*>\(\"([^\"]+)\""), "docs/facts.md", "the kind of fact")


def strings_in(text: str):
    """The string literals of C++ code with where they begin."""
    return ((m.start(), m.group(1)) for m in re.finditer(r'"((?:[^"\\\n]|\\.)*)"', text))


def call_at(text: str, open_: int) -> str:
    """What stands between the bracket at `open_` and its partner; brackets in literals do not count."""
    bare = re.sub(r'"(?:[^"\\\n]|\\.)*"', lambda m: '"' + "_" * (len(m.group()) - 2) + '"', text[open_:])
    depth = 0
    for n, c in enumerate(bare):
        depth += (c in "({") - (c in ")}")
        if depth == 0:
            return text[open_ + 1:open_ + n]
    return text[open_ + 1:]


def first_argument(call: str) -> str:
    depth = 0
    for n, c in enumerate(call):
        depth += (c in "({") - (c in ")}")
        if c == "," and depth == 0:
            return call[:n]
    return call


def asked_words(tree: Tree):
    """Each say(…): place, keys, names of the values given, and whether its text is filled elsewhere."""
    for path, name in tree.under("src/", ".cpp"):
        text = re.sub(r"^\s*//.*$", "", path.read_text(encoding="utf-8"), flags=re.M) if not name.startswith("src/words/") else ""
        for at in re.finditer(r"\bsay\(", text):
            call = call_at(text, at.end() - 1)
            keys = [k for _, k in strings_in(first_argument(call)) if re.fullmatch(r"[a-z_]+\.[\w.]+", k)]
            while inner := re.search(r"\bsay\(", call):
                nested = call_at(call, inner.end() - 1)
                call = call[:inner.start()] + call[inner.end() + len(nested) + 1:]
            given = set(re.findall(r'\{"(\w+)",', call))
            yield f"{name}:{text.count(chr(10), 0, at.start()) + 1}", keys, given


def check_words(tree: Tree) -> None:
    catalogue = json.loads(tree.text("words/en.json") or "{}")
    words = {f"{section}.{key}": text for section, texts in catalogue.items() if section not in ("pages", "stations") for key, text in texts.items()}
    used = set()
    for place, keys, given in asked_words(tree):
        if not keys:
            tree.fault(place, "a key of the catalogue that is not spelled out", "Write the key in the call, so that its use can be seen")
        for key in keys:
            if key.endswith("."):  # the rest is a number or a code
                used |= {k for k in words if k.startswith(key)}
            elif key not in words:
                tree.fault(place, f"'{key}' is not in words/en.json", "Add it, or correct the key")
            else:
                used.add(key)
                wanted = set(re.findall(r"\{(\w+)\}", words[key]))
                # A text without values may be filled later, by counted() with its number.
                if lacking := wanted - (given or {"n", "N"}):
                    tree.fault(place, f"'{key}' lacks a value for {', '.join(sorted(lacking))}", "Give it its value")
    for key in sorted(set(words) - used):
        tree.fault("words/en.json", f"'{key}' is not used", "Take it out")


def check_lines(tree: Tree) -> None:
    for name, n, line in tree.lines(""):
        suffix = pathlib.Path(name).suffix
        code = suffix in CODE and not name.startswith("docs/") and name not in ("LICENSE", "NOTICE")
        if found := (LEFT_OVER.search(line) if code else None):
            tree.fault(f"{name}:{n}", f"'{found.group(1)}' was left over", "Do it, or take it out")
        if found := MACHINE_PATH.search(line):
            tree.fault(f"{name}:{n}", f"the path of a machine: {found.group(1)}…", "Name it from the project's own folder")
        if found := REGISTRY.search(line):
            tree.fault(f"{name}:{n}", f"the address of a registry: {found.group(1)}", "Let the client find its own")
        if code and n == LONGEST + 1:
            tree.fault(f"{name}:{n}", f"a source of more than {LONGEST} lines", "Split it by what its parts do")


def faults_of(root: pathlib.Path) -> list[str]:
    tree = Tree(root)
    for check in (check_includes, check_cases, check_rooms, check_mentions, check_words, check_lines):
        check(tree)
    return tree.faults


# file, text put at its end, words of the fault that must be found
PLANTED = [
    ("src/quantity/time.cpp", '#include "platemark/plant/fact.h"\n', "room quantity includes from plant"),
    ("src/figure/svg.cpp", '#include "platemark/http/router.h"\n', "room figure includes from http"),
    ("src/plant/include/platemark/plant/value.h", "#include <nlohmann/json.hpp>\n", "a public header includes nlohmann"),
    ("src/act/act.cpp", "#include <boost/asio.hpp>\n", "room act includes boost"),
    ("src/gate/judge.cpp", 'const char* q = "SELECT bytes FROM fact";\n', "SQL in room gate"),
    ("tests/method/cases/planted.csv", "id,value\n", "a case file without its source"),
    ("ARCHITECTURE.md", "`src/nowhere/`\n", "src/nowhere/ does not exist"),
    ("src/planted/CMakeLists.txt", "room(planted SOURCES a.cpp)\n", "the room is not named"),
    ("src/service/routes_act.cpp", 'router.get("/api/planted", f);\n', "the route '/api/planted'"),
    ("src/act/lots.cpp", 'verb<A, a>("lot plant", Operation::batch, "x"),\n', "the act 'lot plant'"),
    ("src/plant/fact.cpp", 'kind<A>("lot.planted", "x"),\n', "the kind of fact 'lot.planted'"),
    ("src/method/sound.cpp", "// TO" "DO\n", "was left over"),
    ("web/src/planted.ts", "const a = '/ho" "me/somebody/a';\n", "the path of a machine"),
    ("docs/planted.md", "https://registry.npm" "js.org/a\n", "the address of a registry"),
    ("src/service/show.cpp", 'auto a = say("service.planted");\n', "'service.planted' is not in words/en.json"),
    ("src/service/papers.cpp", 'auto a = say("papers.foot.page", {{"n", 1}});\n', "'papers.foot.page' lacks a value for all"),
    ("src/service/house.cpp", "auto a = say(key);\n", "a key of the catalogue that is not spelled out"),
    ("src/figure/planted.cpp", "\n" * (LONGEST + 1), "a source of more than"),
]


def self_test(root: pathlib.Path) -> int:
    before, missed = set(faults_of(root)), []
    with tempfile.TemporaryDirectory() as folder:
        copy = pathlib.Path(folder, "tree")
        shutil.copytree(root, copy, ignore=lambda _, names: SKIPPED & set(names))
        for name, text, words in PLANTED:
            target = copy / name
            old = target.read_bytes() if target.exists() else None
            target.parent.mkdir(parents=True, exist_ok=True)
            with target.open("a", encoding="utf-8") as out:
                out.write(text)
            if not any(words in fault and fault not in before and name in fault for fault in faults_of(copy)):
                missed.append(f"{name}: not found: {words}")
            target.write_bytes(old) if old is not None else target.unlink()
    print("\n".join(missed) or f"each of {len(PLANTED)} planted faults is found")
    return 1 if missed else 0


def main() -> int:
    root = pathlib.Path(__file__).resolve().parent.parent
    if "--self-test" in sys.argv:
        return self_test(root)
    faults = faults_of(root)
    print("\n".join(faults) or "the rules of the build are kept", file=sys.stderr if faults else sys.stdout)
    return 1 if faults else 0


sys.exit(main())
