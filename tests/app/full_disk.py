"""Disks that fill up at every stage of the writing: small tmpfs of which a filler leaves so many pages free."""
import os
import re
import shutil
import subprocess

from runs import LEGS, SWATCHES, listing, need, refused, told

PAGE = os.sysconf("SC_PAGESIZE")
FULL = ["(No space left on device); free some space on that disk, or choose another place"]


class SmallDisk:
    """A tmpfs of so many pages or inodes, or None where nothing may be mounted."""

    def __init__(self, place, **options):
        self.place = place
        place.mkdir(exist_ok=True)
        said = ",".join(f"{name}={value}" for name, value in options.items())
        self.mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", said, "tmpfs", str(place)],
                                      capture_output=True).returncode == 0

    def __enter__(self):
        return self

    def __exit__(self, *_):
        if self.mounted:
            subprocess.run(["umount", "-l", str(self.place)], check=True)

    def free_pages(self):
        facts = os.statvfs(self.place)
        return facts.f_bavail * facts.f_frsize // PAGE

    def leave(self, pages):
        """So many pages free, all others filled."""
        filler = self.place / "filler"
        filler.unlink(missing_ok=True)
        fill = self.free_pages() - pages
        with open(filler, "wb") as file:
            if fill > 0:
                os.posix_fallocate(file.fileno(), 0, fill * PAGE)
        assert self.free_pages() == pages, (self.free_pages(), pages)


def pages_needed(bench, disk, words, made):
    """Pages that a run takes where there are enough."""
    disk.leave(4096)
    before = disk.free_pages()
    ended = bench.run(words)
    need(ended.returncode == 0, f"{words[0]} where there is room: {told(ended)}")
    needed = before - disk.free_pages()
    for path in made:
        shutil.rmtree(path) if path.is_dir() else path.unlink()
    return needed


def stages(most):
    """Numbers of pages from none to one too few."""
    return sorted({0, 1, 2, most - 1, *(most * i // 6 for i in range(1, 6))})


def refuses_and_leaves_all(bench, disk, words, what):
    before = listing(disk.place)
    ended = bench.run(words)
    need(refused(ended, disk.place, FULL), f"{what}: {told(ended)}")
    after = listing(disk.place)
    need(after == before, f"{what}: changed or left behind {sorted(after.items() ^ before.items())}")
    return re.sub(r"^powderplan: (.*?): .*$", r"\1", ended.err.strip())


def plans(bench, disk, quick):
    out = disk.place / "plan"
    words = bench.plan_words(out, "new")
    most = pages_needed(bench, disk, words, [out])
    sizes = stages(most)[::3] + [most - 1] if quick else stages(most)
    named = set()
    for pages in sizes:
        disk.leave(pages)
        named.add(refuses_and_leaves_all(bench, disk, words, f"a new plan, {pages} of {most} pages free"))
    disk.leave(4096)
    bench.plan(out, "old")
    for pages in sizes:
        disk.leave(pages)
        named.add(refuses_and_leaves_all(bench, disk, [*words, "--replace"],
                                         f"a plan replaced, {pages} of {most} pages free"))
    # The disk filled where it was to: exactly as many pages as it takes are enough.
    disk.leave(most)
    ended = bench.run([*words, "--replace"])
    need(ended.returncode == 0, f"{most} pages free for {most}: {told(ended)}")
    need(quick or len(named) >= 4, f"the disk filled in no more files than {named}")
    shutil.rmtree(out)
    print(f"full disk: {2 * len(sizes)} plans of {most} pages refused at {len(named)} places")


def inodes(bench, place, quick):
    with SmallDisk(place, size="64m", nr_inodes=4000) as disk:
        facts = os.statvfs(disk.place)
        before = listing(bench.place / "model")
        used = len(before) + 1  # and the plan's own folder
        free = facts.f_favail
        out = disk.place / "plan"
        for left in (1, used - 1) if quick else (0, 1, 3, used // 2, used - 1):
            names = disk.place / "names"
            names.mkdir()
            for i in range(free - 1 - left):
                (names / str(i)).touch()
            need(os.statvfs(disk.place).f_favail == left, f"{left} inodes were to be left")
            refuses_and_leaves_all(bench, disk, bench.plan_words(out, "new"), f"{left} inodes of {used} left")
            shutil.rmtree(names)
    print("full disk: no inodes left, refused")


def other_commands(bench, disk, quick):
    at = disk.place
    plan = bench.place / "model"
    shelf, record = at / "shelf.toml", at / "shelf.taken.json"
    shutil.copy(bench.shelf, shelf)
    cases = [
        (["tile", "--palette", bench.shelf, "--powder", "tide-blue,reed-gold", "--out", at / "tile"], [at / "tile"]),
        (["palette", bench.shelf, "--out", at / "chart.png"], [at / "chart.png"]),
        (["heat", *LEGS, "--plot", at / "kiln.svg"], [at / "kiln.svg"]),
        (["stock", plan, "--palette", shelf, "--take"], [at / "shelf.before-1.toml", record]),
        (["fit", "--palette", shelf, "--powder", "heron-grey", *SWATCHES, "--update", "--chart", at / "fit.png"],
         [at / "shelf.before-1.toml", at / "fit.png"]),
        (["compare", "--cards", at / "cards.pdf"], [at / "cards.pdf"])]
    if not quick:
        cases += [
            (["options", bench.picture, "--palette", bench.shelf, "--width", "40", "--pitch-mm", "0.5",
              "--try", "layers=1,2", "--try", "base=white", "--kept", bench.kept, "--out", at / "options"],
             [at / "options"]),
            (["proof", plan, "--palette", bench.shelf, "--out", at / "proof"], [at / "proof"])]
    count = 0
    for words, made in cases:
        most = pages_needed(bench, disk, words, made)
        shutil.copy(bench.shelf, shelf)
        for pages in sorted(pages for pages in {0, 1, most // 2, most - 1} if pages < most):
            disk.leave(pages)
            refuses_and_leaves_all(bench, disk, words, f"{words[0]}, {pages} of {most} pages free")
            count += 1
    print(f"full disk: {count} runs of {len(cases)} other commands refused")


def cache(bench, disk, quick):
    """What cannot be kept is no reason not to plan."""
    for pages in (1,) if quick else (0, 1, 5):
        disk.leave(pages)
        before = listing(disk.place)
        out = bench.place / "beside-full-cache"
        made = bench.plan(out, "new", "--replace", kept=disk.place / "kept")
        need(made == listing(bench.place / "model"), f"another plan with {pages} pages for the cache")
        left = [name for name in listing(disk.place) if "partial" in name]
        need(not left, f"left in a full cache: {left}")
        shutil.rmtree(disk.place / "kept", ignore_errors=True)
        need(listing(disk.place) == before, "something beside the cache")
    print("full disk: plans are made beside a full cache")


def check(bench, quick):
    with SmallDisk(bench.place / "disk", size="32m", nr_inodes=10000) as disk:
        if not disk.mounted:
            print("full disk: skipped, this user may not mount a tmpfs here")
            return
        plans(bench, disk, quick)
        other_commands(bench, disk, quick)
        cache(bench, disk, quick)
    inodes(bench, bench.place / "few-names", quick)
