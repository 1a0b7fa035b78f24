"""Buttons that find nothing to ride in, or nothing within their reach, or that no driver gets at."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.joining import HolePlace
from shopdocs.work.computed import Computed
from shopdocs.work.order.reach import blockers
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.seasons.fast import rail_under, spot_of
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece, Spot

COMMON = "common practice"
# From the screw of a button to its groove: buttons are 30 to 50 mm long (common practice, no source).
REACH = Length(60)
# Under a top, for the screw of a button and a stub driver behind it, and to each side (common practice, no source).
DRIVER_ROOM, DRIVER_ASIDE = Length(100), Length(8)
HOLLOWS = (
    FeatureKind.GROOVE,
    FeatureKind.MORTISE,
    FeatureKind.RABBET,
    FeatureKind.RECESS,
    FeatureKind.NOTCH,
)


def buttons_without_groove(work: Computed) -> Iterator[Problem]:
    """A button screwed under a top whose tongue has no groove or mortise in the rail beside it, or none that it
    reaches; each rail is told once."""
    space = work.space
    if space is None:
        return
    own = own_cuts(work.build)
    for item in work.build.hardware:
        if not item.rides:
            continue
        bare: dict[str, None] = {}
        far: dict[str, tuple[HolePlace, Length]] = {}
        for place in item.on:
            piece = space.pieces.get(place.piece)
            rail = rail_under(space, piece, place) if piece is not None else None
            if piece is None or rail is None:
                continue
            hollows = [cut for cut in own.get(rail.mark, ()) if cut.kind in HOLLOWS]
            if not hollows:
                bare[rail.mark] = None
                continue
            off = min(_apart(spot_of(piece, place), rail, cut) for cut in hollows)
            if off > REACH:
                far.setdefault(rail.mark, (place, off))
        if bare:
            wrong = f"the buttons of '{item.name}' find no groove in {', '.join(bare)}"
            right = "cut one under 'cuts' (kind: groove), or a mortise for each button"
            yield warning(item.at, "no-button-groove", wrong, right)
        for mark, (place, off) in far.items():
            wrong = f"a button of '{item.name}' is {exact_text(off)} from what is grooved in '{mark}'"
            right = f"it reaches {exact_text(REACH)} at most ({COMMON}): move one of them"
            yield warning(place.at, "no-button-groove", wrong, right)


def no_room_for_a_driver(work: Computed) -> Iterator[Problem]:
    """A button whose screw has a rail or stretcher right under it: the top is on by then, so nobody turns it in."""
    space = work.space
    if space is None:
        return
    for item in work.build.hardware:
        if not item.rides:
            continue
        for mark in dict.fromkeys(place.piece for place in item.on):
            under = blockers(space, mark, item.name, DRIVER_ROOM, DRIVER_ASIDE)
            if under:
                wrong = (
                    f"under a button of '{item.name}' on {mark} stands {', '.join(under)}: no driver gets at its screw"
                )
                right = f"leave {exact_text(DRIVER_ROOM)} free in line with the screw ({COMMON}): move the button"
                yield warning(item.at, "no-driver-room", wrong, right)


def _apart(spot: Spot, rail: PlacedPiece, cut: Cuboid) -> Length:
    """How far a cut of the rail is from a spot of the build, along the axis on which it is farthest."""
    low, high = rail.range_in_build(cut.lo, cut.hi)
    return max(max(low[k] - spot[k], spot[k] - high[k], ZERO) for k in range(3))


CHECKS_OF_WORK = (buttons_without_groove, no_room_for_a_driver)
