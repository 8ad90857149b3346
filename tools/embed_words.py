#!/usr/bin/env python3
"""Turns the catalogue of words into one C++ source, sorted by key.

    tools/embed_words.py words/en.json build/embedded_words.cpp

The sections `pages` and `stations` are left out: the pages bring theirs.
"""
import json
import sys


def literal(text: str) -> str:
    return json.dumps(text, ensure_ascii=False)


def main() -> None:
    with open(sys.argv[1], encoding="utf-8") as source:
        sections = json.load(source)
    words = {f"{section}.{key}": text for section, texts in sections.items() if section not in ("pages", "stations") for key, text in texts.items()}
    lines = ['#include "catalogue.h"', "", "#include <array>", "", "namespace platemark::words {", "std::span<const Entry> entries() {"]
    lines.append(f"  static constexpr std::array<Entry, {len(words)}> all{{{{")
    # Sorted as C++ compares them: by bytes.
    lines += [f"      {{{literal(key)}, {literal(words[key])}}}," for key in sorted(words, key=str.encode)]
    lines += ["  }};", "  return all;", "}", "}  // namespace platemark::words", ""]
    with open(sys.argv[2], "w", encoding="utf-8") as out:
        out.write("\n".join(lines))


main()
