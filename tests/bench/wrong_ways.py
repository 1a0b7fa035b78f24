"""Every wrong way and every wrong piece, stage by stage, of all samples and of random builds, against brute force with
meshes of another library (`tests/work/order/brute_force.py`).

    python tests/bench/wrong_ways.py [20]        so many random builds

Prints what differs, and processor seconds of both.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.documents.job import Job
from shopdocs.pipeline import propose_stages
from tests.leaning_stools import Stool
from tests.sample_jobs import PLACED, job_of
from tests.work.order.brute_force import Brute, exchanged, gets, named_pairs, told, told_exchanged
from tests.work.order.random_builds import assembled


def compared(name: str, job: Job) -> int:
    """How many pieces and pairs differ; prints them."""
    assert job.alike is not None
    brute, wrong = Brute(job), 0
    seconds = {"ours": 0.0, "theirs": 0.0}

    def timed(whose: str, begun: float) -> float:
        now = time.process_time()
        seconds[whose] += now - begun
        return now

    marks = list(brute.space.pieces)
    for mark in marks:
        at = time.process_time()
        ours = told(job, mark)
        at = timed("ours", at)
        theirs = sorted(map(str, brute.mistakes(mark)))
        timed("theirs", at)
        if ours != theirs:
            wrong += 1
            print(f"{name}: {mark}: {ours}, by brute force {theirs}")
    pairs = list(brute.alike_pairs())
    if named_pairs(job.alike) != set(map(frozenset, pairs)):
        wrong += 1
        print(f"{name}: other look-alikes by brute force")
    for mark, place in [way for pair in pairs for way in (pair, pair[::-1])]:
        at = time.process_time()
        ours_late = gets(job.alike, mark, place)
        at = timed("ours", at)
        theirs_late = brute.swap(mark, place)
        timed("theirs", at)
        if ours_late != theirs_late:
            wrong += 1
            print(f"{name}: {mark} for {place}: {ours_late}, by brute force {theirs_late}")
    for kinds, theirs_late in exchanged(brute, pairs).items():
        ours_late = told_exchanged(job.alike, kinds)
        if ours_late != theirs_late:
            wrong += 1
            print(f"{name}: {kinds} in each other's places: {ours_late}, by brute force {theirs_late}")
    print(
        f"{name}: {len(marks)} pieces, {2 * len(pairs)} swaps, {wrong} differ; "
        f"{seconds['ours']:.1f} s, brute force {seconds['theirs']:.0f} s",
        flush=True,
    )
    return wrong


def main() -> None:
    many = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    wrong = sum(compared(folder.name, job_of(folder / "build.yaml")) for folder in PLACED)
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "build.yaml"
        for seed in range(3000, 3000 + many):
            text = assembled(seed).text()
            path.write_text(text, "utf-8")
            path.write_text(text + propose_stages(str(path))[1], "utf-8")
            job = job_of(path)
            if job.alike is not None and len(job.alike.fitting.index) > 1:
                wrong += compared(f"random {seed}", job)
        for seed in range(many):
            path.write_text(Stool.at_random(seed).text(), "utf-8")
            wrong += compared(f"stool {seed}", job_of(path))
    raise SystemExit(f"{wrong} differ" if wrong else 0)


if __name__ == "__main__":
    main()
