#!/usr/bin/env python3
"""Reads worksheet.pdf of a plan folder with poppler-utils (pdfinfo, pdftotext, pdftohtml, pdfimages) and compares it
with plan.json: every step has its page with its grams and cautions, and no word leaves its page or covers another.

    worksheet_pdf_check.py PLANFOLDER
"""
import html
import json
import pathlib
import re
import subprocess
import sys
import unicodedata

MM = 25.4 / 72
MARGIN_MM = 7           # printers leave so much blank, and more than that is kept free here
LONGEST_NAME = 155      # letters; longer ones may be cut
MOST_BYTES = 4_000_000
PAGES_BESIDE_BENCH = 40  # of lists, at the most


def run(*command):
    return subprocess.run(command, check=True, capture_output=True).stdout.decode("utf-8", "replace")


def bare(text):
    """Without blanks, hyphens and marks of direction: pages break lines where they like, and pdftotext mends them."""
    kept = (c for c in unicodedata.normalize("NFKC", text)
            if not c.isspace() and c != "-" and unicodedata.category(c) not in ("Cf", "Cc"))
    return "".join(kept)


def shown(grams):
    if grams <= 0:
        return "0 g"
    if grams < 0.005:
        return "under 0.01 g"
    return f"{grams:.2f} g" if grams < 0.995 else f"{grams:.1f} g"


class Page:
    def __init__(self, source):
        size = re.match(r'<page width="([\d.]+)" height="([\d.]+)"', source)
        self.width, self.height = (float(v) * MM for v in size.groups())
        self.words = []
        pattern = r'<word xMin="([-\d.]+)" yMin="([-\d.]+)" xMax="([-\d.]+)" yMax="([-\d.]+)">(.*?)</word>'
        for *box, word in re.findall(pattern, source):
            self.words.append(([float(v) * MM for v in box], html.unescape(word)))


def outside(page):
    for (left, top, right, bottom), word in page.words:
        if left < MARGIN_MM or top < MARGIN_MM or right > page.width - MARGIN_MM or bottom > page.height - MARGIN_MM:
            yield f"{word!r} at {left:.1f}, {top:.1f} mm is too near to the edge"


def covered(page):
    """Words that lie on each other. Boxes are as high as the typeface allows; its letters fill the middle."""
    boxes = sorted((left, top + 0.2 * (bottom - top), right, bottom - 0.2 * (bottom - top), word)
                   for (left, top, right, bottom), word in page.words)
    for i, a in enumerate(boxes):
        for b in boxes[i + 1:]:
            if b[0] >= a[2]:
                break
            across, down = min(a[2], b[2]) - b[0], min(a[3], b[3]) - max(a[1], b[1])
            least = min((a[2] - a[0]) * (a[3] - a[1]), (b[2] - b[0]) * (b[3] - b[1]))
            if across > 0.2 and down > 0.2 and across * down > 0.15 * least:
                yield f"{a[4]!r} and {b[4]!r} lie on each other near {b[0]:.0f}, {b[1]:.0f} mm"


def main():
    folder = pathlib.Path(sys.argv[1])
    file = folder / "worksheet.pdf"
    plan = json.loads((folder / "plan.json").read_text(encoding="utf-8"))
    # In what stands before the pages (the title) pdftotext writes pairs of surrogates.
    source = run("pdftotext", "-bbox", file, "-")
    pages = [Page(part) for part in re.findall(r"<page.*?</page>", source, re.S)]
    texts = [run("pdftotext", "-f", str(i + 1), "-l", str(i + 1), file, "-") for i in range(len(pages))]
    bares = [bare(text) for text in texts]
    whole = "".join(bares)
    faults = []

    for number, page in enumerate(pages, 1):
        faults += [f"page {number}: {fault}" for fault in [*outside(page), *covered(page)]]
    if any("\ufffd" in text for text in texts):
        faults.append("letters are missing")
    if "templates.pdf" in [path.name for path in folder.iterdir()]:
        sizes = [re.search(r"Page size:.*", run("pdfinfo", folder / name)).group()
                 for name in ("worksheet.pdf", "templates.pdf")]
        if sizes[0] != sizes[1]:
            faults.append(f"printed on {sizes[0]}, templates on {sizes[1]}")

    def name_is_on(name, text):
        name = name[:LONGEST_NAME]
        # pdftotext puts signs beside words from right to left where it thinks that they belong: there, words count.
        if any(unicodedata.bidirectional(c) in ("R", "AL") for c in name):
            return all(bare(word) in text for word in re.findall(r"\w+", name))
        return bare(name) in text

    title = plan["piece"]["title"]
    if not name_is_on(title, bares[0]):
        faults.append(f"the title {title!r} is not on the first page")
    names = {powder["id"]: powder["name"] for powder in plan["powders"]}
    for total in plan["totals"]:
        first = "".join(bares[:4])
        if not name_is_on(names[total["powder"]], first) or bare(shown(total["sift_g"])) not in first:
            faults.append(f"{total['powder']} is not among the totals")
    for note in plan["notes"]:
        if not name_is_on(note, whole):
            faults.append(f"the note {note!r} is not there")
    for word in ("P100", "N95", "extraction", "wet", "manual", "expansion"):
        if word not in whole:
            faults.append(f"no caution says {word!r}")

    layers, firings = plan["layers"], plan["firings"]
    done = plan.get("firings_done", 0)
    bench = []
    for firing in firings[done:]:
        bench += [("step", layers[i - 1]) for i in firing["layers"]] + [("firing", firing)]
    head = {}
    for number, page in enumerate(pages):
        # What stands at the top right, in the first line of the page.
        top = " ".join(word for (left, y, _, _), word in page.words if y < 14 and left > page.width / 2)
        step = re.search(r"step (\d+) of (\d+), firing (\d+)", top)
        firing = re.search(r"firing (\d+) of (\d+)", top)
        for kind, found in (("step", step), ("firing", firing)):
            if found:
                head.setdefault((kind, int(found.group(1))), []).append(number)
                if int(found.group(2)) != len(layers if kind == "step" else firings):
                    faults.append(f"page {number + 1}: {found.group()}")
    order = []
    for kind, what in bench:
        at = head.get((kind, what["index"]), [])
        if len(at) != 1:
            faults.append(f"{kind} {what['index']} has {len(at)} pages")
            continue
        order += at
        text, plain = bares[at[0]], " ".join(texts[at[0]].split())
        if kind == "step":
            wanted = [shown(what[key]) for key in ("sift_g", "lands_g", "overspill_g")]
            wanted += ["Respirator on", "Extraction on", "Wipe wet", "Real grams"]
            if what.get("stencil"):
                wanted.append(f"Stencil {what['index']}")
            if not name_is_on(names[what["powder"]], text):
                faults.append(f"step {what['index']} does not name its powder")
        else:
            wanted = ["glass maker's chart", "kiln's manual", "test piece", "Open at room temperature", what["finish"]]
            wanted += [f"{segment['to_c']:.0f}" for segment in what["segments"]]
        faults += [f"{kind} {what['index']} does not say {w!r}" for w in wanted if bare(w) not in bare(plain)]
    if order != sorted(order):
        faults.append("pages are not in the order of the bench")
    if len(pages) > len(bench) + PAGES_BESIDE_BENCH:
        faults.append(f"{len(pages)} pages for {len(bench)} steps and firings")
    for number, text in enumerate(texts, 1):
        if f"{number}/{len(pages)}" not in bare(text):
            faults.append(f"page {number} does not say so")

    outline = [html.unescape(re.sub("<.*?>", "", item))
               for item in re.findall(r"<item page=\"\d+\">(.*?)</item>",
                                      run("pdftohtml", "-xml", "-i", "-stdout", file))]
    for kind, what in bench:
        if not any(item.startswith(f"{kind.capitalize()} {what['index']}: ") for item in outline):
            faults.append(f"no bookmark leads to {kind} {what['index']}")

    pictures = {line.split()[10] for line in run("pdfimages", "-list", file).splitlines()[2:]}
    # Steps whose pictures are alike share one.
    if len(pictures) < 1 + len({what["index"] for _, what in bench}) // 2:
        faults.append(f"only {len(pictures)} pictures")
    size = file.stat().st_size
    if size > MOST_BYTES:
        faults.append(f"{size} bytes")
    if faults:
        sys.exit("\n".join(faults))
    print(f"{len(pages)} pages, {len(pictures)} pictures, {size / 1000:.0f} kB: "
          f"every step and firing on a page of its own, all words on their pages")


if __name__ == "__main__":
    main()
