#!/usr/bin/env python3
"""Plans drawings that cairo (Debian's python3-cairo) made, and measures the planned lines against what cairo
was told to draw.

    lines_check.py POWDERPLAN PALETTE

Nothing of the program is used but the program itself: lines are read from the SVG files of the plan folder,
amounts from its PNG files.
"""
import json
import math
import pathlib
import re
import subprocess
import sys
import tempfile
import xml.etree.ElementTree as ElementTree

import cairo
import numpy as np
from PIL import Image

sys.dont_write_bytecode = True  # nothing is written into the source tree
from faults import end_where_any, need

WIDTH, HEIGHT, PER_MM = 180, 130, 6
STEP = 0.2  # mm between the places that are measured
SVG = "{http://www.w3.org/2000/svg}"
def strokes():
    """(width in mm, what puts the path into a context)"""
    def bird(c):
        c.move_to(25, 95)
        c.curve_to(30, 50, 70, 80, 68, 40)
        c.curve_to(66, 18, 88, 14, 94, 27)
        c.line_to(122, 35)
    yield 1.2, bird
    for i in range(7):
        def reed(c, x=96 + 11 * i, lean=5 * i - 12):
            c.move_to(x, 120)
            c.curve_to(x, 92, x + lean, 84, x + 1.5 * lean, 58)
        yield 0.4 + 0.15 * i, reed
    yield 0.8, lambda c: c.arc(32, 30, 17, 0.4, 5.6)
    yield 1.4, lambda c: (c.move_to(10, 122), c.line_to(170, 117))
    yield 0.6, lambda c: (c.move_to(12, 66), c.line_to(88, 112))
    yield 1.0, lambda c: (c.move_to(18, 110), c.curve_to(60, 90, 80, 130, 120, 96))
    yield 0.5, lambda c: (c.move_to(110, 14), c.curve_to(130, 4, 140, 30, 160, 16))


def areas():
    """Solid areas: what puts the path into a context."""
    yield lambda c: c.arc(146, 36, 17, 0, 2 * math.pi)
    yield lambda c: c.rectangle(8, 8, 26, 20)


def draw(file, paper, ink, solid=None):
    """Returns the middle lines as points every STEP mm."""
    surface = cairo.ImageSurface(cairo.FORMAT_RGB24, WIDTH * PER_MM, HEIGHT * PER_MM)
    context = cairo.Context(surface)
    context.scale(PER_MM, PER_MM)
    context.set_source_rgb(*paper)
    context.paint()
    context.set_tolerance(0.01)
    context.set_line_cap(cairo.LINE_CAP_ROUND)
    if solid:
        context.set_source_rgb(*solid)
        for put in areas():
            context.new_path()
            put(context)
            context.fill()
    context.set_source_rgb(*ink)
    lines = []
    for width, put in strokes():
        context.new_path()
        put(context)
        lines.append(flat(context))
        context.set_line_width(width)
        context.stroke()
    surface.write_to_png(str(file))
    return np.concatenate([dense(line) for line in lines])


def flat(context):
    return [p[-2:] for kind, p in context.copy_path_flat() if kind in (cairo.PATH_MOVE_TO, cairo.PATH_LINE_TO)]


def dense(line):
    points = []
    for a, b in zip(line, line[1:]):
        count = max(1, math.ceil(math.dist(a, b) / STEP))
        points += [(a[0] + (b[0] - a[0]) * (i + 0.5) / count, a[1] + (b[1] - a[1]) * (i + 0.5) / count)
                   for i in range(count)]
    return np.array(points)


def planned(folder, layer, key):
    """Points every STEP mm of the lines of a layer, and their order and size checked."""
    entry = layer[key]
    tree = ElementTree.parse(folder / entry["file"]).getroot()
    need(tree.get("width") == f"{WIDTH:.3f}mm" and tree.get("viewBox") == f"0 0 {WIDTH:.3f} {HEIGHT:.3f}",
         f"{entry['file']}: true size, {tree.get('width')}")
    groups = tree.find(f"{SVG}g[@id='lines']").findall(f"{SVG}g")
    need([g.find(f"{SVG}title").text for g in groups] == [str(i + 1) for i in range(len(groups))],
         f"{entry['file']}: numbers in order")
    need(len(groups) == entry["paths"], f"{entry['file']}: {len(groups)} lines, plan.json says {entry['paths']}")
    length, travel, end, widths, points = 0, 0, None, [], []
    for group in groups:
        begun = False
        for path in group.findall(f"{SVG}path"):
            widths.append(float(path.get("stroke-width")))
            line = [tuple(map(float, p.split())) for p in re.split("[ML]", path.get("d"))[1:]]
            if not begun and end is not None:
                travel += math.dist(end, line[0])
            begun = True
            end = line[-1]
            length += sum(math.dist(a, b) for a, b in zip(line, line[1:]))
            points.append(dense(line))
    need(abs(length - entry["length_mm"]) < 0.002 * length + 0.1, f"length {length}, said {entry['length_mm']}")
    need(abs(travel - entry["travel_mm"]) < 0.002 * travel + 0.1, f"travel {travel}, said {entry['travel_mm']}")
    need(entry["widths_mm"][0] <= min(widths) + 0.006 and max(widths) <= entry["widths_mm"][1] + 0.006,
         f"widths {min(widths)} to {max(widths)}, said {entry['widths_mm']}")
    return np.concatenate(points)


def nearest(of, to):
    """Distance of each point to the nearest of others."""
    return np.concatenate([np.sqrt(((part[:, None] - to[None]) ** 2).sum(2).min(1))
                           for part in np.array_split(of, max(1, len(of) // 500))])


def amount(folder, layer, kind="amount"):
    with Image.open(folder / layer[kind]) as png:
        return np.asarray(png, dtype=float) / 65535


def at(values, points, pitch):
    x = np.clip((points[:, 0] / pitch).astype(int), 0, values.shape[1] - 1)
    y = np.clip((points[:, 1] / pitch).astype(int), 0, values.shape[0] - 1)
    return values[y, x]


def plan_of(program, palette, picture, folder, *more):
    run = subprocess.run([program, "plan", str(picture), "--palette", palette, "--width", str(WIDTH), "--height",
                          str(HEIGHT), "--out", str(folder), *more], capture_output=True, text=True)
    if run.returncode:
        sys.exit(f"{picture.name}: {run.returncode}: {run.stderr}")
    return json.loads((folder / "plan.json").read_text(encoding="utf-8"))


def check_nearness(name, drawn, lines):
    found = (nearest(drawn, lines) <= 0.5).mean()
    astray = (nearest(lines, drawn) > 1).mean()
    print(f"{name}: {100 * found:.1f} % of what is drawn lies within 0.5 mm of a line, {100 * astray:.2f} % of the "
          "lines is farther than 1 mm from what is drawn")
    need(found >= 0.95, f"{name}: only {found:.3f} of what is drawn is found")
    need(astray < 0.02, f"{name}: {astray:.3f} of the lines is astray")


def techniques(plan):
    return [layer["technique"] for layer in plan["layers"]]


def main():
    program, palette = sys.argv[1:3]
    with tempfile.TemporaryDirectory() as temporary:
        home = pathlib.Path(temporary)

        drawn = draw(home / "dark.png", (1, 1, 1), (0.05, 0.05, 0.08))
        folder = home / "dark"
        plan = plan_of(program, palette, home / "dark.png", folder)
        need(set(techniques(plan)) == {"line"}, f"dark on white: {techniques(plan)}")
        need(plan["effort"]["stencils"] == 0, "dark on white: a stencil")
        lines = np.concatenate([planned(folder, layer, "lines") for layer in plan["layers"]])
        check_nearness("dark on white", drawn, lines)
        powder = sum(amount(folder, layer) for layer in plan["layers"])
        pitch = plan["grid"]["pitch_mm"]
        need((at(powder, lines, pitch) > 0.9).mean() > 0.97, "dark on white: no powder along the lines")
        away = np.argwhere(powder > 0)[::17, ::-1] * pitch + pitch / 2
        need((nearest(away, drawn) > 1.5).mean() < 0.02, "dark on white: powder far from what is drawn")

        # Light lines in a dark field on a sheet that is light: the field is powder.
        drawn = draw(home / "light.png", (0.04, 0.04, 0.05), (0.97, 0.97, 0.96))
        for base in ("clear", "black"):
            folder = home / f"light-{base}"
            plan = plan_of(program, palette, home / "light.png", folder, "--base", base)
            scratched = [layer for layer in plan["layers"] if layer["scratched"]]
            laid = [layer for layer in plan["layers"] if layer["lines"]]
            need(bool(scratched) == (base == "clear"), f"light on {base} sheet: {techniques(plan)}")
            need(scratched or laid, f"light on {base} sheet: no line at all")
            lines = np.concatenate([planned(folder, layer, "scratched") for layer in scratched] +
                                   [planned(folder, layer, "lines") for layer in laid])
            check_nearness(f"light on {base} sheet", drawn, lines)
            for layer in scratched:
                need(layer["technique"] != "line", "a field keeps its technique")
                own = planned(folder, layer, "scratched")
                need((at(amount(folder, layer), own, pitch) < 0.1).mean() > 0.97,
                     "powder is left where it is scratched out")
                need(layer["sift_g"] > layer["lands_g"], "what is scratched out has been sifted")

        drawn = draw(home / "both.png", (1, 1, 1), (0.05, 0.05, 0.08), solid=(0.75, 0.25, 0.15))
        folder = home / "both"
        plan = plan_of(program, palette, home / "both.png", folder)
        need("line" in techniques(plan) and set(techniques(plan)) != {"line"},
             f"with solid areas: {techniques(plan)}")
        lines = np.concatenate([planned(folder, layer, "lines") for layer in plan["layers"] if layer["lines"]])
        check_nearness("with solid areas", drawn, lines)
    end_where_any()


if __name__ == "__main__":
    main()
