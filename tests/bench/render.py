"""How long the whole set of the largest sample takes, in ratio to the floor: an interpreter, the imports of paper, and
the same placed items written straight to a canvas, nothing computed, fitted or laid out (aim: 1.5).

Run it as a script: python tests/bench/render.py [SAMPLE] [--profile]
"""

from __future__ import annotations

import cProfile
import os
import pickle
import pstats
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROUNDS = 5
SAMPLES = Path(__file__).parent.parent.parent / "sample_builds"
CACHE = tempfile.TemporaryDirectory()
ENVIRONMENT = {**os.environ, "PYTHONDONTWRITEBYTECODE": "", "PYTHONPYCACHEPREFIX": CACHE.name}


def keep_placed_items(build: Path, target: Path) -> None:
    """Run the steps of the pipeline up to paper and keep what is written then."""
    from shopdocs import pipeline
    from shopdocs.output import pdf

    placed = []
    write = pdf.write_pdf

    def kept(composed, *rest, **more):  # type: ignore[no-untyped-def]
        placed.append(composed)
        write(composed, *rest, **more)

    pdf.write_pdf = kept
    with tempfile.TemporaryDirectory() as out:
        pipeline.render(pipeline.Request(str(build)), f"{out}/set")
    target.write_bytes(pickle.dumps(placed))


def write_floor(source: Path) -> None:
    """In a fresh process: the kept items straight to a canvas. Prints the seconds of unpickling, which do not count."""
    from paper import floor

    began = time.perf_counter()
    placed = pickle.loads(source.read_bytes())
    print(time.perf_counter() - began)
    for composed in placed:
        floor(composed)


def least(*command: str) -> tuple[float, float]:
    """Least wall and processor time of a fresh process, in seconds, less what it says was its preparation."""
    walls, processors = [], []
    for _ in range(ROUNDS):
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        began = time.perf_counter()
        done = subprocess.run(command, check=True, capture_output=True, text=True, env=ENVIRONMENT)
        wall = time.perf_counter() - began
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        spare = float(done.stdout) if "--floor" in command else 0.0
        walls.append(wall - spare)
        processors.append(after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime - spare)
    return min(walls), min(processors)


def largest() -> Path:
    return max(SAMPLES.glob("*/build.yaml"), key=lambda path: path.stat().st_size)


def main() -> None:
    if "--floor" in sys.argv:
        write_floor(Path(sys.argv[-1]))
        return
    named = [word for word in sys.argv[1:] if not word.startswith("-")]
    build = SAMPLES / named[0] / "build.yaml" if named else largest()
    with tempfile.TemporaryDirectory() as folder:
        if "--profile" in sys.argv:
            from shopdocs import pipeline

            with cProfile.Profile() as profile:
                pipeline.render(pipeline.Request(str(build)), f"{folder}/set")
            pstats.Stats(profile).sort_stats("cumulative").print_stats(60)
            return
        kept = Path(folder) / "placed"
        keep_placed_items(build, kept)
        render = least(sys.executable, "-m", "shopdocs", "render", str(build), "--out", f"{folder}/set")
        floor = least(sys.executable, __file__, "--floor", str(kept))
        pages = sum(len(composed.frames) for composed in pickle.loads(kept.read_bytes()))
        print(f"{build.parent.name}: {pages} pages in all files; least of {ROUNDS} fresh processes")
        print(f"  render {render[0]:.2f} s, processor {render[1]:.2f} s")
        print(f"  floor  {floor[0]:.2f} s, processor {floor[1]:.2f} s")
        print(f"  ratio  {render[0] / floor[0]:.2f}, by processor {render[1] / floor[1]:.2f} (aim: 1.5)")


if __name__ == "__main__":
    main()
