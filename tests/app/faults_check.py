#!/usr/bin/env python3
"""Takes the disk, the permissions or the life of a run away while it writes, and looks what is left: a plan that
was there before stays as it was, byte for byte, until the new one is whole.

    faults_check.py POWDERPLAN SOURCE [--quick]

--quick does less, for a program that is slow. Run as root it also mounts small disks; parts that need what
this user may not do are skipped with one line.
"""
import argparse
import pathlib
import tempfile

import full_disk
import runs
import signalled
import unwritable


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("source")
    parser.add_argument("--quick", action="store_true")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        pathlib.Path(place).chmod(0o755)  # another user reads here too
        bench = runs.Bench(asked.program, asked.source, pathlib.Path(place))
        bench.plan(bench.place / "old", "old")
        bench.plan(bench.place / "model", "new")
        full_disk.check(bench, asked.quick)
        unwritable.check(bench)
        signalled.check_without_swaps(bench, asked.quick)
        signalled.check(bench, asked.quick)
    runs.end_where_any()


if __name__ == "__main__":
    main()
