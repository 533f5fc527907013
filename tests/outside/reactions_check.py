#!/usr/bin/env python3
"""Measures again, from plan.json and layers/*.png alone, where powders that react meet.

    reactions_check.py PLANFOLDER

Areas must agree to the point. Borders are measured by another method than the program's: crossings of lines in
four directions (Cauchy and Crofton), within 5 % for straight borders; corners where two points touch by their tips
alone count here and not there.
"""
import json
import math
import pathlib
import sys

import numpy
from PIL import Image

LEAST_SHARE = 0.1  # of a layer's load, as the page on reactions says
WAYS = [(1, 0), (1, 1), (0, 1), (-1, 1)]
LEAST_COMPARED_MM = 60  # shorter borders are mostly corners


def shifted(mask, dx, dy):
    """The mask at (x + dx, y + dy), False beyond the edge."""
    height, width = mask.shape
    out = numpy.zeros_like(mask)
    ys, xs = slice(max(0, -dy), min(height, height - dy)), slice(max(0, -dx), min(width, width - dx))
    out[ys, xs] = mask[max(0, dy):height + min(0, dy), max(0, dx):width + min(0, dx)]
    return out


def border(one, other, pitch):
    """Length in mm by counting how often lines cross from the one into the other."""
    angles = [math.atan2(dy, dx) % math.pi for dx, dy in WAYS]
    order = sorted(range(len(WAYS)), key=lambda k: angles[k])
    length = 0.0
    for place, k in enumerate(order):
        before, after = angles[order[place - 1]], angles[order[(place + 1) % len(order)]]
        turn = ((after - before) % math.pi) / 2
        dx, dy = WAYS[k]
        there_one, there_other = shifted(one, dx, dy), shifted(other, dx, dy)
        crossings = numpy.count_nonzero(one & there_other) + numpy.count_nonzero(other & there_one)
        length += 0.5 * turn * crossings * pitch / math.hypot(dx, dy)
    return length


def main():
    folder = pathlib.Path(sys.argv[1])
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    pitch = plan["grid"]["pitch_mm"]
    order, lies = [], {}
    for layer in sorted(plan["layers"], key=lambda l: l["stack"]):
        with Image.open(folder / layer["amount"]) as png:
            amount = numpy.array(png, dtype=numpy.float64) / 65535
        powder = layer["powder"]
        if powder not in lies:
            order.append(powder)
            lies[powder] = numpy.zeros(amount.shape, bool)
        lies[powder] |= amount >= LEAST_SHARE - 1e-5
    faults = []
    for reaction in plan["reactions"]:
        ids = reaction["powders"]
        what = " and ".join(ids + ([reaction["sheet"]] if reaction["sheet"] else []))
        if reaction["sheet"] is not None:
            below = order[:order.index(ids[0])]
            touching = lies[ids[0]].copy()
            one = other = numpy.zeros_like(touching)
        else:
            low, high = sorted(ids, key=order.index)
            below = order[order.index(low) + 1:order.index(high)]
            touching = lies[low] & lies[high]
            one, other = lies[low] & ~lies[high], lies[high] & ~lies[low]
        for powder in below:
            touching &= ~lies[powder]
        area = numpy.count_nonzero(touching) * pitch * pitch / 100
        if abs(area - reaction["overlap_cm2"]) > 1e-6:
            faults.append(f"{what}: {reaction['overlap_cm2']} cm2 on one another, {area} by the layers")
        length = border(one, other, pitch)
        if max(length, reaction["border_mm"]) > LEAST_COMPARED_MM and \
                abs(length - reaction["border_mm"]) > 0.15 * length:
            faults.append(f"{what}: {reaction['border_mm']} mm side by side, {length} by counting crossings")
        print(f"{what}: {area:.2f} cm2; {reaction['border_mm']:.1f} mm, by crossings {length:.1f} mm")
    mapped = (folder / "previews" / "reactions.png").exists()
    if mapped != any(r["letter"] for r in plan["reactions"]):
        faults.append("there is a map of reactions without any, or none of some")
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(plan['reactions'])} pairs that react: all is where the layers say")


if __name__ == "__main__":
    main()
