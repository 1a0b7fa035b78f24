"""Shapes of a bare drawing made smaller."""

from __future__ import annotations

from fractions import Fraction

from msgspec.structs import replace

from shopdocs.blocks.drawing import CentreMark, Circle, Leader, Line, Point, Polygon, Shape, Words


def scaled(shape: Shape, by: Fraction) -> Shape:
    """A shape with all its places nearer to the origin. Raises TypeError for one that no bare drawing has."""

    def at(point: Point) -> Point:
        return point[0] * by, point[1] * by

    if isinstance(shape, Polygon):
        return replace(shape, points=tuple(at(point) for point in shape.points))
    if isinstance(shape, Line):
        return shape._replace(start=at(shape.start), end=at(shape.end))
    if isinstance(shape, Circle):
        return replace(shape, centre=at(shape.centre), radius=shape.radius * by)
    if isinstance(shape, CentreMark):
        return replace(shape, centre=at(shape.centre), reach=shape.reach * by)
    if isinstance(shape, Leader):
        return replace(shape, tip=at(shape.tip), at=at(shape.at))
    if isinstance(shape, Words):
        return replace(shape, at=at(shape.at))
    raise TypeError(f"no shape of a bare drawing: {shape!r}")
