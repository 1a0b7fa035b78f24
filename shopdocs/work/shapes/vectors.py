"""Vectors in floats: products, directions square to others, mixtures."""

from __future__ import annotations

import math

from shopdocs.core.box import AXES

Vector = tuple[float, float, float]


def dot(one: Vector, two: Vector) -> float:
    """Scalar product."""
    return one[0] * two[0] + one[1] * two[1] + one[2] * two[2]


def less(one: Vector, two: Vector) -> Vector:
    """The vector from `two` to `one`."""
    return (one[0] - two[0], one[1] - two[1], one[2] - two[2])


def across(way: Vector) -> tuple[Vector, Vector]:
    """Two unit vectors square to `way` and to each other, turning right-handed about it."""
    least = min(AXES, key=lambda k: abs(way[k]))
    help_ = [0.0, 0.0, 0.0]
    help_[least] = 1.0
    one = cross((help_[0], help_[1], help_[2]), way)
    long = math.hypot(*one)
    one = (one[0] / long, one[1] / long, one[2] / long)
    return one, cross(way, one)


def cross(one: Vector, two: Vector) -> Vector:
    """Vector product."""
    (a, b, c), (d, e, f) = one, two
    return (b * f - c * e, c * d - a * f, a * e - b * d)


def mixed(one: Vector, two: Vector, turn: float) -> Vector:
    """The first of two unit vectors turned toward the second by so many radians."""
    c, s = math.cos(turn), math.sin(turn)
    return (c * one[0] + s * two[0], c * one[1] + s * two[1], c * one[2] + s * two[2])


def even(way: Vector) -> Vector:
    """Without the last digits, so that equal directions compare equal."""
    return (round(way[0], 9), round(way[1], 9), round(way[2], 9))


def moved(spot: Vector, way: Vector, by: float) -> Vector:
    """A place so far along a unit vector."""
    return (spot[0] + way[0] * by, spot[1] + way[1] * by, spot[2] + way[2] * by)
