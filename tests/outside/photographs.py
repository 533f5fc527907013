"""Photos of flat things on a table, made up: perspective, uneven light, the light's colour, noise, JPEG.

A scene is linear sRGB on a grid of its own (rows downwards), drawn in millimetres; it shares no code with the
program that reads the photos.
"""
import io

import numpy as np
from PIL import Image, ImageDraw

# The rings of a mark, radii in mm, black and white in turn from outside (the printed pages show them).
MARK_RADII = (7.0, 5.2, 3.4, 1.4)


def encode(linear):
    linear = np.clip(linear, 0, 1)
    return np.where(linear <= 0.0031308, 12.92 * linear, 1.055 * np.maximum(linear, 1e-9) ** (1 / 2.4) - 0.055)


def decode(code):
    return np.where(code <= 0.04045, code / 12.92, ((code + 0.055) / 1.055) ** 2.4)


class Scene:
    """White paper, `width` x `height` mm, its top left corner at (left, top)."""

    def __init__(self, left, top, width, height, px_per_mm=8, paper=0.85):
        self.left, self.top, self.scale = left, top, px_per_mm
        self.pixels = np.full((round(height * px_per_mm), round(width * px_per_mm), 3), paper)

    def box(self, left, top, right, bottom):
        return tuple(slice(round((a - o) * self.scale), round((b - o) * self.scale))
                     for a, b, o in ((top, bottom, self.top), (left, right, self.left)))

    def fill(self, left, top, right, bottom, linear):
        self.pixels[self.box(left, top, right, bottom)] = linear

    def paste(self, left, top, pitch, picture):
        """A picture of the same kind, its points `pitch` mm apart."""
        rows, columns = picture.shape[:2]
        where = self.box(left, top, left + columns * pitch, top + rows * pitch)
        tall, wide = self.pixels[where].shape[:2]
        y = np.minimum((np.arange(tall) + 0.5) / self.scale / pitch, rows - 1).astype(int)
        x = np.minimum((np.arange(wide) + 0.5) / self.scale / pitch, columns - 1).astype(int)
        self.pixels[where] = picture[y][:, x]

    def mark(self, x, y, first, ink=0.04, paper=0.85):
        over = 4
        size = int(20 * self.scale * over)
        drawn = Image.new("L", (size, size), 255)
        draw = ImageDraw.Draw(drawn)
        for i, radius in enumerate(MARK_RADII[:4 if first else 3]):
            r = radius * self.scale * over
            draw.ellipse([size / 2 - r, size / 2 - r, size / 2 + r, size / 2 + r], fill=0 if i % 2 == 0 else 255)
        shade = np.asarray(drawn.resize((size // over, size // over), Image.BOX), float) / 255
        where = self.box(x - 10, y - 10, x + 10, y + 10)
        self.pixels[where] = (ink + (paper - ink) * shade[:, :, None])[:self.pixels[where].shape[0],
                                                                         :self.pixels[where].shape[1]]


def solve_homography(source, target):
    """3 x 3, source points to target points (direct linear transformation)."""
    rows = []
    for (x, y), (u, v) in zip(source, target):
        rows.append([x, y, 1, 0, 0, 0, -u * x, -u * y, -u])
        rows.append([0, 0, 0, x, y, 1, -v * x, -v * y, -v])
    return np.linalg.svd(np.array(rows))[2][-1].reshape(3, 3)


def photograph(scene, width=2000, height=1500, tilt=20.0, axis=30.0, turn=0.0, falloff=0.2, cast=(1.0, 1.0, 1.0),
               exposure=0.9, noise=0.006, seed=1):
    """A camera that looks at the middle of the scene; `tilt` degrees off square about an axis in its plane.

    Returns 8-bit pixels. The light falls by `falloff` from one side to the other and half as much to the corners.
    """
    tall, wide = scene.pixels.shape[:2]
    tilt, axis, turn = np.radians([tilt, axis, turn])
    along = np.array([np.cos(axis), np.sin(axis), 0])
    cross = np.array([[0, 0, along[1]], [0, 0, -along[0]], [-along[1], along[0], 0]])
    rotation = np.eye(3) + np.sin(tilt) * cross + (1 - np.cos(tilt)) * cross @ cross
    spin = np.array([[np.cos(turn), -np.sin(turn), 0], [np.sin(turn), np.cos(turn), 0], [0, 0, 1]])
    corners = np.array([[-wide, -tall, 0], [wide, -tall, 0], [wide, tall, 0], [-wide, tall, 0]]) / 2
    seen = corners @ (spin @ rotation).T
    distance = 2.2 * max(wide, tall)
    flat = seen[:, :2] / (1 + seen[:, 2:] / distance)
    scale = 0.94 * min(width / np.ptp(flat[:, 0]), height / np.ptp(flat[:, 1]))
    middle = (flat.max(axis=0) + flat.min(axis=0)) / 2
    flat = (flat - middle) * scale + [width / 2, height / 2]
    back = solve_homography(flat, corners[:, :2] + [wide / 2, tall / 2])

    # Averages over as many scene pixels as a photo pixel covers: the scene is shrunk first.
    shrink = max(1, int(np.floor(1 / scale)))
    pixels = scene.pixels[:tall // shrink * shrink, :wide // shrink * shrink]
    pixels = pixels.reshape(tall // shrink, shrink, wide // shrink, shrink, 3).mean(axis=(1, 3))
    photo = np.zeros((height, width, 3))
    over = 2
    for oy in range(over):
        for ox in range(over):
            v, u = np.mgrid[0:height, 0:width]
            points = np.stack([u + (ox + 0.5) / over, v + (oy + 0.5) / over, np.ones_like(u)], axis=-1) @ back.T
            x, y = points[..., 0] / points[..., 2] / shrink, points[..., 1] / points[..., 2] / shrink
            inside = (x >= 0) & (y >= 0) & (x < pixels.shape[1]) & (y < pixels.shape[0])
            sample = pixels[np.clip(y, 0, pixels.shape[0] - 1).astype(int), np.clip(x, 0, pixels.shape[1] - 1).astype(int)]
            photo += np.where(inside[..., None], sample, [0.09, 0.07, 0.05]) / over ** 2
    # A lens is no sharper than about a pixel: a binomial kernel of standard deviation 0.7.
    for axis_of_blur in (0, 1):
        photo = (np.roll(photo, 1, axis_of_blur) + 2 * photo + np.roll(photo, -1, axis_of_blur)) / 4
    v, u = np.mgrid[0:height, 0:width]
    side = u / width - 0.5
    corner = ((u / width - 0.5) ** 2 + (v / height - 0.5) ** 2) / 0.5
    light = 1 - falloff * (0.5 + side) - falloff / 2 * corner
    photo = photo * light[..., None] * np.array(cast) * exposure
    random = np.random.default_rng(seed)
    photo += random.normal(size=photo.shape) * noise * np.sqrt(np.maximum(photo, 1e-4))
    return np.round(255 * encode(photo)).astype(np.uint8)


def save_jpeg(pixels, path, quality=85):
    Image.fromarray(pixels).save(path, quality=quality)


def daylight_cast(kelvin):
    """Gains of linear sRGB under daylight of another temperature than D65, green held (CIE 15, daylight locus)."""
    def white(t):
        low = 0.244063 + 0.09911e3 / t + 2.9678e6 / t ** 2 - 4.6070e9 / t ** 3
        high = 0.237040 + 0.24748e3 / t + 1.9018e6 / t ** 2 - 2.0064e9 / t ** 3
        x = low if t <= 7000 else high
        y = -3.000 * x * x + 2.870 * x - 0.275
        xyz = np.array([x / y, 1, (1 - x - y) / y])
        to_rgb = np.array([[3.2406, -1.5372, -0.4986], [-0.9689, 1.8758, 0.0415], [0.0557, -0.2040, 1.0570]])
        return to_rgb @ xyz
    gains = white(kelvin) / white(6504)
    return gains / gains[1]


def to_lab(linear):
    """CIE 15 Lab of linear sRGB (IEC 61966-2-1), white D65."""
    xyz = linear @ np.array([[0.4124, 0.3576, 0.1805], [0.2126, 0.7152, 0.0722], [0.0193, 0.1192, 0.9505]]).T
    t = xyz / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > (6 / 29) ** 3, np.cbrt(np.maximum(t, 1e-12)), t / (3 * (6 / 29) ** 2) + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], axis=-1)


def ciede2000(one, other):
    """CIE 142-2001, by Sharma, Wu and Dalal (2005)."""
    l1, a1, b1 = np.moveaxis(one, -1, 0)
    l2, a2, b2 = np.moveaxis(other, -1, 0)
    c = (np.hypot(a1, b1) + np.hypot(a2, b2)) / 2
    g = 0.5 * (1 - np.sqrt(c ** 7 / (c ** 7 + 25.0 ** 7)))
    a1, a2 = a1 * (1 + g), a2 * (1 + g)
    c1, c2 = np.hypot(a1, b1), np.hypot(a2, b2)
    h1, h2 = np.degrees(np.arctan2(b1, a1)) % 360, np.degrees(np.arctan2(b2, a2)) % 360
    grey = c1 * c2 == 0
    dh = np.where(grey, 0, (h2 - h1 + 180) % 360 - 180)
    dl, dc = l2 - l1, c2 - c1
    dh_term = 2 * np.sqrt(c1 * c2) * np.sin(np.radians(dh) / 2)
    lm, cm = (l1 + l2) / 2, (c1 + c2) / 2
    hm = np.where(grey, h1 + h2, np.where(np.abs(h1 - h2) <= 180, (h1 + h2) / 2,
                                          np.where(h1 + h2 < 360, (h1 + h2 + 360) / 2, (h1 + h2 - 360) / 2)))
    t = (1 - 0.17 * np.cos(np.radians(hm - 30)) + 0.24 * np.cos(np.radians(2 * hm))
         + 0.32 * np.cos(np.radians(3 * hm + 6)) - 0.20 * np.cos(np.radians(4 * hm - 63)))
    sl = 1 + 0.015 * (lm - 50) ** 2 / np.sqrt(20 + (lm - 50) ** 2)
    sc, sh = 1 + 0.045 * cm, 1 + 0.015 * cm * t
    rt = -np.sin(np.radians(60 * np.exp(-((hm - 275) / 25) ** 2))) * 2 * np.sqrt(cm ** 7 / (cm ** 7 + 25.0 ** 7))
    return np.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh_term / sh) ** 2 + rt * (dc / sc) * (dh_term / sh))
