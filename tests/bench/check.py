"""How long a check of a 5,000-line build takes in a fresh process, and in ratio to the C loader on the same file.

Run it as a script: python tests/bench/check.py [--profile]
"""

from __future__ import annotations

import cProfile
import pstats
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from least import least

LINES = 5000
TINY = Path(__file__).parent.parent.parent / "sample_builds" / "seed_tote" / "build.yaml"
ROUNDS = 7
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
        found = least(
            {
                "check (aim: 4 times the loader)": [sys.executable, "-m", "shopdocs", "check", str(path)],
                "check of the smallest sample": [sys.executable, "-m", "shopdocs", "check", str(TINY)],
                "C loader on the same file": [sys.executable, "-c", LOAD, str(path)],
                "bare interpreter": [sys.executable, "-c", "pass"],
            },
            ROUNDS,
        )
        print(
            f"build of {LINES} lines, {path.stat().st_size / 1000:.0f} kB; least processor time of {ROUNDS} processes"
        )
        loader = found["C loader on the same file"]
        for name, seconds in found.items():
            print(f"  {name:32} {seconds:.3f} s  {seconds / loader:.2f} times the loader")


if __name__ == "__main__":
    main()
