#!/usr/bin/env python3
"""Holds what a client is shown against the plan: surface, finished piece, strip and proof.

    client_pages_check.py PLANFOLDER

With NumPy and Pillow, and poppler's pdfinfo, pdftotext and pdfimages for the PDF. The close-up must have the mean
colours of the fired preview field by field (linear light, IEC 61966-2-1; CIELAB, CIE 15), and lie on the page at its
true size.
"""
import json
import pathlib
import shutil
import subprocess
import sys

import numpy as np
from PIL import Image

sys.dont_write_bytecode = True  # nothing is written into the source tree
from faults import end_where_any, need

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
def linear(path):
    with Image.open(path) as picture:
        v = np.asarray(picture.convert("RGB")).astype(float) / 255
    return np.where(v <= 0.04045, v / 12.92, ((v + 0.055) / 1.055) ** 2.4)


def dots_per_inch(path):
    with Image.open(path) as picture:
        return picture.info.get("dpi", (0, 0))


def lab(rgb):
    """CIELAB of linear sRGB, D65."""
    xyz = rgb @ np.array([[0.4124, 0.2126, 0.0193], [0.3576, 0.7152, 0.1192], [0.1805, 0.0722, 0.9505]])
    t = xyz / np.array([0.9505, 1.0, 1.089])
    f = np.where(t > (6 / 29) ** 3, np.cbrt(t), t * (29 / 6) ** 2 / 3 + 4 / 29)
    return np.stack([116 * f[..., 1] - 16, 500 * (f[..., 0] - f[..., 1]), 200 * (f[..., 1] - f[..., 2])], -1)


def boxes(picture, edge):
    """Means over squares of so many points."""
    h, w = picture.shape[0] // edge * edge, picture.shape[1] // edge * edge
    return picture[:h, :w].reshape(h // edge, edge, w // edge, edge, 3).mean(axis=(1, 3))


def resampled(picture, height, width):
    """Mean over each new point, by cumulated sums."""
    def along(values, count):
        edges = np.linspace(0, values.shape[0], count + 1)
        sums = np.concatenate([np.zeros((1,) + values.shape[1:]), np.cumsum(values, axis=0)])
        whole = np.minimum(edges.astype(int), values.shape[0] - 1)
        at = sums[whole] + (edges - whole)[:, None, None] * values[whole]
        return (at[1:] - at[:-1]) / (edges[1] - edges[0])
    return along(along(picture, height).swapaxes(0, 1), width).swapaxes(0, 1)


def place_of(part, whole):
    """Where `part` lies on `whole`, both one point a grid point: by the least squares of all places."""
    h, w = part.shape[:2]
    best = (np.inf, 0, 0)
    for y in range(whole.shape[0] - h + 1):
        for x in range(whole.shape[1] - w + 1):
            off = np.mean((whole[y:y + h, x:x + w] - part) ** 2)
            best = min(best, (off, y, x))
    return best[1:]


def check_surface(folder, plan, fired):
    path = folder / "previews" / "surface.png"
    pitch = plan["grid"]["pitch_mm"]
    surface = linear(path)
    need(all(abs(d - 300) < 0.1 for d in dots_per_inch(path)), "surface.png: 300 points an inch")
    mm = 25.4 / 300
    high, wide = (int(round(n * mm / pitch)) for n in surface.shape[:2])
    need(high <= fired.shape[0] + 1 and wide <= fired.shape[1] + 1, "surface.png: no larger than the piece")
    coarse = resampled(surface, min(high, fired.shape[0]), min(wide, fired.shape[1]))
    y, x = place_of(coarse, fired)
    there = fired[y:y + coarse.shape[0], x:x + coarse.shape[1]]
    # Fields of some 10 mm; at their borders what lies beside comes in by a fraction of a grid point.
    edge = max(1, int(round(10 / pitch)))
    edge = min(edge, *coarse.shape[:2])
    off = np.linalg.norm(lab(boxes(coarse, edge)) - lab(boxes(there, edge)), axis=-1)
    need(off.max() < 2, f"surface.png: a field is {off.max():.2f} from {plan['light']['view']}'s preview")
    return off.max()


def check_finished(folder, plan, fired):
    path = folder / "previews" / "finished.png"
    finished = linear(path)
    width_mm, height_mm = plan["piece"]["width_mm"], plan["piece"]["height_mm"]
    scale = dots_per_inch(path)[0] / 25.4
    need(finished.shape[1] > width_mm * scale * 1.1, "finished.png: there is wall round the piece")
    w, h = int(round(width_mm * scale)), int(round(height_mm * scale))
    left, top = (finished.shape[1] - w) // 2, (finished.shape[0] - h) // 2
    piece = resampled(finished[top:top + h, left:left + w], *fired.shape[:2])
    margin = int(round(3 / plan["grid"]["pitch_mm"]))  # the edge of the glass, rounded and lit
    if min(piece.shape[:2]) < 4 * margin:
        return 0
    inner = np.s_[margin:-margin, margin:-margin]
    edge = min(int(round(10 / plan["grid"]["pitch_mm"])), *piece[inner].shape[:2])
    off = np.linalg.norm(lab(boxes(piece[inner], edge)) - lab(boxes(fired[inner], edge)), axis=-1)
    need(np.mean(off) < 2, f"finished.png: fields are {np.mean(off):.2f} from the preview")
    return np.mean(off)


def words_of(text):
    return "".join(c for c in text if c.isascii() and c.isalnum())


def check_proof(folder, plan):
    settings = {s["flag"]: s["value"] for s in plan.get("settings", [])}
    with Image.open(folder / "proof.png") as page:
        size = page.size
    dpi = dots_per_inch(folder / "proof.png")[0]
    need(dpi >= 149.9, f"proof.png: {dpi} points an inch")
    inches = tuple(n / dpi * 25.4 for n in size)
    paper = [name for name, (w, h) in PAPERS.items() if abs(inches[0] - w) < 0.3 and abs(inches[1] - h) < 0.3]
    need(paper, f"proof.png: {inches} mm is no page")
    if settings.get("--paper") in PAPERS:
        need(paper == [settings["--paper"]], f"proof.png: {paper} is not the plan's paper")
    pdf = folder / "proof.pdf"
    if not all(shutil.which(tool) for tool in ("pdfinfo", "pdftotext", "pdfimages")):
        print("poppler-utils are not there: proof.pdf was not looked at")
        return
    run = lambda *command: subprocess.run(command, check=True, capture_output=True, text=True).stdout
    info = dict(line.split(":", 1) for line in run("pdfinfo", pdf).splitlines() if ":" in line)
    need(info["Pages"].strip() == "1", "proof.pdf: one page")
    points = [float(n) for n in info["Page size"].split("pts")[0].split("x")]
    need(all(abs(a / 72 * 25.4 - b) < 0.3 for a, b in zip(points, inches)), "proof.pdf: the paper of proof.png")
    text = run("pdftotext", "-layout", pdf, "-")
    plain = words_of(run("pdftotext", pdf, "-"))  # column by column: no line of another stands between
    need(words_of(plan["piece"]["title"])[:24] in plain, "proof.pdf: the title, or the beginning of a long one")
    need(f"{plan['piece']['width_mm']:.0f} × {plan['piece']['height_mm']:.0f} mm" in text, "proof.pdf: the size")
    for words in ("Studio", "signature", "Date", "Colour", "true size", "when printed at 100 %"):
        need(words in text, f"proof.pdf: {words}")
    need("CIEDE" not in text, "proof.pdf: words for a client")
    names = {p["id"]: p["name"] for p in plan["powders"]}
    for powder in {layer["powder"] for layer in plan["layers"]}:
        need(words_of(names[powder])[:24] in plain, f"proof.pdf: the powder {names[powder]}")
    for firing in plan["firings"]:
        need(f"{firing['index']}. {firing['finish']} finish" in text, f"proof.pdf: firing {firing['index']}")
    with Image.open(folder / "previews" / "surface.png") as surface:
        wide, high = surface.size
    images = [line.split() for line in run("pdfimages", "-list", pdf).splitlines()[2:]]
    here = [i for i in images if (int(i[3]), int(i[4])) == (wide, high)]
    need(here and all(abs(int(ppi) - 300) <= 2 for i in here for ppi in i[12:14]),
         "proof.pdf: the surface lies at its true size, 300 points an inch")


def check_strip(folder, plan):
    with Image.open(folder / "previews" / "strip.png") as strip:
        need(strip.width == 1600, f"strip.png: {strip.width} pixels wide")
        colours = np.asarray(strip.convert("RGB")).reshape(-1, 3)
    ink = np.mean(np.any(colours < 250, axis=1))
    need(ink > 0.1 or not plan["firings"], f"strip.png: {ink:.1%} of it is not white")


def main():
    folder = pathlib.Path(sys.argv[1])
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    fired = linear(folder / "previews" / f"fired-{plan['light']['view']}.png")
    surface, finished = check_surface(folder, plan, fired), check_finished(folder, plan, fired)
    check_strip(folder, plan)
    check_proof(folder, plan)
    end_where_any()
    print(f"fields of the surface at most {surface:.2f}, of the finished piece {finished:.2f} from the preview (Delta E*ab)")


if __name__ == "__main__":
    main()
