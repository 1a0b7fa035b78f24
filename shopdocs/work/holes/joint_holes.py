"""The holes that joints ask for: clearance and pilot of a screwed butt, the holes of dowels."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.facts.screws import nearest_bit
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Hole, HolePlace, HoleUse, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import Trait
from shopdocs.work.holes.pilots import pilot_of_joint
from shopdocs.work.scene.in_space import Space
from shopdocs.work.space.drilled import Bore, Drilled, use_of
from shopdocs.work.space.placed import Bore as PlacedBore
from shopdocs.work.space.placed import side_of


def joint_holes(build: Build, shop: Shop, space: Space | None) -> tuple[Drilled, ...]:
    """Every hole of every joint between placed pieces, in reading order. A pilot whose screw comes through a hole in
    the other piece is marked through that hole: measured twice it would be off by what both measures are off. One that
    the build does not give is worked out from the screw."""
    if space is None:
        return ()
    found: list[Drilled] = []
    for joint, meeting in build.meetings():
        joinery = space.joinery.get(meeting.number)
        if joinery is None:
            continue
        bores = [(meeting.receiving, bore) for bore in joinery.receiving if isinstance(bore, PlacedBore)]
        passed = any(Trait.CLEARANCE in bore.kind.traits for _, bore in bores)
        bores += [(meeting.entering, bore) for bore in joinery.entering if isinstance(bore, PlacedBore)]
        for mark, bore in bores:
            use = use_of(bore.kind)
            if use is not None:
                marked = passed and use is HoleUse.PILOT
                mate = meeting.receiving if marked else ""
                found.append(_drilled(build, shop, joint, meeting, mark, bore, use, mate))
        worked_out = pilot_of_joint(build, shop, space, joint, meeting)
        if worked_out is not None:
            pilots, wanted = worked_out
            found += [
                replace(
                    _drilled(build, shop, joint, meeting, meeting.entering, bore, HoleUse.PILOT, meeting.receiving),
                    bore=replace(wanted, slanting=bore.slanting),
                )
                for bore in pilots
            ]
    return tuple(found)


def _drilled(
    build: Build,
    shop: Shop,
    joint: Joint,
    meeting: Meeting,
    mark: str,
    bore: PlacedBore,
    use: HoleUse,
    through_mate: str,
) -> Drilled:
    axis, _ = side_of(bore.face)
    along, across = (value for k, value in enumerate(bore.centre) if k != axis)
    written = joint.places.get("width" if use is HoleUse.PILOT else "thickness", joint.at)
    choice = nearest_bit(bore.diameter, build.units, shop.bits or None, use.value)
    wanted = Bore(use, bore.diameter, choice, bore.depth, None, None, None, None, None, "", bore.slanting)
    hole = Hole(along, across, use, bit=bore.diameter, depth=bore.depth, through=bore.depth is None, at=written)
    place = HolePlace(mark, bore.face, along, across, at=meeting.at)
    return Drilled(mark, bore.face, along, across, False, wanted, joint.name, hole, place, through_mate)


def screws_of(joint: Joint) -> int:
    """How many screws a joint takes in all."""
    return joint.count * len(joint.meetings) if KINDS[joint.kind].screwed else 0
