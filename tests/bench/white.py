"""How many pages every sample takes in both units on both papers, and how much of each page is empty.

Run it as a script: python tests/bench/white.py [sample]
"""

from __future__ import annotations

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from tests.page.whole_sets import MOST_EMPTY, cases, whole_set


def main() -> None:
    for folder, units, key in cases():
        if sys.argv[1:] and folder.name not in sys.argv[1:]:
            continue
        found = whole_set(folder, units, key)
        white = list(found.white())
        empty = sum(share for _, share, _ in white)
        print(f"{folder.name}, {units}, {key}: {len(white)} pages, of which {empty:.1f} empty in all")
        for frame, share, reason in white:
            why = (reason or "NO REASON") if share > MOST_EMPTY else ""
            print(f"  {frame.set_number:3} {frame.title:34} {share:5.0%}  {why}".rstrip())


if __name__ == "__main__":
    main()
