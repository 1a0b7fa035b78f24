"""From hardware on faces to holes with a centre, a bit and a depth, each from its face's reference corner."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO, Length
from shopdocs.facts.screws import (
    BitChoice,
    CountersinkAngle,
    WoodGroup,
    clearance_hole,
    countersink_angle,
    head_diameter,
    nearest_bit,
    pilot_hole,
    shank_hole,
)
from shopdocs.facts.source import Source
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Face, Hardware, Hole, HolePlace, HoleUse, Screw
from shopdocs.model.joint_names import FeatureKind, Trait
from shopdocs.model.parts import MaterialKind, Part
from shopdocs.work.space.mates import Pieces, mate_of
from shopdocs.work.space.placed import Slanting, side_of
from shopdocs.work.space.slanting import SlantingMate, is_reached, slanting_mate

_HOLE_USES = {Trait.CLEARANCE: HoleUse.CLEARANCE, Trait.PILOT: HoleUse.PILOT, Trait.PLAIN: HoleUse.PLAIN}


def use_of(kind: FeatureKind) -> HoleUse | None:
    """What a hole of a joint is drilled for; None for one that is made with the pieces held together."""
    return next((use for trait, use in _HOLE_USES.items() if trait in kind.traits), None)


class Bore(Struct, frozen=True):
    """What to drill: wanted diameter, the bit for it (None where the shop has none), depth (None bores through).

    `head` is the countersink's diameter at the surface, None without one. `slanting` is how a hole runs that is not
    square to its face.
    """

    use: HoleUse
    wanted: Length
    choice: BitChoice | None
    depth: Length | None
    screw: Screw | None
    slot: Length | None
    head: Length | None
    angle: CountersinkAngle | None
    source: Source | None
    note: str
    slanting: Slanting | None = None

    @property
    def bit(self) -> Length:
        """The bit to take; the wanted diameter where the shop has none for it."""
        return self.choice.bit if self.choice else self.wanted


class Drilled(Struct, frozen=True):
    """A hole where it really is: centre from the face's reference corner, exact. `through_mate` is the piece through
    whose holes it is marked, with both pieces held together; "" where it is measured."""

    piece: str
    face: Face
    along: Length
    across: Length
    slot_turned: bool
    bore: Bore
    hardware: str
    hole: Hole
    place: HolePlace
    through_mate: str = ""


def wood_group(build: Build, part: Part) -> WoodGroup:
    """Softwood by material kind, else hardwood (plywood is drilled like hardwood)."""
    return "softwood" if build.material(part.material).kind is MaterialKind.SOFTWOOD else "hardwood"


def screw_size(screw: Screw) -> int | Length:
    """A screw as its tables know it: by its gauge, else by its diameter."""
    return screw.gauge if screw.gauge is not None else screw.diameter or ZERO


def bore(hole: Hole, wood: WoodGroup, build: Build, shop: Shop) -> Bore:
    """Bit and depth of a hole from the tables; the hole's own `bit` wins."""
    wanted, source, note = hole.bit, None, ""
    if wanted is None and hole.screw is not None:
        if hole.use is HoleUse.PILOT:
            pilot = pilot_hole(screw_size(hole.screw), wood)
            wanted, source, note = pilot.diameter, pilot.source, pilot.note
        else:
            passing = clearance_hole if hole.screw.bolt else shank_hole
            clearance = passing(screw_size(hole.screw), hole.fit.value)
            if clearance is not None:
                wanted, source, note = clearance.diameter, clearance.source, clearance.note
    if wanted is None:
        wanted = hole.screw.diameter if hole.screw and hole.screw.diameter else ZERO
    choice = nearest_bit(wanted, build.units, shop.bits or None, hole.use.value) if wanted.mm > 0 else None
    head = head_diameter(screw_size(hole.screw)) if hole.countersunk and hole.screw else None
    return Bore(
        use=hole.use,
        wanted=wanted,
        choice=choice,
        depth=hole.depth if hole.depth is not None else _usual_depth(hole),
        screw=hole.screw,
        slot=hole.slot,
        head=head.diameter if head else None,
        angle=countersink_angle(screw_size(hole.screw)) if hole.countersunk and hole.screw else None,
        source=source,
        note=note,
    )


def _usual_depth(hole: Hole) -> Length | None:
    """Without a depth a pilot goes as deep as its screw is long, everything else goes through."""
    if hole.through or hole.use is not HoleUse.PILOT or hole.screw is None:
        return None
    return hole.screw.length


def drilled(build: Build, shop: Shop) -> tuple[Drilled, ...]:
    """Every hole of the build in reading order."""
    pieces = {piece.mark: (part, piece) for part, piece in build.pieces()}
    parts = {mark: part for mark, (part, _) in pieces.items()}
    found = []
    for hardware in build.hardware:
        for place in hardware.on:
            wood = wood_group(build, parts[place.piece])
            found += [_at_place(hardware, hole, place, bore(hole, wood, build, shop)) for hole in hardware.holes]
        if any(place.meets for place in hardware.on):
            found += _in_mates(build, shop, hardware, pieces)
    return tuple(found)


def _in_mates(build: Build, shop: Shop, hardware: Hardware, parts: Pieces) -> Iterator[Drilled]:
    """The holes in the pieces that a pattern meets: its own for them, or those that follow from its holes."""
    for place in hardware.on:
        slanting = None if hardware.beside else slanting_mate(place, parts, build.cuts)
        if slanting is not None:
            yield from _in_slanting_mate(build, shop, hardware, parts[place.meets][0], slanting)
            continue
        mate = mate_of(place, parts, hardware.beside)
        if mate is None or not mate.reached:
            continue
        wood = wood_group(build, parts[place.meets][0])
        holes = hardware.mate_holes
        for hole in _following(hardware.holes, mate.thick) if holes is None else holes:
            along, across = mate.spot(hole.along, hole.across)
            there = HolePlace(place.meets, mate.face, along, across, False, place.at)
            turned = mate.turned != place.turned
            found = bore(hole, wood, build, shop)
            yield Drilled(place.meets, mate.face, along, across, turned, found, hardware.name, hole, there)


def _in_slanting_mate(
    build: Build, shop: Shop, hardware: Hardware, part: Part, mate: SlantingMate
) -> Iterator[Drilled]:
    """The same in a piece that is met at an angle: each hole on the line of the one that it follows from."""
    wood, place = wood_group(build, part), mate.place
    holes = hardware.mate_holes
    for hole in _following(hardware.holes, mate.thick) if holes is None else holes:
        gone = mate.passed(hole.along, hole.across)
        if gone is None or not is_reached(gone[1]):
            continue
        at, found = gone[0], bore(hole, wood, build, shop)
        along, across = (value for k, value in enumerate(at.mouth) if k != side_of(at.enters)[0])
        there = HolePlace(place.meets, at.enters, along, across, False, place.at)
        found = replace(found, slanting=at.slanting)
        yield Drilled(place.meets, at.enters, along, across, False, found, hardware.name, hole, there)


def _following(holes: Iterable[Hole], thick: Length) -> Iterator[Hole]:
    """What a screw, a bolt or a dowel through so much wood of one piece needs in the next: a pilot for what is left of
    the screw, the same hole for a bolt or a dowel. A recess takes a head, and a pilot holds the thread already."""
    for hole in holes:
        if hole.use is HoleUse.CLEARANCE and hole.screw is not None and not hole.screw.bolt:
            left = hole.screw.length - thick if hole.screw.length is not None else None
            if left is None or left > ZERO:
                plain = replace(hole, use=HoleUse.PILOT, bit=None, depth=left, through=False, slot=None)
                yield replace(plain, countersunk=False)
        elif hole.use in (HoleUse.CLEARANCE, HoleUse.PLAIN):
            yield replace(hole, countersunk=False, slot=None)


def _at_place(hardware: Hardware, hole: Hole, place: HolePlace, found: Bore) -> Drilled:
    along, across = (hole.across, hole.along) if place.turned else (hole.along, hole.across)
    return Drilled(
        place.piece,
        place.face,
        place.along + along,
        place.across + across,
        place.turned,
        found,
        hardware.name,
        hole,
        place,
    )
