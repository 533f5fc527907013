#!/usr/bin/env python3
"""A step tile's folder as other programs see it: templates.pdf drawn by poppler and measured against tile.json,
worksheet.html printed by a browser.

    tile_check.py TILEFOLDER

Exit code 77 when poppler or Pillow is missing. Without a browser the printing alone is left out, and said so.
"""
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

try:
    import numpy as np
    from PIL import Image
except ImportError as missing:
    print(f"skipped: {missing}")
    sys.exit(77)

DPI = 300
PER_MM = DPI / 25.4
# What the finder of marks relies on: black from the centre out, white ring, black ring; the first is white inside.
RADII = (7.0, 5.2, 3.4, 1.4)
CLEAR = 9.0
WHITE_GAP, STRIP_EDGE = 2.0, 3.0
SLACK_MM = 0.12  # a point and a half
PAPERS = {"A4": (210, 297), "Letter": (215.9, 279.4)}


def drawn(pdf, page):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), "-singlefile", pdf,
                        f"{folder}/page"], check=True)
        with Image.open(f"{folder}/page.pgm") as picture:
            return np.asarray(picture)


def words_of(pdf, page):
    """(word, left, top, right, bottom) in mm."""
    text = subprocess.run(["pdftotext", "-bbox", "-f", str(page), "-l", str(page), pdf, "-"], stdout=subprocess.PIPE,
                          check=True).stdout.decode()
    found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', text)
    return [(word, *(float(v) * 25.4 / 72 for v in place)) for *place, word in found]


def cut(picture, left, top, right, bottom):
    rows, columns = picture.shape
    return picture[max(0, round(top * PER_MM)):min(rows, round(bottom * PER_MM)),
                   max(0, round(left * PER_MM)):min(columns, round(right * PER_MM))]


def changes_along(picture, x, y, angle):
    """Radii in mm at which a ray from the centre goes from black to white or back, up to CLEAR."""
    radii = np.arange(0, CLEAR, 0.02)
    columns = ((x + radii * np.cos(angle)) * PER_MM).astype(int)
    rows = ((y + radii * np.sin(angle)) * PER_MM).astype(int)
    dark = picture[rows, columns] < 128
    return bool(dark[0]), [float(radii[i]) for i in np.flatnonzero(dark[1:] != dark[:-1])]


def check_marks(picture, marks, faults):
    for i, (x, y) in enumerate(marks):
        wished = sorted(RADII if i == 0 else RADII[:3])
        for angle in np.linspace(0, 2 * np.pi, 24, endpoint=False):
            dark, found = changes_along(picture, x, y, angle)
            if dark != (i != 0) or len(found) != len(wished) or max(
                    abs(a - b) for a, b in zip(found, wished)) > SLACK_MM:
                faults.append(f"mark {i + 1}: edges at {found}, not {wished}")
                break


def check_white(picture, boxes, faults):
    for i, (left, top, right, bottom) in enumerate(boxes):
        gap = WHITE_GAP - 0.3  # half a line's width may reach into it
        if cut(picture, left - gap, top - gap, right + gap, bottom + gap).min() < 255:
            faults.append(f"white place {i + 1} or what lies around it is printed on")


def middle_of_line(profile, near):
    """Of the dark line within a millimetre of `near`, mm; None when there is none."""
    first = int((near - 1) * PER_MM)
    part = 255.0 - profile[first:int((near + 1) * PER_MM)].astype(float)
    return (first + (np.arange(len(part)) + 0.5) @ part / part.sum()) / PER_MM if part.max() > 100 else None


def check_frames(picture, tile, faults):
    for row in tile["rows"]:
        cells = row["cells"]
        left, top = cells[0]["light_mm"][0] - STRIP_EDGE, cells[0]["light_mm"][1] - STRIP_EDGE
        right, bottom = cells[-1]["dark_mm"][2] + STRIP_EDGE, cells[-1]["dark_mm"][3] + STRIP_EDGE
        across = picture[round((top + (bottom - top) / 4) * PER_MM)]
        down = picture[:, round((left + right) / 2 * PER_MM)]
        for profile, wished in ((across, left), (across, right), (down, top), (down, bottom)):
            found = middle_of_line(profile, wished)
            if found is None or abs(found - wished) > SLACK_MM:
                faults.append(f"{row['powder']}: its frame is at {found}, not {wished}")
        inside = cut(picture, left + 1, top + 1, right - 1, (top + bottom) / 2 - 1)
        if inside.min() < 255:
            faults.append(f"{row['powder']}: something is printed where the glass will lie")


def check_length(picture, words, faults):
    """Between the end ticks of the line below "50 mm"."""
    fifty, unit = next((a, b) for a, b in zip(words, words[1:]) if (a[0], b[0]) == ("50", "mm"))
    middle = (fifty[1] + unit[3]) / 2
    # Ticks are where the line's neighbours above are dark too.
    for y in np.arange(fifty[4] - 1.5, fifty[4] + 3, 0.05):
        row = picture[int(y * PER_MM)] < 128
        run = row[int((middle - 20) * PER_MM):int((middle + 20) * PER_MM)]
        if run.all():
            above = picture[int((y - 1) * PER_MM)]
            ends = [middle_of_line(above, middle + side * 25) for side in (-1, 1)]
            if None in ends or abs(ends[1] - ends[0] - 50) > SLACK_MM:
                faults.append(f"the length to be measured has its ends at {ends}")
            return
    faults.append("the length to be measured is not to be found")


def check_reference(picture, box, faults):
    if box is None:
        faults.append("there is no place for a grey card")
        return
    left, top, right, bottom = box
    if (round(right - left), round(bottom - top)) != (60, 40):
        faults.append(f"the place for a grey card is {right - left} x {bottom - top} mm")
    if (cut(picture, left, top, right, bottom) < 128).mean() < 0.02:
        faults.append("nobody sees that a card belongs into its place")


def check_guide(pdf, tile, faults):
    words = words_of(pdf, 2)
    for row in tile["rows"]:
        for i, cell in enumerate(row["cells"]):
            left, top, right, _ = cell["light_mm"]
            bottom = cell["dark_mm"][3]
            inside = [w[0] for w in words if left - 1 < w[1] and w[3] < right + 1 and top < w[2] and w[4] < bottom + 1]
            grams = [float(w) for w in inside[1:] if re.fullmatch(r"\d+(\.\d+)?", w)]
            if inside[:1] != [str(i + 1)]:
                faults.append(f"{row['powder']}, cell {i + 1}: it is numbered {inside[:1]}")
            if cell["grams"] == 0 and "bare" not in inside:
                faults.append(f"{row['powder']}, cell {i + 1}: it is not called bare")
            if cell["grams"] > 0 and not any(abs(g - cell["grams"]) < 1e-9 for g in grams):
                faults.append(f"{row['powder']}, cell {i + 1}: {cell['grams']} g is not in {inside}")


def check_loads(tile, faults):
    for row in tile["rows"]:
        for i, cell in enumerate(row["cells"]):
            area = sum((b[2] - b[0]) * (b[3] - b[1]) for b in (cell["light_mm"], cell["dark_mm"])) / 100
            if abs(cell["load_g_cm2"] * area - cell["grams"]) > 1e-9:
                faults.append(f"{row['powder']}, cell {i + 1}: load and grams do not belong together")
            steps = cell["grams"] / tile["scale_g"]
            if abs(steps - round(steps)) > 1e-6:
                faults.append(f"{row['powder']}, cell {i + 1}: the scale cannot show {cell['grams']} g")


def pages_printed(page, paper):
    """By a browser, on this paper; None without one."""
    browser = shutil.which("chromium")
    if browser is None:
        return None
    with tempfile.TemporaryDirectory() as folder:
        sized = page.read_text(encoding="utf-8").replace("@page { margin", f"@page {{ size: {paper}; margin")
        (pathlib.Path(folder) / "page.html").write_text(sized, encoding="utf-8")
        subprocess.run([browser, "--headless", "--no-sandbox", "--disable-gpu", "--no-pdf-header-footer",
                        f"--user-data-dir={folder}/user", f"--print-to-pdf={folder}/page.pdf",
                        f"file://{folder}/page.html"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True,
                       timeout=120)
        facts = subprocess.run(["pdfinfo", f"{folder}/page.pdf"], stdout=subprocess.PIPE, check=True).stdout.decode()
        return int(re.search(r"Pages:\s+(\d+)", facts).group(1))


def check_worksheet(page, faults):
    for paper in PAPERS:
        pages = pages_printed(page, paper)
        if pages is None:
            print("no browser: printing of worksheet.html was not checked")
            return
        if pages != 1:
            faults.append(f"worksheet.html needs {pages} pages of {paper}")


def main():
    for program in ("pdftoppm", "pdftotext", "pdfinfo"):
        if shutil.which(program) is None:
            print(f"skipped: {program} is missing")
            sys.exit(77)
    folder = pathlib.Path(sys.argv[1])
    tile = json.loads((folder / "tile.json").read_text(encoding="utf-8"))
    pdf, card, faults = str(folder / "templates.pdf"), tile["card"], []
    picture = drawn(pdf, 1)
    size = (card["width_mm"], card["height_mm"])
    if size not in PAPERS.values() or abs(picture.shape[1] / PER_MM - size[0]) > 0.1 or abs(
            picture.shape[0] / PER_MM - size[1]) > 0.1:
        faults.append(f"the card is {size} mm, its page {picture.shape[1] / PER_MM} x {picture.shape[0] / PER_MM}")
    check_marks(picture, card["marks_mm"], faults)
    check_white(picture, card["white_mm"], faults)
    check_frames(picture, tile, faults)
    check_reference(picture, card["reference_mm"], faults)
    for page in (1, 2, 3):
        check_length(drawn(pdf, page), words_of(pdf, page), faults)
    check_guide(pdf, tile, faults)
    check_loads(tile, faults)
    check_worksheet(folder / "worksheet.html", faults)
    print("\n".join(faults) if faults else f"{len(tile['rows'])} rows, {len(card['white_mm'])} white places: all as stated")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
