"""Random pieces with the maker's own cuts, and random legs that taper: the wood that is left against manifold3d, on so
many of each.

python tests/bench/own_cuts.py [COUNT]     300 by default; exit code 1 if any differs, or
more are refused by `check` than a few
"""

from __future__ import annotations

import random
import sys
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.work.scene.test_own_cuts import Refused, build_text, compared, tapered


def main() -> int:
    count, worst, refused = int(sys.argv[1]) if len(sys.argv) > 1 else 300, 0.0, 0
    wrong: list[int] = []
    with TemporaryDirectory() as folder:
        for seed in range(count):
            for made in (build_text(random.Random(seed)), tapered(seed)):
                try:
                    ours, theirs = compared(*made, Path(folder))
                except Refused:  # what runs into each other at random is no piece that anyone makes
                    refused += 1
                    continue
                off = abs(ours - theirs) / theirs
                worst, wrong = max(worst, off), wrong + [seed] * (off > 2e-6)
    tried = 2 * count - refused
    print(f"{tried} pieces and legs, {len(wrong)} differ {wrong}; the worst by {worst:.1e}; {refused} refused")
    return 1 if wrong or refused > count / 50 else 0


if __name__ == "__main__":
    sys.exit(main())
