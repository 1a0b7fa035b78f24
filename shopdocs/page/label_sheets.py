"""Label sheets: where the labels lie on their paper, exact."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from functools import cache

from msgspec import Struct

from shopdocs.core.assets import layout_table
from shopdocs.core.length import Length
from shopdocs.page.paper import paper_keys

CUT = "cut"  # plain paper with crop marks


class LabelSheet(Struct, frozen=True):
    """A grid of labels. `left` and `top` are the first label's corner from the sheet's top left; counted along rows."""

    key: str
    paper: str
    columns: int
    rows: int
    width: Length
    height: Length
    step_across: Length
    step_down: Length
    left: Length
    top: Length
    crop_marks: bool
    confidence: str

    @property
    def count(self) -> int:
        """Labels on a sheet."""
        return self.columns * self.rows

    def places(self) -> Iterator[tuple[Length, Length]]:
        """Top left corner of each label, from the sheet's top left corner, along rows."""
        for row in range(self.rows):
            for column in range(self.columns):
                yield self.left + self.step_across * column, self.top + self.step_down * row


def keep_inside() -> Length:
    """How far print stays inside the die line."""
    return Length(layout_table("label_sheets")["keep_inside_mm"])


def label_sheet_keys() -> tuple[str, ...]:
    """Names that a shop may give as its label sheet; `cut` stands for plain paper of the size printed on."""
    return (*(key for key, row in layout_table("label_sheets").items() if isinstance(row, dict)), CUT)


@cache
def label_sheet(key: str, paper: str) -> LabelSheet:
    """The sheet named `key`; `cut` is plain paper of the kind `paper`. Raises KeyError for a name that is not there."""
    row = layout_table("label_sheets")[f"cut-{paper}" if key == CUT else key]
    make = Length.inches if row["unit"] == "in" else Length

    def pair(name: str) -> tuple[Length, Length]:
        first, second = row[name]
        return make(Fraction(first)), make(Fraction(second))

    width, height = pair("size")
    across, down = pair("pitch")
    left, top = pair("first")
    return LabelSheet(
        key,
        row["paper"],
        row["columns"],
        row["rows"],
        width,
        height,
        across,
        down,
        left,
        top,
        row.get("crop_marks", False),
        row["confidence"],
    )


def larger_sheets(key: str, wider: bool) -> tuple[str, ...]:
    """The label sheets that have more room on a label than the sheet named `key`, those of most labels first; `wider`
    those that have it along the label, for one that is as low as a narrow face whatever its sheet."""
    keys = [name for name in label_sheet_keys() if not name.startswith(CUT)]
    found: dict[str, int] = {}
    for paper in paper_keys() if key == CUT else ("",):
        own = label_sheet(key, paper)
        for name in keys:
            other = label_sheet(name, "")
            fits = other.paper == own.paper and other.width >= own.width and other.height >= own.height
            if fits and (other.width > own.width or (other.height > own.height and not wider)):
                found[name] = other.count
    return tuple(sorted(found, key=lambda name: -found[name]))
