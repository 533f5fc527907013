#!/usr/bin/env python3
"""Adds up a plan folder with tools of its own: plan.json, layers/*.png, grams.csv.

    plan_folder_check.py PLANFOLDER
"""
import collections
import csv
import json
import pathlib
import sys

import numpy as np
from PIL import Image

sys.dont_write_bytecode = True  # nothing is written into the source tree
from faults import end_where_any, need

def near(a, b, share=0.001):
    return abs(a - b) <= share * max(abs(a), abs(b)) + 1e-9


def check_weights(folder, plan):
    """What lands is the integral of load times amount over the area of the piece."""
    point_cm2 = (plan["grid"]["pitch_mm"] / 10) ** 2
    by_powder = collections.defaultdict(float)
    for layer in plan["layers"]:
        with Image.open(folder / layer["amount"]) as png:
            amount = np.asarray(png, dtype=float) / 65535
            dpi = png.info.get("dpi", (0, 0))
        need(amount.shape == (plan["grid"]["height"], plan["grid"]["width"]), f"{layer['amount']}: size")
        need(near(dpi[0], 25.4 / plan["grid"]["pitch_mm"]), f"{layer['amount']}: true size, {dpi}")
        lands = amount.sum() * point_cm2 * layer["load_g_cm2"]
        need(near(lands, layer["lands_g"]), f"layer {layer['index']}: lands {layer['lands_g']}, integral {lands}")
        need(near(layer["sift_g"] - layer["lands_g"], layer["overspill_g"]), f"layer {layer['index']}: overspill")
        need(near(sum(r["grams"] for r in layer["regions"]), layer["lands_g"]), f"layer {layer['index']}: regions")
        by_powder[layer["powder"]] += lands
    for total in plan["totals"]:
        need(near(total["lands_g"], by_powder[total["powder"]]), f"total of {total['powder']}")
    listed = [i for firing in plan["firings"] for i in firing["layers"]]
    need(sorted(listed) == [layer["index"] for layer in plan["layers"]], "every layer in one firing")


def starts(length, side):
    """Of squares that lie half over each other, the last of them at the end."""
    last = max(0, length - side)
    return [*range(0, last, max(1, side // 2)), last]


def check_thickness(folder, plan):
    """A firing is for the sheet and the glass of all powder so far, in the square where most of it lies."""
    sheet = plan["sheet"]["thickness_mm"]
    side = max(1, int(sheet / 2 / plan["grid"]["pitch_mm"] + 0.5))
    laid = np.zeros((plan["grid"]["height"], plan["grid"]["width"]))
    for firing in plan["firings"]:
        for layer in plan["layers"]:
            if layer["index"] in firing["layers"]:
                with Image.open(folder / layer["amount"]) as png:
                    laid += np.asarray(png, dtype=float) / 65535 * layer["load_g_cm2"]
        most = max(laid[y:y + side, x:x + side].mean() for y in starts(laid.shape[0], side)
                   for x in starts(laid.shape[1], side))
        glass = sheet + 10 * most / plan["model"]["density_g_cm3"]
        need(near(firing["thickness_mm"], glass), f"firing {firing['index']}: {firing['thickness_mm']} mm, is {glass}")
    need(plan["firings"][-1]["thickness_mm"] > sheet, "powder has a thickness")


def check_fades(folder, plan):
    """Bands of a fade are sums over the points between their levels; a free one has no template."""
    for layer in plan["layers"]:
        fade = layer.get("fade")
        need((fade is not None) == (layer["technique"] == "fade"), f"layer {layer['index']}: fade")
        if fade is None:
            continue
        with Image.open(folder / layer["amount"]) as png:
            load = np.asarray(png, dtype=float) / 65535 * layer["load_g_cm2"]
        point_cm2 = (plan["grid"]["pitch_mm"] / 10) ** 2
        levels = [level["load_g_cm2"] for level in fade["levels"]]
        band_of = np.digitize(load, levels)
        found = [b for b in range(len(levels) + 1) if ((band_of == b) & (load > 0)).any()]
        need(len(found) == len(fade["bands"]), f"layer {layer['index']}: {len(fade['bands'])} bands")
        for band, b in zip(fade["bands"], found):
            inside = (band_of == b) & (load > 0)
            need(near(band["grams"], load[inside].sum() * point_cm2, 0.01), f"layer {layer['index']}: grams of a band")
            need(near(band["area_cm2"], inside.sum() * point_cm2, 0.01), f"layer {layer['index']}: area of a band")
        need(fade["free"] == (layer["stencil"] is None), f"layer {layer['index']}: free, with a template")


def check_effort(folder, plan):
    stencils = [layer["stencil"] for layer in plan["layers"] if layer["stencil"] is not None]
    effort = plan["effort"]
    need(effort["layers"] == len(plan["layers"]) and effort["firings"] == len(plan["firings"]), "effort: layers, firings")
    need(effort["stencils"] == len(stencils), "effort: stencils")
    need(effort["raised"] == sum(s["raised"] for s in stencils), "effort: raised")
    need(1 <= effort["least_firings"] <= effort["firings"] or not plan["layers"], "effort: least_firings")
    fidelity = plan["fidelity"]
    need(effort["raised"] > 0 or fidelity["softened_mean_de00"] == fidelity["mean_de00"], "softened, with none raised")
    need(all(firing["why"] for firing in plan["firings"]), "why each firing is needed")
    for kind in (True, False):
        told = [c for c in plan["firing_choices"] if (c["raised"] > 0) == kind]
        need(all(a["firings"] < b["firings"] and a["softened_mean_de00"] > b["softened_mean_de00"]
                 for a, b in zip(told, told[1:])), "firing_choices: more firings and no gain")
    need(effort["bridges"] == sum(len(s["bridges"]) for s in stencils), "effort: bridges")
    for name, key in (("cut_mm", "cut_mm"), ("cut_min", "cut_min"), ("bridge_error_cm2", "error_cm2"),
                      ("shortest_bridge_error_cm2", "shortest_error_cm2")):
        need(near(effort[name], sum(s[key] for s in stencils)), f"effort: {name}")
    for layer in plan["layers"]:
        stencil = layer["stencil"]
        need(stencil is not None or layer["technique"] != "stencil", f"layer {layer['index']}: no template")
        if stencil is None:
            continue
        for file in (*stencil["files"].values(), *(r[k] for r in stencil["repeats"] for k in ("file", "dxf"))):
            need((folder / file).is_file(), f"{file} is missing")
        # Bridges are not powdered.
        with Image.open(folder / layer["amount"]) as png:
            amount = np.asarray(png)
        for bridge in stencil["bridges"]:
            for (x, y), (u, v) in zip(bridge["points_mm"], bridge["points_mm"][1:]):
                column, row = (int((a + b) / 2 / plan["grid"]["pitch_mm"]) for a, b in ((x, u), (y, v)))
                need(amount[min(row, amount.shape[0] - 1), min(column, amount.shape[1] - 1)] == 0,
                     f"layer {layer['index']}: powder on a bridge at {column}, {row}")


def check_csv(folder, plan):
    raw = (folder / "grams.csv").read_bytes()
    need(raw.endswith(b"\r\n") and raw.count(b"\n") == raw.count(b"\r\n"), "records end in CR LF")
    with open(folder / "grams.csv", newline="", encoding="utf-8") as file:
        rows = list(csv.reader(file, strict=True))
    titles, records = rows[0], [dict(zip(rows[0], row)) for row in rows[1:]]
    need(len(set(titles)) == len(titles), "column names")
    need(all(len(row) == len(titles) for row in rows), "as many cells in every record")
    for record in records:
        for title, cell in record.items():
            if title in ("kind", "powder", "name", "technique"):
                need(cell[:1] not in ("=", "+", "-", "@", "\t", "\r", "\n"), f"{title}: {cell!r} is a formula")
            elif cell:
                float(cell)
    names = {p["id"]: p["name"] for p in plan["powders"]}
    for kind, entries in (("powder", plan["totals"]), ("layer", plan["layers"])):
        found = [r for r in records if r["kind"] == kind]
        need(len(found) == len(entries), f"a record for every {kind}")
        for record, entry in zip(found, entries):
            need(near(float(record["lands_g"]), entry["lands_g"]), f"{kind} {record['powder']}: lands")
            need(near(float(record["sift_g"]), entry["sift_g"]), f"{kind} {record['powder']}: sift")
            need(record["name"].lstrip("'") == names[entry["powder"]], f"{record['name']!r}: name")
    regions = [r for r in records if r["kind"] == "region"]
    need(len(regions) == sum(len(layer["regions"]) for layer in plan["layers"]), "a record for every region")
    need(near(sum(float(r["lands_g"]) for r in regions), sum(t["lands_g"] for t in plan["totals"])), "sum of regions")


def main():
    folder = pathlib.Path(sys.argv[1])
    text = (folder / "plan.json").read_text(encoding="utf-8")
    plan = json.loads(text)
    need(next(iter(plan)) == "schema" and plan["schema"] == 1, "schema comes first")
    need(plan["bands_nm"] == list(range(400, 701, 10)), "bands")
    check_weights(folder, plan)
    check_thickness(folder, plan)
    check_fades(folder, plan)
    check_effort(folder, plan)
    check_csv(folder, plan)
    end_where_any()
    print(f"{len(plan['layers'])} layers, {len(plan['totals'])} powders: all adds up")


if __name__ == "__main__":
    main()
