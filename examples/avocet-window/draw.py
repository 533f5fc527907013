#!/usr/bin/python3
"""Draws picture.png: an avocet in a tidal creek at dusk.

    /usr/bin/python3 draw.py [OUT.png]

Needs Debian's python3-cairo. No outside picture is used, and the seed is fixed, so the
same picture comes out every time. Shapes are kept wide enough for powder: 4 pixels are one millimetre
on the 400 mm panel, so nothing that matters is thinner than 8 pixels, save strokes meant for a fine line.
"""
import math
import pathlib
import random
import sys

import cairo

WIDTH, HEIGHT = 1600, 1200
HORIZON = 430
SUN = (452, 392)
BIRD = (925, 452)  # the middle of its body
BIRD_SCALE = 0.93
WATERLINE = 806  # where the legs enter the water

# The sky from the zenith down to the horizon; the water takes the same colours, mirrored and darker.
SKY = [
    (0.00, (40, 58, 112)),
    (0.22, (74, 92, 150)),
    (0.42, (128, 122, 172)),
    (0.58, (182, 142, 172)),
    (0.73, (226, 160, 142)),
    (0.87, (246, 190, 122)),
    (1.00, (253, 220, 142)),
]


def rgb(colour, alpha=1.0):
    return colour[0] / 255, colour[1] / 255, colour[2] / 255, alpha


def mix(a, b, t):
    return tuple(x + (y - x) * t for x, y in zip(a, b))


def sky_colour(t):
    """The sky at t = 0 (zenith) to 1 (horizon)."""
    t = min(max(t, 0.0), 1.0)
    for (t0, c0), (t1, c1) in zip(SKY, SKY[1:]):
        if t <= t1:
            return mix(c0, c1, (t - t0) / (t1 - t0))
    return SKY[-1][1]


def smooth(ctx, points, closed=True):
    """A smooth path through the points (Catmull-Rom as Bezier curves)."""
    n = len(points)

    def at(i):
        return points[i % n] if closed else points[min(max(i, 0), n - 1)]

    ctx.move_to(*points[0])
    for i in range(n if closed else n - 1):
        p0, p1, p2, p3 = at(i - 1), at(i), at(i + 1), at(i + 2)
        ctx.curve_to(p1[0] + (p2[0] - p0[0]) / 6, p1[1] + (p2[1] - p0[1]) / 6,
                     p2[0] - (p3[0] - p1[0]) / 6, p2[1] - (p3[1] - p1[1]) / 6, p2[0], p2[1])
    if closed:
        ctx.close_path()


def fill(ctx, colour, alpha=1.0):
    ctx.set_source_rgba(*rgb(colour, alpha))
    ctx.fill()


def vertical(ctx, y0, y1, stops):
    gradient = cairo.LinearGradient(0, y0, 0, y1)
    for t, colour, *alpha in stops:
        gradient.add_color_stop_rgba(t, *rgb(colour, *alpha))
    ctx.set_source(gradient)


def lens(ctx, x, y, length, height, tilt=0.0):
    """A stroke pointed at both ends, as ripples and cloud edges are."""
    ctx.save()
    ctx.translate(x, y)
    ctx.rotate(tilt)
    ctx.move_to(-length / 2, 0)
    ctx.curve_to(-length / 5, -height / 1.5, length / 5, -height / 1.5, length / 2, 0)
    ctx.curve_to(length / 5, height / 1.5, -length / 5, height / 1.5, -length / 2, 0)
    ctx.close_path()
    ctx.restore()


def glow(ctx, x, y, radius, colour, alpha):
    gradient = cairo.RadialGradient(x, y, 0, x, y, radius)
    for t in (0.0, 0.15, 0.3, 0.5, 0.75, 1.0):
        gradient.add_color_stop_rgba(t, *rgb(colour, alpha * (1 - t) ** 2.2))
    ctx.set_source(gradient)
    ctx.paint()


# ---------------------------------------------------------------------------------------------- sky

def draw_sky(ctx, random):
    vertical(ctx, 0, HORIZON, [(t, colour) for t, colour in SKY])
    ctx.rectangle(0, 0, WIDTH, HORIZON)
    ctx.fill()
    glow(ctx, *SUN, 780, (255, 190, 140), 0.42)
    glow(ctx, *SUN, 300, (255, 238, 190), 0.85)

    # Long banks of cloud, lit from below: body first, then the glowing lower edge.
    banks = [(250, 92, 760, 44), (930, 60, 620, 34), (1400, 136, 700, 50), (640, 168, 560, 30),
             (120, 236, 520, 30), (1180, 226, 760, 32), (760, 286, 420, 20), (1500, 306, 460, 22),
             (180, 318, 360, 16)]
    for x, y, length, height in banks:
        t = y / HORIZON
        body = mix(sky_colour(t), (92, 74, 128), 0.52)
        lit = mix((255, 176, 132), (255, 214, 150), t)
        for k in range(7):
            dx, dy = random.uniform(-0.24, 0.24) * length, random.uniform(-0.35, 0.25) * height
            part = random.uniform(0.45, 0.8) * length
            lens(ctx, x + dx, y + dy, part, height * random.uniform(0.7, 1.15), random.uniform(-0.025, 0.02))
            fill(ctx, body, 0.30)
        for k in range(5):
            dx, dy = random.uniform(-0.28, 0.28) * length, height * random.uniform(0.18, 0.5)
            part = random.uniform(0.3, 0.55) * length
            lens(ctx, x + dx, y + dy, part, height * random.uniform(0.26, 0.42), random.uniform(-0.02, 0.015))
            fill(ctx, lit, 0.34)

    ctx.arc(*SUN, 40, 0, 2 * math.pi)
    fill(ctx, (255, 240, 196))
    # A bar of haze across the sun.
    lens(ctx, SUN[0] + 30, SUN[1] + 17, 460, 13)
    fill(ctx, (246, 176, 118), 0.85)


# --------------------------------------------------------------------------------------- far shores

def ridge(ctx, random, base, height, step, colours, seed_shape):
    """A low skyline of trees and sea wall, from the left edge to the right."""
    points = [(-40, HORIZON + 30)]
    x = -40
    while x < WIDTH + 40:
        y = base - height * (0.45 + 0.55 * seed_shape(x)) * random.uniform(0.75, 1.1)
        points.append((x, y))
        x += step * random.uniform(0.7, 1.3)
    points += [(WIDTH + 40, base - 6), (WIDTH + 40, HORIZON + 30)]
    smooth(ctx, points)
    top, bottom = colours
    vertical(ctx, base - height, base + 6, [(0, top), (1, bottom)])
    ctx.fill()


def draw_shores(ctx, random):
    ridge(ctx, random, HORIZON, 50, 60, ((168, 128, 158), (222, 160, 142)),
          lambda x: max(0.0, math.sin(x / 260 + 2.2)))
    ridge(ctx, random, HORIZON + 4, 44, 34, ((112, 88, 132), (168, 118, 132)),
          lambda x: max(0.0, math.sin(x / 330 + 4.4)) ** 1.5)
    ridge(ctx, random, HORIZON + 8, 22, 46, ((78, 66, 108), (104, 78, 108)),
          lambda x: 0.5 + 0.5 * math.sin(x / 120))


# -------------------------------------------------------------------------------------------- water

def draw_water(ctx, random):
    vertical(ctx, HORIZON, HEIGHT, [
        (0.00, (250, 206, 138)), (0.10, (240, 178, 132)), (0.24, (204, 144, 150)),
        (0.44, (140, 118, 160)), (0.68, (78, 88, 142)), (1.00, (36, 50, 98))])
    ctx.rectangle(0, HORIZON, WIDTH, HEIGHT - HORIZON)
    ctx.fill()

    # Ripples: the nearer, the longer and the bolder. Each shows a piece of sky from higher or lower.
    for k in range(330):
        depth = random.random() ** 0.85
        y = HORIZON + 14 + depth * (HEIGHT - HORIZON)
        x = random.uniform(-60, WIDTH + 60)
        length = (50 + 300 * depth) * random.uniform(0.6, 1.4)
        height = 4 + 17 * depth * random.uniform(0.5, 1.0)
        up = 1.0 - depth * 0.92 + random.uniform(-0.30, 0.22)
        colour = mix(sky_colour(up), mix((128, 66, 112), (30, 42, 86), depth), 0.16 + 0.14 * depth)
        lens(ctx, x, y, length, height, random.uniform(-0.015, 0.015))
        fill(ctx, colour, 0.50)

    # The path of the sun: whole where it is far, then wider and broken by the ripples.
    for k in range(74):
        depth = (k / 74) ** 1.35
        y = HORIZON + 14 + depth * 690 + random.uniform(-4, 4)
        spread = 12 + 135 * depth
        x = SUN[0] + random.gauss(0, 0.62) * spread + 22 * math.sin(depth * 9)
        length = (60 + 120 * depth) * random.uniform(0.45, 1.25)
        colour = mix((255, 238, 186), (248, 160, 104), min(1.0, depth * 1.25 + random.uniform(-0.12, 0.12)))
        lens(ctx, x, y, length, (6 + 13 * depth) * random.uniform(0.8, 1.2), random.uniform(-0.02, 0.02))
        fill(ctx, colour, 0.92 - 0.42 * depth)


def bank(ctx, top, bottom, colours, rim):
    """A mud bank: its wet upper edge catches the light."""
    smooth(ctx, top + bottom[::-1])
    ys = [p[1] for p in top + bottom]
    vertical(ctx, min(ys), max(ys), colours)
    ctx.fill()
    ctx.set_line_cap(cairo.LINE_CAP_ROUND)
    smooth(ctx, top[1:-1], closed=False)
    ctx.set_source_rgba(*rgb(rim, 0.85))
    ctx.set_line_width(6)
    ctx.stroke()


def draw_banks(ctx, random):
    # Far bank from the right, its reflection, then the middle bank from the left.
    bank(ctx, [(1660, 468), (1420, 462), (1180, 470), (930, 480), (742, 492)],
         [(1660, 520), (1440, 512), (1200, 504), (960, 500), (742, 495)],
         [(0, (112, 84, 104)), (1, (82, 64, 96))], (240, 180, 140))
    for k in range(24):
        x = random.uniform(820, 1640)
        lens(ctx, x, 512 + random.uniform(0, 26), random.uniform(80, 210), 8)
        fill(ctx, (92, 74, 112), 0.45)
    bank(ctx, [(-60, 520), (80, 512), (200, 524), (300, 544), (372, 574)],
         [(-60, 640), (90, 628), (210, 606), (310, 590), (372, 578)],
         [(0, (118, 82, 84)), (0.4, (86, 62, 78)), (1, (56, 48, 76))], (252, 190, 130))
    for k in range(18):
        lens(ctx, random.uniform(-20, 300), 636 + random.uniform(-14, 30), random.uniform(80, 200), 10)
        fill(ctx, (66, 58, 96), 0.42)
    # Low glasswort on the middle bank, as soft cushions and small sprigs.
    for k in range(40):
        x = random.uniform(-10, 316)
        y = 530 + 0.00034 * x * x + random.uniform(0, 30)
        lens(ctx, x, y, random.uniform(40, 80), random.uniform(10, 16), random.uniform(-0.05, 0.15))
        fill(ctx, random.choice([(104, 92, 62), (128, 84, 62), (120, 66, 66), (86, 78, 66)]), 0.8)
    tints = [((96, 100, 58), (190, 168, 84)), ((120, 70, 64), (214, 120, 84)), ((104, 56, 66), (190, 88, 84))]
    for k in range(20):
        x = 6 + 15.5 * k + random.uniform(-8, 8)
        sprig(ctx, random, x, 538 + 0.00036 * x * x + random.uniform(0, 20), random.uniform(30, 50), tints, 0.13)


# --------------------------------------------------------------------------------------------- bird

OUTLINE = [(-262, -240), (-247, -268), (-214, -285), (-177, -268), (-157, -228), (-147, -184), (-130, -138),
           (-92, -101), (-20, -92), (80, -74), (170, -44), (246, -6), (292, 26), (236, 40), (172, 58),
           (100, 88), (10, 106), (-78, 98), (-150, 66), (-194, 14), (-208, -50), (-206, -110), (-212, -160),
           (-226, -196), (-246, -214), (-262, -222)]


def leg(ctx, hip, ankle, foot):
    dark, light = (74, 92, 124), (150, 170, 196)
    for colour, width, shift in ((dark, 13, 0), (light, 5, -2.5)):
        ctx.set_line_cap(cairo.LINE_CAP_ROUND)
        ctx.set_source_rgba(*rgb(colour))
        ctx.set_line_width(width)
        ctx.move_to(hip[0] + shift, hip[1])
        ctx.line_to(ankle[0] + shift, ankle[1])
        ctx.line_to(foot[0] + shift, foot[1])
        ctx.stroke()
    ctx.save()
    ctx.translate(*ankle)
    ctx.scale(9, 13)
    ctx.arc(0, 0, 1, 0, 2 * math.pi)
    ctx.restore()
    fill(ctx, dark)


def draw_bird(ctx):
    """An avocet that faces the sun, in its own coordinates around the middle of the body."""
    black, sheen = (26, 24, 34), (74, 70, 96)

    leg(ctx, (66, 84), (96, 214), (84, 392))
    leg(ctx, (-4, 96), (22, 222), (2, 392))
    # Feathered thighs.
    for hip in ((66, 82), (-4, 96)):
        smooth(ctx, [(hip[0] - 26, hip[1] - 22), (hip[0] + 26, hip[1] - 22), (hip[0] + 15, hip[1] + 24),
                     (hip[0] + 6, hip[1] + 36), (hip[0] - 8, hip[1] + 20)])
        fill(ctx, (170, 162, 194))

    # The bill: slender, level at first, swept up at its end.
    ctx.move_to(-250, -246)
    ctx.curve_to(-330, -228, -424, -222, -486, -276)
    ctx.curve_to(-436, -208, -340, -212, -250, -224)
    ctx.close_path()
    fill(ctx, black)

    # Body, lit from the left and low; the far side takes the violet of the sky.
    smooth(ctx, OUTLINE)
    gradient = cairo.LinearGradient(-220, -40, 250, 90)
    for t, colour in ((0, (255, 238, 206)), (0.22, (252, 242, 226)), (0.55, (236, 228, 232)),
                      (1, (186, 178, 208))):
        gradient.add_color_stop_rgb(t, *rgb(colour)[:3])
    ctx.set_source(gradient)
    ctx.fill_preserve()
    ctx.save()
    ctx.clip()
    # Shade below: the belly turns away from the light.
    for k, (lift, alpha) in enumerate(((0, 0.30), (18, 0.26), (36, 0.26))):
        smooth(ctx, [(-170, 74 + lift), (-90, 64 + lift), (20, 58 + lift), (120, 34 + lift), (230, 6 + lift),
                     (310, 20 + lift), (310, 160), (-170, 160)])
        fill(ctx, (134, 126, 172), alpha)
    # Neck: the light side and the turning shade.
    for inset, alpha in ((0, 0.22), (14, 0.24)):
        smooth(ctx, [(-150 + inset, -176), (-132 + inset, -120), (-70 + inset, -84), (-110 + inset, -44),
                     (-156 + inset, -66), (-178 + inset, -130)])
        fill(ctx, (188, 178, 208), alpha)
    smooth(ctx, [(-214, -156), (-204, -60), (-190, 6), (-154, 52), (-178, -8), (-190, -84), (-196, -150)])
    fill(ctx, (255, 214, 150), 0.75)

    # Cap and hind neck.
    smooth(ctx, [(-268, -236), (-250, -292), (-210, -302), (-160, -276), (-134, -214), (-112, -142),
                 (-136, -150), (-160, -186), (-176, -214), (-200, -230), (-232, -226)])
    fill(ctx, black)
    smooth(ctx, [(-248, -262), (-222, -278), (-192, -272), (-212, -266), (-236, -256)])
    fill(ctx, sheen)
    ctx.restore()

    # Wing: a white oval held between two black bars, and the black flight feathers.
    smooth(ctx, [(-118, -62), (-60, -84), (60, -66), (170, -30), (262, 18), (170, 34), (60, 46), (-50, 34),
                 (-112, -8)])
    gradient = cairo.LinearGradient(-120, -60, 220, 50)
    for t, colour in ((0, (255, 246, 228)), (0.5, (242, 234, 234)), (1, (206, 198, 220))):
        gradient.add_color_stop_rgb(t, *rgb(colour)[:3])
    ctx.set_source(gradient)
    ctx.fill()
    ctx.set_line_width(5)
    ctx.set_source_rgba(*rgb((160, 150, 188), 0.8))
    smooth(ctx, [(-114, -20), (-60, 26), (40, 46), (130, 40)], closed=False)
    ctx.stroke()
    smooth(ctx, [(-96, -86), (-30, -88), (60, -70), (128, -40), (150, -22), (88, -34), (20, -52), (-50, -62)])
    fill(ctx, black)
    smooth(ctx, [(-96, -28), (-62, -32), (-20, -12), (40, 8), (116, 12), (146, 8), (110, 32), (40, 34),
                 (-30, 20), (-76, 2)])
    fill(ctx, black)
    smooth(ctx, [(138, 6), (190, 0), (258, 14), (330, 44), (270, 46), (196, 40), (150, 28)])
    fill(ctx, black)
    for y in (0, 11):
        ctx.set_line_width(4)
        ctx.set_source_rgba(*rgb(sheen))
        smooth(ctx, [(168, 10 + y), (220, 14 + y), (280, 30 + y * 0.8)], closed=False)
        ctx.stroke()
    # Feather edges in the white of the wing and on the flank.
    for x, y in ((-40, -36), (14, -26), (66, -14)):
        ctx.set_line_width(5)
        ctx.set_source_rgba(*rgb((186, 176, 208), 0.9))
        smooth(ctx, [(x - 22, y - 8), (x + 6, y + 2), (x + 34, y + 4)], closed=False)
        ctx.stroke()

    # Eye.
    ctx.arc(-226, -250, 9, 0, 2 * math.pi)
    fill(ctx, (104, 56, 38))
    ctx.arc(-226, -250, 6, 0, 2 * math.pi)
    fill(ctx, (14, 10, 12))
    ctx.arc(-229, -253, 3, 0, 2 * math.pi)
    fill(ctx, (255, 240, 210))


def bird_surface():
    surface = cairo.ImageSurface(cairo.FORMAT_ARGB32, WIDTH, HEIGHT)
    ctx = cairo.Context(surface)
    ctx.set_antialias(cairo.ANTIALIAS_BEST)
    ctx.translate(*BIRD)
    ctx.scale(BIRD_SCALE, BIRD_SCALE)
    draw_bird(ctx)
    return surface


def place_bird(ctx, random):
    bird = bird_surface()
    # The reflection, in slices that slide to and fro more the nearer they are.
    y, step = WATERLINE, 2
    while y < HEIGHT:
        away = y - WATERLINE
        shift = (4 + 0.05 * away) * math.sin(20 * math.log1p(away / 60))
        ctx.save()
        ctx.rectangle(0, y, WIDTH, step)
        ctx.clip()
        ctx.translate(shift, 2 * WATERLINE)
        ctx.scale(1, -1)
        ctx.set_source_surface(bird, 0, 0)
        ctx.paint_with_alpha(0.80 - 0.0006 * away)
        ctx.restore()
        y += step
    # Ripples over the reflection tie it into the water.
    for k in range(30):
        y = WATERLINE + 40 + random.random() * 340
        x = BIRD[0] + random.uniform(-240, 300)
        lens(ctx, x, y, random.uniform(90, 240), random.uniform(6, 12))
        fill(ctx, mix((112, 108, 156), (64, 78, 132), (y - WATERLINE) / 380), 0.55)
    ctx.save()
    ctx.rectangle(0, 0, WIDTH, WATERLINE)
    ctx.clip()
    ctx.set_source_surface(bird, 0, 0)
    ctx.paint()
    ctx.restore()
    # Rings where the legs stand.
    for x in (BIRD[0] + 3 * BIRD_SCALE, BIRD[0] + 85 * BIRD_SCALE):
        for radius, alpha in ((24, 0.95), (52, 0.7), (86, 0.45)):
            ctx.save()
            ctx.translate(x, WATERLINE)
            ctx.scale(1, 0.2)
            ctx.arc(0, 0, radius, 0.05 * math.pi, 1.2 * math.pi)
            ctx.restore()
            ctx.set_source_rgba(*rgb((238, 190, 178), alpha))
            ctx.set_line_width(5)
            ctx.stroke()


# ------------------------------------------------------------------------------------ reeds and herbs

def blade(ctx, x, y, dx, dy, sag, width, colour):
    """A reed leaf: from the stem up and over, pointed at its end."""
    tip = (x + dx, y + dy)
    mid = (x + dx * 0.5, y + dy * 0.8 - sag)
    ctx.move_to(x, y)
    ctx.curve_to(x + dx * 0.08, y + dy * 0.4 - sag * 0.8, mid[0], mid[1] - width * 0.4, *tip)
    ctx.curve_to(mid[0], mid[1] + width * 0.9, x + dx * 0.14, y + dy * 0.4 - sag * 0.8 + width, x, y + width)
    ctx.close_path()
    fill(ctx, colour)


def plume(ctx, random, x, y, lean, size, colours):
    """The flower head of a reed: it goes on from the stem and hangs over to one side."""
    def axis(t):
        return x + lean * size * (0.08 * t + 0.50 * t * t), y - size * (1.05 * t - 0.36 * t * t)

    for k in range(20):
        t = 1 - k / 19  # from the tip down, so that the lower strands lie over the upper ones
        px, py = axis(t)
        length = size * (0.24 + 0.34 * math.sin(math.pi * (0.10 + 0.78 * t)))
        side = 1 if k % 3 else -0.55  # most strands hang to the lee
        droop = lean * side * random.uniform(0.55, 0.95) * (1 - 0.5 * t)
        lens(ctx, px + lean * side * length * 0.30, py - size * 0.03, length, 12, droop)
        fill(ctx, mix(colours[0], colours[1], min(1.0, max(0.0, 0.75 - 0.5 * side + random.uniform(-0.4, 0.25)))))
    for k in range(5):  # light on the side of the sun
        px, py = axis(0.15 + 0.17 * k)
        lens(ctx, px + lean * size * 0.10, py, size * 0.26, 9, lean * 0.6)
        fill(ctx, colours[2], 0.9)


def reed(ctx, random, x, base, height, lean, width, stem, leaf, gold, leaves, plume_colours=None):
    sway = lean * height * 0.22
    top = (x + sway, base - height)
    c1 = (x + sway * 0.1, base - height * 0.4)
    c2 = (x + sway * 0.5, base - height * 0.75)

    def on_stem(t, shift=0.0):
        u = 1 - t
        px, py = (u ** 3 * a + 3 * u * u * t * b + 3 * u * t * t * c + t ** 3 * d
                  for a, b, c, d in zip((x, base), c1, c2, top))
        return px + shift, py

    steps = [k / 12 for k in range(13)]
    for colour, left, right in ((stem, -0.5, 0.5), (gold, -0.5, -0.12)):
        edge = [on_stem(t, left * width * (1 - 0.6 * t)) for t in steps]
        edge += [on_stem(t, right * width * (1 - 0.6 * t)) for t in reversed(steps)]
        ctx.move_to(*edge[0])
        for point in edge[1:]:
            ctx.line_to(*point)
        ctx.close_path()
        fill(ctx, colour)
    side = 1 if random.random() < 0.5 else -1
    for k in range(leaves):
        px, py = on_stem(0.22 + 0.66 * k / max(1, leaves - 1) + random.uniform(-0.05, 0.05))
        reach = height * random.uniform(0.14, 0.30)
        colour = gold if side < 0 and random.random() < 0.35 else mix(leaf, stem, random.uniform(0, 0.5))
        blade(ctx, px, py, side * reach, -reach * random.uniform(0.0, 0.9), reach * random.uniform(0.25, 0.6),
              random.uniform(10, 16), colour)
        side = -side
    turn = -1 if lean < 0 else 1
    if plume_colours:
        plume(ctx, random, top[0], top[1] + 14, turn, max(100, height * 0.15), plume_colours)
    else:
        for side in (-1, 1):
            blade(ctx, top[0], top[1] + 10, side * height * 0.07, -height * 0.13, 12, 10, mix(leaf, gold, 0.3))


def draw_reeds(ctx, random):
    # Behind, hazy; in front, dark with golden edges. The stand leans into the picture.
    for k in range(13):
        x = 1310 + k * 27 + random.uniform(-10, 10)
        reed(ctx, random, x, 1230, random.uniform(660, 840) + 9 * k, random.uniform(-0.55, -0.1), 11,
             (146, 108, 104), (166, 128, 106), (216, 164, 112), 4,
             ((136, 96, 106), (176, 124, 112), (222, 166, 122)) if k % 3 == 1 else None)
    for k in range(10):
        x = 1362 + k * 28 + random.uniform(-10, 10)
        reed(ctx, random, x, 1230, random.uniform(760, 880) + 12 * k, random.uniform(-0.46, -0.08), 17,
             (58, 56, 46), (88, 94, 54), (206, 152, 74), 5,
             ((84, 52, 58), (146, 90, 68), (224, 158, 92)) if k % 2 == 0 else None)
    for k in range(30):
        x = random.uniform(1240, 1610)
        blade(ctx, x, 1216, random.uniform(-130, 100), -random.uniform(140, 330), random.uniform(10, 60),
              random.uniform(15, 24), random.choice([(50, 54, 40), (74, 82, 46), (112, 112, 54), (44, 42, 46),
                                                     (146, 124, 62)]))


def sprig(ctx, random, x, y, size, colours, stout=0.09):
    """Samphire: a stem of plump joints with pairs of side shoots."""
    ctx.set_line_cap(cairo.LINE_CAP_ROUND)

    def shoot(x0, y0, angle, length, width, colour, tip):
        joints = max(2, int(length / (width * 1.55)))
        px, py = x0, y0
        for j in range(joints):
            step = length / joints
            qx, qy = px + math.cos(angle) * step, py + math.sin(angle) * step
            ctx.move_to(px, py)
            ctx.line_to(px + (qx - px) * 0.78, py + (qy - py) * 0.78)
            ctx.set_source_rgba(*rgb(mix(colour, tip, (j / joints) ** 1.4)))
            ctx.set_line_width(width * (1 - 0.25 * j / joints))
            ctx.stroke()
            px, py = qx, qy
            angle += (-math.pi / 2 - angle) * 0.16

    for k in range(5):
        t = 0.03 + 0.17 * k
        for side in (-1, 1):
            shoot(x, y - size * t, -math.pi / 2 + side * random.uniform(0.65, 0.95),
                  size * (0.70 - 0.105 * k) * random.uniform(0.8, 1.1), size * stout, *random.choice(colours))
    shoot(x, y, -math.pi / 2 + random.uniform(-0.06, 0.06), size, size * stout * 1.15, *random.choice(colours))


def draw_near_bank(ctx, random):
    bank(ctx, [(-80, 900), (60, 902), (190, 936), (320, 1000), (430, 1070), (520, 1150), (560, 1230)],
         [(-80, 1290), (60, 1290), (200, 1290), (330, 1290), (450, 1290), (520, 1290), (560, 1290)],
         [(0, (104, 74, 70)), (0.25, (72, 52, 58)), (1, (38, 32, 46))], (248, 178, 116))
    for k in range(22):  # wet gleams on the mud
        x = random.uniform(0, 430)
        y = 950 + 0.4 * x + random.uniform(10, 160)
        lens(ctx, x, y, random.uniform(50, 120), random.uniform(8, 13), 0.22)
        fill(ctx, random.choice([(136, 96, 92), (166, 116, 100), (84, 70, 96)]), 0.6)
    greens = [((64, 92, 50), (142, 158, 62)), ((86, 104, 48), (184, 176, 78)), ((74, 70, 48), (176, 84, 60)),
              ((112, 50, 56), (206, 92, 70)), ((92, 44, 58), (186, 66, 72))]
    plants = [(30, 985, 150), (118, 1000, 128), (206, 1035, 150), (292, 1082, 122), (60, 1080, 190),
              (170, 1120, 176), (372, 1128, 120), (268, 1180, 190), (-4, 1190, 230), (120, 1216, 232),
              (424, 1200, 140), (356, 1226, 168)]
    for x, y, size in plants:
        sprig(ctx, random, x, y, size, greens)


def draw():
    """The picture as a cairo surface in RGB24."""
    surface = cairo.ImageSurface(cairo.FORMAT_RGB24, WIDTH, HEIGHT)
    ctx = cairo.Context(surface)
    ctx.set_antialias(cairo.ANTIALIAS_BEST)
    chance = random.Random(1892)
    for part in (draw_sky, draw_water, draw_shores, draw_banks, place_bird, draw_near_bank,
                 draw_reeds):
        part(ctx, chance)
    return surface


def main():
    here = pathlib.Path(__file__).resolve().parent
    out = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else here / "picture.png"
    draw().write_to_png(str(out))


if __name__ == "__main__":
    main()
