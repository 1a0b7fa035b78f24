"""Buttons that find nothing to ride in."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.problems import Problem, warning
from shopdocs.model.cutting import CutKind
from shopdocs.work.computed import Computed
from shopdocs.work.seasons.fast import rail_under

HOLLOWS = (CutKind.GROOVE, CutKind.MORTISE, CutKind.RABBET, CutKind.RECESS, CutKind.NOTCH)


def buttons_without_groove(work: Computed) -> Iterator[Problem]:
    """A button screwed under a top whose tongue has no groove or mortise in the rail beside it."""
    space = work.space
    if space is None:
        return
    cut = {place.piece for one in work.build.cuts if one.kind in HOLLOWS for place in one.on}
    for item in work.build.hardware:
        if not item.rides:
            continue
        under = (rail_under(space, space.pieces[p.piece], p) for p in item.on if p.piece in space.pieces)
        bare = list(dict.fromkeys(rail.mark for rail in under if rail is not None and rail.mark not in cut))
        if bare:
            wrong = f"the buttons of '{item.name}' find no groove in {', '.join(bare)}"
            right = "cut one under 'cuts' (kind: groove), or a mortise for each button"
            yield warning(item.at, "no-button-groove", wrong, right)


CHECKS_OF_WORK = (buttons_without_groove,)
