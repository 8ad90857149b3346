#!/usr/bin/env python3
"""Turns the files of a folder into one C++ source that holds their bytes.

    tools/embed.py web/dist build/embedded.cpp

The assembler's .incbin takes the bytes as they are, so that a megabyte of
pages costs no compile time.
"""
import os
import sys


def main() -> None:
    folder, target = os.path.abspath(sys.argv[1]), sys.argv[2]
    files = sorted(
        os.path.relpath(os.path.join(where, name), folder)
        for where, _, names in os.walk(folder)
        for name in names
    )
    lines = ['#include "embedded.h"', "#include <array>", ""]
    for n, name in enumerate(files):
        path = os.path.join(folder, name).replace("\\", "/")
        lines.append(
            f'__asm__(".section .rodata\\n.global platemark_file_{n}\\nplatemark_file_{n}:\\n'
            f'.incbin \\"{path}\\"\\n.global platemark_end_{n}\\nplatemark_end_{n}:\\n.byte 0\\n.text\\n");'
        )
        lines.append(f'extern "C" const char platemark_file_{n}[];')
        lines.append(f'extern "C" const char platemark_end_{n}[];')
    lines += ["", "namespace platemark::service {", "std::span<const EmbeddedFile> embeddedFiles() {"]
    lines.append(f"  static const std::array<EmbeddedFile, {len(files)}> files{{{{")
    for n, name in enumerate(files):
        lines.append(
            f'      {{"/{name}", {{platemark_file_{n}, static_cast<std::size_t>(platemark_end_{n} - platemark_file_{n})}}}},'
        )
    lines += ["  }};", "  return files;", "}", "}  // namespace platemark::service", ""]
    text = "\n".join(lines)
    old = open(target).read() if os.path.exists(target) else None
    # Pages that changed must be taken in again even though the list of names did not change.
    if old != text or any(os.path.getmtime(os.path.join(folder, f)) > os.path.getmtime(target) for f in files):
        with open(target, "w") as out:
            out.write(text)


main()
