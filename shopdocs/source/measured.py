"""Measures along and across a face: lengths, or places in the build by faces and centre lines of pieces and by centre
lines of joints.

Where the centre line of a joint lies is worked out later, from the joints themselves; until then a measure by it is
kept as what it comes to for a line at nothing, and how it grows with it.
"""

from __future__ import annotations

import re

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face, JointLine
from shopdocs.model.parts import Part, Piece, Place
from shopdocs.source.joining import Known
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.placing import SIDES, faces_in
from shopdocs.source.values import Values, suggestion

_AXES = {Face.FACE: (0, 1), Face.BACK: (0, 1), Face.EDGE: (0, 2), Face.FAR_EDGE: (0, 2), Face.A: (1, 2), Face.B: (1, 2)}
_CENTRE = r"\.cent(?:re|er)\b(?!\.)"
_ONE = Length(1)


def by_others(node: Scalar, known: Known) -> bool:
    """Whether a measure names another piece or a joint."""
    return "." in node.text and bool(faces_in(node.text) or re.search(_CENTRE, node.text))


def measured(
    node: Scalar, part: Part, mark: str, face: Face | None, which: int, known: Known, values: Values
) -> Length | JointLine | None:
    """A measure along (0) or across (1) a face; None with a note where it cannot be one."""
    local: dict[str, Length] = {"length": part.length, "width": part.width, "thickness": part.thickness}
    if face is None or not by_others(node, known):
        return values.length(node, local, least=0)
    axis = _AXES[face][which]
    piece = next(each for each in part.pieces if each.mark == mark)
    if piece.place is None or part.runs is None:
        wrong = f"'{mark}' has no place, so it cannot be measured from other pieces"
        values.note(node.at, "place", wrong, "give it x, y and z, or measure from its own end and edge")
        return None
    way = _Way.of(part, piece.place, axis)
    read = _read(node, mark, way, known, values)
    if read is None:
        return None
    text, planes, written, joint = read
    stand_in = Scalar(node.at, text, node.quoted)
    if joint is None:
        at = values.length(stand_in, {**local, **planes}, written=written)
        return _on_face(node, at, way, mark, values) if at is not None else None
    found = []
    for measure in (ZERO, _ONE):
        at = values.length(stand_in, {**local, **planes, "_joint": way.there(measure)}, written=written)
        if at is None:
            return None
        found.append(way.measure(at))
    return JointLine(joint, found[0], (found[1] - found[0]) / _ONE)


class _Way(Struct, frozen=True):
    """An axis of a placed piece: the build's `direction` that it runs, from `low` over its `size`, counted `forward` or
    from the far end."""

    direction: str
    low: Length
    size: Length
    forward: bool

    @staticmethod
    def of(part: Part, place: Place, axis: int) -> _Way:
        assert part.runs is not None
        direction = (part.runs.length, part.runs.width, part.runs.thickness)[axis].value
        size = (part.length, part.width, part.thickness)[axis]
        forward = (place.end_a_low, place.face_edge_low, place.face_side_low)[axis]
        return _Way(direction, place.corner["xyz".index(direction)], size, forward)

    def measure(self, at: Length) -> Length:
        """A place of the build, from the end or the edge that one measures from."""
        return at - self.low if self.forward else self.low + self.size - at

    def there(self, measure: Length) -> Length:
        """The place of the build of a measure."""
        return self.low + measure if self.forward else self.low + self.size - measure


def _on_face(node: Scalar, at: Length, way: _Way, mark: str, values: Values) -> Length | None:
    measure = way.measure(at)
    if ZERO <= measure <= way.size:
        return measure
    shown = shorten(node.text)
    values.note(node.at, "outside", f"'{shown}' lies off the end of '{mark}'", "name faces that lie within its length")
    return None


_Read = tuple[str, dict[str, Length], dict[str, str], str | None]


def _read(node: Scalar, mark: str, way: _Way, known: Known, values: Values) -> _Read | None:
    """The text with names that stand in for planes, their places, what was written there, and the joint it names."""
    text, joint = node.text, None
    planes: dict[str, Length] = {}
    written: dict[str, str] = {}
    for name in sorted(known.joints, key=len, reverse=True):
        found = re.search(rf"(?<![\w-]){re.escape(name)}{_CENTRE}", text)
        if found is not None:
            if joint is not None:
                values.note(node.at, "place", "one measure names two joints", "name one of them")
                return None
            joint, written["_joint"] = name, found.group()
            text = text[: found.start()] + "_joint" + text[found.end() :]
            text = text.replace(found.group(), "_joint")
    while found := re.search(rf"(?<![\w-])([\w-]+){_CENTRE}", text):
        planes_of = [_plane(found.group(1), way.direction, high, known) for high in (False, True)]
        if planes_of[0] is None or planes_of[1] is None:
            right = suggestion(found.group(1), [*known.marks, *known.joints], "piece and no joint")
            values.note(node.at, "unknown-piece", f"no piece with a place is called '{shorten(found.group(1))}'", right)
            return None
        name = f"_centre{len(planes)}"
        planes[name], written[name] = (planes_of[0] + planes_of[1]) / 2, found.group()
        text = text[: found.start()] + name + text[found.end() :]
    for number, each in reversed(list(enumerate(faces_in(text)))):
        called, (direction, high) = f"{each.piece}.{each.side}", SIDES[each.side]
        if direction.value != way.direction:
            runs = {"x": "left to right", "y": "front to rear", "z": "floor to top"}[way.direction]
            sides = " or ".join(side for side, (own, _) in SIDES.items() if own.value == way.direction)
            wrong = f"'{called}' says nothing here, for this runs {runs} on '{mark}'"
            values.note(node.at, "place", wrong, f"name the {sides} of a piece")
            return None
        plane = _plane(each.piece, direction.value, high, known)
        if plane is None:
            if not values.is_forgiven(each.piece):
                right = suggestion(each.piece, known.marks, "piece")
                values.note(node.at, "unknown-piece", f"no piece with a place is called '{shorten(each.piece)}'", right)
            return None
        planes[f"_plane{number}"], written[f"_plane{number}"] = plane, called
        text = text[: each.start] + f"_plane{number}" + text[each.end :]
    return text, planes, written, joint


def _plane(mark: str, direction: str, high: bool, known: Known) -> Length | None:
    """Where the face of a piece lies in the build; None without such a piece, or without a place."""
    part = known.marks.get(mark)
    piece: Piece | None = next((each for each in part.pieces if each.mark == mark), None) if part else None
    if part is None or piece is None or piece.place is None or part.runs is None:
        return None
    runs = (part.runs.length.value, part.runs.width.value, part.runs.thickness.value)
    size = (part.length, part.width, part.thickness)[runs.index(direction)]
    low = piece.place.corner["xyz".index(direction)]
    return low + size if high else low
