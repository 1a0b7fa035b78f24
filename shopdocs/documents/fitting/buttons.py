"""The sizes of the wooden buttons that hold a top, from the groove that their tongues ride in.

A button lies under the top beside its rail. Screwed up, its tongue bears on the upper wall of the groove and draws the
rail to the top, so that its tongue lies a little higher than the groove; it is a little thinner and shorter than the
groove, so that it slides. Its shoulder stands off the rail by as much as the top may move. All of it common practice,
no source.
"""

from __future__ import annotations

from collections.abc import Iterator

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.blocks.text import Figure, Run, Text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.figures import gap_figure, length_text, size_text
from shopdocs.documents.job import Job
from shopdocs.model.joining import Hardware, HolePlace, HoleUse
from shopdocs.work.scene.own_cuts import own_cuts
from shopdocs.work.seasons.fast import rail_under, spot_of
from shopdocs.work.space.drilled import bore, wood_group
from shopdocs.work.space.placed import Cuboid, FeatureKind, PlacedPiece

# By the units of the build: how much a tongue is less than its groove, each way; how wide a button is; how much of it
# lies behind its screw.
EASE = {"in": Length.inches(1) / 32, "mm": Length(1)}
WIDE = {"in": Length.inches(1), "mm": Length(25)}
BEHIND = {"in": Length.inches(1) / 2, "mm": Length(14)}


class Button(Struct, frozen=True):
    """A button as it is cut: its body `thick`; its tongue so `tongue` thick and `out` long from the shoulder, flush
    with the foot of the body; the screw so far from the shoulder; the shoulder `off` the rail."""

    thick: Length
    tongue: Length
    out: Length
    screw: Length
    off: Length


class Section(Struct, frozen=True):
    """A button in its groove, cut along it: the rail by its mark and thickness; its groove so far `under` the top, so
    `high` and `deep`; the button's body so long from its shoulder."""

    button: Button
    rail: str
    whole: Length
    under: Length
    high: Length
    deep: Length
    body: Length


def button_sizes(job: Job, item: Hardware) -> tuple[Button, ...]:
    """The buttons that some hardware is, those of one size once; nothing where it is none or finds no groove."""
    if not item.rides or job.space is None:
        return ()
    found = (_section(job, item, place) for place in item.on)
    return tuple(dict.fromkeys(each.button for each in found if each is not None))


def button_section(job: Job, name: str, rail: str) -> Section | None:
    """The section through a button of this name at a rail; None where it is none or finds no groove there."""
    for item in job.build.hardware:
        if item.name == name and item.rides and job.space is not None:
            found = (_section(job, item, place) for place in item.on)
            return next((each for each in found if each is not None and each.rail == rail), None)
    return None


def _section(job: Job, item: Hardware, place: HolePlace) -> Section | None:
    assert job.space is not None
    top = job.space.pieces.get(place.piece)
    rail = rail_under(job.space, top, place) if top is not None else None
    if top is None or rail is None:
        return None
    own = job.once(("features of own cuts",), lambda: own_cuts(job.build))
    grooves = [cut for cut in own.get(rail.mark, ()) if cut.kind is FeatureKind.GROOVE]
    measured = [found for cut in grooves if (found := _beside(top, rail, cut, place)) is not None]
    if not measured:
        return None
    screw, under, high, deep, whole = min(measured, key=lambda each: each[0])
    ease, off = EASE[job.build.units], item.play or ZERO
    tongue, out = high - ease, deep - ease
    if min(under - ease, tongue, out, screw - off) <= ZERO:
        return None
    button = Button(under - ease + tongue, tongue, out, screw - off, off)
    return Section(button, rail.mark, whole, under, high, deep, button.screw + BEHIND[job.build.units])


def _beside(
    top: PlacedPiece, rail: PlacedPiece, cut: Cuboid, place: HolePlace
) -> tuple[Length, Length, Length, Length, Length] | None:
    """From a screw to the face of the rail that is grooved; how far the groove lies under the top, how high and how
    deep it is; how thick the rail is."""
    spot, (up, far) = spot_of(top, place), top.pose.look_of(place.face)
    low, high = rail.range_in_build(cut.lo, cut.hi)
    for axis in (k for k in range(3) if k != up):
        for face, inner, sign in ((rail.far[axis], low[axis], 1), (rail.at[axis], high[axis], -1)):
            mouth = high[axis] if sign > 0 else low[axis]
            reach = (spot[axis] - face) * sign
            if mouth == face and reach > ZERO:
                under = low[up] - spot[up] if far else spot[up] - high[up]
                return reach, under, high[up] - low[up], (face - inner) * sign, rail.far[axis] - rail.at[axis]
    return None


def button_text(job: Job, item: Hardware) -> Text:
    """How some hardware is cut that is wooden buttons; nothing where it is none."""
    return tuple(run for button in button_sizes(job, item) for run in _told(job, item, button))


def button_bit(job: Job, item: Hardware) -> Length | None:
    """The bit for the hole that the screw of a button slides through; None where it is none or names no screw."""
    if not button_sizes(job, item):
        return None
    for hole in item.holes:
        if hole.use is HoleUse.PILOT and hole.screw is not None:
            top = next(part for part, piece in job.build.pieces() if piece.mark == item.on[0].piece)
            wood = wood_group(job.build, top)
            return bore(replace(hole, use=HoleUse.CLEARANCE, bit=None), wood, job.build, job.shop).bit
    return None


def _told(job: Job, item: Hardware, button: Button) -> Iterator[Run]:
    units, name = job.build.units, item.name

    def length(what: str, value: Length) -> Text:
        return length_text(f"{name} · {what}", value, job.display, item.at)

    long = button.out + button.screw + BEHIND[units]
    measures = (("thickness", button.thick, item.at), ("width", WIDE[units], item.at), ("length", long, item.at))
    yield "Each "
    yield from size_text(name, job.display, *measures, unit=True)
    yield ", grain along it; tongue at its foot "
    yield from length("tongue", button.tongue)
    yield " thick, "
    yield from length("tongue long", button.out)
    yield " long; screw "
    yield from length("screw", button.screw)
    yield " from the shoulder"
    bit = button_bit(job, item)
    if bit is not None:
        yield ", bored Ø "
        yield Figure(f"{name} · bit", job.display.drill(bit), bit.mm, "mm")
        yield " for it"
    if button.off:
        yield "; shoulder "
        yield gap_figure(f"{name} · gap", button.off, job.display, item.at, unit=True)
        yield " off the rail"
    yield ". "
