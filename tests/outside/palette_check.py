#!/usr/bin/python3
"""Fails when a shelf in palettes/ could not be real glass.

    palette_check.py PALETTES_FOLDER

A swatch lies on a white and on a black ground. In each channel the light it returns over black plus the
light it lets through cannot exceed what came in, and over black it cannot be brighter than over white.
Colours are turned into light inside the glass by Saunderson's correction (1942) without the outer
reflection, k1 = 0.04, k2 = 0.596 (Duntley 1942, n = 1.5); over a ground of reflectance g Kubelka (1948)
gives T*T = (Rwhite - Rblack) * (1 - Rblack * g) / g.
"""
import pathlib
import sys
import tomllib

K1, K2 = 0.04, 0.596
# The ground that shows as #f3 through clear glass: the brightest channel of the swatches' ground.
GROUND_CODE = 0xF3
# One code of rounding in a swatch colour is worth about this much light.
ROUNDING = 0.006


def inside(code):
    """Diffuse reflectance inside the glass of an sRGB code seen from outside without glare."""
    c = code / 255
    seen = c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4
    return seen / ((1 - K1) * (1 - K2) + K2 * seen)


def channels(colour):
    return [int(colour[i:i + 2], 16) for i in (1, 3, 5)]


def swatch_faults(glass):
    ground = inside(GROUND_CODE)
    for name, white, black in zip("red green blue".split(), channels(glass["over_white"]),
                                  channels(glass["over_black"])):
        if black > white:
            yield f"{name} is brighter over black than over white"
            continue
        r0, rw = inside(black), inside(white)
        through = ((rw - r0) * (1 - r0 * ground) / ground) ** 0.5
        if r0 + through > 1 + ROUNDING:
            yield f"{name} gives back {r0 + through:.3f} of the light it gets"


def faults(file):
    palette = tomllib.loads(file.read_text(encoding="utf-8"))
    glasses = palette["powder"] + palette["sheet"]
    ids = [glass["id"] for glass in glasses]
    for twice in sorted({i for i in ids if ids.count(i) > 1}):
        yield f"{file}: {twice}: the id is used twice"
    for glass in glasses:
        for text in swatch_faults(glass):
            yield f"{file}: {glass['id']}: {text}"
    # ASTM E11: No. 100 is 0.150 mm, No. 325 is 0.045 mm; what the trade calls powder lies between.
    for powder in palette["powder"]:
        if not 0.045 <= powder["grain_mm"] <= 0.150:
            yield f"{file}: {powder['id']}: grain {powder['grain_mm']} mm is no powder"


def main():
    files = sorted(pathlib.Path(sys.argv[1]).glob("*.toml"))
    found = [text for file in files for text in faults(file)]
    print("\n".join(found) if found else f"{len(files)} shelves could be real glass")
    return 1 if found or not files else 0


if __name__ == "__main__":
    sys.exit(main())
