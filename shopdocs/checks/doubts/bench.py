"""The shop file, the glue's label and the can, as a friend reads them over the maker's shoulder.

All bounds are common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from difflib import SequenceMatcher, get_close_matches
from fractions import Fraction

from shopdocs.checks.doubts.money import ACROSS
from shopdocs.core.display import exact_text
from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Position, Problem, warning
from shopdocs.facts.adhesives import adhesive
from shopdocs.model.build import Build, Shop
from shopdocs.model.parts import MaterialKind
from shopdocs.model.stock import RackBoard, YardBoard
from shopdocs.work.boards.supply import own_size, same_name

COMMON = "common practice"
FINEST_MILLING = Length("0.5")
OFFCUT = (Length(400), Length(1500))  # the widest and the longest that is still called an offcut
BITS = (Length("0.5"), Length(80))
PACE = (Fraction(1, 10), Fraction(15))  # minutes
COVERAGE = (3, 70)  # square metres a litre: a thick first coat, a thin oil
NARROWEST, SHORTEST = Length(30), Length(200)  # of what a yard sells
SHEET = INCH * 144  # 12 ft, the longest common sheet
FAR = 3  # times the longest, or so small a share of the shortest time of its kind
LONG_WAIT = 10  # times the glue's longest time in clamps
LONGEST_WAIT = 100  # hours; a weekend longer than the glue wants does no harm
_NUMBER = re.compile(r"\d+")


def settings(build: Build, shop: Shop) -> Iterator[Problem]:
    """Milling, offcuts, bits and pace that no bench has."""
    places, allowed = shop.places, shop.allowances
    if "milling" in places and allowed.thickness < FINEST_MILLING:
        usual = f"{exact_text(FINEST_MILLING)} and more is usual"
        yield _told(places["milling"], "milling thickness", exact_text(allowed.thickness), usual)
    for word, size, most in zip(("wide", "long"), shop.keep, OFFCUT, strict=True):
        if "keep offcuts" in places and size > most:
            value = f"{exact_text(size)} {word}"
            yield _told(places["keep offcuts"], "keep offcuts", value, f"up to {exact_text(most)} is usual")
    odd = next((bit for bit in shop.bits if not BITS[0] <= bit <= BITS[1]), None)
    if odd is not None and "bits" in places:
        usual = f"{exact_text(BITS[0])} to {exact_text(BITS[1])} is usual"
        yield _told(places["bits"], "bits", exact_text(odd), usual)
    for name in ("spread", "joint", "clamp", "square"):
        minutes = getattr(shop.pace, name)
        if "pace" in places and not PACE[0] <= minutes <= PACE[1]:
            yield _told(places["pace"], f"pace {name}", f"{float(minutes):g} min", "half a minute to 5 min is usual")


def _told(at: Position, key: str, value: str, usual: str) -> Problem:
    return warning(at, "setting", f"'{key}' is {value}", f"{usual} ({COMMON})")


def rows(build: Build, shop: Shop) -> Iterator[Problem]:
    """Rows of yard and rack: materials that are nearly one of the build, boards smaller than any yard sells."""
    every: list[YardBoard | RackBoard] = [*shop.yard, *shop.rack]
    for board in every:
        material = next((m for m in build.materials if same_name(m.name, board.material)), None)
        if material is None:
            near = next((m.name for m in build.materials if nearly(m.name, board.material)), None)
            near = near or _without_boards(build, every, board.material)
            if near is not None:
                wrong = f"no material of the build is called '{board.material}', so this board is not used"
                yield warning(board.places.get("material", board.at), "unknown-name", wrong, f"did you mean '{near}'?")
            continue
        width, length = own_size(material, board.width, board.length)
        sheet, sold = material.kind is MaterialKind.SHEET, isinstance(board, YardBoard)
        for key, size, least in (("width", width, NARROWEST), ("length", length, SHORTEST)):
            if size is None or key not in board.places:
                continue
            if (sold and shop.kerf < size < least) or (sheet and size > SHEET):
                wrong = f"a board of '{material.name}' is {exact_text(size)} {ACROSS[key]}"
                usual = f"up to {exact_text(SHEET)}" if size > least else f"{exact_text(least)} and more"
                yield warning(board.places[key], "board-size", wrong, f"{usual} is usual ({COMMON}); check the unit")


def _without_boards(build: Build, every: list[YardBoard | RackBoard], name: str) -> str | None:
    """The material without a board that has nearly this name; another figure may be the slip then."""
    bare = {m.name.casefold(): m.name for m in build.materials if not any(same_name(m.name, b.material) for b in every)}
    return next((bare[close] for close in get_close_matches(name.casefold(), bare, 1, 0.8)), None)


def nearly(one: str, other: str) -> bool:
    """Whether one name is a slip of the pen for the other: letters that are close with the same figures, or the same
    letters with figures in another order. 'ash 5/4' and 'ash 6/4' are two materials."""
    one, other = one.casefold(), other.casefold()
    letters = ["".join(ch for ch in name if ch.isalpha()) for name in (one, other)]
    figures = [_NUMBER.findall(name) for name in (one, other)]
    if letters[0] == letters[1]:
        return sorted("".join(figures[0])) == sorted("".join(figures[1]))
    close = SequenceMatcher(None, letters[0], letters[1]).ratio() >= 0.6 and sorted(letters[0]) == sorted(letters[1])
    return figures[0] == figures[1] and (close or SequenceMatcher(None, letters[0], letters[1]).ratio() >= 0.8)


def labels(build: Build, shop: Shop) -> Iterator[Problem]:
    """Times of the label far from those of the glue's kind, and waits far beyond them: minutes and hours."""
    gluing = build.gluing
    glue = adhesive(gluing.adhesive) if gluing is not None else None
    if gluing is None or glue is None:
        return
    tight = glue.tight_minutes or glue.open_minutes
    clamp = gluing.clamp_hours * 60 if gluing.clamp_hours is not None else None
    shortest, longest = min(glue.open_minutes[0], tight[0]), max(glue.open_minutes[1], tight[1])
    most = glue.clamp_minutes[1]
    for key, minutes, low, high in (
        ("open time", gluing.open_minutes, shortest / FAR, None),
        ("pot life", gluing.pot_minutes, *_far(glue.pot_minutes)),
        ("clamp time", clamp, None, most * LONG_WAIT),
    ):
        at = gluing.places.get(key)
        if minutes is not None and at is not None and ((low and minutes < low) or (high and minutes > high)):
            usual = {"open time": (shortest, longest), "clamp time": glue.clamp_minutes}.get(key, glue.pot_minutes)
            yield _time(at, f"the {key} of '{gluing.adhesive}'", minutes, usual)
    for stage in gluing.stages:
        wait = stage.wait_hours
        if wait is not None and wait > LONGEST_WAIT and wait * 60 > max(most, clamp or 0) * LONG_WAIT:
            at = stage.places.get("wait", stage.at)
            yield _time(at, f"the wait of '{stage.title}'", wait * 60, glue.clamp_minutes)


def _far(usual: tuple[Fraction, Fraction] | None) -> tuple[Fraction | None, Fraction | None]:
    return (usual[0] / FAR, usual[1] * FAR) if usual else (None, None)


def _time(at: Position, what: str, minutes: Fraction, usual: tuple[Fraction, Fraction] | None) -> Problem:
    span = f"{_minutes(usual[0])} to {_minutes(usual[1])} is usual for its kind; " if usual else ""
    return warning(at, "label-time", f"{what} is {_minutes(minutes)}", f"{span}minutes or hours?")


def _minutes(value: Fraction) -> str:
    return f"{float(value):g} min" if value < 120 else f"{float(value / 60):.3g} h"


def uses_twice(build: Build, shop: Shop) -> Iterator[Problem]:
    """An earlier stage that is taken up twice by one stage: another was meant."""
    for stage in build.gluing.stages if build.gluing is not None else ():
        twice = next((title for title in stage.uses if stage.uses.count(title) > 1), None)
        if twice is not None:
            wrong = f"'{stage.title}' takes up '{twice}' twice"
            yield warning(stage.places.get("uses", stage.at), "named-twice", wrong, "name each earlier stage once")


def bolts_in_words(build: Build, shop: Shop) -> Iterator[Problem]:
    """A thread in the words for the shopping list that is none of the item's."""
    for item in build.hardware:
        threads = {found for hole in item.holes if hole.screw for found in re.findall(r"\bM(\d+)", hole.screw.text)}
        said = re.findall(r"\bM(\d+)\b", item.buy)
        if threads and said and not threads & set(said):
            wrong = f"the words of '{item.name}' say M{said[0]}, its holes M{min(threads)}"
            at = item.places.get("buy", item.at)
            yield warning(at, "screw-words", wrong, "write one size in both places")


def finish(build: Build, shop: Shop) -> Iterator[Problem]:
    """What a litre covers, and grits that go back to a coarser one."""
    told = build.finish
    if told is None:
        return
    if told.coverage is not None and not COVERAGE[0] <= told.coverage <= COVERAGE[1]:
        wrong = f"a litre of '{told.kind}' covers {float(told.coverage):g} m²"
        right = f"{COVERAGE[0]} to {COVERAGE[1]} m² is usual ({COMMON}); the can says it"
        yield warning(told.places.get("coverage", told.at), "coverage", wrong, right)
    for finer, coarser in zip(told.grits, told.grits[1:], strict=False):
        if coarser < finer:
            wrong = f"the grits of '{told.kind}' go from {finer} back to {coarser}"
            yield warning(told.places.get("grits", told.at), "grits", wrong, f"coarse to fine is usual ({COMMON})")
            break


CHECKS = (settings, rows, labels, uses_twice, bolts_in_words, finish)
