"""A piece for a small screen: whole, as it stands, its worked faces with every joint named, and no figures."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from shopdocs.blocks.drawing import Drawing, Leader, Shape, Words
from shopdocs.blocks.scales import SCALES
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.measures import type_mm
from shopdocs.documents.drawn.piece_drawing import Marked, PieceSheet
from shopdocs.work.space.placed import PlacedPiece

WIDER = Fraction(5, 2)  # times the width of a screen a long piece may take: one pushes it aside with a thumb
MUCH = Fraction(3, 2)  # times as large it must be for that


def strip(piece: Marked, display: Display, room_mm: tuple[float, float], name: str) -> Drawing:
    """All views at the largest usual scale at which the whole length fits `room_mm`; where that makes a long piece
    that lies much larger, up to `WIDER` times as wide. One that stands has its length down the screen."""
    fitting = _largest(piece, display, room_mm)
    if fitting is not None and piece.gauged.stand.upright:
        return fitting.drawing(name)
    least = fitting.scale * MUCH if fitting is not None else None
    wide = _largest(piece, display, (room_mm[0] * float(WIDER), room_mm[1]), least)
    if wide is not None:
        return wide.drawing(name)
    if fitting is not None:
        return fitting.drawing(name)
    return PieceSheet(piece, display, SCALES[-1], room_mm, bare=True, must=True, to_scale=False).drawing(name)


def _largest(
    piece: Marked, display: Display, room_mm: tuple[float, float], least: Fraction | None = None
) -> PieceSheet | None:
    """At the largest usual scale, no smaller than the `least`."""
    long = piece.gauged.hi[0] - piece.gauged.lo[0]
    room = room_mm[1] if piece.gauged.stand.upright else room_mm[0]
    for scale in SCALES:
        if least is not None and scale < least:
            return None
        if long.float_mm(scale) > room:
            continue
        sheet = PieceSheet(piece, display, scale, room_mm, bare=True, to_scale=False)
        if not sheet.views.fold.cuts and sheet.fits and sheet.whole:
            return sheet
    return None


class Strips:
    """The strips of many pieces. Pieces that differ in nothing but their joints' numbers share a drawing, with the
    numbers of each written into it where they are as wide."""

    def __init__(self, display: Display, room_mm: tuple[float, float]) -> None:
        self.display, self.room_mm = display, room_mm
        self.known: dict[object, list[tuple[tuple[str, ...], Drawing]]] = {}

    def of(self, piece: PlacedPiece, numbers: Sequence[str], placed: bool, own: Mapping[str, str]) -> Drawing:
        """The drawing of a piece with the `numbers` of its joints, and what the cuts that no joint makes are called
        (`own`, by the name of their features); it has no name."""
        joints = list(dict.fromkeys(feature.joint for feature in piece.features))
        words = frozenset((joints.index(name), word) for name, word in own.items() if name in joints)
        key = (placed, frozenset(map(joints.index, numbers)), words, _without_numbers(piece, joints))
        named = tuple(joint for joint in joints if joint in numbers)
        for names, drawing in self.known.setdefault(key, []):
            if _as_wide(names, named):
                return _renamed(drawing, dict(zip(names, named, strict=True)))
        marked = Marked(Gauged(piece), {number: number for number in numbers} | dict(own), placed)
        drawing = strip(marked, self.display, self.room_mm, "")
        self.known[key].append((named, drawing))
        return drawing


def _without_numbers(piece: PlacedPiece, joints: Sequence[str]) -> PlacedPiece:
    """What the drawing of a piece shows but for the numbers of its joints, which stand as their place in the list."""
    at = {joint: str(place) for place, joint in enumerate(joints)}
    features = tuple(replace(feature, joint=at[feature.joint]) for feature in piece.features)
    return replace(piece, mark="", at=(ZERO, ZERO, ZERO), features=features)


def _as_wide(one: Sequence[str], other: Sequence[str]) -> bool:
    """Whether the other names fit where the first stand, and find their places in the same order."""
    if [type_mm(name, 1.0) for name in one] != [type_mm(name, 1.0) for name in other]:
        return False
    orders = [sorted(range(len(names)), key=lambda k: (-len(names[k]), names[k])) for names in (one, other)]
    return orders[0] == orders[1]


def _renamed(drawing: Drawing, names: Mapping[str, str]) -> Drawing:
    def renamed(shape: Shape) -> Shape:
        if isinstance(shape, Leader) or (isinstance(shape, Words) and shape.boxed):
            return replace(shape, text=names.get(shape.text, shape.text))
        return shape

    return replace(drawing, shapes=tuple(map(renamed, drawing.shapes)))
