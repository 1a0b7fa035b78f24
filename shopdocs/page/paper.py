"""Paper: sizes and margins, exact."""

from __future__ import annotations

from functools import cache

from msgspec import Struct

from shopdocs.core.assets import layout_table
from shopdocs.core.length import Length


class Paper(Struct, frozen=True):
    """A sheet of paper, upright. Margins are at least 12 mm."""

    key: str
    name: str
    width: Length
    height: Length
    left: Length
    right: Length
    top: Length
    bottom: Length

    @property
    def text_width(self) -> float:
        """Between the side margins, in points."""
        return (self.width - self.left - self.right).points


@cache
def paper(key: str) -> Paper:
    """The paper named `key` in layouts/papers.toml ("letter", "a4"). Raises KeyError for a name that is not there."""
    row = layout_table("papers")[key]
    margin = row["margin"]
    return Paper(
        key,
        row["name"],
        Length(row["width"]),
        Length(row["height"]),
        Length(margin["left"]),
        Length(margin["right"]),
        Length(margin["top"]),
        Length(margin["bottom"]),
    )


def paper_keys() -> tuple[str, ...]:
    """The names of the papers a shop may ask for."""
    return tuple(layout_table("papers"))
