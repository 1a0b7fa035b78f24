"""The edges of pieces as they are worked: alike on all that are interchangeable, and stopped where a joint ends a run.

Pieces that can stand in each other's places are chamfered before anyone knows where they go, so an edge that must stay
square on one of them stays square on all. A long edge that is square only in parts takes a chamfer that stops.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence

from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis
from shopdocs.work.space.arrises import EDGES, EdgeFinding, EdgeName, Verdict, Why, edge_name
from shopdocs.work.space.likeness import AS_IT_LIES, Kind, Shape, Turn, description, turns_onto
from shopdocs.work.space.placed import PlacedPiece, face_of, side_of

STOPPED_LEAST = Length(60)  # a stopped chamfer shorter than this looks like a slip (common practice, no source)
MOST_STOPPED = 3  # stretches on one edge; more of them are the gaps between slats

Findings = tuple[EdgeFinding, ...]
Span = tuple[Length, Length]
Names = dict[EdgeName, tuple[EdgeName, bool]]
_ORDER = (
    Verdict.SHAPED,
    Verdict.SQUARE,
    Verdict.STOPPED,
    Verdict.EASE,
    Verdict.CHAMFER,
)  # the first that any of them needs


def settled_edges(
    pieces: Sequence[PlacedPiece], shapes: Sequence[Shape], kinds: Iterable[Kind], found: Callable[[str], Findings]
) -> Mapping[str, Findings]:
    """The edges of every piece, by mark. `shapes` are what the pieces are, in the build; `found` looks up the edges of
    one piece as it lies."""
    index = {piece.mark: i for i, piece in enumerate(pieces)}
    settled: dict[str, Findings] = {}
    for kind in kinds:
        first = pieces[index[kind.marks[0]]]
        names: dict[str, Names] = {}
        known: dict[object, Names] = {}  # pieces that lie alike have the same names
        for mark in kind.marks:
            piece, shape = pieces[index[mark]], shapes[index[mark]]
            lies = None if piece is first else (piece.pose, description(shape))
            if lies not in known:
                known[lies] = _names(first, piece, shapes[index[first.mark]], shape)
            names[mark] = known[lies]
        every = {mark: {f.edge: f for f in map(stopping, found(mark))} for mark in kind.marks}
        for edge in EDGES:
            theirs = {mark: names[mark][edge] for mark in kind.marks}
            verdict, free = _agreed([_turned(every[mark][name], flip) for mark, (name, flip) in theirs.items()])
            for mark, (name, flip) in theirs.items():
                own = every[mark][name]
                spans = free if not flip else _flipped(free, own.length)
                why = own.why if own.verdict is verdict else Why.ALIKE
                every[mark][name] = replace(own, verdict=verdict, why=why, free=spans)
        settled |= {mark: tuple(every[mark][edge] for edge in EDGES) for mark in kind.marks}
    return settled


def stopping(finding: EdgeFinding) -> EdgeFinding:
    """A long edge with long free stretches between what it lies against takes a chamfer there; `free` are those."""
    if finding.verdict is not Verdict.SQUARE or finding.why is Why.MAKER or finding.axis is not Axis.LENGTH:
        return finding
    spans = tuple((low, high) for low, high in finding.free if high - low >= STOPPED_LEAST)
    if not spans or len(spans) > MOST_STOPPED:
        return finding
    return replace(finding, verdict=Verdict.STOPPED, free=spans)


def _agreed(findings: Sequence[EdgeFinding]) -> tuple[Verdict, tuple[Span, ...]]:
    """What is done to one edge of all of them, and where a chamfer runs."""
    said = [finding.verdict for finding in findings if finding.why is Why.MAKER]
    verdict = said[0] if said else min((finding.verdict for finding in findings), key=_ORDER.index)
    if verdict is not Verdict.STOPPED:
        return verdict, findings[0].free if all(f.free == findings[0].free for f in findings) else ()
    spans = [finding.free if finding.verdict is Verdict.STOPPED else ((ZERO, finding.length),) for finding in findings]
    shared = spans[0]
    for other in spans[1:]:
        shared = tuple(
            (max(a, c), min(b, d)) for a, b in shared for c, d in other if min(b, d) - max(a, c) >= STOPPED_LEAST
        )
    return (Verdict.STOPPED, shared) if shared else (Verdict.SQUARE, ())


def _names(first: PlacedPiece, other: PlacedPiece, one: Shape, two: Shape) -> Names:
    """For every edge of the first piece the edge of another that is the same when it is turned to lie like it, and
    whether one is measured from the end that the other is measured to."""
    turns = [AS_IT_LIES] if first is other else turns_onto(two, one)
    best = max(turns, key=lambda turn: sum(_face(first, other, turn, face) is face for face in Face))
    return {
        edge: (
            edge_name(_face(first, other, best, edge[0]), _face(first, other, best, edge[1])),
            _is_flipped(first, other, best, edge),
        )
        for edge in EDGES
    }


def _face(first: PlacedPiece, other: PlacedPiece, turn: Turn, face: Face) -> Face:
    """The face of the other piece that lies where this face of the first one does, once it is turned."""
    axis, high = first.pose.look_of(face)
    return other.pose.face_toward(turn.source[axis], high != turn.reverse[axis])


def _is_flipped(first: PlacedPiece, other: PlacedPiece, turn: Turn, edge: EdgeName) -> bool:
    (axis,) = {0, 1, 2} - {side_of(face)[0] for face in edge}
    low = _face(first, other, turn, face_of(axis, False))
    return side_of(low)[1]


def _turned(finding: EdgeFinding, flip: bool) -> EdgeFinding:
    return replace(finding, free=_flipped(finding.free, finding.length)) if flip else finding


def _flipped(spans: Sequence[Span], length: Length) -> tuple[Span, ...]:
    return tuple((length - high, length - low) for low, high in reversed(spans))
