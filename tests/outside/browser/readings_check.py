#!/usr/bin/env python3
"""Compares what the bench page said at points with plan.json, the layers' pictures and the previews.

    readings_check.py PLANFOLDER READINGS.json
"""
import json
import pathlib
import re
import sys

import numpy as np
from PIL import Image


def lab_of(rgb):
    """CIE L*a*b* of 8-bit sRGB under D65: IEC 61966-2-1 and CIE 15, from memory."""
    v = np.array(rgb) / 255
    linear = np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)
    xyz = np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]) @ linear
    t = xyz / np.array([0.3127 / 0.3290, 1, 0.3583 / 0.3290])
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])


def main():
    folder, readings = pathlib.Path(sys.argv[1]), json.loads(pathlib.Path(sys.argv[2]).read_text(encoding="utf-8"))
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    names = {powder["id"]: powder["name"] for powder in plan["powders"]}
    amounts = [np.asarray(Image.open(folder / layer["amount"])).astype(float) / 65535 for layer in plan["layers"]]
    pictures = {name: np.asarray(Image.open(folder / "previews" / f"{name}.png").convert("RGB"))
                for name in ("fired-wall", "fired-window", "target")}
    grid, faults, recipes, views = plan["grid"], [], 0, set()
    for number, point in enumerate(readings):
        # The grid point in the middle of the map's point.
        x = int((point["column"] + 0.5) * grid["width"] / point["map"]["width"])
        y = int((point["row"] + 0.5) * grid["height"] / point["map"]["height"])
        at = f"point {number} ({x}, {y})"
        views.add(point["view"])
        if point["predicted"] != pictures[f"fired-{point['view']}"][y, x].tolist():
            faults.append(f"{at}: predicted {point['predicted']} {point['view']}")
        if point["target"] != pictures["target"][y, x].tolist():
            faults.append(f"{at}: aimed at {point['target']}")
        said = [float(n.replace("\u2212", "-")) for n in re.findall("[-\u2212]?\\d+\\.\\d", point["lab"])]
        if np.abs(np.array(said) - lab_of(point["predicted"])).max() > 0.06:
            faults.append(f"{at}: {point['lab']} is not {lab_of(point['predicted'])}")
        wished = [(layer, amount[y, x]) for layer, amount in zip(plan["layers"], amounts) if amount[y, x] > 0]
        if [layer["index"] for layer, _ in wished] != [line["step"] for line in point["recipe"]]:
            faults.append(f"{at}: layers {[line['step'] for line in point['recipe']]}")
            continue
        for (layer, amount), line in zip(wished, point["recipe"]):
            recipes += 1
            load = layer["load_g_cm2"] * amount
            # Amounts are kept in 255ths.
            if abs(line["load"] - load) > layer["load_g_cm2"] * max(0.5, 1 if amount < 1 / 255 else 0) / 255 + 1e-9:
                faults.append(f"{at}: step {layer['index']} carries {line['load']} g/cm2 instead of {load}")
            if line["powder"] != names[layer["powder"]] or f"firing {layer['firing']}" not in line["text"]:
                faults.append(f"{at}: {line['text']}")
            if f"{line['load']:.3f} g/cm²" not in line["text"]:
                faults.append(f"{at}: {line['text']} does not say {line['load']}")
    if len(readings) < 40 or recipes < 20 or views != {"wall", "window"}:
        faults.append(f"{len(readings)} readings with {recipes} coats, {views}: too few to tell")
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(readings)} points with {recipes} coats are those of the plan")


if __name__ == "__main__":
    main()
