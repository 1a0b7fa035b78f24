"""Sizes of joints and parts outside the trade that `ranges` does not look at: what a kind of joint
doubts itself, room, what stands proud; boards twice as thick as the part.

All bounds are common practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Problem, warning
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Joint
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import MaterialKind
from shopdocs.work.cut_list import stock_thickness

COMMON = "common practice"
MOST_ROOM = Length(6)
MOST_PROUD = Length(20)
FINEST_CHAMFER = Length("0.2")
THICK_STOCK = Fraction(3, 5)  # a part of less of its board, where a thinner board would do


def joints_outside(build: Build, shop: Shop) -> Iterator[Problem]:
    """Each size of a line of joinery is told once, for the first pieces that it does not suit."""
    parts = {piece.mark: part for part, piece in build.pieces()}
    for joint in build.joints:
        told: set[str] = set()
        pairs = {(parts[m.entering].name, parts[m.receiving].name): m for m in joint.meetings}
        for meeting in pairs.values():
            for problem in KINDS[joint.kind].doubts(joint, parts[meeting.entering], parts[meeting.receiving]):
                if problem.code not in told:
                    told.add(problem.code)
                    yield problem
        yield from _by_itself(joint)


def _by_itself(joint: Joint) -> Iterator[Problem]:
    if joint.room is not None and joint.room > MOST_ROOM:
        wrong = f"'{joint.name}' leaves {exact_text(joint.room)} of room beyond what goes in"
        right = f"up to {exact_text(MOST_ROOM)} is usual ({COMMON})"
        yield warning(joint.places.get("room", joint.at), "joint-room", wrong, right)
    if joint.proud > MOST_PROUD:
        wrong = f"'{joint.name}' stands {exact_text(joint.proud)} proud until it is trimmed"
        right = f"up to {exact_text(MOST_PROUD)} is usual ({COMMON})"
        yield warning(joint.places.get("proud", joint.at), "joint-proud", wrong, right)


def thick_stock(build: Build, shop: Shop) -> Iterator[Problem]:
    """A part of thick boards, where thinner ones of its wood are named and would do: the wrong line was copied."""
    for part in build.parts:
        material = build.material(part.material)
        stock = stock_thickness(material)
        thin_enough = stock is not None and Length(2) < part.thickness < stock * THICK_STOCK
        if material.kind is not MaterialKind.HARDWOOD or stock is None or not thin_enough:
            continue
        need = part.thickness + shop.allowances.thickness
        for other in build.materials:
            thin = stock_thickness(other)
            if other.kind is material.kind and other.species == material.species and thin and need <= thin < stock:
                wrong = f"'{part.name}' is {exact_text(part.thickness)} thick, '{material.name}' {exact_text(stock)}"
                right = f"the thinnest board that will do is usual ({COMMON}), such as '{other.name}'"
                yield warning(part.place("material"), "thick-stock", wrong, right)
                break


def chamfers_fine(build: Build, shop: Shop) -> Iterator[Problem]:
    """A chamfer that nobody can see or plane."""
    if "chamfer" in build.places and ZERO < build.chamfer < FINEST_CHAMFER:
        wrong = f"the chamfer is {exact_text(build.chamfer)} wide"
        yield warning(build.places["chamfer"], "fine-chamfer", wrong, f"about 1 mm or 1/16 in is usual ({COMMON})")


CHECKS = (joints_outside, thick_stock, chamfers_fine)
