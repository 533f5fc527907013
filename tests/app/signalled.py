"""Runs that are ended by a signal at any moment: a plan is the old one or the new one, byte for byte."""
import concurrent.futures
import ctypes
import os
import platform
import random
import shutil
import signal
import struct
import time

from runs import LEFTOVER, listing, need, refused, told

SEED = 20240611
SIGNALS = [signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP]
LONGEST = 120  # s that any wait may take before it is given up


def without_swaps():
    """From here on the kernel knows no renames with flags, as on file systems that lack them: EINVAL."""
    number = {"x86_64": 316, "aarch64": 276}[platform.machine()]
    load, jump, give = 0x20, 0x15, 0x06  # BPF_LD|W|ABS, BPF_JMP|JEQ|K, BPF_RET|K of linux/bpf_common.h
    allow, refuse = 0x7FFF0000, 0x00050000 | 22  # linux/seccomp.h: allow; an error of the number EINVAL
    code = b"".join(struct.pack("HBBI", *one) for one in
                    [(load, 0, 0, 0), (jump, 0, 1, number), (give, 0, 0, refuse), (give, 0, 0, allow)])
    program = ctypes.create_string_buffer(code, len(code))
    whole = ctypes.create_string_buffer(struct.pack("HxxxxxxP", 4, ctypes.addressof(program)))
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.prctl(38, 1, 0, 0, 0) != 0 or libc.prctl(22, 2, whole) != 0:  # no new privileges; a filter
        os._exit(97)


def hidden(place):
    return sorted(name for name in os.listdir(place) if name.startswith("."))


def partial_files(place):
    """How many files the folder in the making holds by now; -1 where there is none."""
    for name in hidden(place):
        if LEFTOVER.fullmatch(name):
            return sum(len(files) for _, _, files in os.walk(place / name))
    return -1


class Kills:
    def __init__(self, bench, place, old, new, seconds, writing, files):
        self.bench, self.place, self.old, self.new = bench, place, old, new
        self.seconds, self.writing, self.files = seconds, writing, files
        self.ended = {"old": 0, "new": 0}
        self.left = 0
        place.mkdir()
        (place / "old").mkdir()
        self.plan = place / "at" / "plan"
        self.plan.parent.mkdir()
        shutil.copytree(bench.place / "old", self.plan)

    def await_moment(self, run, aim, chance):
        """Returns at the moment to send the signal, or when the run is over."""
        def until(holds):
            end = time.monotonic() + LONGEST
            while run.poll() is None and not holds():
                time.sleep(0.0002)
                if time.monotonic() > end:
                    run.kill()
                    raise TimeoutError(f"{aim} was not seen")
        where = self.plan.parent
        if aim == "any moment":
            time.sleep(chance * self.seconds)
        elif aim == "the first file":
            until(lambda: partial_files(where) > 0)
        elif aim == "while files are written":
            until(lambda: partial_files(where) > 0)
            time.sleep(chance * self.writing)
        elif aim == "the last files":
            until(lambda: partial_files(where) >= self.files - int(3 * chance))
        elif aim == "the swap":
            before = self.plan.stat().st_ino
            def swapped():
                try:
                    return self.plan.stat().st_ino != before
                except FileNotFoundError:  # only where swaps take two steps
                    return True
            until(swapped)

    def kill(self, number, aim, sent, chance, cold, **how):
        what = f"kill {number}, {sent.name} at {aim}"
        where = self.plan.parent
        kept = self.place / "cold" if cold else self.bench.kept
        run = self.bench.start(self.bench.plan_words(self.plan, "new", "--replace", kept=kept), **how)
        self.await_moment(run, aim, chance)
        run.send_signal(sent)
        run.out, run.err = run.communicate(timeout=LONGEST)
        swaps = "preexec_fn" not in how
        if not swaps and not self.plan.exists():
            # Between the two steps: the next run puts it back, even one that then refuses.
            again = self.bench.run(self.bench.plan_words(self.plan, "new"))
            need(refused(again, self.plan, ["is already there"], 2), f"{what}: not put back: {told(again)}")
        now = listing(self.plan) if self.plan.exists() else {}
        which = "old" if now == self.old else "new" if now == self.new else None
        if not need(which, f"{what}: the plan is neither the old nor the new one but {len(now)} things, "
                           f"{sorted(now.items() ^ self.old.items())[:3]}"):
            which = "new"
        self.ended[which] += 1
        if sent == signal.SIGKILL:
            need(run.returncode in (-sent, 0), f"{what}: {told(run)}")
            need(swaps is False or all(LEFTOVER.fullmatch(name) for name in hidden(where)),
                 f"{what}: left {hidden(where)}")
        else:
            need((run.returncode, which) in ((-sent, "old"), (0, "new")), f"{what}: {told(run)}, {which}")
            need(run.returncode == 0 or not run.err, f"{what}: said {run.err!r}")
            need(not hidden(where), f"{what}: left {hidden(where)}")
        if hidden(where):
            self.left += 1
            again = self.bench.run(self.bench.plan_words(self.plan, "new", "--replace"))
            need(again.returncode == 0 and listing(self.plan) == self.new, f"{what}: the next run: {told(again)}")
            which = "new"
        need(sorted(os.listdir(where)) == ["plan"], f"{what}: {os.listdir(where)} after the next run")
        if cold:
            # What a killed run left in the cache goes with the next entry that is kept there.
            ended = self.bench.run(self.bench.plan_words(self.place / "warm", "new", "--replace", "--smallest-mm", "3",
                                                         kept=kept))
            left = [name for name in os.listdir(kept) if "partial" in name]
            need(ended.returncode == 0 and not left, f"{what}: left in the cache {left}, {told(ended)}")
            shutil.rmtree(kept)
        if which == "new":
            shutil.rmtree(self.plan)
            shutil.copytree(self.bench.place / "old", self.plan)


def check(bench, quick):
    place = bench.place
    old, new = listing(place / "old"), listing(place / "model")
    # How long a whole run takes, and how much of it the writing.
    (place / "measured").mkdir()
    begun, wrote = time.monotonic(), None
    run = bench.start(bench.plan_words(place / "measured" / "plan", "new"))
    while run.poll() is None:
        if wrote is None and partial_files(place / "measured") > 0:
            wrote = time.monotonic()
        time.sleep(0.0005)
    run.communicate()
    seconds, writing = time.monotonic() - begun, time.monotonic() - (wrote or begun)
    files = sum(what not in ("folder",) for what in new.values())

    chance = random.Random(SEED)
    aims = ["any moment", "the first file", "while files are written", "the last files", "the swap"]
    count = 10 if quick else 50
    # Every signal at every aim, in an order of its own.
    kills = [(number, aims[number % 5], SIGNALS[number // 5 % 4], chance.random()) for number in range(count)]
    workers = [Kills(bench, place / f"kills-{i}", old, new, seconds, writing, files) for i in range(2)]

    def work(which):
        worker = workers[which]
        for number, aim, sent, at in kills[which::2]:
            # A few with nothing kept, so that the cache is being written too; their moments are in the planning.
            worker.kill(number, aim, sent, at, cold=aim == "any moment" and number % 3 == 0 and not quick)

    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        list(pool.map(work, range(2)))
    stayed, came = (sum(worker.ended[which] for worker in workers) for which in ("old", "new"))
    need(stayed and came, "all plans were old, or all new: the moments are not spread")
    print(f"signals: {count} at moments of seed {SEED}: {stayed} old plans, {came} new ones, all whole; "
          f"{sum(worker.left for worker in workers)} times the next run tidied up")


def check_without_swaps(bench, quick):
    """A file system where a swap takes two steps."""
    if platform.machine() not in ("x86_64", "aarch64"):
        print("two-step swaps: skipped, the number of the system call is not known for this processor")
        return
    place = bench.place
    old, new = listing(place / "old"), listing(place / "model")
    worker = Kills(bench, place / "two-steps", old, new, 0, 0, 0)
    ended = bench.run(bench.plan_words(worker.plan, "new", "--replace"), preexec_fn=without_swaps)
    need(ended.returncode == 0 and listing(worker.plan) == new, f"two-step swaps: {told(ended)}")
    need(os.listdir(worker.plan.parent) == ["plan"], f"two-step swaps left {os.listdir(worker.plan.parent)}")
    # Killed between the two steps.
    for aside_name, there in ((".plan.old-0a1b2c", False), (".plan.old-ffffff", True)):
        aside = worker.plan.parent / aside_name
        shutil.copytree(place / "old", aside)
        if not there:
            shutil.rmtree(worker.plan)
        ended = bench.run(bench.plan_words(worker.plan, "new"))
        need(refused(ended, worker.plan, ["is already there"], 2), f"an old plan beside its place: {told(ended)}")
        need(listing(worker.plan) == old and os.listdir(worker.plan.parent) == ["plan"],
             f"an old plan beside its place, {'with' if there else 'without'} a new one: "
             f"{os.listdir(worker.plan.parent)}")
    for number in range(2 if quick else 6):
        worker.kill(number, "the swap", signal.SIGKILL if number % 2 == 0 else signal.SIGTERM, 0, cold=False,
                    preexec_fn=without_swaps)
    print("signals: where a swap takes two steps, what was aside is put back")
