"""Pilots that the build should give because they cannot be worked out, each with the lines to write."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.checks.space import few
from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.facts.screws import Size, pilot_hole, shank_hole
from shopdocs.model.build import Build
from shopdocs.model.joining import HoleUse, Joint, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.computed import Computed
from shopdocs.work.holes.pilots import Lacking, screw_of_joint, wants_pilot
from shopdocs.work.space.drilled import wood_group

USUAL_DEEP = {"in": Length.inches("3/4"), "mm": Length(20)}  # for a screw of unknown length: common practice, no source
USUAL_SCREW: dict[str, Size] = {
    "in": 8,
    "mm": Length(4),
}  # where a screwed joint names none: common practice, no source


def pilots_to_give(work: Computed) -> Iterator[Problem]:
    """Screws that bite in wood without a pilot, and pieces that hold a screw fast on its way."""
    told: set[object] = set()
    problems = []
    for lacking in work.pilots.lacking:
        key = (lacking.line.at, lacking.line.hole_at, lacking.use)
        if key not in told:
            told.add(key)
            problems.append(_of_hardware(work.build, lacking))
    yield from few(iter(problems))
    yield from few(_of_joints(work))


def _of_hardware(build: Build, lacking: Lacking) -> Problem:
    name, mark = lacking.line.name, lacking.mark
    if lacking.use is HoleUse.CLEARANCE:
        wrong = f"the {lacking.screw.text} screw of '{name}' goes right through '{mark}' and bites in it"
        right = f"to draw '{lacking.bites}' up, write: {_line(lacking, 'depth: through')}"
        return warning(lacking.line.at, "no-clearance", wrong, right)
    deep = min(USUAL_DEEP[build.units], lacking.room / 2)
    wrong = f"the {lacking.screw.text} screw of '{name}' bites in '{mark}' without a pilot, and its length is not given"
    right = f"write the screw's length, which gives its pilot, or write: {_line(lacking, f'depth: {exact_text(deep)}')}"
    return warning(lacking.line.at, "no-pilot", wrong, right)


def _line(lacking: Lacking, depth: str) -> str:
    """The hardware to paste, on one line."""
    along, across = exact_text(lacking.along), exact_text(lacking.across)
    return (
        f"{lacking.line.name} in {lacking.mark}: "
        f"{{holes: [{{screw: '{lacking.screw.text}', as: {lacking.use.value}, {depth}}}], "
        f"on: [{{piece: {lacking.mark}, face: {lacking.face.value}, along: {along}, across: {across}}}], count: 0}}"
    )


def _of_joints(work: Computed) -> Iterator[Problem]:
    """Screwed joints that give neither a pilot nor the screw it could be worked out from, each line once."""
    parts = {piece.mark: part for part, piece in work.build.pieces()}
    for joint in work.build.joints:
        first = next(iter(joint.meetings), None)
        if first is None or not KINDS[joint.kind].screwed or joint.width is not None:
            continue
        worked_out = screw_of_joint(joint) is not None and joint.length is not None
        if not worked_out and wants_pilot(work.build, parts[first.entering]):
            yield _of_joint(work.build, joint, first)


def _of_joint(build: Build, joint: Joint, meeting: Meeting) -> Problem:
    part = next(part for part, piece in build.pieces() if piece.mark == meeting.entering)
    size = screw_of_joint(joint) or USUAL_SCREW[build.units]
    pilot = pilot_hole(size, wood_group(build, part)).diameter
    lines = [f"width: {_bit(build, pilot, up=False)}"]
    if joint.thickness is None:
        lines.insert(0, f"thickness: {_bit(build, shank_hole(size).diameter, up=True)}")
    if joint.length is None:
        lines.append("length: that of the screw")
    called = f"#{size}" if isinstance(size, int) else exact_text(size)
    wrong = f"the screws of '{joint.name}' bite in '{meeting.entering}' without a pilot"
    right = f"for a screw of {called} write {', '.join(lines)} (thickness is the clearance hole, width the pilot)"
    return warning(joint.at, "no-pilot", wrong, right)


def _bit(build: Build, hole: Length, up: bool) -> str:
    """A hole as a bit is sold: in 64ths of an inch or tenths of a millimetre."""
    step = Length.inches("1/64") if build.units == "in" else Length("0.1")
    steps = hole / step
    whole = -(-steps.numerator // steps.denominator) if up else steps.numerator // steps.denominator
    return exact_text(step * whole)


CHECKS = (pilots_to_give,)
