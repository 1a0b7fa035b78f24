"""Finger joint (box joint): square fingers of two ends that lie between each other.

Both pieces are written over the whole corner, outside to outside, for both run through it. The fingers are counted from
the face edge of the piece that is named first; that piece has the first one.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, error, warning
from shopdocs.model.joining import Joint
from shopdocs.model.kinds.kind import Kind, Meets, Stated
from shopdocs.model.parts import Part

FEWEST = 2  # fingers of both pieces together
USUAL_FEWEST = 3  # so that both edges of a corner look alike
MOST = 100
NARROW = Fraction(1, 2)  # of a whole finger; common practice, no source


def fingers(across: Length, count: int, width: Length | None, thick: Length) -> list[tuple[Length, Length]]:
    """Where the fingers of both pieces lie across a corner, from the face edge on: the first, third, ... are those of
    the piece named first. Equal ones by their `count`, or each `width` wide and the last one what is left. Where the
    build says neither, an odd number of them, about as wide as the wood is `thick` (common practice, no source)."""
    if width is None:
        if count < FEWEST:
            pairs = round((across / thick - 1) / 2)
            count = max(USUAL_FEWEST, 2 * pairs + 1)
        width = across / count
    whole = min(int(across / width), MOST)
    places = [width * k for k in range(whole + 1)]
    if places[-1] < across:
        places.append(across)
    return list(pairwise(places))


def disagree(across: Length, count: int, width: Length | None) -> str:
    """What is wrong with the number and the width of fingers in a corner so wide; "" where nothing is."""
    if width is None:
        return ""
    if width * 2 > across:
        return f"fingers {exact_text(width)} wide do not fit twice in {exact_text(across)}"
    if width * MOST < across:
        return f"fingers {exact_text(width)} wide are more than {MOST} in {exact_text(across)}"
    if count >= FEWEST and width * count != across:
        return f"{count} fingers {exact_text(width)} wide make {exact_text(width * count)}, not {exact_text(across)}"
    return ""


def right_way(across: Length, count: int, width: Length | None) -> str:
    """What to write instead."""
    if count >= FEWEST:
        return f"write count or width alone; {count} of them are {exact_text(across / count)} wide"
    if width is not None and width * MOST < across:
        return f"make them at least {exact_text(across / MOST)} wide"
    return f"make them at most {exact_text(across / 2)} wide"


def glued(found: list[tuple[Length, Length]], mine: Length, theirs: Length) -> tuple[Fraction, Fraction]:
    """Square millimetres of the sides of fingers, and of the floors of the notches that the others stand on, for pieces
    so thick: there is one side less than there are fingers, and each finger stands on the other piece."""
    widths = [(high - low).mm for low, high in found]
    sides = (len(found) - 1) * mine.mm * theirs.mm
    return sides, sum(widths[0::2]) * theirs.mm + sum(widths[1::2]) * mine.mm


def _glue_area(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The sides of all fingers and the floors of all notches."""
    joint = stated.joint
    found = fingers(min(entering.width, receiving.width), joint.count, joint.width, entering.thickness)
    return sum(glued(found, entering.thickness, receiving.thickness), Fraction(0))


def _wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Fingers that do not fit the ends, or whose number and width do not agree."""
    joint, across = stated.joint, min(entering.width, receiving.width)
    wrong = disagree(across, joint.count, joint.width)
    if wrong:
        yield error(stated.place("width"), "fingers", wrong, right_way(across, joint.count, joint.width))


def _doubts(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Fingers whose width does not go into that of their piece: the last one comes out narrow."""
    if not joint.width:
        return
    wide = entering.width
    whole = (wide / joint.width).__floor__()
    rest = wide - joint.width * whole
    if rest and rest < joint.width * NARROW:
        told = f"fingers of {exact_text(joint.width)} leave one of {exact_text(rest)} on '{entering.name}'"
        fits = f"{exact_text(wide / whole)} goes into {exact_text(wide)} {whole} times"
        yield warning(joint.places.get("width", joint.at), "narrow-finger", told, fits)


KIND = Kind(
    joins="two ends at a corner, by square fingers; both pieces are written over the whole corner",
    called="a finger joint",
    meets=Meets("into", "fingers go into", "takes the fingers of"),
    hidden=("side of a finger", "side of a finger"),
    aliases=("fingers", "finger jointed", "box joint", "box joints", "comb joint", "comb", "corner locking"),
    sizes=("count", "width"),
    size_names=("thick", "each finger", "long", "deep"),
    least_count=FEWEST,
    at_end=True,
    alone=True,
    counted="notches",
    measured="Lengths with fingers run over the whole corner.",
    glue_area=_glue_area,
    wrong=_wrong,
    doubts=_doubts,
)
