"""The letters on a pattern: how large, and where they go when the paper has no room for them. A bold capital is taken
as 0.6 em wide, 0.8 em high (a generous mean of such typefaces), and letters keep 1.2 mm off the outline."""

from __future__ import annotations

import pytest

from shopdocs.blocks.drawing import Words
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Outline, Side
from shopdocs.documents.drawn.pattern import GRAIN, Laid, drawn_pattern

CENTRE = "CENTRE LINE: TURN OVER HERE"
POINT = 25.4 / 72  # mm


def board(wide: float, high: float) -> Outline:
    """A rectangle: its halves along it are alike."""
    w, h = Length(str(wide)), Length(str(high))
    spots = [(ZERO, ZERO), (w, ZERO), (w, h), (ZERO, h)]
    return Outline(w, h, tuple(Side(a, b) for a, b in zip(spots, [*spots[1:], spots[0]], strict=True)))


def tongue(wide: float, high: float) -> Outline:
    """A board whose end B is half a round: its halves across it are alike."""
    w, h = Length(str(wide)), Length(str(high))
    r = h / 2
    low, top = (w - r, ZERO), (w - r, h)
    sides = (
        Side((ZERO, ZERO), low),
        Side(low, top, (w - r, r), r, True),
        Side(top, (ZERO, h)),
        Side((ZERO, h), (ZERO, ZERO)),
    )
    return Outline(w, h, sides)


def words_on(outline: Outline, at_top: bool = False, whole: bool = False, called: str = "T tongue") -> list[Words]:
    """What is lettered on its pattern; with `whole` no half of it, for its lower edge is where the paper ends."""
    rest = frozenset({outline.sides[0]}) if whole else frozenset[Side]()
    laid = Laid("FACE EDGE", ("END A", "END B"), at_top, None, False, rest)
    return [shape for shape in drawn_pattern(outline, laid, called).shapes if isinstance(shape, Words)]


def room(text: str, size: float) -> float:
    return len(text) * 0.6 * size * POINT + 2 * 1.2


@pytest.mark.parametrize("at_top", [False, True])
@pytest.mark.parametrize(("spare", "size"), [(6.0, 9.0), (-0.2, 8.0)])
def test_the_centre_line_is_named_at_the_larger_size_that_it_holds(spare: float, size: float, at_top: bool) -> None:
    """Along it, in the middle of the half that is printed, 3.2 mm from it; what the round end takes
    there is a millimetre or two."""
    wide = room(CENTRE, 9.0) + spare
    (told,) = [each for each in words_on(tongue(round(wide, 2), 60), at_top) if each.text == CENTRE]
    assert (told.size_pt, told.angle, told.strong) == (size, 0, True)
    assert told.at[1] == Length("3.2" if at_top else "26.8")  # the half is 30 high
    assert (told.dx_mm, told.dy_mm) == (0, 0)


@pytest.mark.parametrize(("at_top", "down"), [(False, 7.5), (True, -7.5)])
def test_a_short_centre_line_is_named_beside_it(at_top: bool, down: float) -> None:
    """On the far side of the line, where there is no paper of the half."""
    (told,) = [each for each in words_on(tongue(40, 60), at_top) if each.text == CENTRE]
    assert told.dy_mm == down and told.at[1] == Length("3.2" if at_top else "26.8")


@pytest.mark.parametrize(
    ("high", "size", "aside"),
    [
        (room("END A", 9.0) + 0.2, 9.0, 0.0),
        (room("END A", 9.0) - 0.2, 8.0, 0.0),
        (room("END A", 8.0) + 0.2, 8.0, 0.0),
        (room("END A", 8.0) - 0.2, 8.0, 3.4),
    ],
)
def test_ends_are_named_on_end_at_the_larger_size_that_the_paper_holds(high: float, size: float, aside: float) -> None:
    """Each 3.2 mm within its end, read from the right; where it holds neither size, 3.4 mm outside."""
    found = {each.text: each for each in words_on(board(200, round(high, 2)), whole=True)}
    for text, x, way in (("END A", 3.2, -1), ("END B", 196.8, 1)):
        told = found[text]
        assert (told.size_pt, told.angle, told.strong) == (size, 90, True)
        assert told.dx_mm == way * aside
        if not aside:
            assert told.at[0] == Length(str(x))
        else:
            assert told.at == ((ZERO if way < 0 else Length(200)), Length(str(round(high, 2))) / 2)


def test_a_half_names_its_end_for_both() -> None:
    """The end that is printed is the one and, turned over, the other; the centre line is named at the other end, in
    short where the paper is low."""
    tall = {each.text: each for each in words_on(board(400, 80))}
    assert tall["END A · END B"].at[0] == Length("3.2") and tall[CENTRE].at[0] == Length("196.8")
    assert {tall[text].angle for text in ("END A · END B", CENTRE)} == {90}
    low = {each.text for each in words_on(board(400, 24))}
    assert {"END A", "CENTRE LINE"} <= low and not {"END A · END B", CENTRE} & low


@pytest.mark.parametrize("wide", [30, 60, 120, 400])
@pytest.mark.parametrize("high", [9, 14, 30, 100])
@pytest.mark.parametrize("at_top", [False, True])
def test_all_letters_can_be_read_and_keep_apart(wide: float, high: float, at_top: bool) -> None:
    """8 points are read at arm's length, and a name is as large as its paper lets, to 14; no letters on the paper lie
    on others or reach over the outline (common practice, no source)."""
    found = words_on(board(wide, high), at_top, whole=True)
    assert {each.text for each in found} == {"END A", "END B", "FACE EDGE", GRAIN, "T tongue"}
    boxes = []
    for each in found:
        assert 8 <= each.size_pt <= (14 if each.text == "T tongue" else 9)
        if each.dx_mm or each.dy_mm:
            continue
        long, tall = len(each.text) * 0.6 * each.size_pt * POINT / 2, 0.8 * each.size_pt * POINT / 2
        a, b = (tall, long) if each.angle else (long, tall)
        x, y = (value.float_mm() for value in each.at)
        assert min(x - a, y - b, wide - x - a, high - y - b) > 1.19
        boxes.append((x - a, y - b, x + a, y + b))
    for k, one in enumerate(boxes):
        for other in boxes[:k]:
            assert max(one[0], other[0]) >= min(one[2], other[2]) or max(one[1], other[1]) >= min(one[3], other[3])


def test_a_name_is_as_large_as_there_is_room() -> None:
    """Of 14, 12, 10, 9 and 8 points the largest whose letters go on the paper; a long one never crowds the next."""

    def size(called: str, wide: float, high: float) -> float:
        return max(
            each.size_pt for each in words_on(board(wide, high), whole=True, called=called) if each.text == called
        )

    assert size("T leg", 200, 100) == 14
    long = "T the long rail over the drawers"  # 70 mm hold 32 letters of 10 points, not of 12
    assert size(long, 400, 100) == 10
