"""Cuts of one's own that leave so little wood that it breaks away, or that run farther than was meant."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.checks.tapers import named, places_of
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import the_face
from shopdocs.work.computed import Computed
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.space.features import face_of, side_of

THIN = Length(1)  # no plane or chisel leaves less standing (common practice, no source)
LONG = Length(100)  # no bit or chisel goes farther in from an end (common practice, no source)


def slivers(work: Computed) -> Iterator[Problem]:
    """A cut that stops less than a millimetre before a face of its piece; each cut is told once."""
    at, told = places_of(work), set()
    sizes = {piece.mark: (part.length, part.width, part.thickness) for part, piece in work.build.pieces()}
    for mark, cuts in own_cuts(work.build).items():
        for cut in cuts:
            place = at.get((cut.joint, mark))
            left = ((sizes[mark][k] - cut.hi[k] if high else cut.lo[k], k, high) for k in range(3) for high in (0, 1))
            thin = [one for one in left if ZERO < one[0] < THIN]
            if place is None or place in told or not thin:
                continue
            told.add(place)
            wood, axis, high = min(thin)
            wrong = (
                f"the {cut.kind} {named(cut)} leaves {exact_text(wood)} of wood at "
                f"{the_face(face_of(axis, bool(high)))} of '{mark}'"
            )
            yield warning(place, "sliver", wrong, "so little breaks away: leave more, or cut through")


def ends_cut_out(work: Computed) -> Iterator[Problem]:
    """A cut-out in an end: it goes through the whole length of its piece, where a socket was meant."""
    lengths = {piece.mark: part.length for part, piece in work.build.pieces()}
    for cut in work.build.cuts:
        for place in cut.on if cut.kind is CutKind.CUT_OUT else ():
            if side_of(place.face)[0] == 0 and lengths[place.piece] > LONG:
                wrong = (
                    f"the cut-out '{cut.name}' runs {exact_text(lengths[place.piece])} along the grain, from end to "
                    f"end of '{place.piece}'"
                )
                yield warning(place.at, "long-cut-out", wrong, "for a socket write kind: mortise, and its depth")
                break


CHECKS_OF_WORK = (slivers, ends_cut_out)
