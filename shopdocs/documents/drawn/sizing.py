"""How large pieces are drawn on their sheets: those that are alike at one scale, so that one looks like the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.display import Display
from shopdocs.documents.drawn.named import FittedPiece, fitted_pair, fitted_piece
from shopdocs.documents.drawn.pictures import SCALES
from shopdocs.documents.drawn.piece_drawing import PieceSheet
from shopdocs.work.space.placed import PlacedPiece

SHEET_MM = 178.0  # the width that every paper has
HEIGHTS_MM = (78.0, 92.0, 108.0, 150.0)
GROWN_MM = 185.0  # where no other piece would have its page
PAIR_MM, PAIR_GROWN_MM = 71.0, 100.0  # each of the two
NARROW_MM, SHORT_MM = 20.0, 50.0  # a piece that is drawn smaller may take more of the page
THICK_MM = 16.0  # a broken piece that is drawn so thick is large enough
WORTH_IT = Fraction(5, 4)  # where it becomes so much larger then
MOST_LARGER = 4  # scales that are tried where the page has room

Unit = tuple[PlacedPiece, ...]  # one piece, or the two of a handed pair


@dataclass(frozen=True, slots=True)
class Sized:
    """The drawings of a unit, and the same at larger scales, the largest first, for a page that has the room. Units of
    one `like` stay at one scale."""

    fitted: tuple[FittedPiece, ...]
    larger: tuple[tuple[FittedPiece, ...], ...]
    like: str


def sized(units: Sequence[Unit], display: Display) -> list[Sized]:
    """All units in their order; those of one part and size are alike."""
    alike: dict[object, list[Unit]] = {}
    for unit in units:
        alike.setdefault(_kind(unit), []).append(unit)
    found: dict[str, Sized] = {}
    for members in alike.values():
        found |= {unit[0].mark: one for unit, one in zip(members, _alike(members, display), strict=True)}
    return [found[unit[0].mark] for unit in units]


def _kind(unit: Unit) -> object:
    return unit[0].part, unit[0].size


def _alike(units: list[Unit], display: Display) -> list[Sized]:
    """All at the least of their scales, and at larger ones as far as all of them go along."""
    fitted = [_fitted(unit, display) for unit in units]
    least = min(one.sheet.scale for unit in fitted for one in unit)
    for i, unit in enumerate(units):
        if any(one.sheet.scale != least for one in fitted[i]):
            fitted[i] = _at(fitted[i], display, least, _heights(unit)) or fitted[i]
    larger: list[list[tuple[FittedPiece, ...]]] = []
    below = fitted
    for scale in reversed(SCALES[: SCALES.index(least)][-MOST_LARGER:]):
        tried = [_at(unit, display, scale, _heights(unit)[-1:]) for unit in below]
        above = [unit for unit in tried if unit is not None]
        if len(above) < len(units) or not _worth_more(below, above):
            break
        larger.insert(0, above)
        below = above
    like = units[0][0].mark if sum(map(len, units)) > 1 else ""
    return [Sized(unit, tuple(each[i] for each in larger), like) for i, unit in enumerate(fitted)]


def _worth_more(below: list[tuple[FittedPiece, ...]], above: list[tuple[FittedPiece, ...]]) -> bool:
    """Whether larger drawings show more: of a broken piece less of its plain wood is shown then, which is well where
    it was thin, and joints in it small."""
    broken = any(one.sheet.views.fold.cuts for unit in above for one in unit)
    thin = min(side.float_mm(one.sheet.scale) for unit in below for one in unit for side in one.sheet.piece.size[1:])
    return not broken or thin < THICK_MM


def _heights(unit: Sequence[object]) -> tuple[float, ...]:
    return (*HEIGHTS_MM, GROWN_MM) if len(unit) == 1 else (PAIR_MM, PAIR_GROWN_MM)


def _at(
    unit: tuple[FittedPiece, ...], display: Display, scale: Fraction, heights: tuple[float, ...]
) -> tuple[FittedPiece, ...] | None:
    """Each piece at another scale in the least of the heights that holds it; None where none does."""
    found: list[FittedPiece] = []
    for one in unit:
        sheets = (PieceSheet(one.sheet.gauged, display, scale, (SHEET_MM, height)) for height in heights)
        fits = next((sheet for sheet in sheets if sheet.fits), None)
        if fits is None:
            return None
        found.append(FittedPiece(fits))
    return tuple(found)


def _fitted(unit: Unit, display: Display) -> tuple[FittedPiece, ...]:
    """A piece in little height, so that several drawings share a page; in more where that makes much of a small
    drawing. A pair one over the other: they mirror each other across the gap, and neither has to be made smaller."""
    if len(unit) == 2:
        return fitted_pair(unit[0], unit[1], display, (SHEET_MM, PAIR_MM))
    found = fitted_piece(unit[0], display, (SHEET_MM, HEIGHTS_MM[0]))
    for height in HEIGHTS_MM[1:]:
        if found.sheet.fits and not _small(found):
            break
        taller = found.in_room(display, (SHEET_MM, height))
        if not found.sheet.fits or taller.sheet.scale >= found.sheet.scale * WORTH_IT:
            found = taller
    return (found,)


def _small(fitted: FittedPiece) -> bool:
    """Whether the drawing is hard to read: narrow, or a whole board no longer than a thumb."""
    sheet = fitted.sheet
    across = max(sheet.piece.width, sheet.piece.thickness)
    wide, long = (v.float_mm(sheet.scale) for v in (across, sheet.piece.length))
    return wide < NARROW_MM or (long < SHORT_MM and not sheet.views.fold.cuts)
