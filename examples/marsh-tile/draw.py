#!/usr/bin/python3
"""Draws picture.png: a curlew's feather before a low sun, over three waves; the rest is bare sheet.

    /usr/bin/python3 draw.py [OUT.png]

Needs Debian's python3-cairo. Five flat colours, 8 pixels to the millimetre on a 120 mm tile, and
nothing thinner than 2 mm. Where the picture is transparent the tile carries no powder.
"""
import math
import pathlib
import sys

import cairo

SIZE = 960
SUN, VANE, BAR, SHAFT, WAVE = "#bf3a22", "#e6c659", "#4b3326", "#f0efea", "#3a70ae"

# The shaft, from the quill up to the tip, as a Bezier curve.
AXIS = ((196, 846), (330, 700), (590, 470), (742, 108))


def paint(ctx, colour):
    ctx.set_source_rgb(*(int(colour[i:i + 2], 16) / 255 for i in (1, 3, 5)))
    ctx.fill()


def axis(t):
    """A point of the shaft and the unit normal to its left."""
    u = 1 - t
    p = [u ** 3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t ** 3 * d for a, b, c, d in zip(*AXIS)]
    a, b, c, d = AXIS
    v = [3 * u * u * (b[i] - a[i]) + 6 * u * t * (c[i] - b[i]) + 3 * t * t * (d[i] - c[i]) for i in (0, 1)]
    length = math.hypot(*v)
    return p, (v[1] / length, -v[0] / length)


def width(t, side):
    """Half the breadth of the vane at t; the trailing side (-1) is the broader."""
    if t < 0.2:
        return 0.0
    s = (t - 0.2) / 0.8
    return (104 if side > 0 else 132) * (1 - max(0.0, 1 - s / 0.42) ** 2) ** 0.8 * max(0.0, 1 - s ** 3.2) ** 0.62


def at(t, offset, sweep):
    """A point beside the shaft; barbs sweep towards the tip."""
    p, n = axis(min(1.0, t))
    along = abs(offset) * sweep
    return p[0] + n[0] * offset - n[1] * along, p[1] + n[1] * offset + n[0] * along


def outline(ctx, points):
    ctx.move_to(*points[0])
    for point in points[1:]:
        ctx.line_to(*point)
    ctx.close_path()


def vane(ctx):
    steps = [0.2 + 0.8 * k / 120 for k in range(121)]
    left = [at(t, width(t, 1), 0.30 * (1 - t)) for t in steps]
    right = [at(t, -width(t, -1), 0.30 * (1 - t)) for t in reversed(steps)]
    outline(ctx, left + right)


def bars(ctx):
    """Dark bars that run out from the shaft along the barbs, a notch of light between each two."""
    for side in (1, -1):
        for k in range(8):
            t0 = 0.25 + 0.086 * k
            t1 = t0 + 0.046
            reach = 150 * side
            outline(ctx, [at(t0, 0, 0), at(t1, 0, 0), at(t1 + 0.012, reach, 0.62), at(t0 + 0.002, reach, 0.62)])
            paint(ctx, BAR)


def shaft(ctx):
    steps = [k / 60 * 0.97 for k in range(61)]
    half = [12 if t < 0.6 else 12 - 4 * (t - 0.6) / 0.37 for t in steps]
    left = [at(t, h, 0) for t, h in zip(steps, half)]
    right = [at(t, -h, 0) for t, h in zip(reversed(steps), reversed(half))]
    outline(ctx, left + right)


def wave(ctx, x, y, length, height):
    """One swell: a crest that leans over, pointed at both ends."""
    ctx.move_to(x, y)
    ctx.curve_to(x + length * 0.25, y - height, x + length * 0.45, y - height, x + length * 0.55, y - height * 0.2)
    ctx.curve_to(x + length * 0.68, y + height * 0.5, x + length * 0.85, y + height * 0.2, x + length, y - height * 0.3)
    ctx.curve_to(x + length * 0.85, y + height, x + length * 0.62, y + height * 1.1, x + length * 0.48,
                 y + height * 0.45)
    ctx.curve_to(x + length * 0.38, y - height * 0.1, x + length * 0.2, y - height * 0.1, x, y)
    ctx.close_path()


def draw():
    """The picture as a cairo surface in ARGB32, transparent where the sheet stays bare."""
    surface = cairo.ImageSurface(cairo.FORMAT_ARGB32, SIZE, SIZE)
    ctx = cairo.Context(surface)
    ctx.set_antialias(cairo.ANTIALIAS_BEST)

    ctx.arc(400, 372, 232, 0, 2 * math.pi)
    paint(ctx, SUN)

    for x, y, length in ((470, 708, 420), (380, 790, 470), (300, 872, 420)):
        wave(ctx, x, y, length, 40)
        paint(ctx, WAVE)

    # Bare sheet around the feather, so that it stands clear of sun and waves.
    vane(ctx)
    ctx.set_operator(cairo.OPERATOR_CLEAR)
    ctx.set_line_join(cairo.LINE_JOIN_ROUND)
    ctx.set_line_width(44)
    ctx.stroke_preserve()
    ctx.fill()
    shaft(ctx)
    ctx.stroke()
    ctx.set_operator(cairo.OPERATOR_OVER)

    vane(ctx)
    paint(ctx, VANE)
    ctx.save()
    vane(ctx)
    ctx.clip()
    bars(ctx)
    ctx.restore()
    shaft(ctx)
    paint(ctx, SHAFT)
    return surface


def main():
    here = pathlib.Path(__file__).resolve().parent
    out = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else here / "picture.png"
    draw().write_to_png(str(out))


if __name__ == "__main__":
    main()
