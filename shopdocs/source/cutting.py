"""Decodes the cuts of the maker's own, and the gaps that are meant."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from itertools import product

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position
from shopdocs.model.cutting import OF_CORNERS, OF_EDGES, CutKind, CutPlace, OwnCut, Stretch
from shopdocs.model.joining import Face, the_face
from shopdocs.model.parts import MeantGap, Part
from shopdocs.source.cut_schema import CutKeys, CutOnKeys, GapKeys
from shopdocs.source.end_cuts import read_end_cuts
from shopdocs.source.joining import Known
from shopdocs.source.keys import BENCH_FACES, FACE_WORDS
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.outlining import read_outlines
from shopdocs.source.rounds import read_rounds
from shopdocs.source.stretches import stretch_of
from shopdocs.source.tapering import read_tapers
from shopdocs.source.values import Values

MOST_CUTS = 2000
# Words of the trade for what has another name here.
_OTHER_NAMES = {
    "chamfer": CutKind.BEVEL,
    "round over": CutKind.ROUNDING,
    "roundover": CutKind.ROUNDING,
    "dado": CutKind.GROOVE,
    "trench": CutKind.GROOVE,
    "plough": CutKind.GROOVE,
    "plow": CutKind.GROOVE,
    "rebate": CutKind.RABBET,
    "gain": CutKind.RECESS,
    "curve": CutKind.ARCH,
    "mitre": CutKind.END_CUT,
    "miter": CutKind.END_CUT,
    "turning": CutKind.ROUND,
}
_AXES = {Face.A: 0, Face.B: 0, Face.EDGE: 1, Face.FAR_EDGE: 1, Face.FACE: 2, Face.BACK: 2}


def read_cuts(entries: Mapping[str, CutKeys], known: Known, values: Values) -> tuple[OwnCut, ...]:
    """All cuts; faulty ones are noted and left out."""
    found: list[OwnCut] = []
    count = 0
    for raw, keys in entries.items():
        cuts = _cuts(values.name(raw, keys.at), keys, known, values)
        count += sum(len(cut.on) for cut in cuts)
        if count > MOST_CUTS:
            values.note(keys.at, "size", f"more than {MOST_CUTS} cuts", "split the build")
            break
        found += cuts
    return tuple(found)


def _kind(node: Scalar, values: Values) -> CutKind | None:
    """The kind of cut that a word stands for; a problem that says what it is called here."""
    called = _OTHER_NAMES.get(" ".join(node.text.lower().replace("-", " ").split()))
    if called is None:
        return values.choice(node, CutKind, "cut")
    values.note(node.at, "unknown-word", f"no cut is called '{shorten(node.text)}'", f"here it is called '{called}'")
    return None


def _cuts(name: str, keys: CutKeys, known: Known, values: Values) -> tuple[OwnCut, ...]:
    kind = _kind(keys.kind, values)
    if not keys.on:
        if not values.noted_within(keys.place("on")):
            wrong = f"the cut '{shorten(name)}' lies on no piece"
            values.note(keys.place("on"), "missing-key", wrong, "name one: on: [{piece: leg, face: back}]")
        return ()
    if kind is CutKind.ROUND:
        return tuple(read_rounds(name, keys, known, values))
    for word, given in (("diameters", keys.diameters), ("pommels", keys.pommels)):
        if kind is not None and given is not None:
            values.note(keys.place(word), "cut", f"{kind.called} has no '{word}'", "only a round has: kind: round")
            return ()
    if kind is CutKind.TAPER:
        return tuple(read_tapers(name, keys, known, values))
    if kind is CutKind.END_CUT:
        return tuple(read_end_cuts(name, keys, known, values))
    drawn = keys.outline if keys.outline is not None else keys.half
    if kind is CutKind.OUTLINE or (kind is CutKind.CUT_OUT and drawn is not None):
        return tuple(read_outlines(name, keys, kind, known, values))
    if kind is not None and drawn is not None:
        at = keys.place("outline" if keys.outline is not None else "mirrored half")
        values.note(at, "cut", f"{kind.called} has no corners of its own", "an outline or a cut-out has: kind: outline")
        return ()
    for item in keys.on:
        if kind is not None and item.counted is not None:
            values.note(item.counted.at, "cut", f"{kind.called} has no 'from'", "only an outline has one")
            return ()
    for word, node in (("angle", keys.angle), ("tilt", keys.tilt)):
        if kind is not None and node is not None:
            values.note(node.at, "cut", f"{kind.called} has no '{word}'", "only an end cut has one")
            return ()
    if kind is not None and keys.to is not None:
        values.note(keys.to.at, "cut", f"{kind.called} has no 'to'", "only a taper has one")
        return ()
    if kind is not None and keys.radius is not None and kind not in OF_CORNERS:
        right = "the radius of a rounding is its width" if kind is CutKind.ROUNDING else "a cut-out or a notch has one"
        values.note(keys.radius.at, "cut", f"{kind.called} has no 'radius'", right)
        return ()
    cut = _cut(name, keys, kind, known, values)
    return (cut,) if cut is not None else ()


def _cut(name: str, keys: CutKeys, kind: CutKind | None, known: Known, values: Values) -> OwnCut | None:
    through = keys.depth is not None and values.line(keys.depth).lower() == "through"
    if kind is CutKind.CUT_OUT:
        if keys.depth is not None and not through:
            values.note(keys.depth.at, "cut", "a cut-out goes right through", "leave 'depth' out, or call it a recess")
            return None
        through = True
    radius = values.length(keys.radius, least=1)
    depth = None if through else values.length(keys.depth, least=1)
    if keys.radius is not None and radius is None:
        return None
    width = values.length(keys.width, least=1)
    if kind is None or (keys.depth is not None and depth is None and not through):
        return None
    if kind in OF_EDGES:
        if keys.width is None or through:
            values.note(keys.at, "missing-key", f"the {kind} '{shorten(name)}' lacks 'width'", "add width: 1/4")
        if width is None or through:
            return None
        depth = depth or width
    elif keys.depth is None and not through:
        right = "add depth: 1/4" + (", or through" if kind in (CutKind.NOTCH, CutKind.MORTISE) else "")
        values.note(keys.at, "missing-key", f"the {kind} '{shorten(name)}' lacks 'depth'", right)
        return None
    elif through and kind not in (CutKind.NOTCH, CutKind.MORTISE, CutKind.CUT_OUT):
        wrong = f"{kind.called} does not go right through"
        values.note(keys.place("depth"), "cut", wrong, "call it a notch or a mortise")
        return None
    on = [place for item in keys.on for place in _places(item, kind, depth, width, known, values)]
    if radius is not None:
        on = [place for place in on if _corners_fit(place, radius, kind, known, values)]
    if not on:
        return None
    note = values.note_words(keys.note)
    return OwnCut(name, kind, tuple(on), depth, width, note, keys.at, keys.places, radius=radius)


def _corners_fit(place: CutPlace, radius: Length, kind: CutKind, known: Known, values: Values) -> bool:
    """Whether rounded corners of that radius leave none of a cut out: two of them at a side, one where it opens."""
    part = known.marks[place.piece]
    size = (part.length, part.width, part.thickness)
    first, second = (k for k in range(3) if k != _AXES[place.face])
    spans = ((place.along, size[first]), (place.across, size[second]))
    if any(span == (ZERO, whole) for span, whole in spans):
        wrong = f"this {kind} runs across all of {the_face(place.face)}, and has no corners there to round"
        values.note(place.at, "radius", wrong, "write it on the face where its outline is seen, with depth: through")
        return False
    for (low, high), whole in spans:
        rounded = radius * ((low > ZERO) + (high < whole))
        if rounded > high - low:
            wrong = f"the {kind} is {exact_text(high - low)} there: no room for corners of radius {exact_text(radius)}"
            share = (high - low) * (radius / rounded)
            values.note(place.at, "radius", wrong, f"make the radius {exact_text(share)} at most, or the {kind} larger")
            return False
    return True


def _places(
    keys: CutOnKeys, kind: CutKind, depth: Length | None, width: Length | None, known: Known, values: Values
) -> Iterator[CutPlace]:
    corners = _corners(keys, kind, values)
    faces = _faces(keys, kind, values) if keys.corners is None else None
    if (faces is None and not corners) or (kind is CutKind.ARCH and faces and not _can_arch(keys, values)):
        return
    marks = known.expand_all(keys.piece, values)
    for name, edge in product(dict.fromkeys(known.marks[mark].name for mark in marks), corners or [faces or ()]):
        part, faces = known.parts[name], edge
        place = _place(keys, kind, faces, depth, width, part, values)
        if place is not None:
            along, across = place
            second = faces[1] if len(faces) > 1 else None
            for mark in marks:
                if known.marks[mark] is part:
                    yield CutPlace(mark, faces[0], along, across, second, keys.at)


def _corners(keys: CutOnKeys, kind: CutKind, values: Values) -> list[tuple[Face, ...]]:
    """The corners of the face side that are named together, each by the end and the edge that meet there."""
    node = keys.corners
    if node is None:
        return []
    right = "write corners: all, or those at one of A, B, face edge, far edge"
    for word, other in (("edge", keys.edge), ("face", keys.face), ("along", keys.along), ("across", keys.across)):
        if other is not None:
            values.note(other.at, "cut", f"'corners' says where it lies; there is no '{word}' beside it", right)
            return []
    if kind not in OF_EDGES:
        values.note(node.at, "cut", f"{kind.called} has no 'corners'", "only a rounding or a bevel has; write face:")
        return []
    every: list[tuple[Face, ...]] = [(end, edge) for end in (Face.A, Face.B) for edge in (Face.EDGE, Face.FAR_EDGE)]
    if values.line(node).lower() == "all":
        return every
    known_word = values.word(replace(node, text=values.line(node)), (*FACE_WORDS, *BENCH_FACES), "face")
    if known_word is None:
        return []
    face = Face(BENCH_FACES.get(known_word, known_word))
    found = [corner for corner in every if face in corner]
    if not found:
        values.note(node.at, "edge", f"no corner of the face side is told by {the_face(face)}", right)
    return found


def _faces(keys: CutOnKeys, kind: CutKind, values: Values) -> tuple[Face, ...] | None:
    """The face of a cut, or both faces of an edge."""
    wanted, other = ("edge", keys.face) if kind in OF_EDGES else ("face", keys.edge)
    node = keys.edge if kind in OF_EDGES else keys.face
    if other is not None:
        values.note(
            other.at, "cut", f"{kind.called} lies on no {'face' if kind in OF_EDGES else 'edge'}", f"write {wanted}:"
        )
        return None
    if node is None:
        right = "edge: face and edge" if kind in OF_EDGES else "face: back"
        values.note(keys.at, "missing-key", f"this {kind} lacks '{wanted}'", f"add {right}")
        return None
    found = []
    for word in values.line(node).split(" and ") if kind in OF_EDGES else [values.line(node)]:
        face = values.word(Scalar(node.at, word, node.quoted), (*FACE_WORDS, *BENCH_FACES), "face")
        if face is None:
            return None
        found.append(Face(BENCH_FACES.get(face, face)))
    if kind in OF_EDGES and (len(found) != 2 or _AXES[found[0]] == _AXES[found[1]]):
        right = "write two faces that meet, such as face and edge"
        values.note(node.at, "edge", f"'{shorten(node.text)}' is not an edge of a piece", right)
        return None
    return tuple(found)


def _place(
    keys: CutOnKeys,
    kind: CutKind,
    faces: tuple[Face, ...],
    depth: Length | None,
    width: Length | None,
    part: Part,
    values: Values,
) -> tuple[Stretch, Stretch] | None:
    """Where the cut lies on a part, along and across its face; None with a note where it cannot lie there."""
    size = (part.length, part.width, part.thickness)
    first, second = (k for k in range(3) if k != _AXES[faces[0]])
    if len(faces) > 1:
        return _edge_place(keys, kind, faces, (width or ZERO, depth or ZERO), size, part, values)
    along = stretch_of(keys.along, size[first], part, values)
    across = stretch_of(keys.across, size[second], part, values)
    if along is None or across is None:
        return None
    under = size[_AXES[faces[0]]]
    if depth is not None and depth >= under:
        wrong = f"the {kind} is {exact_text(depth)} deep, '{part.name}' under {the_face(faces[0])} {exact_text(under)}"
        right = "make it less deep" + (", or depth: through" if kind in (CutKind.NOTCH, CutKind.MORTISE) else "")
        values.note(keys.at, "cut-deep", wrong, right)
        return None
    if kind is CutKind.ARCH:
        return (along, across) if _is_arc(along, depth or ZERO, keys, values) else None
    return (along, across) if _opens_right(kind, along, across, (size[first], size[second]), keys.at, values) else None


def _can_arch(keys: CutOnKeys, values: Values) -> bool:
    if keys.across is not None:
        values.note(keys.across.at, "cut", "an arch has no 'across'", "it runs right across its face")
        return False
    return True


def _is_arc(along: Stretch, rise: Length, keys: CutOnKeys, values: Values) -> bool:
    chord = along[1] - along[0]
    if rise * 2 <= chord:
        return True
    wrong = f"an arch {exact_text(rise)} high over {exact_text(chord)} is more than half a circle"
    values.note(keys.at, "arch", wrong, f"make it {exact_text(chord / 2)} high at most, or longer")
    return False


def _edge_place(
    keys: CutOnKeys,
    kind: CutKind,
    faces: tuple[Face, ...],
    legs: tuple[Length, Length],
    size: tuple[Length, Length, Length],
    part: Part,
    values: Values,
) -> tuple[Stretch, Stretch] | None:
    runs = 3 - _AXES[faces[0]] - _AXES[faces[1]]
    if keys.across is not None:
        values.note(keys.across.at, "cut", f"{kind.called} has no 'across'", "its width is 'width'")
        return None
    along = stretch_of(keys.along, size[runs], part, values)
    for leg, towards in ((legs[0], faces[1]), (legs[1], faces[0])):
        if leg >= size[_AXES[towards]]:
            wrong = f"the {kind} takes {exact_text(leg)} of '{part.name}', which is {exact_text(size[_AXES[towards]])}"
            values.note(keys.at, "cut-deep", wrong, "make it smaller")
            return None
    return (along, (ZERO, legs[0])) if along is not None else None


def _opens_right(
    kind: CutKind, along: Stretch, across: Stretch, size: tuple[Length, Length], at: Position, values: Values
) -> bool:
    """Whether a cut opens where one of its name does."""
    sides = [along[0] == ZERO, along[1] == size[0], across[0] == ZERO, across[1] == size[1]]
    if all(sides):
        values.note(at, "cut", f"the {kind} takes the whole face", "say where it begins and ends: across: 1/2 to 3/4")
        return False
    if kind in (CutKind.RABBET, CutKind.NOTCH) and not any(sides):
        right = "a groove or a recess lies inside it" if kind is CutKind.RABBET else "a mortise or a recess does not"
        values.note(at, "cut", f"{kind.called} opens at an edge or an end of its face", right)
        return False
    if kind is CutKind.GROOVE and (sides[2] or sides[3]) and (sides[0] or sides[1]):
        values.note(at, "cut", "the groove opens at an edge all along", "call it a rabbet or a notch")
        return False
    if kind in (CutKind.MORTISE, CutKind.CUT_OUT) and any(sides):
        values.note(at, "cut", f"the {kind} opens at an edge or an end", "call it a notch")
        return False
    return True


def read_gaps(entries: Mapping[str, GapKeys], known: Known, values: Values) -> tuple[MeantGap, ...]:
    """The gaps that are meant; faulty ones are noted and left out."""
    found = []
    for raw, keys in entries.items():
        name = values.name(raw, keys.at)
        size = values.length(keys.size, least=1)
        sides = [tuple(known.expand(node, values)) for node in keys.between]
        if len(sides) != 2:
            wrong = f"the gap '{shorten(name)}' lies between {len(sides)}"
            values.note(keys.place("between"), "gap", wrong, "name two: between: [DF1, FU]")
        elif size is not None and all(sides):
            found.append(MeantGap(name, (sides[0], sides[1]), size, keys.at))
    return tuple(found)
