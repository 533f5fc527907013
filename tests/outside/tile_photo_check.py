#!/usr/bin/env python3
"""The whole way of a step tile with powders whose k and s are known: planned, printed, "fired", photographed, fitted.

    tile_photo_check.py PROGRAM SHEETS WORKFOLDER [TILES]

SHEETS is a palette whose sheets are used. The card is the program's own PDF, drawn by poppler; the cells are computed
here by the published formulas (Kubelka 1948, Saunderson 1942, Demichel 1924, Poisson cover) and lie on it as grains; the
photo has 20 to 30 degrees of tilt, a fifth of falloff, light 500 K off, noise, 8 bits and JPEG 85. Asserts the stated
numbers: colours of loads that were not on the tile within 1.5 in the mean and 3 at the 95th percentile (CIEDE2000), and
the stated expected error within a factor 1.5 of the true one, over all powders.
"""
import json
import pathlib
import shutil
import subprocess
import sys
import tomllib

import numpy as np
from PIL import Image

from photographs import Scene, ciede2000, daylight_cast, encode, photograph, save_jpeg, to_lab
from recompute_wall import MATCHING, Plan, kubelka_munk

BANDS = 400 + 10.0 * np.arange(31)
SPREAD = 4 ** (1 / 3)  # grains of a full fuse lie flush
INNER, OUTER = 0.5963458, 0.04  # Walsh 1926, Duntley 1942; Fresnel, n = 1.5


def d65():
    """Relative power by bands (CIE 15, 5 nm table read at every tenth nanometre)."""
    return np.array([82.7549, 91.486, 93.4318, 86.6823, 104.865, 117.008, 117.812, 114.861, 115.923, 108.811, 109.354,
                     107.802, 104.79, 107.689, 104.405, 104.046, 100.0, 96.3342, 95.788, 88.6856, 90.0062, 89.5991,
                     87.6987, 83.2886, 83.6992, 80.0268, 80.2146, 82.2778, 78.2842, 69.7213, 71.6091])


class Colours:
    def __init__(self):
        holder = Plan.__new__(Plan)
        holder.data = {"light": {"power": d65()}}
        self.matrix = Plan.colour_matrix(holder)

    def linear(self, spectrum):
        return spectrum @ self.matrix


def seen_through(inside):
    return (1 - OUTER) * (1 - INNER) * inside / (1 - INNER * inside)


def made_up(random, opalescent):
    k = np.full(31, np.exp(random.uniform(np.log(0.02), np.log(0.4))))
    for _ in range(random.integers(1, 4)):
        at, width = random.uniform(380, 720), random.uniform(60, 200) / 2.355
        height = np.exp(random.uniform(np.log(0.5), np.log(40 if opalescent else 15)))
        k = k + height * np.exp(-((BANDS - at) / width) ** 2 / 2)
    s0 = np.exp(random.uniform(*np.log([3, 40] if opalescent else [0.02, 0.6])))
    return {"k": k, "s": s0 * (550 / BANDS) ** random.uniform(0, 1.5), "grain": random.uniform(0.07, 0.15),
            "spreads": random.uniform(0.8, 1.25), "opalescent": opalescent}


def covered_and_bare(glass, load, ground, worth=lambda w: w):
    one_cover = 2 / 3 * 2.5 * glass["grain"] / 10
    cover = 1 - np.exp(-SPREAD * glass["spreads"] * load / one_cover)
    r, t = kubelka_munk(glass["k"], glass["s"], worth(load) / cover)
    return cover, seen_through(r + t * t * ground / (1 - r * ground)), seen_through(ground)


def look(glass, load, ground, worth=lambda w: w):
    cover, on, bare = covered_and_bare(glass, load, ground, worth)
    return cover * on + (1 - cover) * bare


def hex_of(linear):
    return "#" + "".join(f"{int(round(255 * float(c))):02x}" for c in encode(linear))


def palette_text(glasses, sheets, colours):
    """What a studio knows before it measures: swatches over white and black."""
    text = '[palette]\nname = "Powders to be measured"\n'
    for name, glass in glasses.items():
        load = 0.2 if glass["opalescent"] else 0.5
        text += (f'\n# {name} waits for its tile\n[[powder]]\nid = "{name}"\n'
                 f'body = "{"opalescent" if glass["opalescent"] else "transparent"}"\n'
                 f'over_white = "{hex_of(colours.linear(look(glass, load, np.full(31, 0.97))))}"\n'
                 f'over_black = "{hex_of(colours.linear(look(glass, load, np.zeros(31))))}"\n'
                 f'load = {load}\ngrain_mm = {glass["grain"]:.4f}\n')
    for sheet in sheets:
        if sheet["body"] == "opalescent":
            text += "\n[[sheet]]\n" + "".join(f"{k} = {json.dumps(v)}\n" for k, v in sheet.items() if k != "family")
    return text


def run(*words):
    done = subprocess.run([str(w) for w in words], capture_output=True, text=True)
    if done.returncode != 0:
        raise RuntimeError(f"{' '.join(map(str, words))}: {done.returncode}: {done.stderr}")
    return done.stdout


def card_scene(folder, tile, work):
    """The printed card: ink where the PDF is dark."""
    subprocess.run(["pdftoppm", "-r", "203.2", "-f", "1", "-l", "1", "-singlefile", "-png", folder / "templates.pdf",
                    work / "card"], check=True)
    with Image.open(work / "card.png") as png:
        grey = np.asarray(png.convert("L"), float) / 255
    scene = Scene(0, 0, tile["card"]["width_mm"], tile["card"]["height_mm"], px_per_mm=8)
    tall, wide = scene.pixels.shape[:2]
    shade = np.full((tall, wide), 1.0)
    shade[:min(tall, grey.shape[0]), :min(wide, grey.shape[1])] = grey[:tall, :wide]
    scene.pixels = (0.04 + (0.85 - 0.04) * shade)[:, :, None] * np.ones(3)
    return scene


def lay_tile(scene, tile, glasses, grounds, colours, random):
    for row in tile["rows"]:
        glass = glasses[row["powder"]]
        for side, ground in grounds.items():
            boxes = [cell[f"{side}_mm"] for cell in row["cells"]]
            left, right = min(b[0] for b in boxes) - 2, max(b[2] for b in boxes) + 2
            outside = (boxes[0][1] - 2, boxes[0][3]) if side == "light" else (boxes[0][1], boxes[0][3] + 2)
            scene.fill(left, outside[0], right, outside[1], colours.linear(seen_through(ground)))
            for cell, box in zip(row["cells"], boxes):
                if cell["load_g_cm2"] <= 0:
                    continue
                cover, on, bare = covered_and_bare(glass, cell["load_g_cm2"], ground)
                where = scene.box(*box)
                tall, wide = scene.pixels[where].shape[:2]
                # Grains about a pixel large; their share is the cover exactly, as a sifter's long mean is.
                grains = random.random((tall, wide)) < cover
                cell_look = np.where(grains[..., None], colours.linear(on), colours.linear(bare))
                cell_look += colours.linear(look(glass, cell["load_g_cm2"], ground)) - cell_look.mean(axis=(0, 1))
                scene.pixels[where] = cell_look


def fitted_glass(palette, name, grain):
    entry = next(p for p in tomllib.loads(palette.read_text(encoding="utf-8"))["powder"] if p["id"] == name)
    curve = entry.get("load_curve", [])
    worth = (lambda w: w) if not curve else (lambda w: float(np.interp(
        w, [0] + [c[0] for c in curve], [0] + [c[1] for c in curve])) if w <= curve[-1][0] else w * curve[-1][1] / curve[-1][0])
    return ({"k": np.array(entry["k"]), "s": np.array(entry["s"]), "grain": grain, "spreads": entry.get("spreads", 1.0)},
            worth, entry["expected_error"], entry["residual"])


def main():
    program, sheets, work = sys.argv[1], tomllib.loads(pathlib.Path(sys.argv[2]).read_text(encoding="utf-8"))["sheet"], pathlib.Path(sys.argv[3])
    tiles = int(sys.argv[4]) if len(sys.argv) > 4 else 3
    work.mkdir(parents=True, exist_ok=True)
    colours = Colours()
    grounds = {"light": np.linspace(0.86, 0.95, 31) ** 1.0, "dark": np.full(31, 0.03)}
    every, ratios, faults = [], [], []
    for number in range(tiles):
        random = np.random.default_rng(100 + number)
        glasses = {f"powder-{number}-{i}": made_up(random, opalescent=i % 2 == 0) for i in range(3)}
        palette = work / "shelf.toml"
        palette.write_text(palette_text(glasses, sheets, colours), encoding="utf-8")
        for old in work.glob("shelf.before-*"):
            old.unlink()
        folder = work / "tile"
        shutil.rmtree(folder, ignore_errors=True)
        run(program, "tile", "--palette", palette, "--powder", ",".join(glasses), "--out", folder)
        tile = json.loads((folder / "tile.json").read_text(encoding="utf-8"))
        scene = card_scene(folder, tile, work)
        lay_tile(scene, tile, glasses, grounds, colours, random)
        reference = ["--reference", "paper"]
        if number % 2 == 0:
            scene.fill(*tile["card"]["reference_mm"], 0.18)
            reference = ["--reference", "grey"]
        pixels = photograph(scene, 2400, 3000, tilt=random.uniform(20, 30), axis=random.uniform(0, 180),
                            turn=random.uniform(-10, 10), falloff=0.2,
                            cast=daylight_cast(6504 + (500 if number % 2 else -500)), noise=0.006, seed=number)
        photo = work / f"tile-{number}.jpg"
        save_jpeg(pixels, photo)
        run(program, "fit", photo, "--tile", folder, "--palette", palette, *reference, "--update", "--chart",
            work / f"fit-{number}.png", "--replace")
        if "waits for its tile" not in palette.read_text(encoding="utf-8"):
            faults.append("comments of the palette were lost")
        for row in tile["rows"]:
            truth = glasses[row["powder"]]
            found, worth, expected, residual = fitted_glass(palette, row["powder"], truth["grain"])
            loads = [c["load_g_cm2"] for c in row["cells"] if c["load_g_cm2"] > 0]
            unseen = np.exp(np.linspace(np.log(loads[0]), np.log(loads[-1]), 23))[1::2]
            errors = [float(ciede2000(to_lab(colours.linear(look(truth, w, g))), to_lab(colours.linear(look(found, w, g, worth)))))
                      for w in unseen for g in grounds.values()]
            every += errors
            ratios.append((expected, np.mean(errors)))
            print(f"{row['powder']} ({'opalescent' if truth['opalescent'] else 'transparent'}, by {reference[1]}): unseen loads "
                  f"mean {np.mean(errors):.2f}, most {max(errors):.2f}; residual {residual:.2f}, stated {expected:.2f}, "
                  f"spreads {found['spreads']:.2f} ({truth['spreads']:.2f})")
    stated, true = np.mean([r[0] for r in ratios]), np.mean([r[1] for r in ratios])
    print(f"{len(ratios)} powders: mean {np.mean(every):.2f}, 95 % below {np.percentile(every, 95):.2f}; stated error "
          f"{stated:.2f} against {true:.2f}")
    if np.mean(every) > 1.5 or np.percentile(every, 95) > 3:
        faults.append("unseen loads are further off than stated")
    if not 1 / 1.5 < stated / true < 1.5:
        faults.append(f"the stated error is {stated / true:.2f} times the true one")
    if faults:
        sys.exit("\n".join(faults))


if __name__ == "__main__":
    main()
