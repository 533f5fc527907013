#!/usr/bin/env python3
"""Fails when a folder of src/ includes one that the way of the data does not let it know."""
import pathlib
import re
import sys

# Each folder and those it knows directly; what these know, it knows too.
KNOWS = {
    "colour": [],
    "optics": ["colour"],
    "glass": ["optics"],
    "raster": ["colour"],
    "recipe": ["glass"],
    "separation": ["recipe", "raster"],
    "layers": ["separation"],
    "firing": ["layers"],
    "weigh": ["firing"],
    "photo": ["raster"],
    "measure": ["glass", "photo"],
    "report": ["weigh", "measure"],
    "fired": ["report"],
    "plan": ["report"],
    "app": ["plan", "fired"],
    "packaging": ["app"],
}
INCLUDE = re.compile(r'^\s*#\s*include\s*"([^"]+)"')


def closure(folder):
    known = {folder}
    for below in KNOWS[folder]:
        known |= closure(below)
    return known


def faults(src):
    found = []
    folders = sorted(p.name for p in src.iterdir() if p.is_dir())
    for folder in folders:
        if folder not in KNOWS:
            found.append(f"{src / folder}: a folder that the design does not name")
            continue
        allowed = closure(folder)
        for file in sorted((src / folder).rglob("*")):
            if file.suffix not in (".h", ".cpp"):
                continue
            for number, line in enumerate(file.read_text(encoding="utf-8").splitlines(), 1):
                match = INCLUDE.match(line)
                if not match:
                    continue
                target = match.group(1)
                if "/" in target and target.split("/")[0] not in allowed:
                    found.append(f"{file}:{number}: {folder}/ may not include {target}")
                if not (src / target).exists():
                    found.append(f"{file}:{number}: no such file below src/: {target}")
    return found


def main():
    problems = faults(pathlib.Path(sys.argv[1]))
    print("\n".join(problems) if problems else "every folder knows only what it may")
    return 1 if problems else 0


if __name__ == "__main__":
    sys.exit(main())
