"""How long stages are planned, how that grows, and whether hundreds of random builds get an order that can be replayed.

    python tests/bench/stages.py            growth for 50, 200 and 800 pieces
    python tests/bench/stages.py 300        so many random builds instead

Random builds of posts, rails and panels, put together piece by piece (`tests/work/order/random_builds.py`). Planning
is timed after reading and joinery, beside a floor from the same run: the boxes of every two pieces compared once. The
ratio to the floor does not depend on the machine; the exponent is that of growth from the row above (1 is linear).
"""

from __future__ import annotations

import math
import sys
import tempfile
import time
from collections import Counter
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.pipeline import propose_stages
from shopdocs.pipeline.checking import checked
from shopdocs.work.order.blocking import shadows
from shopdocs.work.order.proposal import Proposal
from tests.work.order.random_builds import assembled
from tests.work.order.replay import faults

SIZES = (50, 200, 800)
ROUNDS = 2


def growth(folder: Path) -> None:
    last: tuple[int, float] | None = None
    print(f"{'pieces':>6} {'joints':>6} {'stages':>6} {'planned':>10} {'floor':>10} {'ratio':>7}  growth")
    for size in SIZES:
        bays, build = size // 6, assembled(1, size // 6)
        while len(build.pieces) < size:
            bays += max(1, (size - len(build.pieces)) // 6)
            build = assembled(1, bays)
        path = folder / "build.yaml"
        path.write_text(build.text(), "utf-8")
        best, floor = math.inf, math.inf
        for _ in range(ROUNDS):
            work = checked(str(path), None).work
            assert work is not None and work.space is not None
            bounds = [solid.bounds for solid in work.space.scene.solids]
            begun = time.process_time()
            sum(shadows(one, two) for i, one in enumerate(bounds) for two in bounds[:i])
            floor = min(floor, time.process_time() - begun)
            del work.__dict__["obstacles"]
            begun = time.process_time()
            proposal = work.proposal
            best = min(best, time.process_time() - begun)
        assert isinstance(proposal, Proposal), proposal
        count, joints = len(build.pieces), len(build.tenons) + len(build.tongues)
        grown = "" if last is None else f"^{math.log(best / last[1]) / math.log(count / last[0]):.2f}"
        print(
            f"{count:6} {joints:6} {len(proposal.stages):6} {best:8.3f} s {floor:8.4f} s {best / floor:7.1f}  {grown}"
        )
        last = (count, best)


def replayed(folder: Path, many: int) -> None:
    path = folder / "build.yaml"
    found: Counter[str] = Counter()
    for seed in range(1000, 1000 + many):
        text = assembled(seed).text()
        path.write_text(text, "utf-8")
        problems, stages = propose_stages(str(path))
        if not stages:
            print(f"seed {seed}: {problems}")
            found["no order"] += 1
            continue
        path.write_text(text + stages, "utf-8")
        pasted = checked(str(path), None)
        assert pasted.work is not None
        wrong = [*map(str, pasted.problems), *faults(pasted.work)]
        found["replayed" if not wrong else "at fault"] += 1
        for each in wrong:
            print(f"seed {seed}: {each}")
    print(f"{many} random builds: {dict(found)}")


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        if len(sys.argv) > 1:
            replayed(Path(name), int(sys.argv[1]))
        else:
            growth(Path(name))


if __name__ == "__main__":
    main()
