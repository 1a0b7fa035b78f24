"""Wood that is not let move: panels without play, tops held fast, drawers that bind. Everything here only warns."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from shopdocs.core.display import SMALL, Display, exact_text, rounded
from shopdocs.core.length import Length
from shopdocs.core.problems import Problem, warning
from shopdocs.facts.movement import similar_species
from shopdocs.work.computed import Computed
from shopdocs.work.seasons.wood import is_solid

if TYPE_CHECKING:
    from shopdocs.work.seasons.tie import Tie


def woods_unknown(work: Computed) -> Iterator[Problem]:
    """Species that are written and stand in no table, so that nothing is known of their movement; and those with a
    number in them, which no wood has in its name."""
    known = {part.material for part in work.build.parts if part.name in work.moves}
    used = {part.material for part in work.build.parts}
    for material in work.build.materials:
        at = material.places.get("species", material.at)
        if material.name in used and is_solid(material) and any(sign.isdigit() for sign in material.species or ""):
            wrong = f"the species '{material.species}' has a number in it"
            yield warning(at, "species", wrong, "write the wood alone, such as white ash; sizes stand under rough")
        if material.name in known or material.name not in used or not material.species or not is_solid(material):
            continue
        near = similar_species(material.species)
        if not near:
            continue  # of a wood that nothing is like the sheet says so
        named = " or ".join(f"'{name}'" for name in near)
        right = f"did you mean {named}? Else write moves: and its change of width for 1 % of moisture, such as 0.27 %"
        wrong = f"how far '{material.species}' moves stands in no table here"
        yield warning(at, "species", wrong, right)


def wood_held(work: Computed) -> Iterator[Problem]:
    """What holds wood tighter than it moves over the year; of equal ones the first."""
    if not work.build.joints and work.space is None:
        return  # nothing is held
    told = set()
    for tie in work.ties:
        problem = _problem(work, tie)
        if problem is not None and (tie.at, problem.code, tie.part) not in told:
            told.add((tie.at, problem.code, tie.part))
            yield problem


def _problem(work: Computed, tie: Tie) -> Problem | None:
    from shopdocs.work.seasons.tie import Sort

    display = work.build.display
    if tie.enough is False:
        return {
            Sort.PANEL: _panel,
            Sort.SLIDING: _slot,
            Sort.FAST: _fast,
            Sort.HELD: _held,
            Sort.GAP: _gap,
        }[tie.sort](tie, display)
    if tie.comes_out:
        wrong = f"'{tie.mark}' shrinks by {_about(tie.shrinks, display)} and comes out of its groove"
        return warning(tie.at, "no-play", wrong, f"make its tongues longer than {_up(tie.shrinks / 2, display)}")
    return None


def _about(length: Length, display: Display) -> str:
    """A movement in words: no finer than anybody can know it."""
    return exact_text(rounded(length, SMALL[display.units]))


def _up(length: Length, display: Display) -> str:
    """What must be left, rounded up to what the build measures in."""
    return exact_text(display.step * -(-length.mm // display.step.mm))


def _gives(tie: Tie, display: Display) -> str:
    return _about(tie.gives, display) if tie.gives else "nothing"


def _panel(tie: Tie, display: Display) -> Problem:
    swells = f"'{tie.mark}' swells by {_about(tie.needs, display)} across its grain"
    if tie.glued:
        right = "write glued: no, and leave it room to move"
        return warning(tie.at, "no-play", f"{swells} and is glued in on both sides", right)
    right = f"make it narrower by what is missing, or write room: {_up(tie.needs / 2, display)} for each groove"
    return warning(tie.at, "no-play", f"{swells} and its grooves leave {_gives(tie, display)}", right)


def _slot(tie: Tie, display: Display) -> Problem:
    wrong = f"the outer pins of '{tie.mark}' need {_about(tie.needs, display)} each way, their slots give"
    return warning(tie.at, "short-slot", f"{wrong} {_gives(tie, display)}", "make the slots longer")


def _fast(tie: Tie, display: Display) -> Problem:
    moves = f"'{tie.mark}' moves {_about(tie.needs, display)} over {_about(tie.span, display)} across its grain"
    held, do_not = " and ".join(f"'{mark}'" for mark in tie.by), f"which {'does' if len(tie.by) == 1 else 'do'} not"
    if tie.slotted:
        right = f"make the slots longer: {_up(tie.needs - (tie.gives or tie.needs), display)} more between the two"
        return warning(tie.at, "short-slot", f"{moves}, its slots give {_gives(tie, display)}", right)
    if tie.glued:
        right = "hold it by buttons or slotted screws instead, or glue it at one place only"
        return warning(tie.at, "fast-across", f"{moves} and is glued to {held}, {do_not}", right)
    right = f"slot the holes along its width, {_up(tie.needs / 2, display)} each way, or use buttons or plates"
    return warning(tie.at, "fast-across", f"{moves} and is held fast by {held}, {do_not}", right)


def _held(tie: Tie, display: Display) -> Problem:
    wrong = f"'{tie.mark}' moves {_about(tie.needs, display)} each way, '{tie.through}' lets it move"
    right = f"leave at least {_up(tie.needs, display)}"
    return warning(tie.at, "short-slot", f"{wrong} {_gives(tie, display)}", right)


def _gap(tie: Tie, display: Display) -> Problem:
    between = " and ".join(f"'{mark}'" for mark in tie.by)
    wrong = f"'{tie.mark}' swells by {_about(tie.needs, display)} and has {_gives(tie, display)} between {between}"
    right = f"leave {_up(tie.needs, display)}, or work it at a higher moisture and write worked at: in the shop file"
    return warning(tie.at, "binds", wrong, right)


CHECKS = (woods_unknown, wood_held)
