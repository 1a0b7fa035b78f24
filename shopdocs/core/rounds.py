"""The shape of a turned round: its diameters at places along the piece, with straight cones between them.

Two diameters at one place make a step. Before the first place, after the last and along its pommels the piece stays as
square as its stock. Everything is exact but what hangs on the slant of a cone (`skin`).
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

from shopdocs.core.length import PI, Length
from shopdocs.core.turn import Vector, dot

Spot = tuple[Length, Length]  # where along the piece, and the diameter there
Span = tuple[Length, Length]  # from where to where along the piece


@dataclass(frozen=True, slots=True)
class Cone:
    """A stretch of a round: from a place and its diameter to another. A cylinder where both are the same."""

    start: Spot
    end: Spot

    @property
    def long(self) -> Length:
        """How far it reaches along the piece."""
        return self.end[0] - self.start[0]

    @property
    def volume(self) -> Fraction:
        """Cubic millimetres of a frustum of a cone: pi L (D² + D d + d²) / 12, with pi to eleven places."""
        one, two = self.start[1].mm, self.end[1].mm
        return PI * self.long.mm * (one * one + one * two + two * two) / 12

    @property
    def skin(self) -> float:
        """Square millimetres of its round side: pi (D + d) / 2 times the slant height."""
        one, two = self.start[1].float_mm(), self.end[1].float_mm()
        return math.pi * (one + two) / 2 * math.hypot(self.long.float_mm(), (one - two) / 2)


@dataclass(frozen=True, slots=True)
class Round:
    """A round by its `spots`, two at least, in order along the piece; each place once, or twice for a step. Its
    `pommels`, in order and apart from each other, are blocks between two of its places that stay square; none begins
    where the round does or ends where it ends."""

    spots: tuple[Spot, ...]
    pommels: tuple[Span, ...] = ()

    @property
    def start(self) -> Length:
        """Where it begins to be round, from end A."""
        return self.spots[0][0]

    @property
    def end(self) -> Length:
        """Where it ends to be round."""
        return self.spots[-1][0]

    @property
    def thickest(self) -> Length:
        """The largest diameter."""
        return max(diameter for _, diameter in self.spots)

    @property
    def stretches(self) -> tuple[Span, ...]:
        """Where it is round, in order: all of it but its pommels."""
        begins = (self.start, *(high for _, high in self.pommels))
        ends = (*(low for low, _ in self.pommels), self.end)
        return tuple(zip(begins, ends, strict=True))

    @property
    def long(self) -> Length:
        """How much of the piece is round."""
        return sum((high - low for low, high in self.stretches), Length(0))

    def squares(self, length: Length) -> Iterator[Span]:
        """Where a piece that is so long stays square."""
        begins = (Length(0), *(high for _, high in self.stretches))
        ends = (*(low for low, _ in self.stretches), length)
        yield from ((low, high) for low, high in zip(begins, ends, strict=True) if low < high)

    def throughout(self, length: Length) -> bool:
        """Whether a piece that is so long is round from end to end."""
        return self.stretches == ((Length(0), length),)

    def cones(self) -> Iterator[Cone]:
        """Its stretches in order, steps and pommels left out."""
        for one, two in pairwise(self.spots):
            if one[0] < two[0] and (one[0], two[0]) not in self.pommels:
                yield Cone(one, two)

    def at(self, along: Length) -> Length | None:
        """The diameter at a place, the larger one of a step; None where the piece is square."""
        found = [
            cone.start[1] + (cone.end[1] - cone.start[1]) * ((along - cone.start[0]) / cone.long)
            for cone in self.cones()
            if cone.start[0] <= along <= cone.end[0]
        ]
        return max(found, default=None)

    def tilt(self, low: Length, high: Length) -> float:
        """How steep its side is at most on a stretch, against its centre line: half of what the diameter changes over
        the length."""
        near = [cone for cone in self.cones() if cone.start[0] < high and low < cone.end[0]]
        return max((abs(float((cone.end[1] - cone.start[1]) / cone.long)) / 2 for cone in near), default=0.0)

    def covers(self, low: Length, high: Length) -> bool:
        """Whether any of a stretch along the piece is round."""
        return any(low < end and start < high for start, end in self.stretches)

    def within(self, low: Length, high: Length) -> bool:
        """Whether all of a stretch along the piece is round, its ends with it."""
        return any(start <= low and high <= end for start, end in self.stretches)

    def least(self, low: Length, high: Length) -> Length | None:
        """The least diameter on a stretch that is round throughout; None where it is not."""
        if not self.within(low, high):
            return None
        return min(
            cone.start[1] + (cone.end[1] - cone.start[1]) * ((at - cone.start[0]) / cone.long)
            for cone in self.cones()
            if cone.start[0] < high and low < cone.end[0]
            for at in (max(low, cone.start[0]), min(high, cone.end[0]))
        )

    def flat(self, low: Length, high: Length, half: float) -> float | None:
        """How far from the centre line a flat lies, in millimetres, that is planed along a stretch until it is `half`
        wide to either side where the round is least: the leg of a right triangle. None where it is not round
        throughout, or no thicker than that."""
        least = self.least(low, high)
        squared = -1.0 if least is None else least.float_mm() ** 2 / 4 - half * half
        return math.sqrt(squared) if squared > 0 else None

    @property
    def volume(self) -> Fraction:
        """Cubic millimetres of its round part."""
        return sum((cone.volume for cone in self.cones()), Fraction(0))

    @property
    def skin(self) -> float:
        """Square millimetres of its round side, with the rings at steps and without the ends and those at pommels."""
        rings = sum(
            math.pi / 4 * abs(one[1].float_mm() ** 2 - two[1].float_mm() ** 2)
            for one, two in pairwise(self.spots)
            if one[0] == two[0]
        )
        return sum(cone.skin for cone in self.cones()) + rings

    def crossed(self, origin: Vector, along: Vector, start: Vector, way: Vector) -> tuple[float, float] | None:
        """How far along a line from `start` it goes into the side of the round, and how far out of it again; None where
        it does not. The middle of end A of the piece is `origin`, and `along` points to end B. All in millimetres;
        `way` and `along` are one long."""
        away = [p - o for p, o in zip(start, origin, strict=True)]
        place, rate = dot(away, along), dot(way, along)
        flat = [a - place * u for a, u in zip(away, along, strict=True)]
        sideways = [w - rate * u for w, u in zip(way, along, strict=True)]
        found: list[float] = []
        for cone in self.cones():
            first, last = cone.start[0].float_mm(), cone.end[0].float_mm()
            radius, grows = cone.start[1].float_mm() / 2, (cone.end[1] - cone.start[1]).float_mm() / 2 / (last - first)
            here = radius + grows * (place - first)  # the radius is here + grows * rate * t
            a = dot(sideways, sideways) - (grows * rate) ** 2
            b = dot(flat, sideways) - here * grows * rate
            c = dot(flat, flat) - here * here
            root = b * b - a * c
            if a > 1e-12 and root >= 0:
                spots = [(-b + sign * math.sqrt(root)) / a for sign in (-1, 1)]
                found += [t for t in spots if first - 1e-9 <= place + rate * t <= last + 1e-9]
        return (min(found), max(found)) if len(found) > 1 else None

    def from_other_end(self, length: Length) -> Round:
        """The same round of a piece that is so long, counted from end B."""
        return Round(
            tuple((length - along, diameter) for along, diameter in reversed(self.spots)),
            tuple((length - high, length - low) for low, high in reversed(self.pommels)),
        )
