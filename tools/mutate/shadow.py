"""A copy of the tree in which the sources of some rooms are switchable, built in a folder of its own.

A file is written only when it changed, so that what was built once stays built.
"""
import concurrent.futures
import hashlib
import os
import pathlib
import pickle
import shutil
import subprocess

import sites

ROOT = pathlib.Path(__file__).resolve().parents[2]
RUNTIME = pathlib.Path(__file__).resolve().parent / "runtime"
COPIED = ("CMakeLists.txt", "cmake", "src", "tests", "words", "docs", "tools", "demo")
LEFT = {"build", "node_modules", "__pycache__", "browser"}
PER_FILE = 1000  # numbers kept for one source, so that sources can be read side by side


def source_names(rooms: list[str]) -> list[str]:
    return sorted(str(p.relative_to(ROOT)) for room in rooms for p in (ROOT / "src" / room).glob("*.cpp"))


def arguments(name: str) -> list[str]:
    folders = [*sorted((ROOT / "src").glob("*/include")), (ROOT / name).parent]
    return ["-std=c++20", *(f"-I{folder}" for folder in folders)]


def read_source(job: tuple[str, int, pathlib.Path]) -> tuple[str, str, list[sites.Mutant], list[sites.Mutant]]:
    name, first, kept = job
    if kept.is_file():
        return pickle.loads(kept.read_bytes())
    source = sites.Source(ROOT / name, name, arguments(name), first)
    if len(source.mutants) > PER_FILE:
        raise SystemExit(f"{name} has more than {PER_FILE} places")
    read = (name, source.switchable(), source.mutants, source.skipped)
    write(kept, pickle.dumps(read))
    return read


def read_sources(names: list[str], folder: pathlib.Path):
    """What was read once is kept in the folder, under all that it depends on."""
    shared = hashlib.sha256(pathlib.Path(sites.__file__).read_bytes())
    for header in sorted((ROOT / "src").glob("**/*.h")):
        shared.update(header.read_bytes())
    jobs = []
    for i, name in enumerate(names):
        of_source = hashlib.sha256(shared.digest() + f"{name} {i}".encode() + (ROOT / name).read_bytes())
        jobs.append((name, 1 + PER_FILE * i, folder / f"{of_source.hexdigest()[:24]}.pickle"))
    with concurrent.futures.ProcessPoolExecutor(2) as pool:
        return list(pool.map(read_source, jobs))


def write(path: pathlib.Path, content: bytes) -> None:
    if path.is_file() and path.read_bytes() == content:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_bytes(content)


def copy_tree(tree: pathlib.Path, changed: dict[str, bytes]) -> None:
    wanted = set()
    for top in COPIED:
        for where, folders, names in os.walk(ROOT / top) if (ROOT / top).is_dir() else [(ROOT, [], [top])]:
            folders[:] = [f for f in folders if f not in LEFT]
            for path in (pathlib.Path(where) / n for n in names):
                name = str(path.relative_to(ROOT))
                wanted.add(name)
                write(tree / name, changed.get(name) or path.read_bytes())
    for path in [p for p in tree.rglob("*") if p.is_file()]:
        if str(path.relative_to(tree)) not in wanted and path.relative_to(tree).parts[0] not in ("pm", "build"):
            path.unlink()


def switchable_tree(tree: pathlib.Path, rooms: list[str], sources: dict[str, str]) -> None:
    changed = {name: f'#include "mutant.h"\n#line 1 "{name}"\n{text}'.encode() for name, text in sources.items()}
    main = "tests/support/main.cpp"
    changed[main] = (ROOT / main).read_bytes() + b'#include "listener.cpp"\n'
    lists = (ROOT / "cmake/room.cmake").read_text()
    changed["cmake/room.cmake"] = (lists + LIBRARY).encode()
    for room in rooms:
        name = f"src/{room}/CMakeLists.txt"
        linked = f"\ntarget_link_libraries(platemark_{room} PRIVATE pm)\ntarget_compile_options(platemark_{room} PRIVATE -w)\n"
        changed[name] = (ROOT / name).read_bytes() + linked.encode()
    tests = "tests/CMakeLists.txt"
    changed[tests] = (ROOT / tests).read_bytes() + b"\ntarget_link_libraries(platemark_test_main PRIVATE pm)\n"
    # What compares compilers compiles the gate by itself, without what makes it switchable.
    gate = "tests/gate/CMakeLists.txt"
    changed[gate] = (ROOT / gate).read_bytes().replace(b"add_subdirectory(digest)", b"")
    for file in RUNTIME.iterdir():
        write(tree / "pm" / file.name, file.read_bytes())
    copy_tree(tree, changed)


LIBRARY = """
add_library(pm STATIC ${CMAKE_SOURCE_DIR}/pm/mutant.cpp)
target_include_directories(pm PUBLIC ${CMAKE_SOURCE_DIR}/pm)
"""


def build(tree: pathlib.Path, programs: list[str]) -> pathlib.Path:
    """The folder of the build stands in the tree as that of the tests does: what is not switchable
    comes from the compiler's cache."""
    folder = tree / "build" / "test"
    environment = {**os.environ, "CCACHE_BASEDIR": str(tree), "CCACHE_NOHASHDIR": "1"}
    launcher = ["-DCMAKE_CXX_COMPILER_LAUNCHER=ccache"] if shutil.which("ccache") else []
    configure = ["cmake", "-S", str(tree), "-B", str(folder), "-G", "Ninja", "-DCMAKE_BUILD_TYPE=Debug",
                 "-DCMAKE_CXX_FLAGS_DEBUG=-O1 -g1", "-DPLATEMARK_TESTS=ON", *launcher]
    subprocess.run(configure, check=True, stdout=subprocess.DEVNULL, env=environment)
    subprocess.run(["nice", "-n", "15", "cmake", "--build", str(folder), "-j2", "--target", *programs], check=True, env=environment)
    return folder
