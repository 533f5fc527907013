#!/usr/bin/env python3
"""Reads the cut files of a plan folder with programs that are not ours and lays them on the layers.

    stencils_check.py PLANFOLDER

stencils/*.svg are drawn by rsvg-convert, *.dxf read by ezdxf and judged by shapely, templates.pdf drawn by
pdftoppm. Each must be one connected sheet whose openings lie where layers/*.png put powder; edges may be off by
half of the plan's smallest width. A small template, laid at each of its places, must lie on an opening of the
whole stencil. Exit code 77 when a program is missing.
"""
import io
import json
import pathlib
import re
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

import numpy as np
from PIL import Image, ImageDraw

try:
    import ezdxf
    from shapely.affinity import rotate, translate
    from shapely.geometry import LineString, Point, Polygon, box
    from shapely.ops import unary_union
    from shapely.validation import explain_validity
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

sys.dont_write_bytecode = True  # nothing is written into the source tree
import templates_check
from faults import end_where_any, need
from masks import disc_dilated, pieces

Image.MAX_IMAGE_PIXELS = None
SVG = "{http://www.w3.org/2000/svg}"
MOST_PIXELS = 40e6

class Layer:
    """What plan.json and the PNG say: which grid points the stencil must leave open."""

    def __init__(self, folder, plan, layer):
        with Image.open(folder / layer["amount"]) as png:
            amount = np.asarray(png, dtype=float) / 65535
            pitch = 25.4 / png.info["dpi"][0]
        self.name = pathlib.Path(layer["amount"]).stem
        self.piece = plan["piece"]["width_mm"], plan["piece"]["height_mm"]
        self.smallest = plan["piece"]["smallest_mm"]
        self.pitch = plan["grid"]["pitch_mm"]
        need(abs(pitch / self.pitch - 1) < 0.001, f"{layer['amount']}: pHYs says {pitch} mm, the plan {self.pitch}")
        # A fade thins out to nothing within its openings: how far they go, its amounts do not tell.
        self.fades = layer.get("technique") == "fade"
        self.open = amount > 0

    def compare(self, found, what):
        """Both ways, but for a seam of half the smallest width along the layer's edges."""
        reach = self.smallest / 2 / self.pitch + 1  # and a grid point, which is as well as the PNG knows
        missing = ~disc_dilated(~self.open, reach) & ~found
        if self.fades:
            extra = np.zeros_like(found)
            differing = np.mean(self.open & ~found)
        else:
            extra = found & ~disc_dilated(self.open, reach)
            differing = np.mean(found != self.open)
        need(not missing.any(), f"{what}: {missing.sum()} grid points of the layer lie under the sheet")
        need(not extra.any(), f"{what}: {extra.sum()} grid points are open far from the layer")
        return differing


def sampled(picture, layer, border, scale):
    """The picture (scale pixels a mm, from the sheet's corner) at the middles of the grid points."""
    height, width = layer.open.shape
    at = lambda count: np.minimum(((border + (np.arange(count) + 0.5) * layer.pitch) * scale).astype(int), 10**6)
    rows, columns = at(height), at(width)
    return picture[np.minimum(rows, picture.shape[0] - 1)][:, np.minimum(columns, picture.shape[1] - 1)]


def scale_for(width, height):
    return min(10.0, (MOST_PIXELS / (width * height)) ** 0.5, 30000 / max(width, height))


def path_points(path):
    need(re.fullmatch(r"M[-\d.]+ [-\d.]+(L[-\d.]+ [-\d.]+){2,}Z", path) is not None, f"path {path[:40]}...")
    return [tuple(map(float, point.split())) for point in re.split("[ML]", path.rstrip("Z"))[1:]]


def read_svg(file, layer):
    """Openings as polygons, pin holes, the border; the sheet drawn by rsvg-convert as openness and its scale."""
    root = ElementTree.parse(file).getroot()
    _, _, width, height = map(float, root.get("viewBox").split())
    need((root.get("width"), root.get("height")) == (f"{width:g}mm", f"{height:g}mm"), f"{file.name}: true size")
    border = (width - layer.piece[0]) / 2
    need(abs((height - layer.piece[1]) / 2 - border) < 0.002 and border >= 0, f"{file.name}: border")
    allowed = {SVG + tag for tag in ("svg", "title", "desc", "g", "path", "circle")}
    need({element.tag for element in root.iter()} <= allowed, f"{file.name}: holds more than cut lines")
    need(all(element.get("fill") in (None, "none") for element in root.iter()), f"{file.name}: fills")
    group = {element.get("id"): element for element in root.iter(SVG + "g") if element.get("id")}
    need(set(group) == {"openings", "pins", "sheet"}, f"{file.name}: groups {sorted(group)}")
    openings = [Polygon(path_points(path.get("d"))) for path in group["openings"]]
    pins = [tuple(float(pin.get(name)) for name in ("cx", "cy", "r")) for pin in group["pins"]]

    # The same file, filled: the sheet black below white openings.
    holder = next(element for element in root if element.tag == SVG + "g")
    holder.set("stroke", "none")
    holder.remove(group["sheet"])
    holder.insert(0, group["sheet"])
    for name, colour in (("sheet", "#000000"), ("openings", "#ffffff"), ("pins", "#ffffff")):
        group[name].set("fill", colour)
    scale = scale_for(width, height)
    run = subprocess.run(["rsvg-convert", "--width", str(round(width * scale)), "--background-color", "#ffffff"],
                         input=ElementTree.tostring(root), stdout=subprocess.PIPE, check=True)
    with Image.open(io.BytesIO(run.stdout)) as png:
        drawn = np.asarray(png.convert("L")) > 127
    return openings, pins, border, drawn, drawn.shape[1] / width


def check_svg(file, layer):
    openings, pins, border, drawn, scale = read_svg(file, layer)
    sheets = pieces(~drawn)
    need(sheets == 1, f"{file.name}: the sheet is in {sheets} pieces")
    share = layer.compare(sampled(drawn, layer, border, scale), file.name)
    # The printed templates leave pin holes white.
    without_pins = Image.fromarray(drawn)
    for x, y, radius in pins:
        reach = radius + 2 / scale
        ImageDraw.Draw(without_pins).ellipse([(v * scale) for v in (x - reach, y - reach, x + reach, y + reach)], fill=0)
    return openings, border, np.asarray(without_pins), scale, share


def check_dxf(file, layer, svg_openings, border):
    document = ezdxf.readfile(file)
    auditor = document.audit()
    need(not auditor.errors and not auditor.fixes, f"{file.name}: {auditor.errors + auditor.fixes}")
    need(document.dxfversion == "AC1009", f"{file.name}: release {document.dxfversion}")
    need(document.header.get("$INSUNITS") == 4, f"{file.name}: units {document.header.get('$INSUNITS')}")
    width, height = layer.piece[0] + 2 * border, layer.piece[1] + 2 * border
    found = {"openings": [], "pins": [], "sheet": []}
    for entity in document.modelspace():
        kind = {"openings": "POLYLINE", "pins": "CIRCLE", "sheet": "POLYLINE"}.get(entity.dxf.layer)
        if not need(entity.dxftype() == kind, f"{file.name}: {entity.dxftype()} on {entity.dxf.layer}"):
            continue
        if kind == "CIRCLE":
            found["pins"].append(Point(entity.dxf.center.x, height - entity.dxf.center.y).buffer(entity.dxf.radius))
            continue
        need(entity.is_closed and entity.is_2d_polyline, f"{file.name}: an open line on {entity.dxf.layer}")
        shape = Polygon([(v.dxf.location.x, height - v.dxf.location.y) for v in entity.vertices])
        need(shape.is_valid, f"{file.name}: {explain_validity(shape)}")
        found[entity.dxf.layer].append(shape)
    openings, sheet = found["openings"], found["sheet"]
    if not need(len(sheet) == 1, f"{file.name}: {len(sheet)} edges of the sheet"):
        return 0.0
    need(sheet[0].symmetric_difference(box(0, 0, width, height)).area < 0.01 * width, f"{file.name}: the sheet's size")
    union = unary_union(openings + found["pins"])
    need(sheet[0].contains(union), f"{file.name}: openings or pin holes reach beyond the sheet")
    holes = getattr(union, "geoms", [union] if not union.is_empty else [])
    need(len(holes) == len(openings) + len(found["pins"]), f"{file.name}: openings or pin holes run together")
    rest = sheet[0].difference(union)
    need(rest.geom_type == "Polygon" and rest.is_valid, f"{file.name}: the sheet is a {rest.geom_type}")
    need(all(not pin.intersects(box(border, border, width - border, height - border)) for pin in found["pins"]),
         f"{file.name}: a pin hole reaches into the piece")

    edge = sum(shape.length for shape in openings)
    off = unary_union(openings).symmetric_difference(unary_union(svg_openings)).area
    need(off <= 0.002 * edge + 1e-6, f"{file.name}: {off:.3f} mm2 differ from the SVG")

    scale = scale_for(width, height)
    picture = Image.new("1", (round(width * scale), round(height * scale)))
    for shape in openings:
        ImageDraw.Draw(picture).polygon([(x * scale, y * scale) for x, y in shape.exterior.coords], fill=1)
    return layer.compare(sampled(np.asarray(picture), layer, border, scale), file.name)


def farthest_apart(a, b):
    """Largest distance of a corner of one outline from the other outline."""
    lines = [LineString(shape.exterior.coords) for shape in (a, b)]
    return max(Point(corner).distance(other) for line, other in (lines, lines[::-1]) for corner in line.coords)


def check_repeats(folder, layer, stencil, openings, border):
    """The small template's one opening, turned and moved about its centre: the lines of its holes cross there."""
    names = set()
    for repeat in stencil.get("repeats", []):
        names |= {pathlib.Path(repeat["file"]).name, pathlib.Path(repeat["dxf"]).name}
        document = ezdxf.readfile(folder / repeat["dxf"])
        need(not document.audit().errors, f"{repeat['dxf']}: {document.audit().errors}")
        shapes = {name: [e for e in document.modelspace() if e.dxf.layer == name] for name in ("openings", "pins")}
        if not need(len(shapes["openings"]) == 1 and len(shapes["pins"]) == 5, f"{repeat['dxf']}: openings or holes"):
            continue
        # y upwards, as in the file.
        pins = sorted((pin.dxf.center.x, pin.dxf.center.y) for pin in shapes["pins"])
        centre_y = (pins[0][1] + pins[-1][1]) / 2
        centre_x = min(pins, key=lambda pin: pin[1])[0]
        shape = Polygon([(v.dxf.location.x - centre_x, centre_y - v.dxf.location.y) for v in shapes["openings"][0].vertices])
        laid_on = set()
        for number, place in enumerate(repeat["places"], 1):
            # Clockwise as seen is the positive turn where y points down.
            laid = translate(rotate(shape, place["angle_deg"], origin=(0, 0)), place["x_mm"] + border,
                             place["y_mm"] + border)
            nearest = min(range(len(openings)), key=lambda i: openings[i].centroid.distance(laid.centroid))
            off = farthest_apart(openings[nearest], laid)
            need(off <= 0.4, f"{repeat['dxf']}: at place {number} it is {off:.2f} mm beside the opening")
            laid_on.add(nearest)
        need(len(laid_on) == len(repeat["places"]), f"{repeat['dxf']}: two places on one opening")
        need(all(1 <= k <= len(repeat["places"]) for k in repeat["too_close"]), f"{repeat['dxf']}: places too close")
    return names


def check_parts(plan, layers):
    """The two parts of a layer are neighbours of one powder and never open at the same point."""
    parts = [(entry.get("stencil") or {}).get("part") for entry in plan["layers"]]
    for i, part in enumerate(parts):
        if part == 1:
            pair = plan["layers"][i:i + 2]
            need(parts[i + 1:i + 2] == [2] and pair[0]["powder"] == pair[1]["powder"], f"layer {i + 1}: its second part")
            need(not (layers[i].open & layers[i + 1].open).any(), f"layers {i + 1} and {i + 2} open at the same points")
        if part == 2:
            need(i > 0 and parts[i - 1] == 1, f"layer {i + 1}: its first part")


def main():
    for program in ("rsvg-convert", "pdftoppm", "pdftotext", "pdfinfo"):
        if shutil.which(program) is None:
            print(f"skipped: no {program}")
            sys.exit(77)
    folder = pathlib.Path(sys.argv[1])
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    drawings, named, layers = [], set(), {}
    for number, entry in enumerate(plan["layers"]):
        if entry.get("stencil") is None:
            continue
        layer = Layer(folder, plan, entry)
        layers[number] = layer
        named |= {f"{layer.name}.svg", f"{layer.name}.dxf"}
        openings, border, drawn, scale, svg_share = check_svg(folder / "stencils" / f"{layer.name}.svg", layer)
        dxf_share = check_dxf(folder / "stencils" / f"{layer.name}.dxf", layer, openings, border)
        drawings.append((layer.name, drawn, scale))
        named |= check_repeats(folder, layer, entry["stencil"], openings, border)
        print(f"{layer.name}: {len(openings)} openings; {svg_share:.2%} (SVG) and {dxf_share:.2%} (DXF) of the "
              "grid points differ from the layer")
    present = {file.name for file in (folder / "stencils").glob("*")} if (folder / "stencils").is_dir() else set()
    need(named == present, f"stencils/ lacks {sorted(named - present)}, and nobody asked for {sorted(present - named)}")
    check_parts(plan, layers)
    if drawings:
        templates_check.check(folder / "templates.pdf", drawings, need)
    else:
        need(not (folder / "templates.pdf").exists(), "templates.pdf, and no stencil")
    end_where_any()


if __name__ == "__main__":
    main()
