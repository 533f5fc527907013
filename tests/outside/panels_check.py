#!/usr/bin/env python3
"""Puts the panels of a plan folder together again with programs that are not ours.

    panels_check.py PLANFOLDER

The outlines in panels/*/stencils/*.svg and *.dxf (read by ezdxf) are judged by shapely: each is one sheet in one
piece, moved to its panel's place all of a layer together open what stencils/*.svg opens, and marks on either side of
a join stand at the same millimetre. templates.pdf is measured by pdfinfo and read by pdftotext. panels/grams.csv adds
up to plan.json. Exit code 77 when a program is missing.
"""
import csv
import json
import pathlib
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ElementTree

try:
    import ezdxf
    from shapely.affinity import translate
    from shapely.geometry import LineString, Point, Polygon, box
    from shapely.ops import unary_union
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

sys.dont_write_bytecode = True  # nothing is written into the source tree
from faults import end_where_any, need

SVG = "{http://www.w3.org/2000/svg}"
# What of an opening lies so near a cut that nobody could cut it is left out.
LEAST_OPENING_MM = 0.5

def points(path):
    return [tuple(map(float, point.split())) for point in path.rstrip("Z").replace("M", "L").split("L")[1:]]


def read_svg(file):
    """Sheet, openings, pin holes and marks, in mm from the sheet's corner."""
    root = ElementTree.parse(file).getroot()
    groups = {group.get("id"): list(group) for group in root.iter(SVG + "g") if group.get("id")}
    shapes = {name: [points(path.get("d")) for path in groups.get(name, []) if path.get("d")]
              for name in ("openings", "marks", "sheet")}
    pins = [Point(float(pin.get("cx")), float(pin.get("cy"))).buffer(float(pin.get("r"))) for pin in groups["pins"]]
    return (Polygon(shapes["sheet"][0]), [Polygon(shape) for shape in shapes["openings"]], pins,
            [LineString(mark) for mark in shapes["marks"]])


def read_dxf(file):
    document = ezdxf.readfile(file)
    auditor = document.audit()
    need(not auditor.errors and not auditor.fixes, f"{file}: {auditor.errors + auditor.fixes}")
    named = {layer.dxf.name for layer in document.layers}
    openings, marks, sheets = [], [], []
    for entity in document.modelspace():
        need(entity.dxf.layer in named, f"{file}: layer {entity.dxf.layer} is not in its table")
        if entity.dxf.layer == "openings":
            openings.append([(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices])
        elif entity.dxf.layer == "marks":
            marks.append([(p.x, p.y) for p in (entity.dxf.start, entity.dxf.end)])
        elif entity.dxf.layer == "sheet":
            sheets.append([(v.dxf.location.x, v.dxf.location.y) for v in entity.vertices])
    height = max(y for _, y in sheets[0])
    turned = lambda shape: [(x, height - y) for x, y in shape]
    return [Polygon(turned(shape)) for shape in openings], [LineString(turned(mark)) for mark in marks]


def check_sheet(file, panel):
    """One panel's stencil of one layer; its openings and marks on the piece."""
    left, top, right, bottom = panel["box_mm"]
    sheet, openings, pins, marks = read_svg(file)
    border = (sheet.bounds[2] - (right - left)) / 2
    need(border >= 10 - 1e-6 and abs((sheet.bounds[3] - (bottom - top)) / 2 - border) < 0.002, f"{file}: border {border}")
    need(all(shape.is_valid for shape in openings), f"{file}: an opening that is not simple")
    need(all(box(border - 0.002, border - 0.002, border + right - left + 0.002, border + bottom - top + 0.002).contains(shape)
             for shape in openings), f"{file}: an opening beyond the panel")
    cut = unary_union(openings)
    need(abs(cut.area - sum(shape.area for shape in openings)) < 1e-6 * sheet.area, f"{file}: openings overlap")
    # Marks count as slits, should a machine cut them.
    rest = sheet.difference(unary_union(openings + pins + [mark.buffer(0.1) for mark in marks]))
    need(rest.geom_type == "Polygon", f"{file}: the sheet is a {rest.geom_type}")
    need(not any(mark.intersects(cut) for mark in marks), f"{file}: a mark meets an opening")
    from_dxf, dxf_marks = read_dxf(file.with_suffix(".dxf"))
    need(unary_union(from_dxf).symmetric_difference(cut).area <= 0.002 * sum(s.length for s in openings) + 1e-6,
         f"{file}: the DXF opens something else")
    need(sorted(mark.coords[:] for mark in dxf_marks) == sorted(mark.coords[:] for mark in marks)
         or max((a.distance(b) for a, b in zip(marks, dxf_marks)), default=0) < 0.002, f"{file}: marks of the DXF")
    on_piece = lambda shape: translate(shape, left - border, top - border)
    return [on_piece(shape) for shape in openings], [on_piece(mark) for mark in marks], [on_piece(pin) for pin in pins]


def shared_edges(panels):
    for i, one in enumerate(panels):
        for other in panels[i + 1:]:
            edge = box(*one["box_mm"]).intersection(box(*other["box_mm"]))
            if edge.geom_type == "LineString" and edge.length > 0:
                yield one, other, edge


def beside(marks, panel, edge):
    """Places along the edge of the marks that stand across it, beyond the panel."""
    frame = box(*panel["box_mm"])
    upright = edge.bounds[0] == edge.bounds[2]
    found = []
    for mark in marks:
        along = mark.bounds[1] if upright else mark.bounds[0]
        level = mark.bounds[1] == mark.bounds[3]
        if level == upright and not mark.intersects(frame) and mark.distance(edge) < 10:
            if (edge.bounds[1] if upright else edge.bounds[0]) < along < (edge.bounds[3] if upright else edge.bounds[2]):
                found.append(round(along, 2))
    return sorted(found)


def check_layer(folder, plan, layer, panels):
    parts, marks, pins = [], {}, []
    for panel in panels:
        entry = next(e for e in panel["layers"] if e["index"] == layer["index"])
        if entry["stencil"] is None:
            continue
        opened, marks[panel["name"]], holes = check_sheet(folder / entry["stencil"], panel)
        parts += opened
        pins += holes
    border = layer["stencil"]["border_mm"]
    _, whole, _, _ = read_svg(folder / layer["stencil"]["files"]["svg"])
    whole = unary_union([translate(shape, -border, -border) for shape in whole])
    together = unary_union(parts)
    edges = [edge for _, _, edge in shared_edges(panels)]
    extra = together.difference(whole).area
    missing = whole.difference(together.buffer(0.002)).difference(unary_union(edges).buffer(LEAST_OPENING_MM)).area
    need(extra < 0.01 * len(panels), f"layer {layer['index']}: panels open {extra:.3f} mm2 that the whole does not")
    need(missing < 0.01, f"layer {layer['index']}: {missing:.3f} mm2 are open in no panel")
    joins = 0
    for one, other, edge in shared_edges(panels):
        if one["name"] not in marks or other["name"] not in marks:
            continue
        # One that stands where a third panel's corner meets the edge has no partner.
        ends = [round(v, 2) for panel in (one, other) for v in panel["box_mm"]]
        places = [[p for p in beside(marks[panel["name"]], panel, edge) if all(abs(p - end) > 2 for end in ends)]
                  for panel in (one, other)]
        # Nor has one beside a pin.
        upright = edge.bounds[0] == edge.bounds[2]
        at_pins = [pin.centroid.y if upright else pin.centroid.x for pin in pins if pin.distance(edge) < 30]
        places = [[p for p in some if all(abs(p - at) > 5 for at in at_pins)] for some in places]
        need(places[0] == places[1], f"layer {layer['index']}: marks {places} of {one['name']} and {other['name']}")
        joins += len(places[0])
    return joins


def check_grams(folder, plan, panels):
    with open(folder / "panels" / "grams.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.DictReader(file))
    for layer in plan["layers"]:
        of_layer = [row for row in rows if row["kind"] == "layer" and int(row["layer"]) == layer["index"]]
        need(len(of_layer) == len(panels), f"grams.csv: {len(of_layer)} rows of layer {layer['index']}")
        for key in ("lands_g", "sift_g", "overspill_g"):
            in_plan = sum(e[key] for panel in panels for e in panel["layers"] if e["index"] == layer["index"])
            need(abs(in_plan - layer[key]) < 1e-9 * max(1, layer[key]), f"layer {layer['index']}: {key} of the panels")
            in_file = sum(float(row[key]) for row in of_layer)
            need(abs(in_file - layer[key]) < 1e-4 * max(1, layer[key]), f"grams.csv: {key} of layer {layer['index']}")
    for total in plan["totals"]:
        in_file = sum(float(row["lands_g"]) for row in rows
                      if row["kind"] == "powder" and row["powder"] == total["powder"])
        need(abs(in_file - total["lands_g"]) < 1e-4 * max(1, total["lands_g"]), f"grams.csv: {total['powder']}")


def check_templates(folder, panel, plan):
    file = folder / panel["folder"] / "templates.pdf"
    laid = [e for e in panel["layers"] if e["stencil"]]
    if not need(file.exists() == bool(laid), f"{file}: there or not") or not laid:
        return
    text = " ".join(subprocess.run(["pdftotext", file, "-"], stdout=subprocess.PIPE, check=True).stdout.decode().split())
    number = panel["name"].rsplit("-", 1)[1]
    need(f"Panel {number} of {len(plan['panels'])}" in text, f"{file}: does not say which panel it is")
    for entry in laid:
        need(f"Panel {number}: {entry['index']} " in text, f"{file}: no page of layer {entry['index']}")
    need("Blades and cut edges are sharp" in text, f"{file}: no caution")


def main():
    for program in ("pdftotext",):
        if shutil.which(program) is None:
            print(f"skipped: no {program}")
            sys.exit(77)
    folder = pathlib.Path(sys.argv[1])
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    panels = plan["panels"]
    piece = box(0, 0, plan["piece"]["width_mm"], plan["piece"]["height_mm"])
    frames = [box(*panel["box_mm"]) for panel in panels]
    need(unary_union(frames).symmetric_difference(piece).area < 1e-6, "the panels are not the piece")
    need(abs(sum(frame.area for frame in frames) - piece.area) < 1e-6, "panels overlap")
    need(len(plan["panel_cuts"]) == len(panels) - 1, "every cut makes one part more")
    joins = 0
    for layer in plan["layers"]:
        if layer["stencil"]:
            joins += check_layer(folder, plan, layer, panels)
    need(joins > 0, "no marks on any join")
    check_grams(folder, plan, panels)
    for panel in panels:
        check_templates(folder, panel, plan)
    asked = {e["stencil"] for panel in panels for e in panel["layers"] if e["stencil"]}
    asked |= {name[:-3] + "dxf" for name in asked}
    asked |= {e[key] for panel in panels for e in panel["layers"] for key in ("lines", "scratched") if e.get(key)}
    present = {str(f.relative_to(folder)) for f in (folder / "panels").glob("*/stencils/*")}
    need(asked == present, f"panels/ lacks {sorted(asked - present)}, and nobody asked for {sorted(present - asked)}")
    print(f"{len(panels)} panels, {joins} marks that meet")
    end_where_any()


if __name__ == "__main__":
    main()
