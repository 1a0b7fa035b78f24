"""Joints that cannot be cut. Rules of thumb are common practice and only warn."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.core.display import exact_text
from shopdocs.core.length import Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint, JointKind, Meeting
from shopdocs.model.joint_kinds import KINDS, SIZES
from shopdocs.model.parts import Part

_NEEDED: dict[JointKind, tuple[str, ...]] = {
    JointKind.MORTISE_AND_TENON: ("thickness", "length"),
    JointKind.THROUGH_TENON: ("thickness", "length"),
    JointKind.BRIDLE: ("thickness", "length"),
    JointKind.HOUSING: ("depth",),
    JointKind.TONGUE_AND_GROOVE: ("thickness", "length"),
    JointKind.RABBET: ("depth",),
    JointKind.DOWELS: ("thickness", "depth"),
    JointKind.LOOSE_TENON: ("thickness", "width", "length"),
}
_TENONED = (JointKind.MORTISE_AND_TENON, JointKind.THROUGH_TENON, JointKind.BRIDLE, JointKind.LOOSE_TENON)


def missing_sizes(build: Build, shop: Shop) -> Iterator[Problem]:
    """Without its sizes a joint cannot be added to the cut list."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        if all({m.entering, m.receiving} <= placed for m in joint.meetings):
            continue  # worked out in space, by common practice where a size is not written
        for key in _NEEDED.get(joint.kind, ()):
            if getattr(joint, key) is None and key not in joint.places:
                wrong = f"the {joint.kind.value} '{joint.name}' lacks its '{key}'"
                yield error(joint.at, "joint-size", wrong, f"add {key}, so that it is cut and counted")


def sizes_without_use(build: Build, shop: Shop) -> Iterator[Problem]:
    """A size that a kind of joint does not have would be left out in silence."""
    for joint in build.joints:
        sizes = KINDS[joint.kind].sizes
        for key in SIZES:
            if key in joint.places and key not in sizes:
                wrong = f"the {joint.kind.value} '{joint.name}' has no use for '{key}'"
                right = f"its sizes are {', '.join(sizes)}" if sizes else "it has no sizes"
                yield warning(joint.places[key], "joint-size", wrong, right)


def joints_twice(build: Build, shop: Shop) -> Iterator[Problem]:
    """Two pieces meet in one place: a second joint of the same kind there would be cut and counted once too often."""
    met: dict[tuple[JointKind, frozenset[str]], Meeting] = {}
    for joint in build.joints:
        for m in joint.meetings:
            first = met.setdefault((joint.kind, frozenset((m.entering, m.receiving))), m)
            if first is not m:
                wrong = f"the joint of '{m.entering}' and '{m.receiving}' ({joint.kind.value}) stands twice"
                yield error(m.at, "joint-twice", wrong, f"keep this one or line {first.at.line}")
                break


def ends_not_told(build: Build, shop: Shop) -> Iterator[Problem]:
    """A housed end is longer than what shows; without places only the maker knows whether an end goes in."""
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        if joint.kind not in (JointKind.HOUSING, JointKind.RABBET) or joint.depth is None:
            continue
        for m in joint.meetings:
            if m.end is None and not {m.entering, m.receiving} <= placed:
                wrong = f"'{m.entering} into {m.receiving}' adds nothing to '{m.entering}': no end is named"
                right = f"write '{m.entering} into {m.receiving} at A' (or B) if an end goes in, or give both places"
                yield warning(m.at, "joint-end", wrong, right)
                break


def too_large_joints(build: Build, shop: Shop) -> Iterator[Problem]:
    """A tenon must fit inside the piece it is cut on and the piece it goes into."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    placed = {piece.mark for _, piece in build.pieces() if piece.place is not None}
    for joint in build.joints:
        seen: set[tuple[str, str]] = set()
        for meeting in joint.meetings:
            entering, receiving = parts[meeting.entering], parts[meeting.receiving]
            if {meeting.entering, meeting.receiving} <= placed:
                continue  # looked at in space
            if (entering.name, receiving.name) not in seen:
                seen.add((entering.name, receiving.name))
                yield from _cut_on(joint, entering)
                yield from _cut_into(joint, entering, receiving)


def _place(joint: Joint, key: str) -> Position:
    return joint.places.get(key, joint.at)


def _cut_on(joint: Joint, entering: Part) -> Iterator[Problem]:
    if joint.kind not in _TENONED:
        return
    if joint.thickness and joint.thickness >= entering.thickness and joint.kind is not JointKind.LOOSE_TENON:
        wrong = (
            f"the tenon is {exact_text(joint.thickness)} thick on '{entering.name}' of {exact_text(entering.thickness)}"
        )
        yield error(_place(joint, "thickness"), "tenon", wrong, "about a third of the piece leaves two shoulders")
    if joint.width and joint.width > entering.width:
        wrong = f"the tenon is {exact_text(joint.width)} wide on '{entering.name}' of {exact_text(entering.width)}"
        yield error(_place(joint, "width"), "tenon", wrong, "a tenon is no wider than its piece")


def _cut_into(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    deepest = max(receiving.width, receiving.thickness)
    if joint.kind is JointKind.MORTISE_AND_TENON and joint.length:
        if joint.length >= deepest:
            wrong = (
                f"a stopped tenon of {exact_text(joint.length)} goes through '{receiving.name}' ({exact_text(deepest)})"
            )
            yield error(_place(joint, "length"), "mortise", wrong, "shorten it, or make it a through tenon")
        if joint.thickness and joint.thickness > min(receiving.width, receiving.thickness) / 2:
            walls = exact_text((min(receiving.width, receiving.thickness) - joint.thickness) / 2)
            wrong = f"the mortise leaves walls of {walls} in '{receiving.name}'"
            right = "half the piece or less is common practice"
            yield warning(_place(joint, "thickness"), "mortise", wrong, right)
    if joint.kind in (JointKind.HOUSING, JointKind.RABBET) and joint.depth:
        least: Length = min(receiving.width, receiving.thickness)
        if joint.depth >= least:
            wrong = f"a {joint.kind.value} {exact_text(joint.depth)} deep cuts through '{receiving.name}'"
            yield error(
                _place(joint, "depth"), "housing", wrong, f"less than {exact_text(least)}; half is common practice"
            )


CHECKS = (missing_sizes, sizes_without_use, joints_twice, ends_not_told, too_large_joints)
