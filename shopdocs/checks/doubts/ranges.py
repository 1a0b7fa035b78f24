"""Sizes outside the trade: each against its neighbours, from both sides.

All bounds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import INCH, ZERO, Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import HoleUse, Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind, Part

COMMON = "common practice"


@dataclass(frozen=True, slots=True)
class Share:
    """A size as a share of what it is cut in or on: usual from `low` to `high` of it, and never under `least`."""

    low: Fraction
    high: Fraction
    least: Length = ZERO


TENON = Share(Fraction(1, 5), Fraction(3, 5), Length(4))  # thickness, of its piece: about a third
TENON_LONG = Share(Fraction(0), Fraction(20), Length(9))  # length, of the piece it goes into
TONGUE = Share(
    Fraction(1, 6), Fraction(1), Length(3)
)  # thickness, of its piece: about a third, or the whole of a panel
TONGUE_LONG = Share(Fraction(0), Fraction(20), Length(4))  # length, of the piece it goes into
HOUSED = Share(Fraction(1, 8), Fraction(2, 3), Length("1.5"))  # depth, of the piece it is cut in: a quarter to a half
NARROWEST_STRIP = Length(25)
WIDEST_CHAMFER = Fraction(1, 3)  # of the thickness of the thinnest part
PILOT_DEEP = Fraction(1, 5)  # of its screw's length; the rest may go through another piece
NARROW_FINGER = Fraction(1, 2)  # of a whole one

# What a shop's settings usually are, in the order in which they are told: (key, low, high).
SETTINGS: tuple[tuple[str, Length, Length], ...] = (
    ("kerf", Length("0.4"), Length(5)),
    ("end trim", ZERO, INCH * 4),
    ("sheet trim", ZERO, INCH),
)
MILLING: tuple[tuple[str, Length], ...] = (("thickness", Length(13)), ("width", Length(40)), ("length", Length(150)))
WASTE = (Fraction(3, 100), Fraction(60, 100))
BATCH = (20, 500)  # grams
COATS = 10


def joints_outside(build: Build, shop: Shop) -> Iterator[Problem]:
    """Tenons, tongues and housings too thin, too short, too shallow or too deep for their pieces."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for joint in build.joints:
        told: set[str] = set()
        for meeting in joint.meetings:
            entering, receiving = parts[meeting.entering], parts[meeting.receiving]
            for key, problem in _of_joint(joint, entering, receiving):
                if key not in told:
                    told.add(key)
                    yield problem


def _of_joint(joint: Joint, entering: Part, receiving: Part) -> Iterator[tuple[str, Problem]]:
    kind = KINDS[joint.kind]
    long = "length" in kind.sizes
    deep = max(receiving.thickness, receiving.width)
    if kind.tenoned and joint.thickness:
        yield from _share(
            joint, "thickness", "tenon", "thick", joint.thickness, TENON, entering.thickness, entering.name
        )
        if joint.length and kind.chopped:
            yield from _share(joint, "length", "tenon", "long", joint.length, TENON_LONG, deep, receiving.name)
    elif kind.rides and long:
        if joint.thickness:
            yield from _share(
                joint, "thickness", "tongue", "thick", joint.thickness, TONGUE, entering.thickness, entering.name
            )
        if joint.length:
            yield from _share(joint, "length", "tongue", "long", joint.length, TONGUE_LONG, deep, receiving.name)
    elif kind.rides and joint.depth:
        yield from _share(joint, "depth", "cut", "deep", joint.depth, HOUSED, receiving.thickness, receiving.name)


def _share(
    joint: Joint, key: str, what: str, way: str, size: Length, usual: Share, of: Length, name: str
) -> Iterator[tuple[str, Problem]]:
    low, high = max(of * usual.low, usual.least), of * usual.high
    if low <= size <= high or not of:
        return
    at = joint.places.get(key, joint.at)
    wrong = f"the {what} of '{joint.name}' is {exact_text(size)} {way}, '{name}' {exact_text(of)}"
    bound = f"at least {exact_text(low)}" if size < low else f"at most {exact_text(high)}"
    yield key, warning(at, f"{what}-{key}", wrong, f"{bound} is usual ({COMMON})")


def strips_narrow(build: Build, shop: Shop) -> Iterator[Problem]:
    """Panels glued up of strips that are hardly wider than they are thick."""
    for part in build.parts:
        if part.strips > 1 and part.width / part.strips < max(NARROWEST_STRIP, part.thickness):
            each = exact_text(part.width / part.strips)
            wrong = f"each of the {part.strips} strips of '{part.name}' is {each} wide"
            yield warning(part.place("strips"), "narrow-strips", wrong, f"fewer and wider ones are usual ({COMMON})")


def chamfers_wide(build: Build, shop: Shop) -> Iterator[Problem]:
    """A chamfer that takes a third of the thinnest part or more off every free arris of it."""
    solid = [p for p in build.parts if build.material(p.material).kind is not MaterialKind.SHEET]
    if not solid or "chamfer" not in build.places:
        return
    thin = min(solid, key=lambda part: part.thickness)
    if build.chamfer > thin.thickness * WIDEST_CHAMFER:
        wrong = f"the chamfer is {exact_text(build.chamfer)}, '{thin.name}' {exact_text(thin.thickness)} thick"
        at = build.places.get("chamfer", build.at)
        yield warning(at, "wide-chamfer", wrong, f"a tenth of the thickness or so is usual ({COMMON})")


def pilots_deep(build: Build, shop: Shop) -> Iterator[Problem]:
    """Pilots deeper than their screw is long, or so shallow that the screw splits its own way."""
    for item in build.hardware:
        for hole in item.holes:
            screw = hole.screw
            if hole.use is not HoleUse.PILOT or screw is None or not screw.length or not hole.depth:
                continue
            if hole.depth < screw.length * PILOT_DEEP:
                told = f"the pilot of '{item.name}' is {exact_text(hole.depth)} deep for a {screw.text} screw"
                yield warning(hole.at, "shallow-pilot", told, f"as deep as the screw goes into it is usual ({COMMON})")
            elif hole.depth > screw.length:
                told = f"the pilot of '{item.name}' is {exact_text(hole.depth)} deep, its {screw.text} screw shorter"
                yield warning(hole.at, "deep-pilot", told, f"no deeper than the screw goes is usual ({COMMON})")


def fingers_left_over(build: Build, shop: Shop) -> Iterator[Problem]:
    """Fingers whose width does not go into that of their pieces: the last one comes out narrow."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for joint in build.joints:
        if "finger" not in " ".join(KINDS[joint.kind].size_names) or not joint.width:
            continue
        for meeting in joint.meetings:
            wide = parts[meeting.entering].width
            whole = (wide / joint.width).__floor__()
            rest = wide - joint.width * whole
            if rest and rest < joint.width * NARROW_FINGER:
                told = f"fingers of {exact_text(joint.width)} leave one of {exact_text(rest)} on '{meeting.entering}'"
                fits = f"{exact_text(wide / whole)} goes into {exact_text(wide)} {whole} times"
                yield warning(joint.places.get("width", joint.at), "narrow-finger", told, fits)
                break


def settings_outside(build: Build, shop: Shop) -> Iterator[Problem]:
    """Settings of the shop that no saw, plane or pot has."""
    values = {"kerf": shop.kerf, "end trim": shop.end_trim, "sheet trim": shop.sheet_trim}
    for key, low, high in SETTINGS:
        if not low <= values[key] <= high and key in shop.places:
            yield _setting(shop.places[key], key, exact_text(values[key]), f"{exact_text(low)} to {exact_text(high)}")
    allowed = shop.allowances
    for key, high in MILLING:
        value = {"thickness": allowed.thickness, "width": allowed.width, "length": allowed.length}[key]
        if value > high and "milling" in shop.places:
            yield _setting(shop.places["milling"], f"milling {key}", exact_text(value), f"up to {exact_text(high)}")
    if "waste" in shop.places and not WASTE[0] <= allowed.waste <= WASTE[1]:
        usual = f"{float(WASTE[0] * 100):g} to {float(WASTE[1] * 100):g} %"
        yield _setting(shop.places["waste"], "waste", f"{float(allowed.waste * 100):g} %", usual)
    if "batch" in shop.places and not BATCH[0] <= shop.batch_grams <= BATCH[1]:
        yield _setting(shop.places["batch"], "batch", f"{float(shop.batch_grams):g} g", f"{BATCH[0]} to {BATCH[1]} g")


def _setting(at: Position, key: str, value: str, usual: str) -> Problem:
    return warning(at, "setting", f"'{key}' is {value}", f"{usual} is usual ({COMMON})")


def finish_outside(build: Build, shop: Shop) -> Iterator[Problem]:
    """More coats than any finish takes."""
    finish = build.finish
    if finish is not None and finish.coats > COATS:
        wrong = f"{finish.coats} coats of '{finish.kind}'"
        yield warning(finish.places.get("coats", finish.at), "coats", wrong, f"up to {COATS} are usual ({COMMON})")


CHECKS = (
    joints_outside,
    strips_narrow,
    chamfers_wide,
    pilots_deep,
    fingers_left_over,
    settings_outside,
    finish_outside,
)
