"""How large pieces are drawn on their sheets: those that are alike at one scale, so that one looks like the other."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.blocks.scales import SCALES
from shopdocs.core.display import Display
from shopdocs.documents.drawn.piece_drawing import READABLE_MM, Marked, PieceSheet, Twin, sides_of
from shopdocs.documents.drawn.piece_views import end_times

SHEET_MM = 178.0  # the width that every paper has
COLUMN_MM = 85.0  # one of two columns on it
HEIGHTS_MM = (50.0, 64.0, 80.0, 92.0, 110.0, 150.0)
UPRIGHT_MM = (90.0, 108.0, 122.0, 150.0, 195.0)
TALL_MM = 150.0  # no more of a page, if it can be read, for a piece that shows narrow faces alone
GROWN_MM = 195.0  # where no other piece would have its page
SHORT_MM = 50.0  # a piece that is drawn smaller may take more of the page
WORTH_IT = Fraction(5, 4)  # where it becomes so much larger then
_SHORTEST_MM = 20.0  # a long view is never drawn shorter
MOST_LARGER = 3  # scales that are tried where the page has room
APART_MM = 6.5  # between what stands side by side
# How wide what a mirror image bears alone may be, and how many scales it is tried at beside the other piece.
ALONE_MM, SMALLER_ALONE = (50.0, 65.0, 80.0, 90.0), 3
LOW_MM = (56.0, 72.0)  # how high, broken, where it stands beside words that are no higher
# Views side by side, with less between them than their words take: words may stand over, under and left of their view.
# For a piece that is drawn whole, if it would be shorter than this without; in no more height then.
LEAST_BETWEEN, WHOLE_MM, CLOSE_MM = 0.3, 80.0, UPRIGHT_MM[:3]
LOWER_MM = 3.0  # a smaller drawing that spares less height is not worth it


@dataclass(frozen=True, slots=True)
class Unit:
    """What one drawing shows: a piece, and the one that mirrors it, in small, or what that one bears `alone`."""

    piece: Marked
    twin: Twin | None = None
    alone: Marked | None = None

    @property
    def mark(self) -> str:
        """The mark of the piece that is drawn."""
        return self.piece.gauged.piece.mark


@dataclass(frozen=True, slots=True)
class Sized:
    """The drawing of a unit, and the same at larger scales, the largest first, for a page that has the room. Units of
    one `like` stay at one scale. `narrow` is the drawing for a column of half the page, at the same scale or a smaller
    one, and behind it those at larger ones, the largest first; empty where it has no room there. `smaller` is the
    drawing at the next scale below that can be read and is lower; None where there is none. What the mirror image bears
    `alone` stands beside the drawing where that is `roomy`."""

    sheet: PieceSheet
    larger: tuple[PieceSheet, ...]
    like: str
    narrow: tuple[PieceSheet, ...] = ()
    smaller: PieceSheet | None = None
    alone: PieceSheet | None = None

    def is_roomy(self, sheet: PieceSheet) -> bool:
        """Whether what the mirror image bears alone has room beside a drawing."""
        return self.alone is not None and _wide(sheet) + APART_MM + _wide(self.alone) <= SHEET_MM


def sized(units: Sequence[Unit], display: Display) -> list[Sized]:
    """All units in their order; those of one part and size are alike."""
    alike: dict[object, list[Unit]] = {}
    for unit in units:
        alike.setdefault(_kind(unit), []).append(unit)
    found: dict[str, Sized] = {}
    for members in alike.values():
        found |= {unit.mark: one for unit, one in zip(members, _alike(members, display), strict=True)}
    return [found[unit.mark] for unit in units]


def _kind(unit: Unit) -> object:
    piece = unit.piece.gauged.piece
    return piece.part, piece.size


def _alike(units: list[Unit], display: Display) -> list[Sized]:
    """All at the least of their scales, and at larger ones as far as all of them go along."""
    drawn = [Drawn(unit.piece, display, unit.twin) for unit in units]
    fitted = [_fitted(one) for one in drawn]
    alone: list[PieceSheet | None] = [None for _ in units]
    for i, unit in enumerate(units):
        if unit.alone is not None:
            beside = _side_by_side(unit, drawn[i], fitted[i])
            drawn[i], fitted[i], alone[i] = beside or (drawn[i], fitted[i], _below(unit, display, fitted[i]))
    if len({sheet.scale for sheet in fitted}) > 1:
        fitted = _together(drawn, fitted)
    least = min(sheet.scale for sheet in fitted)
    larger: list[list[PieceSheet]] = []
    below = fitted
    for scale in reversed(SCALES[: SCALES.index(least)][-MOST_LARGER:]):
        tried = [_at(one, scale, (GROWN_MM,), close=True) for one in drawn]
        above = [sheet for sheet in tried if sheet is not None]
        if len(above) < len(units) or not _worth_more(below, above):
            break
        larger.insert(0, above)
        below = above
    like = units[0].mark if len(units) > 1 else ""
    smaller = _smaller(drawn, fitted)
    return [
        Sized(
            sheet,
            tuple(each[i] for each in larger),
            like,
            _narrow(one, [each[i].scale for each in larger], sheet),
            smaller[i] if smaller else None,
            alone[i],
        )
        for i, (one, sheet) in enumerate(zip(drawn, fitted, strict=True))
    ]


def _smaller(drawn: Sequence[Drawn], fitted: Sequence[PieceSheet]) -> list[PieceSheet]:
    """All at the next smaller scale, where all can be read there and become lower; empty where not."""
    below = SCALES[SCALES.index(fitted[0].scale) + 1 :][:1]
    tried = [_at(one, scale, _heights(one)) for scale in below for one in drawn]
    found = [sheet for sheet in tried if sheet is not None and sheet.readable]
    if len(found) < len(drawn):
        return []
    lower = [_tall(sheet) - _tall(small) for sheet, small in zip(fitted, found, strict=True)]
    return found if min(lower) >= LOWER_MM else []


def _tall(sheet: PieceSheet) -> float:
    return sheet.box[3] - sheet.box[1]


def _wide(sheet: PieceSheet) -> float:
    return sheet.box[2] - sheet.box[0]


def _side_by_side(unit: Unit, drawn: Drawn, sheet: PieceSheet) -> tuple[Drawn, PieceSheet, PieceSheet] | None:
    """A unit and what its mirror image bears alone beside each other, the unit as large as its `sheet` or little
    smaller; None where they have no room so."""
    assert unit.alone is not None
    alone, start = Drawn(unit.alone, drawn.display, None), SCALES.index(sheet.scale)
    scales = [scale for scale in SCALES[start:] if scale * WORTH_IT >= sheet.scale]
    for number, scale in enumerate(scales):
        for small in SCALES[start + number :][:SMALLER_ALONE]:
            for wide_mm in ALONE_MM:
                other = _at(alone, small, _heights(alone), wide_mm)
                if other is not None:
                    one = Drawn(drawn.piece, drawn.display, None, SHEET_MM - APART_MM - _wide(other))
                    main = _at(one, scale, _heights(one))
                    if main is not None:
                        return one, main, other
    return None


def _below(unit: Unit, display: Display, sheet: PieceSheet) -> PieceSheet | None:
    """What the mirror image of a unit bears alone, at the scale of its `sheet` or the next at which it has room."""
    assert unit.alone is not None
    alone = Drawn(unit.alone, display, None)
    tried = ((scale, wide_mm) for scale in SCALES[SCALES.index(sheet.scale) :] for wide_mm in (*ALONE_MM, SHEET_MM))
    heights = (*(LOW_MM if alone.upright else ()), *_heights(alone))
    return next(filter(None, (_at(alone, scale, heights, wide_mm) for scale, wide_mm in tried)), None)


def _narrow(one: Drawn, larger: Sequence[Fraction], sheet: PieceSheet) -> tuple[PieceSheet, ...]:
    """A unit in a column at the scale of its `sheet`, then at those `larger` that have room there."""
    found = sheet if _wide(sheet) <= COLUMN_MM else _at(one, sheet.scale, _heights(one), COLUMN_MM)
    if found is None:
        return ()
    above: list[PieceSheet] = []
    for scale in reversed(larger):
        tried = _at(one, scale, (GROWN_MM,), COLUMN_MM)
        if tried is None:
            break
        above.insert(0, tried)
    return (found, *above)


def _together(drawn: Sequence[Drawn], fitted: list[PieceSheet]) -> list[PieceSheet]:
    """All at the least of their scales, or at the next that all of them can be set at: first smaller, then larger."""
    start = SCALES.index(min(sheet.scale for sheet in fitted))
    for scale in (*SCALES[start:], *reversed(SCALES[:start])):
        tried = [
            sheet if sheet.scale == scale else _at(one, scale, _heights(one))
            for one, sheet in zip(drawn, fitted, strict=True)
        ]
        set_all = [sheet for sheet in tried if sheet is not None]
        if len(set_all) == len(drawn):
            return set_all
    return fitted


def _worth_more(below: Sequence[PieceSheet], above: Sequence[PieceSheet]) -> bool:
    """Whether larger drawings show more: of a broken piece less of its plain wood is shown then, which is well where
    it was thin, and joints in it small."""
    broken = any(sheet.views.fold.cuts for sheet in above)
    return not broken or not any(sheet.thick for sheet in above)


class Drawn:
    """A unit at every scale that is tried of it, each drawn once for all heights of the room."""

    def __init__(self, piece: Marked, display: Display, twin: Twin | None, wide_mm: float = SHEET_MM) -> None:
        self.piece, self.display, self.twin, self.wide_mm = piece, display, twin, wide_mm
        self.upright = piece.gauged.stand.upright
        self.sheets: dict[tuple[Fraction, float], PieceSheet] = {}
        self.close: dict[tuple[Fraction, tuple[float, float]], PieceSheet] = {}

    def at(self, scale: Fraction, room_mm: tuple[float, float]) -> PieceSheet:
        """The sheet at a scale in a room."""
        key = (scale, room_mm[1] if self.upright else room_mm[0])
        known = self.sheets.get(key)
        if known is None:
            known = self.sheets[key] = PieceSheet(self.piece, self.display, scale, room_mm, self.twin)
        elif known.room != room_mm:
            known = self.sheets[key] = known.for_room(room_mm)
        return known

    def at_or_close(self, scale: Fraction, room_mm: tuple[float, float]) -> PieceSheet:
        """The sheet; its views closer to each other where they have no room otherwise and the piece stays whole."""
        usual = self.at(scale, room_mm)
        if usual.fits or not self.upright:
            return usual
        key = (scale, room_mm)
        if key not in self.close:
            self.close[key] = self._close(usual) or usual
        return self.close[key]

    def _close(self, usual: PieceSheet) -> PieceSheet | None:
        """The sheet with its views just so close to each other that they have room; None where they have none."""

        def set_at(between: float) -> PieceSheet:
            return PieceSheet(self.piece, self.display, usual.scale, usual.room, self.twin, between=between)

        if not usual.views.fits or usual.views.fold.cuts:
            return None
        closest = set_at(LEAST_BETWEEN)
        if not closest.fits:
            return None
        wide, narrow, room = usual.framed_mm, closest.framed_mm, usual.room[0]
        share = LEAST_BETWEEN + (1 - LEAST_BETWEEN) * (room - narrow) / (wide - narrow)
        found = next((one for one in map(set_at, (share, share - 0.05)) if one.fits), closest)
        return found if found.whole else None


def _heights(one: Drawn) -> tuple[float, ...]:
    return UPRIGHT_MM if one.upright else (*HEIGHTS_MM, GROWN_MM)


def _at(
    one: Drawn, scale: Fraction, heights: tuple[float, ...], wide_mm: float = SHEET_MM, close: bool = False
) -> PieceSheet | None:
    """A unit at another scale in the least of the heights that holds it, its views `close` if need be; None where none
    does."""
    drawn = one.at_or_close if close else one.at
    sheets = (drawn(scale, (min(wide_mm, one.wide_mm), height)) for height in heights)
    return next((sheet for sheet in sheets if sheet.fits and sheet.whole), None)


def _fitted(one: Drawn) -> PieceSheet:
    """A piece in little height, so that several drawings share a page; in more where that makes much of a small
    drawing."""
    heights = _heights(one)
    found = fitted_sheet(one, (one.wide_mm, heights[0]))
    for height in heights[1:]:
        if found.fits and (not _small(found) or (height > TALL_MM and found.thin_mm >= READABLE_MM)):
            break
        taller = fitted_sheet(one, (one.wide_mm, height))
        if not found.fits or taller.scale >= found.scale * WORTH_IT:
            found = taller
    scales = SCALES[SCALES.index(found.scale) :] if not found.whole else ()
    found = next(filter(None, (_at(one, scale, heights) for scale in scales)), found)
    if not one.upright or found.readable or found.views.fold.cuts or _long(found) >= WHOLE_MM:
        return found
    scales = tuple(scale for scale in SCALES if scale >= found.scale * WORTH_IT)
    return next(filter(None, (_at(one, scale, CLOSE_MM, close=True) for scale in scales)), found)


def fitted_sheet(one: Drawn, room_mm: tuple[float, float]) -> PieceSheet:
    """The sheet at the largest usual scale at which the piece needs no break; where it could not be read then, larger
    and broken; at the smallest scale where none fits."""
    broken: PieceSheet | None = None
    for scale in SCALES:
        if not _could_fit(one.piece, scale, room_mm):
            continue
        sheet = one.at(scale, room_mm)
        if broken is not None and not sheet.readable:
            break
        if not sheet.fits:
            continue
        if not sheet.views.fold.cuts:
            return sheet
        if broken is None or broken.thick:
            broken = sheet
    return broken or PieceSheet(one.piece, one.display, SCALES[-1], room_mm, one.twin, must=True)


def _could_fit(piece: Marked, scale: Fraction, room_mm: tuple[float, float]) -> bool:
    """Whether bare views fit; it costs nothing to ask."""
    gauged = piece.gauged
    tall = sum(side.float_mm(scale) for side in sides_of(gauged))
    times = end_times(gauged.piece, scale)
    long = _SHORTEST_MM + len(gauged.ends) * gauged.piece.thickness.float_mm(scale) * times
    wide, high = room_mm[::-1] if gauged.stand.upright else room_mm
    return tall <= high and long <= wide


def _small(sheet: PieceSheet) -> bool:
    """Whether the drawing is hard to read: narrow, or a whole board no longer than a thumb."""
    return not sheet.readable or (_long(sheet) < SHORT_MM and not sheet.views.fold.cuts)


def _long(sheet: PieceSheet) -> float:
    return sheet.piece.length.float_mm(sheet.scale)
