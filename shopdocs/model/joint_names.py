"""The names of the kinds of joints, of those that are not offered, and of what they make of a piece.

A new kind begins here, with its name. `model/kinds` and `work/joints/kinds` each have a module called as its member is,
in small letters: `TONGUE_AND_GROOVE` is told in `model/kinds/tongue_and_groove.py` and cut in
`work/joints/kinds/tongue_and_groove.py`. Nothing else names it.
"""

from __future__ import annotations

import re
from enum import Flag, StrEnum, auto


class JointKind(StrEnum):
    """The kinds of joints, by the name a maker writes."""

    MORTISE_AND_TENON = "mortise and tenon"
    THROUGH_TENON = "through tenon"
    ROUND_TENON = "round tenon"
    BRIDLE = "bridle"
    HALF_LAP = "half lap"
    HOUSING = "housing"
    TONGUE_AND_GROOVE = "tongue and groove"
    RABBET = "rabbet"
    DOWELS = "dowels"
    LOOSE_TENON = "loose tenon"
    DOVETAIL = "dovetail"
    SCREWED_BUTT = "screwed butt"
    EDGE_JOINT = "edge joint"
    FINGER_JOINT = "finger joint"
    BREADBOARD_END = "breadboard end"
    SPLINED_MITRE = "splined mitre"
    KEYED_MITRE = "keyed mitre"
    SLIDING_DOVETAIL = "sliding dovetail"
    SPLINED_EDGE_JOINT = "splined edge joint"


_MITRE = "glue alone does not hold a mitre: take a 'splined mitre' for a flat frame, or a 'keyed mitre'"
_TAPERED = "take a 'sliding dovetail' and say in its note that it tapers"
_PLAIN = "boards edge to edge are an 'edge joint', a piece screwed to another is a 'screwed butt'"
_NAILED = "take a 'screwed butt', or write no joint and say under hardware what it holds (holds: …)"
_BISCUIT = "take a 'loose tenon' of the size of the slots, or an 'edge joint' and say it in the note"
_SCARF = "cut the piece from one board, or write two parts and say the scarf in their notes"
# Other joints of the trade that are not offered, and what to take instead.
NOT_OFFERED: dict[str, str] = {
    **dict.fromkeys(
        ("mitre", "miter", "mitre joint", "miter joint", "mitred", "mitered", "lock mitre", "lock miter", "bevel"),
        _MITRE,
    ),
    **dict.fromkeys(("tapered dovetail", "tapered sliding dovetail"), _TAPERED),
    **dict.fromkeys(("butt", "butt joint", "glued butt", "glued", "glue"), _PLAIN),
    **dict.fromkeys(
        ("nailed", "nailed butt", "nails", "nail", "pocket screw", "pocket screws", "pocket hole"), _NAILED
    ),
    **dict.fromkeys(("biscuit", "biscuits", "biscuit joint"), _BISCUIT),
    **dict.fromkeys(("scarf", "scarf joint", "spliced joint"), _SCARF),
}


class Trait(Flag):
    """How a feature lies in its piece. CLOSED: two such cuts may not run into each other; HOLLOW: with wood all round,
    so that a wall must be left between two of them. FACES_FLOOR: added, and looks across the joint's room to the floor
    of what it goes into. TONGUE: added, and lengthened over the corner of a panel; TRENCH: what a tongue goes into.
    CHEEKS: added, its broad sides are cheeks. HOUSED: added, with the whole end of its piece. MEETS_SLOPE: cut to a
    slope that lies against that of the other piece; IN_SLOPE: let into such a slope. RUNS: along an edge, and on round
    a corner into the next. ROUND: round across its length. TAILED: cut to a dovetail's slope at an end. BESIDE: beside
    the line that its joint is marked out by. PAIRED: one half of a hole, the other half in the other piece. OVERLAPS:
    cut over all that two pieces share. MOUTH: open at an end and both edges, SHOULDERED: beside a tenon that its piece
    is not sawn to stand out with. PLANED: on a round, for what lies against it there. CLEARANCE, PILOT, PLAIN: a hole
    that is measured and drilled for that; one without any is made with the pieces held together.
    """

    NONE = 0
    CLOSED = auto()
    HOLLOW = auto()
    FACES_FLOOR = auto()
    TONGUE = auto()
    TRENCH = auto()
    CHEEKS = auto()
    HOUSED = auto()
    MEETS_SLOPE = auto()
    IN_SLOPE = auto()
    RUNS = auto()
    ROUND = auto()
    TAILED = auto()
    BESIDE = auto()
    PAIRED = auto()
    CLEARANCE = auto()
    PILOT = auto()
    PLAIN = auto()
    OVERLAPS = auto()
    MOUTH = auto()
    SHOULDERED = auto()
    PLANED = auto()


def plural(word: str) -> str:
    """Several of what a word names: "mortises", "notches", "recesses", "ends in the housing"."""
    noun, *place = re.split(r"(?= (?:in|beside|of) )", word, maxsplit=1)
    return "".join((f"{noun}es" if noun.endswith(("ch", "sh", "s", "x")) else f"{noun}s", *place))


def several(word: str, count: int) -> str:
    """What a word names, counted where there is more than one: "mortise", "3 mortises"."""
    return word if count == 1 else f"{count} {plural(word)}"


class FeatureKind(StrEnum):
    """What a joint or a hole makes of a piece, in the words of the trade, with the traits of each; of what stands out
    past a shoulder also `tip`, where the wood ends there."""

    traits: Trait
    tip: str

    def __new__(cls, word: str, traits: Trait = Trait.NONE, tip: str = "") -> FeatureKind:
        made = str.__new__(cls, word)
        made._value_ = word
        made.traits = traits
        made.tip = tip
        return made

    @property
    def plural(self) -> str:
        """Several of them: "mortises", "notches"."""
        return plural(self.value)

    MORTISE = "mortise", Trait.CLOSED | Trait.HOLLOW
    TENON = "tenon", Trait.FACES_FLOOR | Trait.CHEEKS, "the end of the tenon"
    ROUND_MORTISE = "round mortise", Trait.CLOSED | Trait.HOLLOW | Trait.ROUND
    ROUND_TENON = "round tenon", Trait.FACES_FLOOR | Trait.ROUND
    HAUNCH = "haunch", Trait.CHEEKS | Trait.BESIDE, "the end of the tenon"
    FLAT = "flat", Trait.BESIDE | Trait.PLANED
    SLOT = "open mortise", Trait.CLOSED | Trait.OVERLAPS | Trait.MOUTH
    CHEEK_CUT = "cheek cut", Trait.CLOSED | Trait.OVERLAPS | Trait.SHOULDERED
    LAP = "lap", Trait.CLOSED | Trait.CHEEKS | Trait.OVERLAPS, "the end of the lap"
    HOUSING = "housing", Trait.CLOSED | Trait.TRENCH
    HOUSED_END = "housed end", Trait.FACES_FLOOR | Trait.TONGUE | Trait.HOUSED, "the housed end"
    GROOVE = "groove", Trait.TRENCH | Trait.RUNS
    TONGUE = "tongue", Trait.FACES_FLOOR | Trait.TONGUE | Trait.RUNS, "the end of the tongue"
    RABBET = "rabbet", Trait.TRENCH
    SOCKET = "socket", Trait.CLOSED | Trait.TAILED
    TAIL = "tail", Trait.TAILED, "the ends of the tails"
    SLIDING_TAIL = "sliding tail", Trait.FACES_FLOOR | Trait.TAILED, "the end of the tail"
    TAIL_TRENCH = "dovetail trench", Trait.CLOSED
    END_LEFT_ON = "end left on", Trait.BESIDE, "what is left on for trimming"
    NOTCH = "notch", Trait.CLOSED
    RECESS = "recess"
    CUT_OUT = "cut-out", Trait.CLOSED | Trait.HOLLOW
    BEVEL = "bevel"
    ROUNDING = "rounding"
    TAPER = "taper"
    ARCH = "arch"
    END_CUT = "end cut"
    OUTLINE = "outline"
    MITRE = "mitre", Trait.MEETS_SLOPE
    SPLINE_GROOVE = "spline groove", Trait.TRENCH
    SPLINE_SLOT = "spline slot", Trait.IN_SLOPE
    KEY_SLOT = "key slot"
    DOWEL_HOLE = "dowel hole", Trait.CLOSED | Trait.HOLLOW | Trait.PLAIN | Trait.PAIRED
    PIN_HOLE = "pin hole", Trait.PLAIN
    PIN_SLOT = "pin slot"
    SCREW_HOLE = "screw hole", Trait.CLEARANCE
    BOLT_HOLE = "bolt hole"
    PILOT_HOLE = "pilot hole", Trait.PILOT
    BORED_RECESS = "flat-bottomed recess"
    HOLE = "hole"
