"""How checking and drawing grow with the number of pieces.

    python tests/bench/space_documents.py

A slatted rack of any size as a build file: bays of two posts and two rails joined with tenons, and slats between the
rails. Measured are reading with all checks, the computing that documents share, and each document made from places, in
seconds of the processor. The exponent is that of growth from the row above (1 is linear). The goal for 1,000 pieces:
checked in 2 s, drawn in 5 s.
"""

from __future__ import annotations

import math
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopdocs.documents.catalogue import CATALOGUE
from shopdocs.documents.job import make_job
from shopdocs.documents.records import record_pages
from shopdocs.documents.title import title_sheet
from shopdocs.pipeline import check_build

SIZES = (100, 300, 1000, 3000)
NAMES = ("exploded", "piece-drawings", "edges", "look-alikes", "mate-marks", "labels")
BAY, STOREY = 700, 520

HEAD = """
build: {title: Rack, mark: R, units: mm}
materials:
  oak 50: {kind: hardwood, rough: 50}
parts:
"""
PART = "  {name}: {{material: oak 50, thickness: {t}, width: {w}, length: {l}, runs: {{{runs}}}, pieces: {{"
JOINTS = """
joints:
  rails: {kind: mortise and tenon, from: rail, into: post, thickness: 8, length: 16}
  slats: {kind: mortise and tenon, from: slat, into: rail, thickness: 5, length: 12, shoulder: 6}
"""


def rack(pieces: int) -> str:
    """The build file of about so many pieces: 12 a bay, bays in rows and storeys."""
    bays = max(1, pieces // 12)
    across = max(1, math.isqrt(bays))
    posts, rails, slats = [], [], []
    for bay in range(bays):
        x, z = BAY * (bay % across), STOREY * (bay // across)
        for i, y in enumerate((0, 360)):
            posts.append(f"P{bay}x{i}: {{x: {x}, y: {y}, z: {z}}}")
            rails.append(f"R{bay}x{i}: {{x: {x + 40}, y: {y + 9}, z: {z + 400}}}")
        slats += [f"S{bay}x{i}: {{x: {x + 80 + 70 * i}, y: 31, z: {z + 423}}}" for i in range(8)]
    text = HEAD
    for name, t, w, length, runs, made in (
        ("post", 40, 40, 500, "length: z, width: x", posts),
        ("rail", 22, 60, 640, "length: x, width: z", rails),
        ("slat", 14, 50, 338, "length: y, width: x", slats),
    ):
        text += PART.format(name=name, t=t, w=w, l=length, runs=runs) + ", ".join(made) + "}}\n"
    return text + JOINTS


def measured(file: Path) -> tuple[int, dict[str, float]]:
    """Pieces, and seconds by what was done."""
    taken: dict[str, float] = {}
    start = time.process_time()
    build, shop, problems = check_build(str(file))
    taken["check"] = time.process_time() - start
    if build is None:
        raise SystemExit("\n".join(problem.wrong for problem in problems[:5]))
    start = time.process_time()
    job = make_job(build, shop, build.display, "", "letter-30")
    taken["compute"] = time.process_time() - start
    for entry in CATALOGUE:
        if entry.name in NAMES:
            start = time.process_time()
            entry.make(job)
            taken[entry.name] = time.process_time() - start
    for name, make in (("title", lambda: title_sheet(job, ())), ("records", lambda: record_pages(job))):
        start = time.process_time()
        make()
        taken[name] = time.process_time() - start
    return sum(1 for _ in build.pieces()), taken


def main() -> None:
    names = ["check", "compute", *NAMES, "title", "records"]
    print("pieces" + "".join(f"{name:>22}" for name in names))
    last: tuple[int, dict[str, float]] | None = None
    for size in SIZES if len(sys.argv) < 2 else [int(sys.argv[1])]:
        with tempfile.TemporaryDirectory() as folder:
            file = Path(folder) / "build.yaml"
            file.write_text(rack(size))
            count, taken = measured(file)
        line = f"{count:6}"
        for name in names:
            growth = ""
            if last is not None:
                growth = f" ^{math.log(taken[name] / last[1][name]) / math.log(count / last[0]):.2f}"
            line += f"{taken[name] * 1000:12.0f} ms{growth:>7}"
        print(line, flush=True)
        last = count, taken


if __name__ == "__main__":
    main()
