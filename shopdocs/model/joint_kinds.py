"""What each kind of joint joins, and which sizes it takes."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from shopdocs.model.joining import JointKind


@dataclass(frozen=True, slots=True)
class KindWords:
    """`joins` in one line for the list of kinds; `sizes` are the keys that mean something for it, in the order in which
    a maker thinks of them."""

    joins: str
    sizes: tuple[str, ...]


KINDS: dict[JointKind, KindWords] = {
    JointKind.MORTISE_AND_TENON: KindWords(
        "the end of a rail, by a tenon that stops inside the other piece",
        ("thickness", "width", "shoulder", "length", "haunch", "room"),
    ),
    JointKind.THROUGH_TENON: KindWords(
        "the end of a rail, by a tenon that comes out at the far side",
        ("thickness", "width", "shoulder", "length", "haunch", "proud"),
    ),
    JointKind.BRIDLE: KindWords(
        "two ends at a corner, or an end astride a post; the mortise is open at its end",
        ("thickness", "length", "proud"),
    ),
    JointKind.HALF_LAP: KindWords(
        "two pieces that cross or meet at a corner, each cut away by half", ("depth", "length", "proud")
    ),
    JointKind.HOUSING: KindWords(
        "the whole end of a shelf or a rail in a trench across the other piece",
        ("depth", "thickness", "width", "room"),
    ),
    JointKind.TONGUE_AND_GROOVE: KindWords(
        "an edge or an end, by a tongue in a groove; a panel in its frame",
        ("thickness", "length", "depth", "room"),
    ),
    JointKind.RABBET: KindWords("an end or an edge in a step at the edge of the other piece", ("depth",)),
    JointKind.DOWELS: KindWords(
        "two touching faces, by dowels of that thickness",
        ("thickness", "length", "depth", "count", "room"),
    ),
    JointKind.LOOSE_TENON: KindWords(
        "two touching faces, by separate tenons in mortises of both",
        ("thickness", "width", "length", "depth", "count", "room"),
    ),
    JointKind.DOVETAIL: KindWords(
        "two ends at a corner, by tails; lapped if length is less than the thickness",
        ("count", "slope", "length", "depth", "width", "proud"),
    ),
    JointKind.SCREWED_BUTT: KindWords(
        "two touching faces, by screws (length) in clearance holes (thickness) and pilots (width)",
        ("count", "length", "thickness", "width"),
    ),
    JointKind.EDGE_JOINT: KindWords("boards edge to edge, by glue alone", ()),
}
SIZES = (
    "thickness", "width", "length", "depth", "proud", "shoulder", "haunch", "room", "slope", "count",
)  # fmt: skip
EVERY = ("pieces, or from and into", "glued", "note")  # keys that every joint has beside its kind


def kind_lines() -> Iterator[str]:
    """One line for each kind of joint, and one for the keys that all of them have."""
    wide = max(len(kind.value) for kind in KINDS)
    for kind, words in KINDS.items():
        sizes = f": {', '.join(words.sizes)}" if words.sizes else ""
        yield f"{kind.value:<{wide}}  {words.joins}{sizes}"
    yield f"{'all of them':<{wide}}  {', '.join(EVERY)}"
