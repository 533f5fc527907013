#!/usr/bin/python3
"""Draws picture.png: a wall of the visitor centre where a panel could hang, as a phone sees it.

    /usr/bin/python3 draw.py [OUT.png]

Needs Debian's python3-numpy and python3-pil. A room by rays: the back wall is 4000 x 2600 mm, the camera stands
aside of its middle and looks a little down; light comes through a window in the left wall that is out of sight.
"""
import pathlib
import sys

import numpy
from PIL import Image

WIDTH, HEIGHT = 1200, 800
SAMPLES = 2  # of a pixel, each way
WALL = numpy.array([4000.0, 2600.0])  # mm; x to the right, y down, z into the room
EYE = numpy.array([2350.0, 1500.0, 2600.0])
LOOKED_AT = numpy.array([1830.0, 1640.0, 0.0])
FOCAL = 0.9  # of the picture's width
# A bench before the wall and a low plinth: from corner to corner.
BOXES = [((1150, 2290, 120), (2350, 2345, 470), (0.34, 0.22, 0.13)),
         ((1230, 2345, 160), (1310, 2600, 440), (0.27, 0.17, 0.10)),
         ((2190, 2345, 160), (2270, 2600, 440), (0.27, 0.17, 0.10)),
         ((3250, 1750, 60), (3640, 2600, 450), (0.52, 0.50, 0.46))]
# The window: a rectangle in the left wall, x = -3000.
LAMPS = [numpy.array([-3000.0, y, z]) for y in (600, 1300) for z in (900, 1800, 2700)]


def rays():
    ahead = LOOKED_AT - EYE
    ahead /= numpy.linalg.norm(ahead)
    right = numpy.cross([0, -1.0, 0], ahead)
    right /= numpy.linalg.norm(right)
    down = numpy.cross(right, ahead)
    xs = (numpy.arange(WIDTH * SAMPLES) + 0.5) / SAMPLES - WIDTH / 2
    ys = (numpy.arange(HEIGHT * SAMPLES) + 0.5) / SAMPLES - HEIGHT / 2
    x, y = numpy.meshgrid(xs / (FOCAL * WIDTH), ys / (FOCAL * WIDTH))
    way = ahead + x[..., None] * right + y[..., None] * down
    return way / numpy.linalg.norm(way, axis=-1, keepdims=True), (ahead, right, down)


def pixel_of(place, axes):
    """Where a place in the room is seen in the picture."""
    ahead, right, down = axes
    to = numpy.asarray(place, float) - EYE
    scale = FOCAL * WIDTH / (to @ ahead)
    return (to @ right) * scale + WIDTH / 2, (to @ down) * scale + HEIGHT / 2


def first_hits(way):
    """Distance, colour and normal of what each ray meets first."""
    far = numpy.full(way.shape[:2], numpy.inf)
    colour = numpy.zeros(way.shape)
    normal = numpy.zeros(way.shape)

    def meet(distance, valid, tint, facing):
        nearer = valid & (distance > 1) & (distance < far)
        far[nearer] = distance[nearer]
        colour[nearer] = tint[nearer] if tint.ndim == 3 else tint
        normal[nearer] = facing

    with numpy.errstate(divide="ignore", invalid="ignore"):
        back = -EYE[2] / way[..., 2]
        at = EYE + back[..., None] * way
        plaster = numpy.where((at[..., 1] > WALL[1] - 110)[..., None], [0.62, 0.61, 0.58], [0.80, 0.79, 0.76])
        meet(back, way[..., 2] < 0, plaster, (0, 0, 1))
        floor = (WALL[1] - EYE[1]) / way[..., 1]
        at = EYE + floor[..., None] * way
        board = numpy.floor(at[..., 2] / 160)
        grain = 0.5 + 0.5 * numpy.sin(board * 2.7) * numpy.sin(board * 0.9 + 1)
        seam = numpy.abs(at[..., 2] / 160 - board - 0.5) > 0.48
        wood = (0.30 + 0.09 * grain[..., None]) * numpy.array([1.0, 0.78, 0.55])
        meet(floor, way[..., 1] > 0, numpy.where(seam[..., None], 0.6 * wood, wood), (0, -1, 0))
        for low, high, tint in BOXES:
            for axis in range(3):
                for side, sign in ((low, -1.0), (high, 1.0)):
                    distance = (side[axis] - EYE[axis]) / way[..., axis]
                    at = EYE + distance[..., None] * way
                    others = [i for i in range(3) if i != axis]
                    valid = numpy.logical_and.reduce([(at[..., i] >= low[i]) & (at[..., i] <= high[i]) for i in others])
                    facing = numpy.zeros(3)
                    facing[axis] = sign
                    meet(distance, valid & (way[..., axis] * sign < 0), numpy.array(tint), facing)
    return far, colour, normal


def shaded(at, lamp):
    """Share of the lamp's light that a box keeps from a place."""
    dark = numpy.zeros(at.shape[:2], bool)
    to = lamp - at
    with numpy.errstate(divide="ignore", invalid="ignore"):
        for low, high, _ in BOXES:
            one, other = (numpy.array(low) - at) / to, (numpy.array(high) - at) / to
            enters = numpy.minimum(one, other).max(-1)
            leaves = numpy.maximum(one, other).min(-1)
            dark |= (enters < leaves) & (leaves > 0.002) & (enters < 1) & (enters > -0.002)
    return dark


def drawn():
    way, axes = rays()
    far, colour, normal = first_hits(way)
    at = EYE + far[..., None] * way + 0.5 * normal
    light = numpy.full(way.shape, 0.20) * numpy.array([1.0, 1.0, 1.03])
    for lamp in LAMPS:
        to = lamp - at
        distance = numpy.linalg.norm(to, axis=-1)
        facing = numpy.clip((to * normal).sum(-1) / distance, 0, 1)
        leaving = numpy.clip(-to[..., 0] / distance, 0, 1)
        got = 6.8e6 * facing * leaving / distance ** 2 * ~shaded(at, lamp)
        light += got[..., None] * numpy.array([1.0, 0.985, 0.94])
    seen = colour * light
    seen = seen.reshape(HEIGHT, SAMPLES, WIDTH, SAMPLES, 3).mean((1, 3))
    code = numpy.where(seen <= 0.0031308, 12.92 * seen, 1.055 * numpy.clip(seen, 1e-9, None) ** (1 / 2.4) - 0.055)
    return (numpy.clip(code, 0, 1) * 255 + 0.5).astype(numpy.uint8), axes


def main():
    out = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else pathlib.Path(__file__).parent / "picture.png"
    picture, axes = drawn()
    Image.fromarray(picture).save(out, optimize=True)
    # A rectangle on the wall of known size, for --wall and --wall-mm.
    corners = [pixel_of((x, y, 0), axes) for x, y in ((1000, 900), (2600, 900), (2600, 2000), (1000, 2000))]
    print("1600 x 1100 mm on the wall:", ",".join(f"{x:.0f},{y:.0f}" for x, y in corners))


if __name__ == "__main__":
    main()
