"""Random pieces with the maker's own cuts, each in one view: lines seen and hidden against rays cast at the same piece
as manifold3d makes it.

python tests/bench/hidden_cuts.py [COUNT]     300 by default; exit code 1 if any line is drawn wrong
"""

from __future__ import annotations

import sys
from pathlib import Path
from tempfile import TemporaryDirectory

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.work.scene.test_hidden_cuts import trial


def main() -> int:
    count = int(sys.argv[1]) if len(sys.argv) > 1 else 300
    seen = hidden = 0
    wrong: list[object] = []
    with TemporaryDirectory() as folder:
        for seed in range(count):
            more_seen, more_hidden, more_wrong = trial(seed, Path(folder))
            seen, hidden = seen + more_seen, hidden + more_hidden
            wrong += more_wrong
    print(f"{count} pieces, {seen} points seen and {hidden} hidden, {len(wrong)} drawn wrong")
    print(*wrong[:20], sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
