#!/usr/bin/env python3
"""Photos of made-up fired pieces against their plan: is the powder found that was too heavy, and does planning the
rest anew help?

    compare_check.py PROGRAM PICTURE PALETTE WORKFOLDER [--all]

The piece is computed from plan.json and layers/ by the published formulas (recompute_wall.py), with one powder a
fifth heavier than planned, and photographed by photographs.py. --all tries every powder and several views.
"""
import json
import pathlib
import shutil
import subprocess
import sys

import numpy as np
from PIL import Image

from photographs import Scene, ciede2000, daylight_cast, decode, encode, photograph, save_jpeg, to_lab
from recompute_wall import Plan

HEAVIER = 1.2
# What the piece lies on in the photo, share reflected: as photographs.py paints it.
PAPER = 0.85


def run(*words):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{' '.join(map(str, words))}: {done.returncode}: {done.stderr}")
    return done.stdout


def read(folder):
    """The plan with the amounts of its fades in 24 steps: a tenth of the combinations, and no eye sees it."""
    plan = Plan(folder)
    steps, number = np.unique(np.round(np.array(plan.combinations) * 24), axis=0, return_inverse=True)
    plan.combinations = [list(amounts / 24) for amounts in steps]
    plan.place = number.ravel()[plan.place]
    return plan


def heavier(folder, powder, firings, factor=HEAVIER):
    plan = read(folder)
    for layer in plan.layers:
        if layer["powder"] == powder and layer["firing"] <= firings:
            layer["load_g_cm2"] *= factor
    return plan


def unevenly_laid(folder, powder):
    """The powder's layers of the first firing come out a third too heavy on the left and a third too light on the right."""
    plan = read(folder)
    tall, wide = plan.shape
    # Steps of a tenth of the width: so few combinations are computed.
    bands = np.minimum(np.arange(wide) * 10 // wide, 9)
    factors = 1.33 - 0.66 * (np.arange(10) + 0.5) / 10
    where = [i for i, layer in enumerate(plan.layers) if layer["powder"] == powder and layer["firing"] == 1]
    place = plan.place.reshape(plan.shape) * 10 + bands[None, :]
    values, plan.place = np.unique(place.ravel(), return_inverse=True)
    combinations = []
    for value in values:
        amounts = list(plan.combinations[value // 10])
        for i in where:
            amounts[i] *= factors[value % 10]
        combinations.append(amounts)
    plan.combinations = combinations
    return plan


def as_it_will_be(rest, wrong):
    """The plan of the rest, its first firing as it really lies."""
    result = read(rest)
    key = {(layer["nest"], layer["step"], layer["stencil"] and layer["stencil"]["part"]): i
           for i, layer in enumerate(wrong.layers) if layer["firing"] == 1}
    new = [layer for layer in result.layers if layer["firing"] > 1]
    # Real amounts below, planned ones above, point by point.
    real = np.array(wrong.combinations)[:, list(key.values())]
    planned = np.array(result.combinations)[:, [i for i, layer in enumerate(result.layers) if layer["firing"] > 1]]
    both, place = np.unique(wrong.place * len(planned) + result.place, return_inverse=True)
    result.layers = [wrong.layers[i] for i in key.values()] + new
    result.combinations = [list(real[b // len(planned)]) + list(planned[b % len(planned)]) for b in both]
    result.place = place.ravel()
    return result


def linear_look(plan, values):
    """Linear sRGB of the piece on the wall; each combination once."""
    colours = np.array([plan.seen(plan.coats(amounts, values), "wall") @ plan.to_rgb for amounts in plan.combinations])
    return colours[plan.place].reshape(plan.shape + (3,))


def piece_photo(plan, firing, path, ideal=False, seed=1):
    grid = plan.data["grid"]
    width, height = grid["width"] * grid["pitch_mm"], grid["height"] * grid["pitch_mm"]
    scene = Scene(-40, -40, width + 80, height + 80)
    wall, plan.backing = plan.backing, np.full_like(plan.backing, PAPER)
    scene.paste(0, 0, grid["pitch_mm"], linear_look(plan, plan.after(firing)))
    plan.backing = wall
    for i, (x, y) in enumerate([(-15, -15), (width + 15, -15), (width + 15, height + 15), (-15, height + 15)]):
        scene.mark(x, y, i == 0)
    if ideal:
        pixels = photograph(scene, tilt=0, falloff=0, noise=0, exposure=1)
    else:
        pixels = photograph(scene, tilt=18 + 5 * (seed % 3), axis=40 * seed, turn=3 * seed - 6, falloff=0.2,
                            cast=daylight_cast(6000 if seed % 2 else 7000), seed=seed)
    save_jpeg(pixels, path, 85 if not ideal else 97)


def compare(program, photo, plan, palette, firing, out, *more):
    shutil.rmtree(out, ignore_errors=True)
    run(program, "compare", photo, "--plan", plan, "--palette", palette, "--after-firing", firing, "--out", out, *more)
    return json.loads((out / "compare.json").read_text(encoding="utf-8"))


def error_of(plan, target):
    """Mean CIEDE2000 of the finished piece against the fitted picture."""
    return float(np.mean(ciede2000(to_lab(target), to_lab(decode(encode(linear_look(plan, plan.final())))))))


def main():
    program, picture, palette, work = sys.argv[1:5]
    work = pathlib.Path(work)
    work.mkdir(parents=True, exist_ok=True)
    everything = "--all" in sys.argv
    folder = work / "plan"
    shutil.rmtree(folder, ignore_errors=True)
    run(program, "plan", picture, "--palette", palette, "--width", 140, "--pitch-mm", 0.5, "--layers", 6, "--firings", 3,
        "--base", "white", "--out", folder)
    planned = read(folder)
    firings = len(planned.data["firings"])
    with Image.open(folder / "previews" / "target.png") as png:
        target = decode(np.asarray(png.convert("RGB"), float) / 255)
    faults, worst = [], 0.0
    powders = sorted({layer["powder"] for layer in planned.layers})
    seeds = range(1, 4) if everything else [1]
    for n, powder in enumerate(powders):
        for seed in seeds:
            photo = work / "fired.jpg"
            piece_photo(heavier(folder, powder, firings), firings, photo, seed=seed + n)
            found = compare(program, photo, folder, palette, firings, work / "seen")
            for finding in found["powders"]:
                true = HEAVIER if finding["powder"] == powder else 1.0
                off = abs(finding["factor"] - true)
                told = finding["off_by"] < 0.25
                print(f"{powder} x {HEAVIER}: {finding['powder']} {finding['factor']:.3f} +- {finding['off_by']:.3f}")
                if finding["powder"] == powder:
                    worst = max(worst, off)
                if told and off > 0.05:
                    faults.append(f"{finding['powder']} seems x {finding['factor']:.3f} where {powder} is {HEAVIER}")
            if found["explained_mean_de00"] > found["mean_de00"] + 0.02:
                faults.append(f"{powder}: the loads found explain nothing")
    print(f"a powder {HEAVIER - 1:.0%} heavier is found within {100 * worst:.1f} points")

    # A wrong first firing, and the rest planned anew: by what the photo says, and by an ideal photo.
    first = sorted({layer["powder"] for layer in planned.layers if layer["firing"] == 1})
    for powder in first if everything else first[:1]:
        for factor in (0.65, 1.4, "uneven"):
            if factor == "uneven":
                wrong = unevenly_laid(folder, powder)
            else:
                wrong = heavier(folder, powder, 1, factor)
            as_planned, gone_wrong = error_of(planned, target), error_of(wrong, target)
            anew = {}
            for kind in ("photo", "ideal"):
                photo, rest = work / f"first-{kind}.jpg", work / f"rest-{kind}"
                shutil.rmtree(rest, ignore_errors=True)
                piece_photo(wrong, 1, photo, ideal=kind == "ideal", seed=5)
                compare(program, photo, folder, palette, 1, work / "seen", "--replan", rest)
                anew[kind] = error_of(as_it_will_be(rest, wrong), target)
            best = min(anew.values())
            recovered = (gone_wrong - anew["photo"]) / max(1e-9, gone_wrong - best)
            print(f"{powder} x {factor} in firing 1: as planned {as_planned:.2f}, gone wrong {gone_wrong:.2f}, the rest anew "
                  f"{anew['photo']:.2f} (by an ideal photo {anew['ideal']:.2f}): {recovered:.0%} of what can be recovered, "
                  f"{(gone_wrong - anew['photo']) / (gone_wrong - as_planned):.0%} of what went wrong")
            if gone_wrong - best > 0.05 and recovered < 0.5:
                faults.append(f"{powder} x {factor}: planning anew recovers only {recovered:.0%}")
    if faults:
        sys.exit("\n".join(faults))


if __name__ == "__main__":
    main()
