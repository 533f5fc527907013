#!/usr/bin/env python3
"""Gives the program plans, tiles, caches and files that lead elsewhere, and watches with strace what it opens.

    path_safety_check.py POWDERPLAN

A plan folder may have gone through many hands: names in plan.json that climb out, links, pipes, devices and pictures of
any size in it must be refused with one line, and a file that lies beside it must neither be opened nor changed. The same
for a tile, for a cache that others write to, and for what is replaced. A pipe or a device where a file is wanted must
neither hang the program nor fill the memory (RLIMIT_AS).
"""
import json
import os
import pathlib
import re
import resource
import shutil
import struct
import subprocess
import sys
import tempfile
import zlib

sys.dont_write_bytecode = True  # nothing is written into the source tree
import hostile_names as names
from faults import end_where_any, need

SECONDS = 60
MOST_MEMORY = 3 << 30
CALLS = "open,openat,openat2,creat,mkdir,mkdirat,rename,renameat,renameat2,unlink,unlinkat,rmdir,link,linkat,symlink," \
        "symlinkat,truncate,utimensat,chmod,fchmodat,chown,fchownat,mknod,mknodat"


class Watched:
    """The program, run below strace in a place of its own with a file that is none of its business."""

    def __init__(self, program, place):
        self.program, self.place = program, place
        self.canary = place / "secret.png"
        names.picture(self.canary)
        os.utime(self.canary, ns=(10**18, 10**18))
        self.before = self.canary.read_bytes()

    def run(self, *words, code, says="", writes=()):
        """Runs it; `writes` are the names below the place that it may make, change or remove."""
        trace = self.place / "trace"
        what = " ".join(str(word) for word in words)[:120]
        limit = lambda: resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        command = ["strace", "-f", "-q", "-y", "-s", "4096", "-o", trace, "-e", f"trace={CALLS}", self.program, *words]
        try:
            done = subprocess.run(command, cwd=self.place, capture_output=True, text=True, timeout=SECONDS, preexec_fn=limit)
        except subprocess.TimeoutExpired:
            need(False, f"{what}: hangs")
            return ""
        if not need(done.returncode == code, f"{what}: exit code {done.returncode} instead of {code}: {done.stderr[:300]}") \
                and code == 0:
            end_where_any()  # what follows would only miss its files
        need(says in done.stderr, f"{what}: says {done.stderr.strip()!r} without {says!r}")
        if code:
            need(done.stderr.count("\n") == 1, f"{what}: more than a line: {done.stderr!r}")
            need("; " in done.stderr, f"{what}: no remedy: {done.stderr!r}")
            need("inside the program" not in done.stderr, f"{what}: taken for a fault of its own: {done.stderr!r}")
        self.check_trace(trace.read_text(errors="replace"), what, writes)
        facts = self.canary.stat()
        need(self.canary.read_bytes() == self.before and facts.st_mtime_ns == 10**18, f"{what}: changes what is outside")
        return done.stdout

    def check_trace(self, trace, what, writes):
        need("openat(" in trace, f"{what}: strace saw nothing")
        for line in trace.splitlines():
            call = line.split(None, 1)[-1]
            made = not call.startswith("open") or re.search(r"O_(WRONLY|RDWR|CREAT|TRUNC)", call)
            # With -y every name stands behind the folder that it counts from.
            for folder, name in re.findall(r'(?:[A-Z_0-9]+<([^>]*)>, )?"((?:[^"\\]|\\.)*)"', call):
                path = pathlib.Path(folder or self.place, name)
                # What is renamed or removed is the link itself.
                real = path.parent.resolve() / path.name if call.startswith(("rename", "unlink", "rmdir")) else path.resolve()
                need(real != self.canary, f"{what}: touches what is outside: {line[:200]}")
                if made and " = -1 E" not in line:
                    need(self.may_write(real, writes), f"{what}: writes elsewhere: {line[:200]}")

    def may_write(self, real, writes):
        ours = any(real.is_relative_to(self.place / name) or any(
            part.startswith((f".{name}.partial-", f".{name}.old-")) for part in real.relative_to(self.place).parts[:1])
            for name in writes) if real.is_relative_to(self.place) else False
        # Typefaces are looked up by fontconfig in its own cache.
        return ours or str(real).startswith(("/dev/", "/proc/")) or "fontconfig" in real.parts


def png_of_size(width, height):
    """The beginning of a grey picture of that size; its rows are not there."""
    chunk = lambda name, data: struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, 16, 0, 0, 0, 0)) + \
        chunk(b"IDAT", zlib.compress(bytes(1000))) + chunk(b"IEND", b"")


def hostile_plans(place, plan):
    """Name, what is done to a copy of the plan, and what must be said of it."""
    first = json.loads((plan / "plan.json").read_text())["layers"][0]["amount"]

    def amount(name):
        def change(folder):
            text = (folder / "plan.json").read_text()
            (folder / "plan.json").write_text(text.replace(json.dumps(first), json.dumps(name), 1))
        return change

    def instead(name, make):
        def change(folder):
            target = folder / name
            shutil.rmtree(target) if target.is_dir() else target.unlink()
            make(target)
        return change

    link = lambda to: lambda target: target.symlink_to(to)
    outside = "outside of the folder"
    yield "climbs", amount("../secret.png"), "lies outside the plan"
    yield "climbs far", amount("layers/../../secret.png"), "lies outside the plan"
    yield "absolute", amount(str(place / "secret.png")), "lies outside the plan"
    yield "nul", amount(first + "\0.png"), "lies outside the plan"
    yield "device by name", amount("/dev/zero"), "lies outside the plan"
    for name in (first, "plan.json", "separation/labels.png", "separation/separation.json", "previews/target.png"):
        yield f"link {name}", instead(name, link(place / "secret.png")), outside
        yield f"device {name}", instead(name, link("/dev/zero")), outside
        yield f"pipe {name}", instead(name, os.mkfifo), "is no file"
        yield f"folder {name}", instead(name, os.mkdir), "is no file"
    yield "relative link", instead(first, link("../../secret.png")), outside
    yield "folder by link", instead("layers", link(place)), "no such file"
    yield "link to itself", instead(first, link(pathlib.Path(first).name)), "cannot be looked at"
    for name in (first, "separation/labels.png", "previews/target.png"):
        yield f"large {name}", instead(name, lambda target: target.write_bytes(png_of_size(60000, 60000))), "60000 x 60000"


def check_plans(run, plan):
    for name, change, says in hostile_plans(run.place, plan):
        folder = run.place / "plan-copy"
        shutil.copytree(plan, folder, symlinks=True)
        change(folder)
        run.run("proof", "plan-copy", "--palette", "shelf.toml", "--out", "none", code=3, says=says, writes=["none"])
        if "plan.json" in name:
            run.run("stock", "plan-copy", "--palette", "shelf.toml", code=3, says=says)
        shutil.rmtree(folder)
    need(not (run.place / "none").exists(), "a refused plan leaves a proof")


def check_replacing(run, plan, flags):
    """Links in a folder that is replaced are removed, not followed."""
    beside = run.place / "beside"
    beside.mkdir()
    (beside / "kept.txt").write_text("mine")
    shutil.copytree(plan, run.place / "plan-old", symlinks=True)
    shutil.rmtree(run.place / "plan-old/previews")
    (run.place / "plan-old/previews").symlink_to(beside)
    (run.place / "plan-old/layers/x.png").symlink_to(run.canary)
    run.run("plan", "plain.png", *flags, "--out", "plan-old", "--replace", code=0, writes=["plan-old"])
    need((beside / "kept.txt").read_text() == "mine" and len(list(beside.iterdir())) == 1, "replacing follows a link")
    need(not (run.place / "plan-old/previews").is_symlink(), "a link is left in the new plan")
    # A name that is a link to somebody's folder, and one that leads nowhere.
    (run.place / "link").symlink_to(beside)
    run.run("plan", "plain.png", *flags, "--out", "link", "--replace", code=2, says="holds \"kept.txt\"")
    (run.place / "nowhere").symlink_to(run.place / "missing")
    run.run("plan", "plain.png", *flags, "--out", "nowhere", "--replace", code=2, says="is there and is no folder")
    # The file that is written before it gets its name.
    (run.place / "chart.png").symlink_to(run.canary)
    run.run("palette", "shelf.toml", "--out", "chart.png", "--replace", code=0, writes=["chart.png"])
    need(not (run.place / "chart.png").is_symlink(), "a chart is written through a link")


def check_cache(run, flags):
    """What lies in a shared cache is not trusted, and links there are not followed."""
    kept = run.place / "kept"
    flags = [*flags[:flags.index("--kept")], *flags[flags.index("--kept") + 2:], "--kept", "kept"]
    run.run("plan", "plain.png", *flags, "--out", "first", code=0, writes=["first", "kept"])
    entries = sorted(kept.iterdir())
    need(len(entries) > 2, f"only {len(entries)} entries are kept")
    makers = [lambda file: file.symlink_to(run.canary), lambda file: file.symlink_to("/dev/zero"), os.mkfifo,
              lambda file: file.write_bytes(b"\x1f\x8b\x08" + bytes(50)),
              lambda file: file.write_bytes(zlib.compress(bytes(1 << 20), wbits=31)),
              lambda file: file.write_bytes(zlib.compress(b"\xff" * (1 << 20), wbits=31))]
    for place, entry in enumerate(entries):
        entry.unlink()
        makers[place % len(makers)](entry)
    run.run("plan", "plain.png", *flags, "--out", "second", code=0, writes=["second", "kept"])
    for file in sorted(path for path in (run.place / "first").rglob("*") if path.is_file()):
        other = run.place / "second" / file.relative_to(run.place / "first")
        need(other.is_file() and other.read_bytes() == file.read_bytes(), f"{file.name}: another with a hostile cache")


def check_devices(run):
    """Where a file is wanted."""
    os.mkfifo(run.place / "pipe")
    flags = ["--palette", "shelf.toml", "--width", "40", "--kept", "none", "--out", "none"]
    for picture in ("pipe", "/dev/zero"):
        run.run("plan", picture, *flags, code=3, says="is a device or a pipe", writes=["none"])
    with open(run.place / "hole.png", "wb") as hole:
        hole.write(png_of_size(100, 100))
        hole.truncate(1 << 42)
    run.run("plan", "hole.png", *flags, code=3, says="the cap is", writes=["none"])
    (run.place / "large.png").write_bytes(png_of_size(2**31 - 1, 2**31 - 1))
    run.run("plan", "large.png", *flags, code=3, says="megapixels", writes=["none"])
    for text, says in (("pipe", "nothing writes into it"), ("/dev/zero", "larger than 20 MB")):
        run.run("palette", text, code=3, says=says)
        run.run("heat", text, code=3, says=says)
        run.run("plan", "plain.png", "--piece", text, code=3, says=says)
        run.run("stock", "plan", "--palette", "shelf.toml", "--weights", text, code=3, says=says)
    for image, says in (("/dev/zero", "is a device or a pipe"), ("plain.png\0", "U+0000"), ("../", "is a folder")):
        (run.place / "odd.toml").write_text(f"[piece]\nimage = {names.toml(image)}\n")
        run.run("plan", "--piece", "odd.toml", *flags, code=3, says=says, writes=["none"])


def check_tile(run):
    run.run("tile", "--palette", "shelf.toml", "--powder", "con", "--out", "tile", code=0, writes=["tile"])
    fit = ["fit", "plain.png", "--tile", "tile", "--palette", "shelf.toml"]
    (run.place / "tile/tile.json").unlink()
    (run.place / "tile/tile.json").symlink_to(run.canary)
    run.run(*fit, code=3, says="outside of the folder")
    (run.place / "tile/tile.json").unlink()
    os.mkfifo(run.place / "tile/tile.json")
    run.run(*fit, code=3, says="is no file")


def main():
    if shutil.which("strace") is None:
        print("strace is missing; \"scripts/setup tests\" installs it")
        return 77
    with tempfile.TemporaryDirectory() as place:
        place = pathlib.Path(place).resolve()
        run = Watched(sys.argv[1], place)
        (place / "shelf.toml").write_text(names.shelf(names.harmless), encoding="utf-8")
        names.picture(place / "plain.png")
        flags = ["--palette", "shelf.toml", "--width", "40", "--pitch-mm", "0.5", "--base", "clear", "--layers", "3",
                 "--threads", "2", "--kept", "none"]
        run.run("plan", "plain.png", *flags, "--out", "plan", code=0, writes=["plan"])
        check_plans(run, place / "plan")
        check_replacing(run, place / "plan", flags)
        check_cache(run, flags)
        check_devices(run)
        check_tile(run)
    end_where_any()
    print("nothing outside of what was named is opened or changed")
    return 0


if __name__ == "__main__":
    sys.exit(main())
