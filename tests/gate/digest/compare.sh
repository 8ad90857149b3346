#!/bin/sh
# Runs each program named; all must print the same line.
set -eu
first=$("$1")
echo "$first"
shift
for program in "$@"; do
  line=$("$program")
  if [ "$line" != "$first" ]; then
    echo "$program says otherwise: $line" >&2
    exit 1
  fi
done
