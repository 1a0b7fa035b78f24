"""How long paper takes, each against a floor measured in the same run: the same items written straight to a canvas
(aim: 2; see `floor.py`, `least.py`).

Run it as a script: python tests/bench/paper.py [--rounds N]
"""

from __future__ import annotations

import argparse
import io
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from least import least
from placed import keep

from shopdocs.blocks.sheets import Block, Document, Imprint, Labels, PieceLabel
from shopdocs.blocks.text import Cell, Column, Group, Row, Table
from shopdocs.core.display import mixed_number
from shopdocs.core.length import Length
from shopdocs.output.pdf import write_pdf
from shopdocs.page.compose import Composed, compose
from shopdocs.page.paper import paper

IMPRINT = Imprint("Plant stand", "PS", "A", "", "")


def labels(count: int) -> Block:
    return Labels(
        tuple(
            PieceLabel(
                f"S{i}", "PS", "slat", f"{mixed_number(Length.inches('1/2').inch)} × 2 × {i % 40} in", "end B",
                ("1 → FL", "2 → FR"), f"stage {i % 5}", "not S2: mirror image", f"HTTPS://EXAMPLE.ORG/R/PS-{i}",
            )
            for i in range(count)
        ),
        "letter-30",
    )  # fmt: skip


def table(rows: int) -> Block:
    heads = ("Mark", "Piece", "Thick", "Wide", "Long", "Note")
    columns = tuple(Column(head, "right" if head in ("Thick", "Wide", "Long") else "left") for head in heads)
    lines = tuple(
        Row(tuple(Cell.of(word) for word in (f"S{i}", "slat", "¹⁄₂", "2¹⁄₄", f"{i}", f"board {i % 97}")))
        for i in range(rows)
    )
    return Table("bench", columns, (Group(lines),), ticks=True)


CASES = {
    "750 labels with codes": lambda: labels(750),
    "table of 1,000 rows": lambda: table(1_000),
    "table of 10,000 rows": lambda: table(10_000),
}


def laid_out(name: str) -> Composed:
    return compose([Document("bench", "Bench", "", (CASES[name](),))], IMPRINT, paper("letter"))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--rounds", type=int, default=5)
    parser.add_argument("--do", choices=CASES, help="lay out and write one case once, as the others are timed")
    asked = parser.parse_args()
    if asked.do:
        write_pdf(laid_out(asked.do), io.BytesIO())
        return
    with tempfile.TemporaryDirectory() as folder:
        for name in CASES:
            kept = Path(folder) / "placed"
            pages = keep(laid_out(name).frames, kept)
            found = least(
                {
                    "paper": [sys.executable, __file__, "--do", name],
                    "floor": [sys.executable, str(Path(__file__).with_name("floor.py")), str(kept)],
                },
                asked.rounds,
                prepared="floor",
            )
            ratio = found["paper"] / found["floor"]
            print(
                f"{name:24} {pages:4} pages  {found['paper']:5.2f} s  floor {found['floor']:5.2f} s  ratio {ratio:.2f}"
            )


if __name__ == "__main__":
    main()
