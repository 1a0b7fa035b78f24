"""Random pieces with the maker's own cuts, and random legs that taper: the wood that is left against manifold3d, on so
many of each.

python tests/bench/own_cuts.py [COUNT]     300 by default; exit code 1 if any differs
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.work.scene.test_own_cuts import compared, tapered, trial


def main() -> int:
    count, worst, wrong = int(sys.argv[1]) if len(sys.argv) > 1 else 300, 0.0, 0
    with TemporaryDirectory() as folder:
        for seed in range(count):
            for ours, theirs in (trial(seed, Path(folder)), compared(*tapered(seed), Path(folder))):
                off = abs(ours - theirs) / theirs
                worst, wrong = max(worst, off), wrong + (off > 1e-5)
    print(f"{count} pieces and {count} legs, {wrong} differ; the worst by {worst:.1e} of its volume")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
