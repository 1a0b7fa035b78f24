"""Measure the layout engine.

    python tests/bench/layout.py FILE.json --cap SECONDS     instances in the open benchmark form
    python tests/bench/layout.py --furniture                 seeded jobs like those of a furniture shop

FILE.json holds {"instances": [{"name", "bins": [[length, width, count or null, price]], "items": [[length, width,
count]]}]}, oriented pieces, through cuts. The last line printed is one JSON object.
"""

from __future__ import annotations

import argparse
import gc
import json
import resource
import sys
from concurrent.futures import ProcessPoolExecutor
from multiprocessing import get_context
from pathlib import Path
from random import Random
from time import perf_counter
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.work.layout import FIRST, Job, Rect, Saw, Stock, Want, lay_out

ENDLESS = 10**9
COMPILED = 300  # pieces; larger jobs are searched in Python alone


def read_job(instance: dict[str, Any]) -> Job:
    """A job from one instance of the open form."""
    wants = tuple(Want(str(i), w, h, n) for i, (w, h, n) in enumerate(instance["items"]))
    stocks = tuple(Stock(str(i), w, h, p, n) for i, (w, h, n, p) in enumerate(instance["bins"]))
    return Job(wants, stocks)


def rectangle_library(job: Job) -> int:
    """Price of a general rectangle-packing library: the best of its through-cut packers and orders."""
    import rectpack
    from rectpack import guillotine

    best = None
    for packer in (guillotine.GuillotineBssfSas, guillotine.GuillotineBafMaxas, guillotine.GuillotineBssfMaxas):
        for order in (rectpack.SORT_AREA, rectpack.SORT_LSIDE, rectpack.SORT_DIFF):
            for stock in job.stocks if len(job.stocks) > 1 else job.stocks[:1]:
                if any(w.length > stock.length or w.width > stock.width for w in job.wants):
                    continue
                pack = rectpack.newPacker(
                    mode=rectpack.PackingMode.Offline,
                    bin_algo=rectpack.PackingBin.BBF,
                    pack_algo=packer,
                    sort_algo=order,
                    rotation=False,
                )
                for want in job.wants:
                    for _ in range(want.count):
                        pack.add_rect(want.length, want.width)
                pack.add_bin(stock.length, stock.width, count=float("inf"))
                pack.pack()
                price = len(pack) * stock.price
                if len(pack.rect_list()) == sum(w.count for w in job.wants) and (best is None or price < best):
                    best = price
    return -1 if best is None else best


def open_instances(path: Path, cap: float, every: int, beside: bool) -> dict[str, Any]:
    """Run all instances of a file once each."""
    ready = get_ready()
    data = json.loads(path.read_text())
    chosen = data["instances"][::every]
    boards = bound_boards = proven = 0
    over = library_over = 0.0
    library_boards = library_known = 0
    times = []
    single = all(len(i["bins"]) == 1 for i in chosen)
    for instance in chosen:
        job = read_job(instance)
        start = perf_counter()
        plan = lay_out(job, effort=ENDLESS, seed=1, seconds=cap)
        times.append(perf_counter() - start)
        if plan.unplaced:
            raise SystemExit(f"{instance['name']}: pieces left out")
        boards += len(plan.boards)
        proven += plan.price == plan.bound
        over += float(plan.gap)
        if single:
            bound_boards += -(-plan.bound // job.stocks[0].price)
        if beside:
            price = rectangle_library(job)
            if price >= 0:
                library_known += 1
                library_boards += price // job.stocks[0].price if single else 0
                library_over += price / plan.bound - 1
        print(instance["name"], len(plan.boards), plan.price, plan.bound, round(times[-1], 3), flush=True)
    count = len(chosen)
    out: dict[str, Any] = {
        "file": path.name,
        "cap_seconds": cap,
        "instances": count,
        "boards": boards,
        "mean_price_over_bound_percent": round(100 * over / count, 3),
        "proven_optimal": proven,
        "ready_seconds": ready,
        "mean_seconds": round(sum(times) / count, 3),
        "worst_seconds": round(max(times), 3),
        "peak_megabytes": peak(),
    }
    if single:
        out["bound_boards"] = bound_boards
    if beside and library_known:
        out["rectpack"] = {
            "instances": library_known,
            "boards": library_boards if single else None,
            "mean_price_over_bound_percent": round(100 * library_over / library_known, 3),
        }
    return out


def get_ready() -> float:
    """Seconds to load the compiled rounds, or to compile them where they have never been used."""
    start = perf_counter()
    lay_out(furniture_job(60, 0), effort=2000, seconds=60)
    return round(perf_counter() - start, 2)


def peak() -> float:
    """Peak memory of this process in megabytes."""
    return round(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024, 1)


def furniture_job(pieces: int, seed: int) -> Job:
    """A batch of furniture: parts in 1 to 8 copies, in larger batches up to 40; yard boards, boards on hand.

    Sizes are tenths of a millimetre. Solid boards on odd seeds (crosscut, then rip), glued-up panels on
    even ones.
    """
    rng = Random(1000 * pieces + seed)
    solid = seed % 2 == 1
    wants: list[Want] = []
    left = pieces
    if pieces <= 200:
        alike = (1, 2, 2, 4, 4, 4, 6, 8)
    elif pieces <= 2000:
        alike = (2, 4, 4, 8, 8, 12, 16)
    else:
        alike = (8, 16, 16, 24, 32, 40)
    while left:
        count = min(left, rng.choice(alike))
        if solid:
            length = 10 * rng.choice((rng.randrange(150, 500), rng.randrange(300, 900), rng.randrange(600, 1900)))
            width = 10 * rng.choice((rng.randrange(25, 60), rng.randrange(40, 110), rng.randrange(70, 150)))
        else:
            length = 10 * rng.choice((rng.randrange(150, 450), rng.randrange(250, 900)))
            width = 10 * rng.choice((rng.randrange(60, 200), rng.randrange(120, 360)))
        wants.append(Want(f"P{len(wants) + 1}", length, width, count, may_turn=rng.random() < 0.15))
        left -= count
    if solid:
        stocks = [
            Stock(f"yard {w}x{n}", n * 10, w * 10, w * n // 400, None)
            for w in (120, 160, 200)
            for n in (2100, 2700, 3300)
        ]
        stocks.append(Stock("wide", 24000, 2600, 1450, max(1, pieces // 60)))
        stocks += [
            Stock(
                f"rack {i}",
                10 * rng.randrange(900, 2600),
                10 * rng.randrange(110, 220),
                0,
                1 + pieces // 300,
                on_hand=True,
            )
            for i in range(4)
        ]
        saw = Saw(kerf=30, end_trim=150, length_allowance=100, width_allowance=40, style="board")
    else:
        stocks = [
            Stock(f"panel {n}x{w}", n * 10, w * 10, n * w // 250, None)
            for n, w in ((800, 300), (1200, 400), (2000, 400), (2000, 600), (2400, 600))
        ]
        stocks += [
            Stock("offer", 22000, 5000, 3700, max(1, pieces // 60)),
            Stock("offcut A", 10 * rng.randrange(700, 1500), 10 * rng.randrange(300, 600), 0, 1, True),
            Stock(
                "offcut B",
                10 * rng.randrange(700, 1500),
                10 * rng.randrange(300, 600),
                0,
                2,
                True,
                (Rect(2000, 1000, 400, 300),),
            ),
        ]
        saw = Saw(kerf=32, edge_trim=50, end_trim=50)
    return Job(tuple(wants), tuple(stocks), saw)


def furniture(sizes: list[int], seeds: int) -> dict[str, Any]:
    """First, default and six-second answers for jobs of each size, each job in a process of its own."""
    out: dict[str, Any] = {}
    for pieces in sizes:
        with ProcessPoolExecutor(1, get_context("spawn"), max_tasks_per_child=1) as alone:
            rows = [alone.submit(furniture_answers, pieces, seed).result() for seed in range(seeds)]
        out[str(pieces)] = {
            "ready_seconds": max(r[0] for r in rows),
            "first_ms_mean": round(1000 * sum(r[1] for r in rows) / seeds, 1),
            "first_ms_worst": round(1000 * max(r[1] for r in rows), 1),
            "default_s_worst": round(max(r[2] for r in rows), 2),
            "gap_6s_percent_mean": round(100 * sum(r[3] for r in rows) / seeds, 2),
            "gap_6s_percent_worst": round(100 * max(r[3] for r in rows), 2),
            "peak_megabytes": max(r[4] for r in rows),
        }
    return out


def furniture_answers(pieces: int, seed: int) -> tuple[float, float, float, float, float]:
    """Seconds to get ready, for the first and the default answer, the gap after six seconds, the peak memory."""
    job = furniture_job(pieces, seed)
    ready = get_ready() if pieces <= COMPILED else 0.0
    lay_out(furniture_job(60, 0), effort=200)
    gc.collect()
    start = perf_counter()
    first = lay_out(job, effort=FIRST)
    at_once = perf_counter() - start
    start = perf_counter()
    usual = lay_out(job)
    default = perf_counter() - start
    long = lay_out(job, effort=ENDLESS, seconds=6)
    print(
        pieces,
        seed,
        "first",
        first.price,
        round(1000 * at_once, 1),
        "ms; default",
        usual.price,
        round(default, 2),
        "s; six seconds",
        long.price,
        "bound",
        long.bound,
        f"gap {100 * float(long.gap):.2f} % left out",
        sum(u.count for u in long.unplaced),
        peak(),
        "MB",
        flush=True,
    )
    return ready, at_once, default, float(long.gap), peak()


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("file", nargs="?", type=Path)
    parser.add_argument("--cap", type=float, default=1.0)
    parser.add_argument("--every", type=int, default=1, help="take every n-th instance")
    parser.add_argument("--no-rectpack", action="store_true")
    parser.add_argument("--furniture", action="store_true")
    parser.add_argument("--sizes", type=int, nargs="*", default=[60, 150, 1000, 5000])
    parser.add_argument("--seeds", type=int, default=4)
    args = parser.parse_args()
    if args.furniture:
        print(json.dumps(furniture(args.sizes, args.seeds)))
    elif args.file is not None:
        print(json.dumps(open_instances(args.file, args.cap, args.every, not args.no_rectpack)))
    else:
        parser.error("give a FILE.json or --furniture")


if __name__ == "__main__":
    main()
