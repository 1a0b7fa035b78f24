"""Many builds in a batch against one: what a set costs where both cores are at work.

    python tests/bench/batch.py [BUILDS]

Copies of the bench, each with a width of its own, so that none is taken for another. The floor is one build rendered by
the same command in the same run, start of the program included: the least of three. Reported is wall time over wall
time; on two cores a hundred builds can at best cost fifty.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
BENCH = ROOT / "sample_builds" / "threshold_bench"


def main() -> None:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 100
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        plans = folder / "plans"
        plans.mkdir()
        text = (BENCH / "build.yaml").read_text(encoding="utf-8")
        for number in range(count):
            width = f"{44 + number // 32}-{number % 32 + 1}/64"
            own = text.replace("width: 44", f"width: {width}").replace("overall: 44", f"overall: {width}")
            (plans / f"bench{number:03}.yaml").write_text(own, encoding="utf-8")
        (plans / "shop.yaml").write_bytes((BENCH / "shop.yaml").read_bytes())
        one = min(_timed(plans / "bench000.yaml", folder / f"one{turn}") for turn in range(3))
        many = _timed(plans, folder / "many")
        print(f"{os.cpu_count()} cores: one {one:.2f} s, {count} builds {many:.1f} s, ratio {many / one:.1f}")


def _timed(builds: Path, out: Path) -> float:
    began = time.perf_counter()
    words = [sys.executable, "-m", "shopdocs", "render", str(builds), "--out", str(out)]
    subprocess.run(words, cwd=ROOT, check=True, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    return time.perf_counter() - began


if __name__ == "__main__":
    main()
