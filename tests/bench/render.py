"""How long the whole set of the largest sample takes, in ratio to the floor: an interpreter, reportlab, and every page
of every PDF written once straight to a canvas, nothing computed, fitted or laid out (aim: 2.5; see `floor.py`,
`least.py`).

Run it as a script: python tests/bench/render.py [SAMPLE] [--rounds N] [--profile]
"""

from __future__ import annotations

import argparse
import cProfile
import pstats
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from least import ROOT, least
from placed import keep

from shopdocs import pipeline
from shopdocs.output import pdf

SAMPLES = ROOT / "sample_builds"


def keep_pages(build: Path, target: Path) -> int:
    """Render the build, and keep what was placed on the pages of all its PDFs; the number of pages."""
    files: list[Any] = []
    write = pdf.write_pdf

    def kept(composed: Any, *rest: Any, **more: Any) -> None:
        files.append(composed.frames)
        write(composed, *rest, **more)

    pdf.write_pdf = kept
    with tempfile.TemporaryDirectory() as out:
        pipeline.render(pipeline.Request(str(build)), f"{out}/set")
    return keep(files, target)


def largest() -> Path:
    return max(SAMPLES.glob("*/build.yaml"), key=lambda path: path.stat().st_size)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("sample", nargs="?")
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--profile", action="store_true")
    asked = parser.parse_args()
    build = SAMPLES / asked.sample / "build.yaml" if asked.sample else largest()
    with tempfile.TemporaryDirectory() as folder:
        if asked.profile:
            with cProfile.Profile() as profile:
                pipeline.render(pipeline.Request(str(build)), f"{folder}/set")
            pstats.Stats(profile).sort_stats("cumulative").print_stats(60)
            return
        kept = Path(folder) / "placed"
        pages = keep_pages(build, kept)
        found = least(
            {
                "render": [sys.executable, "-m", "shopdocs", "render", str(build), "--out", f"{folder}/set"],
                "floor": [sys.executable, str(Path(__file__).with_name("floor.py")), str(kept)],
            },
            asked.rounds,
            prepared="floor",
        )
    print(f"{build.parent.name}: {pages} pages, least processor time of {asked.rounds} fresh processes")
    for name, seconds in found.items():
        print(f"  {name:8} {seconds:.2f} s")
    print(f"  ratio    {found['render'] / found['floor']:.2f} (aim: 2.5)")


if __name__ == "__main__":
    main()
