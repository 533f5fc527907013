#!/usr/bin/python3
"""Fails when a committed example picture is not what the script beside it draws.

    example_picture_check.py EXAMPLES_FOLDER

Redraws into a temporary folder with Debian's python3-cairo and compares with pillow and numpy.
"""
import pathlib
import subprocess
import sys
import tempfile

import numpy
from PIL import Image

# Edges may differ by the last bits of the rasteriser between builds of cairo; a changed drawing differs
# by far more than this.
LARGEST_CODE = 12
LARGEST_MEAN = 0.05


def fault(script, folder):
    """What is wrong with the picture beside the script, or None."""
    committed = script.parent / "picture.png"
    fresh = pathlib.Path(folder) / f"{script.parent.name}.png"
    subprocess.run([sys.executable, str(script), str(fresh)], check=True)
    with Image.open(committed) as one, Image.open(fresh) as other:
        if one.size != other.size or one.mode != other.mode:
            return f"{committed}: {one.size} {one.mode}, but the script draws {other.size} {other.mode}"
        apart = numpy.abs(numpy.asarray(one, dtype=int) - numpy.asarray(other, dtype=int))
    if apart.max() > LARGEST_CODE or apart.mean() > LARGEST_MEAN:
        return f"{committed}: differs from {script} by up to {apart.max()} codes; run the script"
    return None


def main():
    scripts = sorted(pathlib.Path(sys.argv[1]).glob("*/draw.py"))
    if not scripts:
        print(f"no */draw.py below {sys.argv[1]}")
        return 1
    with tempfile.TemporaryDirectory() as folder:
        faults = [text for text in (fault(script, folder) for script in scripts) if text]
    print("\n".join(faults) if faults else f"{len(scripts)} pictures are what their scripts draw")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
