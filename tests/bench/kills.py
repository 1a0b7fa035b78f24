"""Kill the real command at random moments and see what is left: the old set or the new one whole, what the maker keeps
in the folder, and a next run that is clean.

    python tests/bench/kills.py [KILLS] [--seed N] [--publishing]

Half of the kills fall anywhere in the run, half (all with `--publishing`) while the set is put in its place: a watcher
waits for the hidden folder beside the set and kills a random moment later. SIGKILL, SIGTERM and SIGINT take turns.
"""

from __future__ import annotations

import argparse
import os
import signal
import subprocess
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path
from random import Random

ROOT = Path(__file__).resolve().parents[2]
LIST = ".shopdocs-files"
MINE = {"note.txt": b"mine", "tables/mine.csv": b"mine", "photos/oak.jpg": b"jpg"}
BUILD = """\
build: {{title: Stool, mark: ST, units: in}}
materials: {{oak 4/4: {{kind: hardwood, species: white oak, price: 6 per bf}}}}
parts: {{seat: {{material: oak 4/4, size: 3/4 x 6 x {long}, count: 12}}}}
"""
# Names and sizes tell two sets apart; the bytes of one build are the same in every run.
SIGNALS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT)


def tree(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


def command(build: Path, out: Path) -> list[str]:
    return [sys.executable, "-m", "shopdocs", "render", str(build), "--out", str(out)]


def started(build: Path, out: Path) -> subprocess.Popen[str]:
    return subprocess.Popen(command(build, out), cwd=ROOT, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True)


class Bench:
    """A folder with two builds and their sets as they are without any kill."""

    def __init__(self, folder: Path) -> None:
        self.out = folder / "set"
        self.builds = [folder / "one" / "build.yaml", folder / "other" / "build.yaml"]
        self.whole: list[dict[str, bytes]] = []
        self.taken = 0.0
        for build, long in zip(self.builds, (12, 17), strict=True):
            build.parent.mkdir()
            build.write_text(BUILD.format(long=long), "utf-8")
            began = time.monotonic()
            subprocess.run(command(build, self.out), cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
            self.taken = time.monotonic() - began
            self.whole.append(tree(self.out))
        for name, content in MINE.items():
            (self.out / name).parent.mkdir(exist_ok=True)
            (self.out / name).write_bytes(content)
        self.stands = 1

    def kill(self, rng: Random, publishing: bool, by: signal.Signals) -> tuple[str, str]:
        """What is wrong afterwards ("" if nothing is), and what was said."""
        other = 1 - self.stands
        process = started(self.builds[other], self.out)
        if publishing:
            hidden = self.out.with_name(f".{self.out.name}.shopdocs")
            while process.poll() is None and not hidden.exists():
                time.sleep(0.0003)
            time.sleep(rng.random() * 0.02)
        else:
            time.sleep(rng.random() * self.taken * 1.2)
        process.send_signal(by)
        _, said = process.communicate()
        return self.fault(), said

    def fault(self) -> str:
        if not self.out.exists():
            return "the set is gone"
        found = tree(self.out)
        for name, content in MINE.items():
            if found.pop(name, None) != content:
                return f"{name} is gone"
        if found not in self.whole:
            return "a set that is neither old nor new"
        self.stands = self.whole.index(found)
        return ""

    def next_run(self) -> str:
        """A run to its end: the other set stands, and nothing lies beside it."""
        other = 1 - self.stands
        done = subprocess.run(command(self.builds[other], self.out), cwd=ROOT, capture_output=True, text=True)
        if done.returncode:
            return f"the next run ends with {done.returncode}: {done.stderr[-300:]}"
        fault = self.fault()
        left = sorted(set(os.listdir(self.out.parent)) - {"one", "other", "set"})
        return fault or (f"left: {left}" if left else "") or ("" if self.stands == other else "the old set stands")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("kills", nargs="?", type=int, default=100)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--publishing", action="store_true")
    asked = parser.parse_args()
    rng = Random(asked.seed)
    found: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        bench = Bench(Path(folder))
        for number in range(asked.kills):
            by = SIGNALS[number % 3]
            before = bench.stands
            fault, said = bench.kill(rng, asked.publishing or number % 2 == 0, by)
            left = bench.out.with_name(f".{bench.out.name}.shopdocs").exists()
            found["the new set stands"] += bench.stands != before
            found["something was left beside it"] += left
            trace, ours = "Traceback" in said, f"{ROOT.name}/shopdocs/" in said
            found["a trace was printed"] += trace and ours
            found["a trace of Python's own start was printed"] += trace and not ours
            fault = fault or (bench.next_run() if left or number % 5 == 0 else "")
            if fault or (trace and ours):
                print(f"kill {number} by {by.name}: {fault} {said[-400:]}", flush=True)
            found["faults"] += bool(fault)
        fault = bench.next_run()
        print(f"{asked.kills} kills (seed {asked.seed}); the last run: {fault or 'clean'}")
    for name, count in found.items():
        print(f"  {name}: {count}")


if __name__ == "__main__":
    main()
