#!/usr/bin/env python3
"""Two runs at once into one place: one wins whole, the other says so and leaves it alone, and no grams are lost.

    two_runs_check.py POWDERPLAN SOURCE [--quick]

Offsets between the two are drawn anew for each round, of a fixed seed, and as small as the runs differ by
themselves: about a plan's time of writing. --quick does fewer rounds, for a program that is slow.
"""
import argparse
import json
import pathlib
import random
import re
import shutil
import tempfile
import time

from runs import SWATCHES, Bench, end_where_any, listing, need, refused, told

SEED = 77
MEANWHILE = ["while this one was at work, and stays; look at it"]


def both(bench, first, second, offset):
    """The ends of two runs of which the second starts so many seconds after the first, or before it."""
    commands = [first, second] if offset >= 0 else [second, first]
    runs = [bench.start(commands[0])]
    time.sleep(abs(offset))
    runs.append(bench.start(commands[1]))
    for run in runs:
        run.out, run.err = run.communicate()
    return runs if offset >= 0 else runs[::-1]


def only(folder, names, what):
    need(sorted(path.name for path in folder.iterdir()) == sorted(names),
         f"{what}: in the folder are {sorted(path.name for path in folder.iterdir())}")


def plans(bench, chance, rounds):
    """Titles tell the plans of the two runs apart."""
    made = {title: bench.plan(bench.place / title, title) for title in ("one", "two", "old")}
    where = bench.place / "at"
    counts = {"new": 0, "replace": 0}
    late = 0
    for number in range(rounds):
        replace = number % 2 == 1
        what = f"round {number}, two {'replacing' if replace else 'new'} plans"
        where.mkdir()
        plan = where / "plan"
        if replace:
            shutil.copytree(bench.place / "old", plan)
        words = [bench.plan_words(plan, title, *(["--replace"] if replace else [])) for title in ("one", "two")]
        ended = both(bench, *words, chance.uniform(-0.05, 0.05))
        now = listing(plan)
        winners = [title for title in ("one", "two") if now == made[title]]
        if not need(len(winners) == 1, f"{what}: what is there is neither plan"):
            shutil.rmtree(where)
            continue
        only(where, ["plan"], what)
        won, lost = (ended[("one", "two").index(winners[0])], ended[("two", "one").index(winners[0])])
        need(won.returncode == 0, f"{what}: the winner: {told(won)}")
        if replace and lost.returncode == 0:
            # Done before the other looked at the place: replaced as was asked.
            late += 1
        elif refused(lost, plan, ["is already there"], 2):
            late += 1
        else:
            need(refused(lost, plan, MEANWHILE), f"{what}: the other one: {told(lost)}")
            counts["replace" if replace else "new"] += 1
        shutil.rmtree(where)
    need(all(counts.values()), f"the runs did not meet: {counts}")
    print(f"plans: {rounds} rounds; the other one was told of it {counts['new']} times for a new plan and "
          f"{counts['replace']} times where one was replaced, {late} times it came too late or early to meet")


def charts(bench, chance, rounds):
    """Files of one place: a chart."""
    met = 0
    for number in range(rounds):
        chart = bench.place / "chart.png"
        words = ["palette", bench.shelf, "--out", chart]
        ended = both(bench, words, words, chance.uniform(-0.01, 0.01))
        codes = sorted(run.returncode for run in ended)
        what = f"round {number}, two charts: {[told(run) for run in ended]}"
        need(codes in ([0, 1], [0, 2]), what)
        met += codes == [0, 1]
        for run in ended:
            need(run.returncode != 1 or refused(run, chart, MEANWHILE), what)
        chart.unlink()
    need(met, "two charts never met")
    print(f"charts: {rounds} rounds, of which {met} met")


def plan_json(title, grams):
    return json.dumps({"schema": 1, "piece": {"title": title}, "firings": [{}],
                       "layers": [{"index": 1, "firing": 1, "powder": "tide-blue", "lands_g": grams, "sift_g": grams}],
                       "totals": [{"powder": "tide-blue", "lands_g": grams, "sift_g": grams, "used_g": grams}]})


def stock_of(shelf, powder="tide-blue"):
    part = shelf.read_text().split(f'id = "{powder}"')[1]
    return float(re.search(r"stock_g = ([\d.]+)", part).group(1))


def stock(bench, chance, rounds):
    """Every gram that a run says it took is off the jar, once."""
    where = bench.place / "shelf"
    where.mkdir()
    shelf = where / "shelf.toml"
    for name, grams in (("p", 3), ("q", 11)):
        (bench.place / name).mkdir()
        (bench.place / name / "plan.json").write_text(plan_json(name, grams))
    same = 0
    for number in range(rounds):
        shutil.copy(bench.shelf, shelf)
        before = stock_of(shelf)
        second = "q" if number % 2 == 0 else "p"
        ended = both(bench, *(["stock", bench.place / name, "--palette", shelf, "--take"] for name in ("p", second)),
                     chance.uniform(-0.004, 0.004))
        what = f"round {number}, stock taken for p and {second}: {[told(run) for run in ended]}"
        done = [run.returncode == 0 for run in ended]
        taken = done[0] * 3 + done[1] * (11 if second == "q" else 3)
        need(any(done) and abs(before - stock_of(shelf) - taken) < 1e-9,
             f"{what}: {before - stock_of(shelf)} g are off the jar, {taken} g were said to be")
        record = json.loads((where / "shelf.taken.json").read_text())
        need(sum(layer["grams"] for plan in record["taken"] for layer in plan["layers"]) == taken, f"{what}: the record")
        if second == "p":
            need(sum(done) == 1, f"{what}: taken twice")
            same += 1
        else:
            need(all(done), f"{what}: there was enough for both")
        only(where, ["shelf.toml", "shelf.taken.json", *(f"shelf.before-{i + 1}.toml" for i in range(sum(done)))], what)
        for path in where.iterdir():
            path.unlink()
    # Measured and taken at once: what either wrote is there in the end.
    for number in range(max(2, rounds // 4)):
        shutil.copy(bench.shelf, shelf)
        before = stock_of(shelf)
        fit = ["fit", "--palette", shelf, "--powder", "heron-grey", *SWATCHES, "--update"]
        ended = both(bench, fit, ["stock", bench.place / "q", "--palette", shelf, "--take"], chance.uniform(0, 0.5))
        what = f"round {number}, measured and taken: {[told(run) for run in ended]}"
        need(all(run.returncode == 0 for run in ended), what)
        need(before - stock_of(shelf) == 11 and "expected_error" in shelf.read_text(), f"{what}: one undid the other")
        for path in where.iterdir():
            path.unlink()
    print(f"stock: {rounds} rounds, {same} of them of one plan; no gram lost or taken twice")


def cache(bench, chance, rounds):
    """Two runs that keep results in one folder, begun empty."""
    model = listing(bench.place / "one")
    for number in range(rounds):
        kept = bench.place / "shared"
        words = [bench.plan_words(bench.place / f"by-{i}", "one", kept=kept) for i in range(2)]
        ended = both(bench, *words, chance.uniform(-0.05, 0.05))
        for i, run in enumerate(ended):
            made = bench.place / f"by-{i}"
            need(run.returncode == 0 and listing(made) == model, f"round {number}, a shared cache: {told(run)}")
            shutil.rmtree(made, ignore_errors=True)
        left = [path.name for path in kept.iterdir() if "partial" in path.name]
        need(not left, f"round {number}: left in the cache: {left}")
        shutil.rmtree(kept)
    print(f"cache: {rounds} rounds, the same plan each time")


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("source")
    parser.add_argument("--quick", action="store_true")
    asked = parser.parse_args()
    chance = random.Random(SEED)
    print(f"seed {SEED}")
    with tempfile.TemporaryDirectory() as place:
        bench = Bench(asked.program, asked.source, pathlib.Path(place))
        plans(bench, chance, 4 if asked.quick else 10)
        charts(bench, chance, 4 if asked.quick else 10)
        stock(bench, chance, 8 if asked.quick else 24)
        cache(bench, chance, 1 if asked.quick else 2)
    end_where_any()


if __name__ == "__main__":
    main()
