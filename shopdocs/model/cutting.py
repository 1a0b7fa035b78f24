"""Cuts of the maker's own, that no joint makes: grooves, rabbets, recesses, notches, mortises, worked edges."""

from __future__ import annotations

from enum import StrEnum

from msgspec import Struct, field

from shopdocs.core.angle import Angle
from shopdocs.core.compared import Compared
from shopdocs.core.drawn import Half
from shopdocs.core.length import Length
from shopdocs.core.outline import Side
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.core.rounds import Round
from shopdocs.model.joining import Face
from shopdocs.model.parts import Places


class CutKind(StrEnum):
    """What a cut is called, by where it opens: a groove and a recess at one face, a rabbet and a notch at an edge or an
    end as well; a recess may open at an edge, a mortise only at its face and its back. A cut-out is sawn right through,
    with wood all round it, as a hand hole is. Bevel and rounding are worked
    edges; an end cut is sawn off square; a taper narrows the piece towards one of its ends; an arch takes a part of a
    circle off a face, right across it. An outline is all of a face's shape, drawn of lines and arcs. A round is turned,
    or worked with plane and spokeshave, to diameters along its piece."""

    GROOVE = "groove"
    RABBET = "rabbet"
    RECESS = "recess"
    NOTCH = "notch"
    MORTISE = "mortise"
    CUT_OUT = "cut-out"
    BEVEL = "bevel"
    ROUNDING = "rounding"
    TAPER = "taper"
    ARCH = "arch"
    END_CUT = "end cut"
    OUTLINE = "outline"
    ROUND = "round"

    @property
    def called(self) -> str:
        """With its article: a groove, an arch."""
        return f"{'an' if self[0] in 'aeiou' else 'a'} {self}"


OF_EDGES = (CutKind.BEVEL, CutKind.ROUNDING)
OF_CORNERS = (CutKind.CUT_OUT, CutKind.NOTCH, CutKind.RECESS)  # whose corners may be rounded
SHAPES = (CutKind.ROUNDING, CutKind.OUTLINE)  # that may take a corner or more off the outline of a face
Stretch = tuple[Length, Length]


class Drawn(Struct, frozen=True):
    """The outline of a face, or of what is cut out of it, along it from end A and across it from the face edge (on an
    edge from the face side): `sides` in a closed line with what it encloses at their left, `told` what is written of
    them: all corners, the last where the first is, or those of a half that is `mirrored` along (0) or across (1)."""

    sides: tuple[Side, ...]
    told: Half
    mirrored: int | None = None


class CutPlace(Struct, frozen=True):
    """Where a cut lies on one piece: from and to `along` the face from end A (on an end: from the face edge), and
    `across` from the face edge (on an edge or an end: from the face side). Of a worked edge `face` is one of its two
    faces, `second` the other, and `along` runs along the edge; of a taper `face` is the face that slopes, `second` the
    end it runs out at, and `along` is the breadth of the face. Of an end cut `face` is the end, `second` the long face
    where it comes out shorter, and `third` that of a compound cut through the thickness. `drawn` is the outline of what
    has one; `turned` are the diameters of a round, and `along` is where it is round."""

    piece: str
    face: Face
    along: Stretch
    across: Stretch
    second: Face | None = None
    at: Position = NOWHERE
    third: Face | None = None
    drawn: Drawn | None = None
    turned: Round | None = None


class OwnCut(Compared, frozen=True):
    """One cut with all its places. `depth` is how deep it goes into the face, None right through; of a worked edge
    `width` is taken off the first of its faces, `depth` off the second; a taper is `width` long and takes `depth` off
    at the end; an arch is `depth` high in its middle. An end cut takes `depth` off the length at its shortest corner;
    it runs at `angle` over `width`, and through the thickness with a blade that is tilted from upright by `tilt`,
    which takes `skew` of `depth`. `follows`: nobody wrote it, it follows from a lean (a level end, or a shoulder). The
    corners of a cut-out, a notch or a recess are rounded to `radius`."""

    name: str
    kind: CutKind
    on: tuple[CutPlace, ...]
    depth: Length | None
    width: Length | None = None
    note: str = ""
    at: Position = NOWHERE
    places: Places = field(default_factory=dict)
    angle: Angle | None = None
    tilt: Angle | None = None
    skew: Length | None = None
    radius: Length | None = None
    follows: bool = False
