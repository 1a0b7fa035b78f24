"""The keys of the maker's own cuts and of gaps that are meant: a part of the build language (see `schema`)."""

from __future__ import annotations

from shopdocs.source.groups import Keys
from shopdocs.source.groups import key as _key
from shopdocs.source.keys import CornerList, FaceWord, LengthList, LengthText, OwnCutWord, TextList, Words


class CutOnKeys(Keys):
    """Where a cut lies. `length`, `width` and `thickness` of the piece may be used in its lengths; a stretch that is
    left out is the whole face."""

    piece: TextList = _key("marks of the pieces, or the name of a part for all its pieces", needed=True, example="RF")
    face: FaceWord | None = _key(
        "the face it is cut in: face side, back, face edge, far edge, or an end", example="back"
    )
    edge: Words | None = _key(
        "of a bevel or a rounding: the two faces that meet there; of an end cut: the end and the face where it comes "
        "out shorter, of a compound one both: A and far edge and back",
        example="face and edge",
    )
    corners: Words | None = _key(
        "of a rounding or a bevel, in place of edge: the corners of the face side, right through the thickness; all, "
        "or those at one end or edge: A, B, face edge, far edge",
        example="all",
    )
    along: LengthText | None = _key(
        "from and to along the face, from end A (on an end: from the face edge); along the edge of a bevel; of a taper "
        "from where it begins to the end it runs out at, 5 to length or length - 5 to 0",
        example="2 to length - 2",
    )
    across: LengthText | None = _key(
        "from and to across it, from the face edge (on an edge or an end: from the face side)", example="1/2 to 3/4"
    )
    counted: Words | None = _key(
        "of an outline the end and the edge that its corners are counted from; end A and the face edge by default "
        "(on an edge: end A and the face side)",
        name="from",
        example="B and far edge",
    )


class CutKeys(Keys):
    """A cut of the maker's own that no joint makes. A round recess is a hole: `hardware`, with `as: recess`."""

    kind: OwnCutWord = _key("what it is", needed=True, example="groove")
    on: list[CutOnKeys] = _key("where it lies", needed=True, example="[{piece: RF, face: back, across: 1/2 to 3/4}]")
    depth: Words | None = _key(
        "how deep it goes into the face, or through, as a cut-out always goes; of a bevel what it takes off the second "
        "face (its width by default); of an arch how high it is in the middle",
        example="1/4",
    )
    width: LengthText | None = _key(
        "of a bevel what it takes off the first face, of a rounding its radius", example="1/4"
    )
    radius: LengthText | None = _key(
        "of a cut-out, a notch or a recess the radius its corners are rounded to; half its width makes round ends",
        example="5/8",
    )
    to: LengthText | None = _key(
        "of a taper what is left at the end, square to the face; where two opposite faces taper, each gives half",
        example="1",
    )
    angle: Words | None = _key(
        "of an end cut how far it is off square, in degrees, as a slope, or by the number of sides of a mitred frame "
        "(6 sides: 30 degrees): across the face where it comes out shorter "
        "at an edge, else through the thickness",
        example="15",
    )
    tilt: Words | None = _key(
        "of a compound end cut how far the blade is tilted from upright, in degrees or as a slope", example="10"
    )
    outline: CornerList | None = _key(
        "of an outline or a cut-out its corners, in order round it and back to the first: along the face, comma, "
        "across it. A straight line leads to each; 'round to 8, 2, rise 1/2' is an arc that swells, 'hollow to 8, 2, "
        "radius 6' one that goes into the wood, each by its rise over the middle of its chord or by its radius; "
        "'8, 2, rounded 1/2' rounds that corner off",
        example='["0, 0", "16, 0", "16, 4", "hollow to 0, 4, rise 1", "0, 0"]',
    )
    half: CornerList | None = _key(
        "in place of outline: half of it, from one place of the centre line to another; the other half mirrors it. "
        "First or last, 'hollow across, rise 1' is an arc over that line, from the corner to its mirror image",
        name="mirrored half",
        example='["0, width/2", "0, 0", "12, 0", "round to 16, width/2, radius 5"]',
    )
    diameters: CornerList | None = _key(
        "of a round its diameters in order from end A: where along the piece, comma, the diameter. A straight cone "
        "leads from each to the next; two at one place are a step. Beyond the first and the last it stays square",
        example='["0, 5/8", "length/2, 1", "length, 5/8"]',
    )
    pommels: LengthList | None = _key(
        "of a round the blocks in it that stay square, with square shoulders, as for a stretcher: from and to along "
        "the piece. A diameter that is not written for a shoulder follows from the cone that the pommel interrupts",
        example='["14 to 17"]',
    )
    note: Words | None = _key("printed with the piece drawings", example="The buttons ride in it.")


class GapKeys(Keys):
    """A gap left on purpose: between which two, and how wide. `check` holds you to it, and calls it no near miss."""

    between: TextList = _key(
        "two pieces, runs or parts; of parts every two pieces that face each other", needed=True, example="[DF1, FU]"
    )
    size: LengthText = _key("how wide it is", needed=True, example="1/16")
