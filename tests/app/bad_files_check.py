"""Runs the program on every bad file of data/bad/cases.toml and holds what it says against the table there.

    bad_files_check.py PROGRAM SOURCE_FOLDER [--unlimited] [--show] [--only NAME]

Each case runs in a folder of its own. The exit code, all of stderr and the notes must be those of the table, no
file may change, and nothing new may lie there but what the table says. Every fault is printed. The program may
take 2 GB of addresses, so that a file which asks for more than it is worth is found; --unlimited leaves that out
and with it the cases that need it (address sanitizers take more for themselves). --show prints what the program
says now, for those who write a case.
"""
import concurrent.futures
import hashlib
import json
import os
import pathlib
import shlex
import shutil
import subprocess
import sys
import tempfile
import tomllib

import bad_pictures

MOST_KILOBYTES = 2 << 20  # of addresses
MOST_SECONDS = 300  # one that hangs; no measure of speed
NOTE = "  note     "
# What most cases begin with.
PICTURE = "plan bad.png --palette shelf.toml"
SMALL_PLAN = ("--base white --width 20 --pitch-mm 2 --layers 1 --techniques stencil --firings 1 --kept none "
              "--out out")


class Check:
    def __init__(self, program, source, limited):
        self.program = program
        self.source = source
        self.bad = source / "tests" / "data" / "bad"
        self.limited = limited
        self.plan = None  # of a small piece, for what reads plans

    def run(self, words, bench, kept_apart):
        # Arenas: the C library sets addresses aside for each thread, many more than it uses.
        own = {"PATH": os.defpath, "LANG": "C.UTF-8", "TMPDIR": str(kept_apart), "XDG_CACHE_HOME": "/dev/null/nowhere",
               "MALLOC_ARENA_MAX": "2"}
        limit = f"ulimit -v {MOST_KILOBYTES}; " if self.limited else ""
        return subprocess.run(["/bin/sh", "-c", f'{limit}exec "$@"', "sh", self.program, *words], cwd=bench, env=own,
                              capture_output=True, timeout=MOST_SECONDS, stdin=subprocess.DEVNULL)

    def furnish(self, bench):
        shutil.copy(self.source / "palettes" / "marsh-starter.toml", bench / "shelf.toml")
        shutil.copy(self.source / "examples" / "marsh-tile" / "picture.png", bench / "tile.png")

    def make_plan(self, folder):
        bench = folder / "bench"
        bench.mkdir()
        self.furnish(bench)
        words = "plan tile.png --palette shelf.toml --base white --width 40 --pitch-mm 0.5 --layers 4 --out plan"
        done = self.run(shlex.split(words), bench, folder)
        if done.returncode != 0:
            raise SystemExit(f"the plan that the cases damage was not made: {done.stderr.decode()}")
        self.plan = bench / "plan"

    def prepare(self, case, bench):
        self.furnish(bench)
        if case.get("plan"):
            shutil.copytree(self.plan, bench / "plan")
        if case.get("tile"):
            shutil.copytree(self.source / "examples" / "step-tile", bench / "tile")
            shutil.copy(self.source / "palettes" / "marsh-full.toml", bench / "shelf.toml")  # has its powders
        for name in case.get("folders", []):
            (bench / name).mkdir()
        for name, origin in case.get("files", {}).items():
            shutil.copy(self.bad / origin, bench / name)
        for name, maker in case.get("pictures", {}).items():
            (bench / name).write_bytes(getattr(bad_pictures, maker)())
        for change in case.get("changes", []):
            damage(bench / change["file"], change)

    def words_of(self, case):
        text = case["run"].replace("PICTURE", PICTURE).replace("SMALL", SMALL_PLAN)
        return shlex.split(text)

    def faults(self, case):
        """What is wrong with this case, and what the program said."""
        with tempfile.TemporaryDirectory(prefix="powderplan-bad-") as name:
            folder = pathlib.Path(name)
            bench, apart = folder / "bench", folder / "apart"
            bench.mkdir()
            apart.mkdir()
            self.prepare(case, bench)
            before = listing(bench)
            try:
                done = self.run(self.words_of(case), bench, apart)
            except subprocess.TimeoutExpired:
                return [f"did not end within {MOST_SECONDS} s"], None
            said = done.stderr.decode(errors="backslashreplace").replace(str(bench.resolve()), "BENCH")
            out = done.stdout.decode(errors="backslashreplace")
            notes = [line[len(NOTE):] for line in out.splitlines() if line.startswith(NOTE)]
            faults = []
            if done.returncode != case["code"]:
                faults.append(f"ended with {done.returncode}, not {case['code']}")
            expected = "".join(line + "\n" for line in [case["says"]] if line)
            if said != expected:
                faults.append(f"said    {said!r}\n    not     {expected!r}")
            if notes != case.get("notes", []):
                faults.append(f"noted   {notes}\n    not     {case.get('notes', [])}")
            if done.returncode != 0 and out:
                faults.append(f"printed {out!r} before it failed")
            faults += changed(before, listing(bench), case.get("makes", []))
            faults += [f"left {entry.name} with the temporary files" for entry in apart.iterdir()]
            return faults, {"code": done.returncode, "says": said.rstrip("\n"), "notes": notes}


def damage(file, change):
    if change.get("gone"):
        shutil.rmtree(file) if file.is_dir() else file.unlink()
        return
    if "picture" in change:
        file.write_bytes(getattr(bad_pictures, change["picture"])())
        return
    if "text" in change:
        file.write_text(change["text"])
        return
    old = file.read_bytes()
    if "keep" in change:
        file.write_bytes(old[:change["keep"]])
        return
    found = change["find"].encode()
    if found not in old:
        raise SystemExit(f"{file.name} does not hold {change['find']!r}: mend the case")
    file.write_bytes(old.replace(found, change["put"].encode(), 1))


def listing(bench):
    return {str(path.relative_to(bench)): hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else ""
            for path in bench.rglob("*")}


def changed(before, after, makes):
    faults = [f"{name} is gone" for name in before if name not in after]
    faults += [f"{name} was changed" for name in before if name in after and after[name] != before[name]]
    new = sorted({name.split("/")[0] for name in after if name not in before})
    if new != sorted(makes):
        faults.append(f"made {new}, not {sorted(makes)}")
    return faults


def main():
    words = sys.argv[1:]
    flags = {word for word in words if word in ("--unlimited", "--show")}
    only = words[words.index("--only") + 1] if "--only" in words else ""
    check = Check(str(pathlib.Path(words[0]).resolve()), pathlib.Path(words[1]).resolve(), "--unlimited" not in flags)
    with open(check.bad / "cases.toml", "rb") as table:
        cases = tomllib.load(table)["case"]
    names = [case["name"] for case in cases]
    twice = {name for name in names if names.count(name) > 1}
    used = {origin for case in cases for origin in case.get("files", {}).values()}
    there = {str(path.relative_to(check.bad)) for path in check.bad.rglob("*") if path.is_file()}
    bad = [f"{name}: is there twice" for name in sorted(twice)]
    bad += [f"{name}: no case uses it" for name in sorted(there - used - {"cases.toml", "README.md"})]

    cases = [case for case in cases if only in case["name"] and (check.limited or not case.get("needs_limit"))]
    with tempfile.TemporaryDirectory(prefix="powderplan-bad-") as name:
        check.make_plan(pathlib.Path(name))
        with concurrent.futures.ThreadPoolExecutor(2) as two:
            for case, (faults, said) in zip(cases, two.map(check.faults, cases)):
                if "--show" in flags:
                    print(json.dumps({"name": case["name"], **(said or {})}, ensure_ascii=False))
                bad += [f"{case['name']}: {fault}" for fault in faults]
    if "--show" not in flags:
        for fault in bad:
            print(fault)
        print(f"{len(cases)} cases, {len(bad)} faults")
    return 1 if bad else 0


if __name__ == "__main__":
    sys.exit(main())
