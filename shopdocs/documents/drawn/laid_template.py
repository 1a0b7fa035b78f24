"""Where the templates of a face lie, and which sheets of paper serve several places.

One laid by an index line serves every place where the same holes lie about one. One whose holes come to lie right when
it is turned end for end, printed side up, serves both ends of a face, or both of its edges.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from typing import Literal

from shopdocs.core.length import Length
from shopdocs.documents.drawn.recesses import outline_lines, outlines_of
from shopdocs.documents.drawn.template import Window, line_of, window_of
from shopdocs.documents.job import Job
from shopdocs.work.holes.face_holes import FaceHoles
from shopdocs.work.space.drilled import Drilled

CLUSTER_GAP = Length(120)  # holes farther apart than this along the piece get templates of their own
APART = Length(60)  # holes of a cluster that lie so far apart get templates of their own where that takes less paper
LESS_PAPER = Fraction(3, 4)
WIDEST = Length(120)  # of a face that one template reaches across; holes of wider ones are laid out from either edge
INDEX_STEPS = {"in": Length.inches(1), "mm": Length(10)}


@dataclass(frozen=True, slots=True)
class Laid:
    """One template of a face and every place where it is laid: the same holes by lines squared at several distances.
    `turned` is the same for where it lies turned end for end, as it is measured there."""

    face: FaceHoles
    places: tuple[tuple[Window, tuple[Drilled, ...]], ...]
    turned: Laid | None = None

    @property
    def window(self) -> Window:
        """Of its first place."""
        return self.places[0][0]

    @property
    def holes(self) -> tuple[Drilled, ...]:
        """Those of its first place."""
        return self.places[0][1]


def laid_on(job: Job, face: FaceHoles) -> list[Laid]:
    """The templates of a face. Those laid by an index line serve every place where the same holes lie about one."""
    # by the build's own units, whichever are printed: they lay out the same templates
    step, is_exact = INDEX_STEPS[job.build.units], job.build.display.is_exact
    alike: dict[object, list[tuple[Window, tuple[Drilled, ...]]]] = {}

    def window_around(holes: tuple[Drilled, ...]) -> Window:
        return window_of(face, holes, step, is_exact)

    clusters = _clusters(hole for hole in face.holes if not hole.through_mate)
    clusters = [part for cluster in clusters for part in _parted(cluster, window_around)]
    for count, cluster in enumerate(clusters):
        window = window_around(cluster)
        line = line_of(face, window)
        key: object = count
        if line is not None:
            holes = tuple(
                (hole.along - line, hole.across, hole.slot_turned, hole.bore, hole.hardware) for hole in cluster
            )
            key = (window.start - line, window.end - line, window.across, holes)
        alike.setdefault(key, []).append((window, cluster))
    return [Laid(face, tuple(places)) for places in alike.values()]


def _clusters(holes: Iterable[Drilled]) -> list[tuple[Drilled, ...]]:
    """Holes that lie near each other along the piece."""
    clusters: list[list[Drilled]] = []
    for hole in sorted(holes, key=lambda hole: (hole.along, hole.across, -hole.bore.bit.mm)):
        if clusters and hole.along - clusters[-1][-1].along <= CLUSTER_GAP:
            clusters[-1].append(hole)
        else:
            clusters.append([hole])
    return [tuple(cluster) for cluster in clusters]


def _parted(holes: tuple[Drilled, ...], window: Callable[[tuple[Drilled, ...]], Window]) -> list[tuple[Drilled, ...]]:
    """A cluster as it is, or, on a broad panel, in two parts that take clearly less paper: holes far from one end and
    from the edge, and others near them, would share a template that is mostly empty."""
    whole = [holes]
    if window(holes).across <= WIDEST:
        return whole
    for i in range(1, len(holes)):
        parts = [holes[:i], holes[i:]]
        small = sum(_paper(window(part)) for part in parts) <= LESS_PAPER * sum(_paper(window(part)) for part in whole)
        if holes[i].along - holes[i - 1].along >= APART and small:
            whole = parts
    return whole


def _paper(window: Window) -> Fraction:
    """Square millimetres."""
    long, high = window.size
    return long.mm * high.mm


def sharing_paper(job: Job, every: Sequence[Laid]) -> list[Laid]:
    """The templates, two that are one turned end for end as one."""
    found: list[Laid] = []
    for laid in every:
        for i, earlier in enumerate(found):
            if earlier.turned is None and _serves_turned(job, earlier, laid):
                way: Literal["edge", "end"] = "end" if laid.window.index is None else "edge"
                found[i] = replace(earlier, face=replace(earlier.face, half_turn=way), turned=laid)
                break
        else:
            found.append(laid)
    return found


def _serves_turned(job: Job, one: Laid, other: Laid) -> bool:
    """Whether the paper of `one`, turned end for end on the wood, lies right where the `other` would: at the other end,
    the other edge, or both, by the same distances. Which end or edge is which must not matter to what it shows."""
    first, second = one.face, other.face
    if (first.part.name, first.face, first.marks) != (second.part.name, second.face, second.marks):
        return False
    if first.both_hands or _knifed(job, one) or _knifed(job, other):
        return False
    if any(hole.bore.slanting is not None for hole in one.holes):
        return False  # its line would lean the other way
    a, b = one.window, other.window
    if a.size != b.size or a.gauged != b.gauged or first.across.start != second.across.start:
        return False
    if a.index is not None:  # laid by the same lines, from the one edge and from the other
        same_lines = [(w.index, w.index_from_end) for w, _ in one.places] == [
            (w.index, w.index_from_end) for w, _ in other.places
        ]
        mirrored = _about(one, turned=False) == _about(one, turned=True) == _about(other, turned=True)
        return same_lines and mirrored and first.from_far_edge != second.from_far_edge
    if (a.at_start, a.at_end) != (b.at_end, b.at_start) or a.at_start == a.at_end:
        return False
    if first.along.start != first.along.end or _about(one, turned=False) != _about(other, turned=True):
        return False
    if first.from_far_edge != second.from_far_edge:  # at the other end and the other edge
        return a.gauged is None
    # at the other end, where its edge comes to lie on the other side
    middle = first.height if a.gauged is None else 2 * a.gauged
    central = all(hole.across * 2 == middle for hole in one.holes)
    return central and (a.gauged is not None or first.across.start == first.across.end)


def _about(laid: Laid, turned: bool) -> list[tuple[object, ...]]:
    """The holes by where they lie from the end or the line that the paper is laid by, along it as it is, or as it is
    `turned` end for end."""
    line = line_of(laid.face, laid.window)
    found: list[tuple[object, ...]] = []
    for hole in laid.holes:
        along = hole.along - line if line is not None else hole.along
        if turned:
            along = -along if line is not None else laid.face.width - hole.along
        found.append((along, hole.across, hole.slot_turned, hole.bore, hole.hardware))
    return sorted(found, key=str)


def _knifed(job: Job, laid: Laid) -> bool:
    """Whether cuts of the face show on the paper."""
    window = laid.window
    return any(
        outline_lines(outline, (window.start, window.end), (window.low, window.across))
        for outline in outlines_of(job, laid.face)
    )
