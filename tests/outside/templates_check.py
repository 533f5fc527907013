"""templates.pdf measured on its drawn pages: check squares, and the tiles put together (see stencils_check.py)."""
import csv
import pathlib
import re
import subprocess
import tempfile

import numpy as np
from PIL import Image

from masks import disc_dilated, square_dilated, square_eroded

DPI = 300
PER_MM = DPI / 25.4  # where lengths are measured
HALF = PER_MM / 2  # where areas are compared
PAPERS = pathlib.Path(__file__).parent.parent / "data" / "published" / "paper_sizes.csv"
TILE = re.compile(r"Sheet ([\d.]+) to ([\d.]+) mm across, ([\d.]+) to ([\d.]+) mm down, here at ([\d.]+), ([\d.]+) mm")
SIDE_MM, SLACK_MM = 50.0, 0.2
HIDDEN = 8  # points (0.2 mm2) that crosses on the seams may hide; an opening that is missing has hundreds


def words_of(pdf, page):
    """(word, left, top, right, bottom) in mm."""
    text = subprocess.run(["pdftotext", "-bbox", "-f", str(page), "-l", str(page), pdf, "-"], stdout=subprocess.PIPE,
                          check=True).stdout.decode(errors="replace")
    found = re.findall(r'<word xMin="([\d.]+)" yMin="([\d.]+)" xMax="([\d.]+)" yMax="([\d.]+)">(.*?)</word>', text)
    return [(word, *(float(v) * 25.4 / 72 for v in place)) for *place, word in found]


def drawn(pdf, page):
    with tempfile.TemporaryDirectory() as folder:
        subprocess.run(["pdftoppm", "-r", str(DPI), "-gray", "-f", str(page), "-l", str(page), "-singlefile", pdf,
                        f"{folder}/page"], check=True)
        with Image.open(f"{folder}/page.pgm") as picture:
            return np.asarray(picture)


def line_at(profile, start, step):
    """Place in mm of the middle of the first dark line from `start` (mm) on, weighted by darkness."""
    i = int(start * PER_MM)
    while 0 <= i < len(profile) and profile[i] > 128:
        i += step
    near = np.arange(max(0, i - 6), min(len(profile), i + 7))
    dark = 255.0 - profile[near]
    return float((near + 0.5) @ dark / dark.sum() / PER_MM)


def sides_of_square(picture, words):
    """Width and height of the square around the words "measure both ways", in mm."""
    i = next(k for k, word in enumerate(words) if [w[0] for w in words[k:k + 3]] == ["measure", "both", "ways"])
    middle, below = (words[i][1] + words[i + 2][3]) / 2, words[i][4] + 5
    row, column = picture[int(below * PER_MM)], picture[:, int((middle - 20) * PER_MM)]
    return (line_at(row, middle, 1) - line_at(row, middle, -1), line_at(column, below, 1) - line_at(column, below, -1))


def scale_length(picture, words):
    """Between the end ticks of the scale below the lowest "50 mm"."""
    left_of_text = 60  # mm; the words beside the scale begin farther right
    fifty = max((word for word, unit in zip(words, words[1:])
                 if (word[0], unit[0]) == ("50", "mm") and word[1] < left_of_text), key=lambda word: word[2])
    middle = fifty[1] + 3
    base = line_at(picture[:, int((middle - 10) * PER_MM)], fifty[4] - 1, 1)
    row = picture[int((base + 1) * PER_MM)]
    return line_at(row, middle, 1) - line_at(row, middle, -1)


def check_sizes(pdf, need):
    text = subprocess.run(["pdfinfo", "-f", "1", "-l", "100000", pdf], stdout=subprocess.PIPE, check=True).stdout.decode(errors="replace")
    with open(PAPERS, encoding="utf-8") as file:
        rows = list(csv.DictReader(line for line in file if not line.startswith("#")))
    sizes = [tuple(float(v) * 25.4 / 72 for v in size) for size in re.findall(r"size:\s+([\d.]+) x ([\d.]+) pts", text)]
    for size in set(sizes):
        need(any(abs(size[0] - float(r["width_mm"])) < 0.1 and abs(size[1] - float(r["height_mm"])) < 0.1 for r in rows),
             f"templates.pdf: a page of {size[0]:.1f} x {size[1]:.1f} mm is no known paper")
    need("CreationDate" not in text, "templates.pdf: has a date")
    return len(sizes)


def grey_area(part):
    """Where the page is tinted, with lines and letters closed over, at half the resolution."""
    grey = ((part > 190) & (part < 240))[::2, ::2]
    grey = square_dilated(square_eroded(grey, 1), 1)  # rims of black lines are no tint
    half = int(0.75 * HALF)  # webs are wider than twice this
    # A page goes on beyond its tile as it ends; the rim itself may be half a point of white.
    more = 2 * half + 2
    grey = np.pad(grey[2:-2, 2:-2], more, mode="edge")
    return square_eroded(square_dilated(grey, half), half)[more - 2:2 - more, more - 2:2 - more]


def check(pdf, drawings, need):
    """`drawings`: for each stencil its name, the openness of its sheet, and pixels a mm. The document has the
    stencils in this order; what follows them (small templates) is measured and not compared."""
    pages = check_sizes(pdf, need)
    current, canvas, seen, squares = -1, None, None, 0

    def finish():
        if not 0 <= current < len(drawings):
            return
        name, openness, scale = drawings[current]
        at = lambda count: ((np.arange(count) + 0.5) / HALF * scale).astype(int)
        expected = openness[at(canvas.shape[0])][:, at(canvas.shape[1])]
        reach = 1.0 * HALF
        missing = ~disc_dilated(~expected, reach) & ~canvas & seen
        extra = canvas & ~disc_dilated(expected, reach) & seen
        need(missing.sum() <= HIDDEN, f"templates.pdf: {missing.sum()} points of {name} are not tinted")
        need(not extra.any(), f"templates.pdf: {extra.sum()} tinted points are no opening of {name}")
        # Where there is no page there is no edge either.
        edge = disc_dilated(expected, 1) & disc_dilated(~expected, 1)
        need(not (edge & ~seen).any(), f"templates.pdf: an edge of {name} is on no page")

    for page in range(1, pages + 1):
        picture, words = drawn(pdf, page), words_of(pdf, page)
        text = " ".join(word[0] for word in words)
        for caution in ("Print at 100 %", "Blades and cut edges are sharp", f"{page} / {pages}"):
            need(caution in text, f"templates.pdf, page {page}: does not say {caution!r}")
        if "measure both ways" in text:
            finish()
            current += 1
            if current < len(drawings):
                _, openness, scale = drawings[current]
                shape = tuple(int((n - 1) / scale * HALF) for n in openness.shape)
                canvas, seen = np.zeros(shape, bool), np.zeros(shape, bool)
            for side in sides_of_square(picture, words):
                need(abs(side - SIDE_MM) <= SLACK_MM, f"templates.pdf, page {page}: the square is {side:.2f} mm")
            squares += 1
        else:
            length = scale_length(picture, words)
            need(abs(length - SIDE_MM) <= SLACK_MM, f"templates.pdf, page {page}: the scale is {length:.2f} mm")
        tile = TILE.search(text)
        if tile and current < len(drawings):
            left, right, top, bottom, x, y = map(float, tile.groups())
            part = grey_area(picture[int(y * PER_MM):int((y + bottom - top) * PER_MM),
                                     int(x * PER_MM):int((x + right - left) * PER_MM)])
            row, column = int(top * HALF), int(left * HALF)
            place = np.s_[row:row + part.shape[0], column:column + part.shape[1]]
            canvas[place] |= part[:canvas.shape[0] - row, :canvas.shape[1] - column]
            seen[place] = True
    finish()
    need(squares >= len(drawings), f"templates.pdf: {squares} first pages for {len(drawings)} stencils")
    print(f"templates.pdf: {pages} pages, {squares} check squares, tiles put together give the openings")
