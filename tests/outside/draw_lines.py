#!/usr/bin/env python3
"""Draws lines with cairo and prints what it drew, one piece of a line each: width x0 y0 x1 y1, in mm.

    draw_lines.py PICTURE.png PIXELS_PER_MM
"""
import sys

import cairo

WIDTH, HEIGHT = 120, 90


def shapes(context):
    """Yields (width in mm, what puts the path into the context)."""
    def heron(c):
        c.move_to(20, 70)
        c.curve_to(25, 40, 50, 60, 48, 30)
        c.curve_to(47, 15, 62, 12, 66, 20)
        c.line_to(84, 25)
    yield 1.2, heron
    for i in range(6):
        def reed(c, x=70 + 7 * i, lean=4 * i - 8):
            c.move_to(x, 82)
            c.curve_to(x, 60, x + lean, 55, x + 1.5 * lean, 38)
        yield 0.6 + 0.15 * i, reed
    yield 0.8, lambda c: c.arc(30, 22, 12, 0.4, 5.6)
    yield 1.6, lambda c: (c.move_to(8, 82), c.line_to(112, 80))
    yield 1.0, lambda c: (c.move_to(10, 50), c.line_to(60, 84))


def main():
    per_mm = float(sys.argv[2])
    surface = cairo.ImageSurface(cairo.FORMAT_RGB24, round(WIDTH * per_mm), round(HEIGHT * per_mm))
    context = cairo.Context(surface)
    context.set_source_rgb(1, 1, 1)
    context.paint()
    context.scale(per_mm, per_mm)
    context.set_source_rgb(0.05, 0.05, 0.08)
    context.set_tolerance(0.02)
    context.set_line_cap(cairo.LINE_CAP_BUTT)
    for width, put in shapes(context):
        context.new_path()
        put(context)
        at = None
        for kind, points in context.copy_path_flat():
            if kind == cairo.PATH_MOVE_TO:
                at = points
            elif kind == cairo.PATH_LINE_TO:
                print(width, *at, *points)
                at = points
        context.set_line_width(width)
        context.stroke()
    surface.write_to_png(sys.argv[1])


if __name__ == "__main__":
    main()
