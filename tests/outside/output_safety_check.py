#!/usr/bin/env python3
"""Runs every command with names that try to break out of what they are written into, and reads what comes out with
readers that are not ours.

    output_safety_check.py POWDERPLAN NODE BROWSER_CHECKS MODULES

Each command runs twice: with hostile names (hostile_names.py) and with harmless ones of the same length. Pages and
drawings must hold the same elements, attributes and scripts (html.parser, ElementTree), DXF the same bytes, tables no
formula (csv), PDFs a whole title and no script (poppler), JSON the names themselves, and the folders the same files.
What is said has no control character but the line feed. The worksheet is used in Chromium (browser/names_check.mjs).
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unicodedata

sys.dont_write_bytecode = True  # nothing is written into the source tree
import ezdxf
import hostile_names as names
import page_skeletons as skeletons
from faults import end_where_any, need

SECONDS = 120
EXAMPLES = pathlib.Path(__file__).parents[2] / "examples"
SAFE_FILE = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_.-]*")
TURNING = set(range(0x202A, 0x202F)) | set(range(0x2066, 0x206A))
PNG_CHUNKS = {"IHDR", "PLTE", "sRGB", "gAMA", "cHRM", "pHYs", "IDAT", "IEND"}


class Studio:
    """A folder with a shelf, a picture and a piece file, in which the commands run."""

    def __init__(self, program, place, name):
        self.program, self.place, self.name = program, place, name
        place.mkdir()
        (place / "shelf.toml").write_text(names.shelf(name), encoding="utf-8")
        file = names.FILE_NAME if name is str else b"n" * len(names.FILE_NAME[:-4]) + b".png"
        self.picture = os.fsencode(place) + b"/" + file
        names.picture(place / "plain.png")
        shutil.copy(place / "plain.png", self.picture)
        (place / "piece.toml").write_text(f"[piece]\ntitle = {names.toml(names.title(name))}\n", encoding="utf-8")

    def run(self, *words, code=0):
        done = subprocess.run([self.program, *words], cwd=self.place, capture_output=True, timeout=SECONDS)
        said = f"{' '.join(str(word) for word in words)[:80]!r}"
        if not need(done.returncode == code, f"{said}: exit code {done.returncode}: {done.stderr[-300:]!r}") and code == 0:
            end_where_any()  # what follows would only miss its files
        for stream in (done.stdout, done.stderr):
            check_said(stream, said)
        return done.stdout.decode("utf-8", "replace"), done.stderr.decode("utf-8", "replace")

    def run_all(self):
        plan = ["--palette", "shelf.toml", "--pitch-mm", "0.8", "--base", "clear", "--threads", "2",
                "--kept", "none", "--layers", "5"]
        self.run("palette", "shelf.toml", "--out", "chart.png")
        self.run("plan", "plain.png", "--piece", "piece.toml", *plan, "--width", "130", "--shelf", "120x120",
                 "--shelf-margin-mm", "0", "--out", "plan")
        # Its title is the name of its file.
        self.run("options", self.picture, *plan[:-2], "--width", "60", "--try", "layers=1,2", "--out", "options")
        self.run("tile", "--palette", "shelf.toml", "--powder", "__proto__,con,0", "--cells", "3", "--out", "tile")
        self.run("proof", "plan", "--palette", "shelf.toml", "--out", "proof")
        names.photo(self.place / "plan/previews/fired-wall.png", self.picture)
        layers = json.loads((self.place / "plan/plan.json").read_text(encoding="utf-8"))["layers"]
        (self.place / "weights.csv").write_text(
            "layer,grams\n" + "".join(f"{i + 1},{1.25 * layer['sift_g']}\n" for i, layer in enumerate(layers)))
        self.run("compare", self.picture, "--plan", "plan", "--palette", "shelf.toml", "--corners", names.PHOTO_CORNERS,
                 "--weights", "weights.csv", "--out", "compare")
        self.run("stock", "plan", "--palette", "shelf.toml")
        self.run("stock", "plan", "--palette", "shelf.toml", "--take")
        names.photographed_tile(EXAMPLES / "step-tile/tile.json", self.place / "photographed.json", self.name)
        shutil.copy(EXAMPLES / "step-tile/photo.jpg", self.picture)
        self.run("fit", self.picture, "--tile", "photographed.json", "--palette", "shelf.toml", "--reference", "grey",
                 "--update", "--chart", "fit-photo.png")
        self.run("fit", "--powder", "__proto__", "--palette", "shelf.toml", "--update", "--chart", "fit.png",
                 *(word for load, seen in ((0.1, "#c9c2b9"), (0.2, "#a89a8b"), (0.4, "#8a7a66"))
                   for word in ("--swatch", f"{load},white,{seen}")))


def check_said(stream, what):
    try:
        text = stream.decode("utf-8")
    except UnicodeDecodeError as fault:
        need(False, f"{what}: says what is no UTF-8: {fault}")
        return
    bad = {f"U+{ord(c):04X}" for c in text
           if (unicodedata.category(c) == "Cc" and c != "\n") or ord(c) in TURNING or c in "\u2028\u2029"}
    need(not bad, f"{what}: says {sorted(bad)}")


def files_of(place):
    found = {}
    for folder, folders, files in os.walk(os.fsencode(place)):
        for name in folders + files:
            path = os.path.join(folder, name)
            text = os.fsdecode(os.path.relpath(path, os.fsencode(place)))
            need(not os.path.islink(path), f"{text!r}: is a link")
            if name in files:
                found[text] = pathlib.Path(os.fsdecode(path))
    return found


def check_pdf(path, what):
    told = subprocess.run(["pdfinfo", path], capture_output=True)
    need(told.returncode == 0 and not told.stderr, f"{what}: pdfinfo says {told.stderr[:200]!r}")
    facts = dict(line.split(":", 1) for line in told.stdout.decode("utf-8").splitlines() if ":" in line)
    need(facts.get("JavaScript", "").strip() == "no" and facts.get("Form", "").strip() == "none",
         f"{what}: holds scripts or forms")
    scripts = subprocess.run(["pdfinfo", "-js", path], capture_output=True).stdout
    links = subprocess.run(["pdfinfo", "-url", path], capture_output=True).stdout
    need(not scripts.strip() and b"http" not in links, f"{what}: holds {scripts[:80]!r} {links[:80]!r}")
    words = subprocess.run(["pdftotext", path, "-"], capture_output=True)
    need(words.returncode == 0 and not words.stderr, f"{what}: pdftotext says {words.stderr[:200]!r}")
    return facts.get("Title", "").strip(), words.stdout.decode("utf-8")


def check_same(kind, path, other, what):
    """The file of the hostile names against that of the harmless ones."""
    data, calm = path.read_bytes(), other.read_bytes()
    if kind == ".html":
        parts, code, words = skeletons.of_html(data.decode("utf-8"))
        calm_parts, calm_code, _ = skeletons.of_html(calm.decode("utf-8"))
        need(len(parts) == len(calm_parts), f"{what}: {len(parts)} marks instead of {len(calm_parts)}")
        odd = next((pair for pair in zip(parts, calm_parts) if pair[0] != pair[1]), None)
        need(odd is None, f"{what}: {str(odd)[:300]}")
        need(code == calm_code, f"{what}: its scripts or styles differ")
        need(names.plain(names.hostile(1)) in words, f"{what}: does not show a name as it is")
    elif kind == ".svg":
        parts, words = skeletons.of_svg(data)
        need(parts == skeletons.of_svg(calm)[0], f"{what}: its elements differ")
        need(not any(unicodedata.category(c) == "Cc" and c != "\n" for c in words), f"{what}: its words hold controls")
    elif kind == ".dxf":
        need(data == calm, f"{what}: names change it")
        need(not ezdxf.readfile(path).audit().errors, f"{what}: ezdxf finds errors")
    elif kind == ".csv":
        found = skeletons.formulas_in(data.decode("utf-8"))
        need(not found, f"{what}: formulas {found[:3]}")
        need(data.count(b"\n") == calm.count(b"\n"), f"{what}: names add records")
        need(b"HYPERLINK" in data, f"{what}: holds no hostile name: the check is empty")
    elif kind == ".json":
        need(skeletons.without_names(json.loads(data)) == skeletons.without_names(json.loads(calm)),
             f"{what}: names change more than names")
    elif kind == ".png":
        chunks = set(skeletons.chunks_of_png(data))
        need(chunks <= PNG_CHUNKS, f"{what}: chunks {sorted(chunks - PNG_CHUNKS)}")
    elif kind == ".pdf":
        heading, words = check_pdf(path, what)
        need("\x1b" not in words and "\u202e" not in words, f"{what}: controls in its words")
        if path.name in ("templates.pdf", "proof.pdf") and path.parent.name in ("plan", "proof"):
            wished = " ".join(names.plain(names.title(str)).split())
            need(wished in " ".join(heading.split()), f"{what}: its title is {heading[:200]!r}")
    else:
        need(kind == ".toml", f"{what}: what is this?")


def check_json_names(place):
    plan = json.loads((place / "plan/plan.json").read_text(encoding="utf-8"))
    need(plan["piece"]["title"] == names.plain(names.title(str)), "plan.json: the title is not what was said")
    for powder in plan["powders"]:
        name = names.hostile(names.IDS.index(powder["id"]))
        need(powder["name"] == names.plain(name), f"plan.json: the name of {powder['id']}")
    used = [powder["id"] for powder in plan["powders"]]
    need(len(used) >= 3, f"the plan uses {used} only: a poor check")


def check_ids(studio):
    """Ids go into names of files: what no file should be called is refused, with the line."""
    shelf = (studio.place / "shelf.toml").read_text(encoding="utf-8")
    for bad in names.REFUSED_IDS:
        (studio.place / "bad.toml").write_text(shelf.replace(names.toml(names.IDS[0]), names.toml(bad), 1), encoding="utf-8")
        out, err = studio.run("palette", "bad.toml", code=3)
        need(not out and err.count("\n") == 1 and re.match(r"powderplan: bad\.toml:\d+: ", err),
             f"id {bad!r}: says {err!r}")


def check_messages(studio):
    """Names of files and flags in complaints."""
    for words in (["plan", names.FILE_NAME + b"x", "--palette", "shelf.toml", "--width", "40"],
                  ["palette", names.FILE_NAME], ["plan", "plain.png", "--palette", names.FILE_NAME, "--width", "40"],
                  ["stock", names.FILE_NAME, "--palette", "shelf.toml"]):
        out, err = studio.run(*words, code=3)
        need(err.count("\n") == 1, f"{words[0]}: {err!r}")
    for words in (["\x1b[2J"], ["plan", "--\x1b[2J\n=x"], ["plan", "plain.png", "--piece", "\x1b]0;x\x07"],
                  ["plan", "plain.png", "--palette", "shelf.toml", "--width", "4\x9b31m\u202e"],
                  ["plan", "plain.png", "--palette", "shelf.toml", "--width", "40", "--use", "\x1b[31m\u202e"]):
        done = subprocess.run([studio.program, *words], cwd=studio.place, capture_output=True, timeout=SECONDS)
        need(done.returncode in (2, 3) and done.stderr.count(b"\n") == 1, f"{words}: {done.stderr!r}")
        check_said(done.stdout + done.stderr, words)


def main():
    program, node, browser_checks, modules = sys.argv[1:5]
    with tempfile.TemporaryDirectory() as place:
        place = pathlib.Path(place)
        hostile = Studio(program, place / "hostile", str)
        calm = Studio(program, place / "calm", names.harmless)
        hostile.run_all()
        calm.run_all()
        made, wished = files_of(hostile.place), files_of(calm.place)
        picture, calm_picture = (os.fsdecode(os.path.basename(studio.picture)) for studio in (hostile, calm))
        need(set(made) - {picture} == set(wished) - {calm_picture},
             f"other files: {sorted(set(made) ^ set(wished))[:6]}")
        for name in sorted(set(made) & set(wished) - {"weights.csv"}):  # given, and without names
            need(all(SAFE_FILE.fullmatch(part) for part in name.split("/")), f"{name!r}: a name that is not safe")
            check_same(pathlib.Path(name).suffix, made[name], wished[name], name)
        kinds = {pathlib.Path(name).suffix for name in made}
        need(kinds >= {".html", ".svg", ".dxf", ".csv", ".json", ".png", ".pdf", ".toml"}, f"only {kinds} were made")
        check_json_names(hostile.place)
        check_ids(hostile)
        check_messages(hostile)
        used = subprocess.run([node, f"{browser_checks}/names_check.mjs", modules, hostile.place, calm.place],
                              capture_output=True, text=True, timeout=SECONDS)
        need(used.returncode == 0, f"in the browser: {used.stderr[-1500:]}")
        print(f"{len(made)} files; {used.stdout.strip()}")
    end_where_any()


if __name__ == "__main__":
    main()
