#!/usr/bin/env python3
"""Draws examples/step-tile: tile.json of two powders of the marsh shelf, and a photo of it as if it had been fired.

    draw_step_tile.py PROGRAM PALETTE OUT_FOLDER

The powders are nearly what their swatches in the palette say: spectra through the swatches' three colours, a tenth
more absorption, grains that spread a little less. Card, cells and camera are those of tile_photo_check.py.
"""
import json
import pathlib
import shutil
import sys
import tempfile
import tomllib

import numpy as np

from photographs import daylight_cast, decode, photograph, save_jpeg
from tile_photo_check import BANDS, INNER, OUTER, Colours, card_scene, lay_tile, run

POWDERS = ("reed-gold", "eelgrass")


def inside(code):
    """Reflectance below the surface, a smooth curve through blue, green and red of a colour "#rrggbb"."""
    red, green, blue = (decode(int(code[i:i + 2], 16) / 255) for i in (1, 3, 5))
    # Straight between the middles of the three, level beyond them, rounded off.
    curve = np.interp(BANDS, [455, 540, 610], [blue, green, red])
    curve = np.convolve(np.pad(curve, 3, mode="edge"), np.hanning(9)[1:-1] / np.hanning(9)[1:-1].sum(), "valid")
    return curve / ((1 - OUTER) * (1 - INNER) + INNER * curve)


def glass_of(powder):
    """k and s of a layer of this look over white (0.97) and black (0), Kubelka 1948."""
    white, black = inside(powder["over_white"]), inside(powder["over_black"])
    t2 = np.clip((white - black) * (1 - black * 0.97) / 0.97, 1e-4, (1 - black) ** 2 * 0.999)
    a = (1 + black ** 2 - t2) / (2 * black)
    b = np.sqrt(np.maximum(a * a - 1, 1e-9))
    s = np.arcsinh(b * black / np.sqrt(t2)) / (b * powder["load"])
    return {"k": 1.1 * s * (a - 1), "s": s, "grain": powder["grain_mm"], "spreads": 0.9}


def main():
    program, palette, out = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    shelf = {p["id"]: p for p in tomllib.loads(palette.read_text(encoding="utf-8"))["powder"]}
    glasses = {name: glass_of(shelf[name]) for name in POWDERS}
    colours, random = Colours(), np.random.default_rng(1)
    grounds = {"light": np.linspace(0.90, 0.955, 31), "dark": np.full(31, 0.03)}
    out.mkdir(parents=True, exist_ok=True)
    with tempfile.TemporaryDirectory() as work:
        folder = pathlib.Path(work) / "tile"
        run(program, "tile", "--palette", palette, "--powder", ",".join(POWDERS), "--out", folder)
        tile = json.loads((folder / "tile.json").read_text(encoding="utf-8"))
        scene = card_scene(folder, tile, pathlib.Path(work))
        lay_tile(scene, tile, glasses, grounds, colours, random)
        scene.fill(*tile["card"]["reference_mm"], 0.18)
        shutil.copyfile(folder / "tile.json", out / "tile.json")
    pixels = photograph(scene, 1500, 1900, tilt=16, axis=60, turn=4, falloff=0.2, cast=daylight_cast(6000), seed=3)
    save_jpeg(pixels, out / "photo.jpg")


if __name__ == "__main__":
    main()
