#!/usr/bin/env python3
"""What the program writes depends on what it is given and on nothing else: not on threads, the cache, the folder,
the time zone, a decimal comma, the umask or the rest of the environment, and not on how it was compiled.

    sameness_check.py POWDERPLAN SOURCE [--quick] [--record FILE] [--against FILE ...]

--record writes the SHA-256 of every file; --against compares with what another build of the same sources has
recorded, where that is there. --quick looks at fewer surroundings, for a program that is slow.
"""
import argparse
import concurrent.futures
import hashlib
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile

from runs import LEGS, SWATCHES, end_where_any, listing, need

from PIL import Image, ImageDraw


def draw_lines(file):
    """A drawing of thin and thick strokes with one solid spot."""
    scale = 4
    image = Image.new("RGB", (360 * scale, 270 * scale), (250, 248, 240))
    pen = ImageDraw.Draw(image)
    for i in range(5):
        x = (60 + 60 * i) * scale
        pen.line([(x, 250 * scale), (x + 12 * scale, 150 * scale), (x + (8 + 9 * i) * scale, 60 * scale)],
                 fill=(30, 40, 35), width=(3 + i) * scale, joint="curve")
    pen.ellipse([20 * scale, 20 * scale, 90 * scale, 90 * scale], fill=(150, 60, 40))
    image.resize((360, 270), Image.LANCZOS).save(file)


def jobs():
    """(what, words); all names are relative, so that what is said is the same in every folder."""
    small = ["--width", "40", "--pitch-mm", "0.5"]
    shelf = ["--palette", "shelf.toml"]
    return [
        ("stencils and fades", ["plan", "tile.png", *shelf, *small, "--out", "plan"]),
        ("lines", ["plan", "lines.png", "--palette", "full.toml", "--width", "60", "--pitch-mm", "0.5", "--layers", "4",
                   "--out", "lines"]),
        ("panels", ["plan", "tile.png", *shelf, "--width", "140", "--pitch-mm", "1", "--smallest-mm", "4", "--layers",
                    "3", "--shelf", "150x150", "--shelf-margin-mm", "10", "--out", "panels"]),
        ("options", ["options", "tile.png", *shelf, *small, "--try", "layers=1,2", "--try", "base=white", "--out",
                     "options"]),
        ("tile", ["tile", *shelf, "--powder", "tide-blue,reed-gold", "--out", "step-tile"]),
        ("shelf", ["palette", "shelf.toml", "--out", "shelf.png"]),
        ("heat", ["heat", *LEGS, *shelf, "--plot", "kiln.svg"]),
        ("measured", ["fit", *shelf, "--powder", "heron-grey", *SWATCHES, "--chart", "fit.png"]),
        ("proof", ["proof", "plan", *shelf, "--out", "proof"]),
        ("cards", ["compare", "--cards", "cards.pdf"]),
        ("stock", ["stock", "plan", "lines", "--palette", "stock.toml", "--reserve", "300.5", "--take"])]


def prepare(source, place):
    place.mkdir(parents=True)
    shutil.copy(source / "examples/marsh-tile/picture.png", place / "tile.png")
    for name in ("shelf.toml", "stock.toml"):
        shutil.copy(source / "palettes/marsh-starter.toml", place / name)
    for name in ("full.toml", "stock.toml"):
        shutil.copy(source / "palettes/marsh-full.toml", place / name)
    draw_lines(place / "lines.png")


def made(program, source, place, surroundings):
    """Every file that the jobs make, and what they say, each by its SHA-256."""
    prepare(source, place)
    found = {}
    for what, words in jobs():
        more = []
        if words[0] in ("plan", "options"):
            more = ["--kept", surroundings.get("kept", "none")]
            if "threads" in surroundings:
                more += ["--threads", str(surroundings["threads"])]
        run = subprocess.run([program, *words, *more], cwd=place, capture_output=True, stdin=subprocess.DEVNULL,
                             env=surroundings.get("env"), umask=surroundings.get("umask", 0o022))
        if run.returncode != 0:
            sys.exit(f"{what}: exit {run.returncode}, {run.stderr.decode()}")
        said = run.stdout.replace(str(place.resolve()).encode(), b"HERE")  # full names where files were changed
        found["what is said of " + what] = hashlib.sha256(said).hexdigest()
    return found | listing(place)


def decimal_comma(place):
    """Surroundings in which numbers are written with a comma, or None where they cannot be made."""
    env = {"PATH": os.environ["PATH"], "LC_ALL": "de_DE.UTF-8"}
    for more in ({}, {"LOCPATH": str(place)}):
        if more and subprocess.run(["localedef", "-i", "de_DE", "-f", "UTF-8", str(place / "de_DE.UTF-8")],
                                   capture_output=True).returncode not in (0, 1):
            return None
        said = subprocess.run(["/bin/bash", "-c", "printf %.1f 1,5"], env=env | more, capture_output=True, text=True)
        if said.stdout == "1,5":
            return env | more
    return None


def variants(place, quick):
    """(what, folder, surroundings). The first is what all others are compared with."""
    base = dict(os.environ) | {"LC_ALL": "C.UTF-8", "TZ": "UTC"}
    all_of_them = [("as usual, two threads", "a", {"env": base, "threads": 2})]
    if not quick:
        all_of_them += [("one thread", "b", {"env": base, "threads": 1}),
                        ("once more", "c", {"env": base}),
                        ("a cache that is empty", "d", {"env": base, "kept": str(place / "kept")}),
                        ("a cache that is full", "e", {"env": base, "kept": str(place / "kept")})]
    # A deeper folder with a longer name, a home of nobody, and all of it at once.
    odd = {"TZ": "Pacific/Chatham" if os.path.exists("/usr/share/zoneinfo/Pacific/Chatham") else "<+1245>-12:45"}
    comma = decimal_comma(place)
    if comma is None:
        print("decimal comma: skipped, localedef cannot make de_DE.UTF-8 here (package locales)")
    all_of_them.append(("another desktop", "f/Säbelschnäbler im Watt/deep",
                        {"env": (comma or {"PATH": os.environ["PATH"]}) | odd, "umask": 0o077}))
    if not quick:
        all_of_them.append(("nothing in the environment", "g", {"env": {}, "umask": 0o002}))
    return all_of_them


def differing(one, other):
    return sorted(name for name in one.keys() | other.keys() if one.get(name) != other.get(name))


def fingerprint(source):
    """Of all that the program is made of."""
    whole = hashlib.sha256()
    for path in sorted([*(source / "src").rglob("*"), source / "CMakeLists.txt"]):
        if path.is_file():
            whole.update(str(path.relative_to(source)).encode() + b"\0" + path.read_bytes())
    return whole.hexdigest()


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program", type=lambda name: str(pathlib.Path(name).resolve()))
    parser.add_argument("source", type=pathlib.Path)
    parser.add_argument("--quick", action="store_true")
    parser.add_argument("--record", type=pathlib.Path)
    parser.add_argument("--against", type=pathlib.Path, nargs="*", default=[])
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory() as place:
        place = pathlib.Path(place)
        runs = variants(place, asked.quick)

        def one(run):
            what, folder, surroundings = run
            return what, made(asked.program, asked.source, place / folder, surroundings)

        # The full cache comes after the empty one; both stand at the end of the first half, in this order.
        with concurrent.futures.ThreadPoolExecutor(2) as pool:
            cached = [run for run in runs if "kept" in run[2]]
            others = [run for run in runs if "kept" not in run[2]]
            in_turn = pool.submit(lambda: [one(run) for run in cached])
            results = [*pool.map(one, others), *in_turn.result()]
        _, usual = results[0]
        for what, found in results[1:]:
            need(found == usual, f"{what}: differs in {differing(found, usual)}")
        kinds = json.loads((place / "a/lines/plan.json").read_text()), json.loads((place / "a/panels/plan.json").read_text())
        need(any(layer["technique"] == "line" for layer in kinds[0]["layers"]), "the plan with lines has none")
        need(len(kinds[1].get("panels", [])) > 1, "the plan in panels has none")
    print(f"{len(usual)} files and outputs, compared: {', '.join(what for what, _ in results)}")

    record = {"source": fingerprint(asked.source), "made": usual}
    if asked.record:
        asked.record.write_text(json.dumps(record, indent=1, sort_keys=True))
    for file in asked.against:
        if not file.exists():
            print(f"{file}: no other build has recorded there what it writes")
            continue
        if asked.record and file.samefile(asked.record):
            continue
        other = json.loads(file.read_text())
        if other["source"] != record["source"]:
            print(f"{file}: is of other sources, and is left alone")
            continue
        need(other["made"] == usual, f"the build that recorded {file} writes other bytes: {differing(other['made'], usual)}")
        print(f"{file}: the same bytes")
    end_where_any()


if __name__ == "__main__":
    main()
