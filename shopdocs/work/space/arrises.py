"""Which edges of a piece are chamfered and which stay square.

An edge stays square where it lies against another piece, where a joint enters it, and so where a glued face ends at
it. An edge that goes into a joint with its end, as that of a housed shelf does, could take a chamfer that stops short
of the joint. The edges round the underside of a foot are eased, so that it does not splinter when the piece is pushed
over the floor (common practice, no source). The rest takes the chamfer. What the maker says wins.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from itertools import combinations

from msgspec import Struct

from shopdocs.core.box import Box, Span, joined_spans, without_spans
from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis
from shopdocs.work.shapes.carved import Carved, Ringed
from shopdocs.work.space.contacts import Contacts
from shopdocs.work.space.placed import PIECE_AXES, FeatureKind, PlacedPiece, Spot, face_of, side_of

EdgeName = tuple[Face, Face]
_SHAPING = (FeatureKind.TAPER, FeatureKind.ARCH, FeatureKind.END_CUT, FeatureKind.OUTLINE)
BESIDE = Length("0.5")  # on a piece off square, whose places are rounded
# From a joint that an edge goes into to the end of a stopped chamfer, by units (common practice, no source).
SHORT = {"in": Length.inches("3/8"), "mm": Length(10)}

# The twelve edges by the two faces that meet there, in the order of axes (ends, edges, sides): long edges first.
EDGES: tuple[EdgeName, ...] = tuple(
    (face_of(one, high_one), face_of(two, high_two))
    for one, two in reversed(list(combinations(range(3), 2)))
    for high_one in (False, True)
    for high_two in (False, True)
)


class Verdict(StrEnum):
    """What becomes of an edge."""

    CHAMFER = "chamfer"
    STOPPED = "stopped chamfer"
    SHAPED = "bevel or round"
    SQUARE = "leave square"
    EASE = "ease"


class Why(StrEnum):
    """What decides over an edge."""

    FREE = "free"
    AGAINST = "against"
    JOINT = "joint"
    FLOOR = "floor"
    ROUND = "it is round there"
    MAKER = "as the maker says"
    ALIKE = "like the others of its kind"


class Stretch(Struct, frozen=True):
    """A span along an edge, from the end of it that lies nearer end A (on an end: nearer the face edge; across an
    edge: nearer the face side), and what is there: another piece by its mark, or a joint by its name."""

    start: Length
    end: Length
    why: Why
    what: str


class EdgeFinding(Struct, frozen=True):
    """One edge: its verdict and why, the stretches that are not free, and those between them, a little short of them,
    where a stopped chamfer could run."""

    edge: EdgeName
    axis: Axis
    length: Length
    verdict: Verdict
    why: Why
    taken: tuple[Stretch, ...]
    free: tuple[tuple[Length, Length], ...]


def edge_name(one: Face, two: Face) -> EdgeName:
    """The name of the edge of two faces, whichever is said first. Raises ValueError for faces that do not meet."""
    name = (one, two) if (one, two) in EDGES else (two, one)
    if name not in EDGES:
        raise ValueError(f"{one} and {two} do not meet in an edge")
    return name


def same_turned(edges: Sequence[EdgeFinding], turned: Collection[int]) -> bool:
    """Whether a half turn leaves a piece with its twelve arrises worked as they were: `turned` are the axes of the
    piece that it reverses, 0 along, 1 across, 2 through it."""

    def beyond(face: Face) -> Face:
        axis, high = side_of(face)
        return face_of(axis, high != (axis in turned))

    def worked(found: EdgeFinding, back: bool = False) -> tuple[object, ...]:
        spans = found.free if found.verdict is Verdict.STOPPED else ()
        return found.verdict, sorted((found.length - b, found.length - a) if back else (a, b) for a, b in spans)

    by_name = {found.edge: found for found in edges}
    for found in edges:
        one, two = found.edge
        (runs,) = {0, 1, 2} - {side_of(one)[0], side_of(two)[0]}
        if worked(by_name[edge_name(beyond(one), beyond(two))]) != worked(found, runs in turned):
            return False
    return True


def find_edges(
    contacts: Contacts,
    mark: str,
    said: Mapping[EdgeName, Verdict] | None = None,
    floor: Length | None = None,
    short: Length = SHORT["mm"],
) -> tuple[EdgeFinding, ...]:
    """The twelve edges of a piece. `said` holds what the maker decided. `floor` is the height of the floor: where it
    is not given, the lowest piece of the scene stands on it. A chamfer stays `short` of a joint it would run into."""
    scene = contacts.scene
    index = scene.index(mark)
    piece = scene.pieces[index]
    lowest = scene.bounds.lo[2] if floor is None else scene.ticks.count(floor)
    foot = scene.solids[index].bounds.lo[2] == lowest == scene.solids[index].body.lo[2]
    sole = piece.pose.face_toward(2, False) if foot else None
    return tuple(_finding(contacts, index, name, (said or {}).get(name), sole, short) for name in EDGES)


def _finding(
    contacts: Contacts, index: int, name: EdgeName, said: Verdict | None, sole: Face | None, short: Length
) -> EdgeFinding:
    scene = contacts.scene
    piece, body, ticks = scene.pieces[index], scene.solids[index].body, scene.ticks
    if askew := isinstance(scene.solids[index], (Carved, Ringed)):
        piece = piece.upright()
        body = piece.solid(ticks).body
    line, axis = _edge_line(piece, body, name)
    run = piece.pose.build_axis(axis)
    forward = piece.pose.axes[axis].forward
    whole = (line.lo[run], line.hi[run])
    found = _taken_askew(contacts, index, line, run) if askew else _taken(contacts, index, line, run, short)
    taken = [(span, why, what) for span, why, what in found if span[0] < span[1]]
    free = list(_free(whole, [span for span, _, _ in taken], int(short.mm * ticks.per_mm)))

    def measured(span: Span) -> tuple[Length, Length]:
        low, high = (span[0] - whole[0], span[1] - whole[0]) if forward else (whole[1] - span[1], whole[1] - span[0])
        return ticks.length(low), ticks.length(high)

    stretches = sorted(
        (Stretch(*measured(span), why, what) for span, why, what in taken), key=lambda s: (s.start, s.end, s.what)
    )
    if said is not None:
        verdict, why = said, Why.MAKER
    elif stretches:
        reasons = {stretch.why for stretch in stretches}
        verdict, why = Verdict.SQUARE, next(why for why in (Why.AGAINST, Why.JOINT, Why.ROUND) if why in reasons)
    elif sole in name:
        verdict, why = Verdict.EASE, Why.FLOOR
    else:
        verdict, why = Verdict.CHAMFER, Why.FREE
    return EdgeFinding(
        name, PIECE_AXES[axis], piece.size[axis], verdict, why, tuple(stretches), tuple(sorted(map(measured, free)))
    )


def _free(whole: Span, taken: Iterable[Span], short: int) -> Iterator[Span]:
    """Where a chamfer could run: between what is taken, and short of it. What is taken only because the edge goes into
    a joint with its end is as long as a chamfer stays away from there."""
    for low, high in without_spans(whole, taken):
        start = low if low <= whole[0] + short else low + short
        end = high if high >= whole[1] - short else high - short
        if start < end:
            yield start, end


def _edge_line(piece: PlacedPiece, body: Box, name: EdgeName) -> tuple[Box, int]:
    """The edge as a line in the build, and the piece axis it runs along."""
    line = body
    axes = {0, 1, 2}
    for face in name:
        axis, high = piece.pose.look_of(face)
        line = line.face(axis, high)
        axes.discard(side_of(face)[0])
    return line, axes.pop()


def _taken(contacts: Contacts, index: int, line: Box, run: int, short: Length) -> Iterator[tuple[Span, Why, str]]:
    """Spans of the edge that other pieces or the piece's own joints take, joined for each of them."""
    scene = contacts.scene
    spans: dict[tuple[Why, str], list[Span]] = {}

    def take(box: Box | None, why: Why, what: str) -> None:
        if box is not None:
            spans.setdefault((why, what), []).append((box.lo[run], box.hi[run]))

    for pair in contacts.of_piece[index]:
        other = pair.second if pair.first == index else pair.first
        for touch in pair.touches:
            take(line.common(touch.where), Why.AGAINST, scene.pieces[other].mark)
    cuboids = list(scene.pieces[index].cuboids)
    added = [f for f in cuboids if f.adds]
    cut = [f for f in cuboids if not f.adds]
    solid = scene.solids[index]
    for feature, box in [*zip(added, solid.adds, strict=True), *zip(cut, solid.cuts, strict=True)]:
        if feature.kind in _SHAPING:
            continue  # its arrises go with it and stay as free as they were
        if feature.kind is FeatureKind.ROUNDING and feature.flare and feature.flare.waste:
            continue  # so do those of the faces that a rounded corner joins
        name = feature.joint or str(feature.kind)
        take(line.common(box), Why.JOINT, name)
        if feature.adds:
            for span in _goes_in(line, box, run, int(short.mm * scene.ticks.per_mm)):
                spans.setdefault((Why.JOINT, name), []).append(span)
    for (why, what), every in spans.items():
        for span in joined_spans(every):
            yield span, why, what


def _taken_askew(contacts: Contacts, index: int, line: Box, run: int) -> Iterator[tuple[Span, Why, str]]:
    """The same on a piece that is off square, as it would stand plumb; a thing within BESIDE of the edge is at it."""
    scene = contacts.scene
    piece, ticks = scene.pieces[index], scene.ticks
    upright = piece.upright()
    lengthways = piece.pose.build_axis(0)
    sawn = [cuboid.size[0] for cuboid in piece.cuboids if cuboid.kind is FeatureKind.END_CUT]
    beside = [round(BESIDE.mm * ticks.per_mm)] * 3
    beside[lengthways] += round(
        max(sawn, default=ZERO).mm * ticks.per_mm
    )  # an end off square lies behind its long point
    spans: dict[tuple[Why, str], list[Span]] = {}

    def take(lo: Spot, hi: Spot, why: Why, what: str) -> None:
        ends = [[round(v.mm * ticks.per_mm) for v in upright.spot_in_build(spot)] for spot in (lo, hi)]
        box = Box.between(*ends)
        if all(box.lo[k] - beside[k] <= line.lo[k] <= box.hi[k] + beside[k] for k in range(3) if k != run):
            low, high = max(box.lo[run], line.lo[run]), min(box.hi[run], line.hi[run])
            spans.setdefault((why, what), []).append((low, high))

    for pair in contacts.of_piece[index]:
        other = scene.pieces[pair.second if pair.first == index else pair.first].mark
        # What is one place on the wood is several to solids of several bodies, as those with mortises at an angle.
        together = {(touch.axis, touch.high): [] for touch in pair.touches}  # type: dict[tuple[int, bool], list[Box]]
        for touch in pair.touches:
            together[touch.axis, touch.high].append(touch.where)
        for around in map(Box.around, together.values()):
            where = [[ticks.length(v) for v in corner] for corner in (around.lo, around.hi)]
            take(*piece.range_in_piece(*where), Why.AGAINST, other)
    if piece.turned is not None:  # no arris runs along a round
        _, wide, thick = piece.size
        for low, high in piece.turned.stretches:
            take((low, ZERO, ZERO), (high, wide, thick), Why.ROUND, "")
    for cuboid in piece.cuboids:
        if cuboid.kind not in _SHAPING:
            take(cuboid.lo, cuboid.hi, Why.JOINT, cuboid.joint or str(cuboid.kind))
    for (why, what), every in spans.items():
        for span in joined_spans(every):
            yield span, why, what


def _goes_in(line: Box, box: Box, run: int, short: int) -> Iterator[Span]:
    """The ends of an edge that go on in what is added there, as far as a chamfer stays away from it."""
    if any(not box.lo[k] <= line.lo[k] <= box.hi[k] for k in range(3) if k != run):
        return
    low, high = line.lo[run], line.hi[run]
    if box.lo[run] < low == box.hi[run]:
        yield low, min(low + short, high)
    if box.lo[run] == high < box.hi[run]:
        yield max(high - short, low), high
