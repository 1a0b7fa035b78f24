"""Turning patterns: half the profile of every round at full size, with the diameters along it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from shopdocs.blocks.drawing import Pattern
from shopdocs.blocks.text import Figure
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.rounds import Round, Spot
from shopdocs.core.slug import plain_name
from shopdocs.documents.drawn.turning_pattern import half_profile, turning_pattern
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.rounds import diameter_words, diameters_along, has_rounds, round_tenons
from shopdocs.model.joint_names import Trait
from shopdocs.model.parts import Part
from shopdocs.work.scene.own_cuts import turned_pieces

_HOW_TO = (
    "A turning pattern is half the profile over the centre line. Glue it to thin plywood that reaches well past the "
    "profile, and saw along the profile. The part outside it, held against the turning with the lathe stopped, shows "
    "where wood is left. The other, with the strip, is the story stick: mark the places from it, part down to each "
    "diameter there with the callipers, then turn straight from one to the next. "
)


_POMMELS = (
    "Cut the shoulders of the pommels first, while the piece is square, and leave their arrises alone with gouge and "
    "paper. "
)


def how_to(job: Job) -> str:
    """What is done with the patterns."""
    return _HOW_TO + (_POMMELS if any(group.turned.pommels for group in _groups(job)) else "")


@dataclass
class _Turned:
    """Pieces of one part that are turned alike: `turned` with their round tenons."""

    part: Part
    turned: Round
    shoulders: tuple[bool, bool]  # whether a tenon goes on at end A and at end B
    marks: list[str] = field(default_factory=list)


def round_patterns(job: Job) -> Iterator[Pattern]:
    """One for each part and shape."""
    for number, group in enumerate(_groups(job), 1):
        yield _pattern(job, group, number)


def _groups(job: Job) -> list[_Turned]:
    if not has_rounds(job):
        return []
    rounds, found = turned_pieces(job.build), dict[object, _Turned]()
    for part, piece in job.build.pieces():
        turned = rounds.get(piece.mark)
        if turned is not None:
            whole, shoulders = _with_tenons(job, piece.mark, part, turned)
            group = found.setdefault((part.name, whole), _Turned(part, whole, shoulders))
            group.marks.append(piece.mark)
    return list(found.values())


def _with_tenons(job: Job, mark: str, part: Part, turned: Round) -> tuple[Round, tuple[bool, bool]]:
    """The round of a piece with the round tenons that stand on its round ends."""
    placed = job.space.pieces.get(mark) if job.space is not None else None
    before: list[Spot] = []
    after: list[Spot] = []
    for cuboid in placed.cuboids if placed is not None else ():
        if not cuboid.adds or Trait.ROUND not in cuboid.kind.traits or cuboid.slant is None:
            continue
        thick = cuboid.slant.thick
        if cuboid.lo[0] < ZERO and turned.start == ZERO:
            before = [(cuboid.lo[0], thick), (ZERO, thick)]
        elif cuboid.hi[0] > part.length and turned.end == part.length:
            after = [(part.length, thick), (cuboid.hi[0], thick)]
    spots = [*before, *turned.spots, *after]
    once = [spot for number, spot in enumerate(spots) if spot not in spots[:number]]
    return Round(tuple(once), turned.pommels), (bool(before), bool(after))


def _profile(turned: Round, side: Length) -> tuple[Spot, ...]:
    """What is seen of it over the centre line, twice: its diameters, and the side of the stock along its pommels."""
    spots: list[Spot] = []
    for at, diameter in turned.spots:
        square = [(at, side)] if any(at in pommel for pommel in turned.pommels) else []
        begins = any(at == low for low, _ in turned.pommels)
        spots += [(at, diameter), *square] if begins else [*square, (at, diameter)]
    return tuple(spots)


def _is_even(spots: tuple[Spot, ...]) -> bool:
    whole = spots[0][0] + spots[-1][0]
    return tuple((whole - along, diameter) for along, diameter in reversed(spots)) == spots


def _half(spots: tuple[Spot, ...]) -> tuple[Spot, ...]:
    """Up to the middle of an even round."""
    middle = (spots[0][0] + spots[-1][0]) / 2
    there = Round(spots).at(middle)
    kept = [spot for spot in spots if spot[0] < middle]
    return (*kept, (middle, there)) if there is not None else spots


def _pattern(job: Job, group: _Turned, number: int) -> Pattern:
    whole = group.turned
    profile = _profile(whole, group.part.width)
    even = _is_even(profile)
    spots = _half(profile) if even else profile
    end = spots[-1][0]
    display = job.display
    tenons = round_tenons(job.space.pieces.get(group.marks[0]) if job.space is not None else None)
    told = [
        (place, f"{diameter} at {display.bare(place)}")
        for place, diameter in diameters_along(whole, display, tenons)
        if place <= end
    ]
    ends = ("END A" if spots[0][0] <= ZERO else "", "MIDDLE" if even else _last(group, whole))
    called = f"{marks_text(group.marks, 12)} · {group.part.name}"
    start = "the shoulder at end A" if group.shoulders[0] else "end A"
    facts = [f"Places count from {start}, in {'inches' if display.units == 'in' else 'millimetres'}"]
    if even:
        facts.append("Half of it: turn it over at the middle for the other half")
    figures: list[Figure] = []
    for k, (along, diameter) in enumerate(whole.spots, 1):
        name = f"{group.part.name} · turning pattern"
        at = group.part.at
        figures.append(length_figure(f"{name} · place {k}", along, display, at))
        shown = diameter_words(diameter, tenons, display)
        figures.append(Figure(f"{name} · diameter {k}", shown, diameter.mm, "mm", at))
    if whole.pommels:
        facts.append(_square_words(whole, display))
    blocks = [(low, min(high, end)) for low, high in whole.pommels if low < end]
    drawing = turning_pattern(spots, told, ends, called, even, blocks)
    return Pattern(
        f"{called}, turning pattern",
        drawing,
        tuple(facts),
        f"turning-{group.marks[0]}",
        tuple(figures),
        outline=half_profile(profile),
        file=plain_name(f"{group.part.name} turning {number}", "turning"),
    )


def _square_words(turned: Round, display: Display) -> str:
    """Which blocks stay square, in the words of the strip."""
    told = [f"{display.bare(low)} to {display.bare(high)}" for low, high in turned.pommels]
    pommels = told[0] if len(told) == 1 else f"{', '.join(told[:-1])} and {told[-1]}"
    return f"The pommel{'s' if len(told) > 1 else ''} from {pommels} stay{'s' if len(told) == 1 else ''} square"


def _last(group: _Turned, whole: Round) -> str:
    length: Length = group.part.length
    return "END B" if whole.end >= length else ""
