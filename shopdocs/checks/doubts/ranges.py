"""Sizes outside the trade: each against its neighbours, from both sides.

All bounds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import INCH, ZERO, Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import HoleUse, Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind, Part

COMMON = "common practice"
NARROWEST_STRIP = Length(25)
WIDEST_CHAMFER = Fraction(1, 3)  # of the thickness of the thinnest part
PILOT_DEEP = Fraction(1, 5)  # of its screw's length; the rest may go through another piece

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
    """Tenons, tongues and the like too thin, too short, too shallow or too deep for their pieces."""
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
    for usual in KINDS[joint.kind].usual:
        size: Length | None = getattr(joint, usual.key)
        whole, name = usual.of(entering, receiving)
        if not size or not whole:
            continue
        low, high = max(whole * usual.low, usual.least), whole * usual.high
        if not low <= size <= high:
            at = joint.places.get(usual.key, joint.at)
            wrong = (
                f"the {usual.what} of '{joint.name}' is {exact_text(size)} {usual.way}, '{name}' {exact_text(whole)}"
            )
            bound = f"at least {exact_text(low)}" if size < low else f"at most {exact_text(high)}"
            yield usual.key, warning(at, f"{usual.what}-{usual.key}", wrong, f"{bound} is usual ({COMMON})")


def strips_narrow(build: Build, shop: Shop) -> Iterator[Problem]:
    """Panels glued up from strips that are hardly wider than they are thick."""
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
    settings_outside,
    finish_outside,
)
