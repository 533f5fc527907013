"""The program, run as its users run it, and what lies in a folder before and after."""
import hashlib
import os
import pathlib
import re
import shutil
import subprocess
import sys

sys.dont_write_bytecode = True  # nothing is written into the source tree
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent / "outside"))
from faults import end_where_any, faults, need  # noqa: E402,F401

LEFTOVER = re.compile(r"\.[^/]+\.partial-[0-9a-f]{6}")
SIZE = ["--width", "40", "--pitch-mm", "0.5", "--layers", "3"]  # small, and every kind of file is in it
SWATCHES = ["--swatch", "0.02,white,#d6d2c9", "--swatch", "0.05,white,#bcb4a6", "--swatch", "0.2,white,#8a7f6e",
            "--swatch", "0.02,black,#2b2a29", "--swatch", "0.05,black,#3d3a36", "--swatch", "0.2,black,#6d6456"]
LEGS = [word for leg in ("300,615,20", "300,660,11", "500,515,40", "100,50,0") for word in ("--segment", leg)]


def listing(folder):
    """Every file below a folder with the SHA-256 of its bytes, every folder and link by what it is."""
    folder = pathlib.Path(folder)
    found = {}
    for path in sorted(folder.rglob("*")):
        name = str(path.relative_to(folder))
        if path.is_symlink():
            found[name] = "link to " + os.readlink(path)
        elif path.is_dir():
            found[name] = "folder"
        else:
            found[name] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


class Bench:
    """A folder to work in with a picture and a shelf; `kept` is a cache that the plans below fill once."""

    def __init__(self, program, source, place):
        self.program, self.place = str(pathlib.Path(program).resolve()), pathlib.Path(place)
        source = pathlib.Path(source)
        self.picture, self.shelf = self.place / "tile.png", self.place / "shelf.toml"
        shutil.copy(source / "examples/marsh-tile/picture.png", self.picture)
        shutil.copy(source / "palettes/marsh-starter.toml", self.shelf)
        self.kept = self.place / "kept"

    def plan_words(self, out, title, *more, kept=None):
        return ["plan", str(self.picture), "--palette", str(self.shelf), *SIZE, "--title", title, "--out", str(out),
                "--kept", str(kept or self.kept), *more]

    def start(self, words, **how):
        how.setdefault("cwd", self.place)
        return subprocess.Popen([self.program, *map(str, words)], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE,
                                stderr=subprocess.PIPE, text=True, start_new_session=True, **how)

    def run(self, words, **how):
        started = self.start(words, **how)
        started.out, started.err = started.communicate()
        return started

    def plan(self, out, title, *more, kept=None):
        """Made whole, or this check ends here."""
        ended = self.run(self.plan_words(out, title, *more, kept=kept))
        if ended.returncode != 0:
            sys.exit(f"no plan to begin with: {ended.err}")
        return listing(out)


def refused(ended, place, words, code=1):
    """Whether a run ended by one line that names the place, what is wrong and what to do."""
    lines = ended.err.splitlines()
    return (ended.returncode == code and len(lines) == 1 and lines[0].startswith("powderplan: " + str(place))
            and any(word in lines[0] for word in words) and re.search(r"\); \w|[a-z]; \w", lines[0]) is not None)


def told(ended):
    return f"exit {ended.returncode}, {ended.err.strip()!r}"
