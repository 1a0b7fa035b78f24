"""What looking into pieces with many holes costs a check of a whole build, by processor time in this process.

    python tests/bench/hollows.py

A rack of 1,000 pieces: posts with a row of pin holes on two faces and tenoned rails with slats screwed on; and the
same rack that is checked without this one theme.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.checks import all_checks, hollows
from shopdocs.model.build import Build, Shop
from shopdocs.pipeline import check_build
from shopdocs.work.computed import Computed

BAYS = 84
ROUNDS = 5


def rack(bays: int) -> str:
    """Twelve pieces a bay: two posts, two rails, eight slats; 40 holes a post, 8 a rail, 4 a slat."""
    parts = {
        "post": "size: 40 x 40 x 500, runs: {length: z, width: x}",
        "rail": "size: 22 x 60 x 660, runs: {length: x, width: z}",
        "slat": "size: 14 x 50 x 400, runs: {length: y, width: x}",
    }
    places: dict[str, list[str]] = {name: [] for name in parts}
    meetings = []
    for n in range(bays):
        x = 900 * n
        for i, y in enumerate((0, 360)):
            places["post"].append(f"P{n}x{i}: {{x: {x}, y: {y}, z: 0}}")
            places["rail"].append(f"R{n}x{i}: {{x: {x + 40}, y: {y + 9}, z: 400}}")
            meetings.append(f"R{n}x{i} into P{n}x{i}")
        places["slat"] += [f"S{n}x{i}: {{x: {x + 80 + 70 * i}, y: 0, z: 460}}" for i in range(8)]
    lines = ["build: {title: Rack, mark: R, units: mm}", "materials: {oak: {kind: hardwood, rough: 50}}", "parts:"]
    for name, size in parts.items():
        lines.append(f"  {name}: {{material: oak, {size}, pieces: {{{', '.join(places[name])}}}}}")
    pins = ", ".join(str(30 + 20 * i) for i in range(24) if not 390 < 30 + 20 * i < 470)
    marks = ", ".join(str(65 + 70 * i) for i in range(8))
    lines += [
        f"joints: {{tenons: {{kind: mortise and tenon, thickness: 8, length: 20, pieces: [{', '.join(meetings)}]}}}}",
        "hardware:",
        *(
            f"  {face} pins: {{holes: [{{bit: 6, depth: 10}}], "
            f"on: [{{piece: post, face: {face}, along: [{pins}], across: 12}}]}}"
            for face in ("face", "back")
        ),
        f"  pilots: {{holes: [{{screw: 4 x 35 mm, as: pilot, depth: 21}}], "
        f"on: [{{piece: rail, face: edge, along: [{marks}], across: 11}}]}}",
        "  screws: {holes: [{screw: 4 x 35 mm, as: clearance, depth: through}, {bit: 9, as: recess, depth: 4}], "
        "on: [{piece: slat, face: face, along: [20, 380], across: 25}]}",
    ]
    return "\n".join(lines) + "\n"


def least(build: Build, shop: Shop) -> float:
    """Seconds of processor time for all checks, least of some rounds."""
    taken = []
    for _ in range(ROUNDS):
        start = time.process_time()
        all_checks.check(Computed(build, shop))
        taken.append(time.process_time() - start)
    return min(taken)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "build.yaml"
        path.write_text(rack(BAYS), "utf-8")
        build, shop, problems = check_build(str(path))
        assert build is not None, [str(problem) for problem in problems]
        pieces = sum(1 for _ in build.pieces())
        holes = len(Computed(build, shop).holes)
        print(f"{pieces} pieces, {holes} holes of hardware, {len(problems)} problem(s)")
        every = least(build, shop)
        hollows.CHECKS = ()
        others = least(build, shop)
        print(f"all checks {every:.2f} s, without holes inside pieces {others:.2f} s: {every / others - 1:+.1%}")


if __name__ == "__main__":
    main()
