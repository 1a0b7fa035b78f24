"""How long a check of a 5,000-line build takes in a fresh process, and in ratio to the C loader on the same file.

Run it as a script: python tests/bench/check.py [--profile]
"""

from __future__ import annotations

import cProfile
import os
import pstats
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

LINES = 5000
TINY = Path(__file__).parent.parent.parent / "sample_builds" / "seed_tote" / "build.yaml"
ROUNDS = 7
# As on a maker's machine: compiled modules are kept from one start to the next. The first round fills the cache.
CACHE = tempfile.TemporaryDirectory()
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"} | {
    "PYTHONPYCACHEPREFIX": CACHE.name
}
LOAD = "import sys, yaml; yaml.load(open(sys.argv[1], encoding='utf-8'), Loader=yaml.CSafeLoader)"


def build(lines: int) -> str:
    """A build of that many lines: named dimensions, parts with sizes of their own, joints, holes, stages."""
    head = [
        "build: {title: Endless shelf, mark: ES, units: in}",
        "materials:",
        "  ash 4/4: {kind: hardwood, species: white ash, price: 7.10 per bf}",
        "  ash 8/4: {kind: hardwood, species: white ash, price: 9.20 per bf}",
        "dimensions:",
        "  depth: 11-1/4",
    ]
    dimensions = [f"  bay{n}: {10 + n % 30}-{1 + n % 7}/8" for n in range(lines // 20)]
    parts, joints, hardware = ["parts:"], ["joints:"], ["hardware:"]
    number = 0
    while len(head) + len(dimensions) + len(parts) + len(joints) + len(hardware) < lines - 8:
        bay = number % len(dimensions)
        parts += [
            f"  shelf {number}:",
            "    material: ash 4/4",
            "    thickness: 3/4",
            f"    width: depth - {number % 5}/8",
            f"    length: bay{bay} - 2 * (1/4 + 1/8)",
            f"    pieces: {{S{number}: left bay, T{number}: right bay}}",
            "    note: Plane the upper face last.",
            f"  upright {number}:",
            "    material: ash 8/4",
            "    size: 1-1/2 x 3 x 40",
            f"    pieces: [U{number}, V{number}]",
        ]
        joints += [
            f"  shelf {number} into uprights:",
            "    kind: housing",
            f"    pieces: [S{number} into U{number}, S{number} into V{number} at B]",
            "    depth: 1/4",
        ]
        hardware += [
            f"  pin {number}:",
            "    holes: [{bit: 1/4, depth: 3/8}]",
            f"    on: [{{piece: U{number}, face: face, along: [2, length / 2], across: width / 2}}]",
        ]
        number += 1
    tail = ["gluing:", "  adhesive: slow epoxy", "  stages:", "    - title: First", "      pieces: [S0, U0, V0]"]
    return "\n".join([*head, *dimensions, *parts, *joints, *hardware, *tail]) + "\n"


def least(*command: str) -> tuple[float, float]:
    """Least wall and processor time of a fresh process, in seconds; the second is steadier beside other work."""
    walls, processors = [], []
    for _ in range(ROUNDS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        began = time.perf_counter()
        subprocess.run(command, check=True, capture_output=True, env=ENVIRONMENT)
        walls.append(time.perf_counter() - began)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        processors.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime)
    return min(walls), min(processors)


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "build.yaml"
        path.write_text(build(LINES), "utf-8")
        if "--profile" in sys.argv:
            from shopdocs.pipeline import check_build

            with cProfile.Profile() as profile:
                check_build(str(path))
            pstats.Stats(profile).sort_stats("cumulative").print_stats(45)
            return
        check = least(sys.executable, "-m", "shopdocs", "check", str(path))
        tiny = least(sys.executable, "-m", "shopdocs", "check", str(TINY))
        loaded = least(sys.executable, "-c", LOAD, str(path))
        bare = least(sys.executable, "-c", "pass")
        print(f"build of {LINES} lines, {path.stat().st_size / 1000:.0f} kB; least of {ROUNDS} fresh processes")
        for name, (wall, processor) in (
            ("check (aim: under 0.6 s)", check), ("check of the smallest sample", tiny),
            ("C loader on the same file", loaded), ("bare interpreter", bare),
        ):  # fmt: skip
            print(f"  {name:30} {wall:.3f} s, processor {processor:.3f} s")
        print(f"  check takes {check[0] / loaded[0]:.2f} times the C loader ({check[1] / loaded[1]:.2f} by processor)")


if __name__ == "__main__":
    main()
