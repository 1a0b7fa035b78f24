"""Cuts of the maker's own, that no joint makes: grooves, rabbets, recesses, notches, mortises, worked edges."""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from shopdocs.core.length import Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.joining import Face
from shopdocs.model.parts import Places


class CutKind(StrEnum):
    """What a cut is called, by where it opens: a groove and a recess at one face, a rabbet and a notch at an edge or an
    end as well; a recess may open at an edge, a mortise only at its face and its back. Bevel and rounding are worked
    edges; a taper narrows the piece towards one of its ends; an arch takes a part of a circle off a long face,
    right across it."""

    GROOVE = "groove"
    RABBET = "rabbet"
    RECESS = "recess"
    NOTCH = "notch"
    MORTISE = "mortise"
    BEVEL = "bevel"
    ROUNDING = "rounding"
    TAPER = "taper"
    ARCH = "arch"


OF_EDGES = (CutKind.BEVEL, CutKind.ROUNDING)
Stretch = tuple[Length, Length]


@dataclass(frozen=True, slots=True)
class CutPlace:
    """Where a cut lies on one piece: from and to `along` the face from end A (on an end: from the face edge), and
    `across` from the face edge (on an edge or an end: from the face side). Of a worked edge `face` is one of its two
    faces, `second` the other, and `along` runs along the edge; of a taper `face` is the face that slopes, `second` the
    end it runs out at, and `along` is the breadth of the face."""

    piece: str
    face: Face
    along: Stretch
    across: Stretch
    second: Face | None = None
    at: Position = NOWHERE


@dataclass(frozen=True, slots=True)
class OwnCut:
    """One cut with all its places. `depth` is how deep it goes into the face, None right through; of a worked edge
    `width` is taken off the first of its faces, `depth` off the second; a taper is `width` long and takes `depth` off
    at the end; an arch is `depth` high in its middle."""

    name: str
    kind: CutKind
    on: tuple[CutPlace, ...]
    depth: Length | None
    width: Length | None = None
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict, compare=False, hash=False, repr=False)
