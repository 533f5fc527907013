"""Places where this user may not write, and palettes that nobody is to change."""
import os
import shutil
import subprocess

from full_disk import SmallDisk
from runs import SWATCHES, listing, need, refused, told

NOBODY = 65534


def as_nobody(words, bench):
    return bench.run(words, user=NOBODY, group=NOBODY, extra_groups=[])


def palette_commands(bench, shelf):
    return (["stock", bench.place / "model", "--palette", shelf, "--take"],
            ["fit", "--palette", shelf, "--powder", "heron-grey", *SWATCHES, "--update"])


def leaves_all(bench, folder, ended, place, words, what, code=1):
    before, result = ended
    need(refused(result, place, words, code), f"{what}: {told(result)}")
    need(listing(folder) == before, f"{what}: something was changed")


def check_folder(bench, run, folder, wrong, what):
    plan = folder / "plan"
    shutil.copytree(bench.place / "old", plan)
    shelf = folder / "shelf.toml"
    shutil.copy(bench.shelf, shelf)
    yield
    before = listing(folder)
    for words in (bench.plan_words(folder / "new-plan", "new"), bench.plan_words(plan, "new", "--replace"),
                  ["palette", bench.shelf, "--out", folder / "chart.png"]):
        leaves_all(bench, folder, (before, run(words)), folder, wrong, f"{what}, {words[0]}")
    for words in palette_commands(bench, shelf):
        leaves_all(bench, folder, (before, run(words)), folder, wrong, f"{what}, {words[0]}")


def check(bench):
    root = os.geteuid() == 0
    run = (lambda words: as_nobody(words, bench)) if root else bench.run
    if root and as_nobody(["--version"], bench).returncode != 0:
        print("unwritable: skipped as another user, who cannot reach the program")
    else:
        folder = bench.place / "not-mine"
        folder.mkdir()
        steps = check_folder(bench, run, folder, ["(Permission denied); "], "a folder of somebody else")
        next(steps)
        folder.chmod(0o555)
        next(steps, None)
        folder.chmod(0o755)
    with SmallDisk(bench.place / "read-only", size="32m") as disk:
        if not disk.mounted:
            print("unwritable: skipped on a read-only disk, this user may not mount one")
        else:
            steps = check_folder(bench, bench.run, disk.place, ["(Read-only file system); "], "a read-only disk")
            next(steps)
            subprocess.run(["mount", "-o", "remount,ro", str(disk.place)], check=True)
            next(steps, None)
    # Even root leaves a palette alone that nobody is to write.
    folder = bench.place / "read-only-palette"
    folder.mkdir()
    shelf = folder / "shelf.toml"
    shutil.copy(bench.shelf, shelf)
    shelf.chmod(0o444)
    before = listing(folder)
    for words in palette_commands(bench, shelf):
        leaves_all(bench, folder, (before, bench.run(words)), shelf, ["is read-only; "], f"a read-only palette, {words[0]}")
    need(shelf.stat().st_mode & 0o777 == 0o444, "the permissions of a read-only palette")
    print("unwritable: folders, disks and palettes are refused")
