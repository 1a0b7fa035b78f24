"""Part labels: the mark loudest, then the arrow, the code, the sizes, where it meets others, when it is glued.

All labels of a sheet are planned before the first is drawn, so that they share their types. What has no room is told.
"""

from __future__ import annotations

from shopdocs.blocks.sheets import Labels
from shopdocs.core.length import Length
from shopdocs.page.items import Frame, Line, mm
from shopdocs.page.label_plan import Plan, plan_labels
from shopdocs.page.label_sheets import LabelSheet, label_sheet
from shopdocs.page.paper import Paper, paper
from shopdocs.page.typesetter import Typesetter

ON_NARROW = "on labels as low as a narrow face"
MOST_NAMED = 16  # labels that a note names
LOST_WORDS = {
    "code": "the code",
    "mark": "the end of the mark",
    "arrow": "the arrow",
    "points": "what the arrow points to",
    "sizes": "the sizes",
    "sticking": "where to stick it",
    "reference": "the reference mark",
    "warning": "the warning",
    "mates": "the joints",
    "some mates": "some joints",
    "stage": "the stage",
    "name": "the name",
    "address": "the address of the record",
}


def label_pages(block: Labels, page: Paper, ts: Typesetter) -> list[tuple[Paper, Frame]]:
    """The labels on as many sheets as they need, each with its paper; of a frame only what stands on it counts."""
    sheet = label_sheet(block.sheet, page.key)
    stock = paper(sheet.paper)
    if stock.key != page.key:
        ts.note(f"label sheet {sheet.key} is {stock.name} paper; its pages are {stock.name} in this set")
    places = list(sheet.places())
    high = stock.height.points
    plans = plan_labels(block.labels, (sheet.width.points, sheet.height.points), ts)
    frames: list[Frame] = []
    for index, plan in enumerate(plans):
        place = (index + block.used) % sheet.count
        if not frames or place == 0:
            frames.append(_opened(stock, sheet, ts))
        left, top = places[place]
        x, y = left.points, high - top.points
        if plan.label.anchor:
            frames[-1].anchors.append((plan.label.anchor, y))
        plan.paint(frames[-1], x, y - sheet.height.points, ts)
    _tell_lost(plans, sheet, ts)
    return [(stock, frame) for frame in frames]


def _tell_lost(plans: list[Plan], sheet: LabelSheet, ts: Typesetter) -> None:
    """A note for each kind of thing that is left off some labels, or out of their codes."""
    for where, all_lost in (
        ("on labels", [plan.lost if not plan.floor else () for plan in plans]),
        (ON_NARROW, [plan.lost if plan.floor else () for plan in plans]),
        ("in codes of labels", [plan.code.lost if plan.code is not None else () for plan in plans]),
    ):
        for kind, words in LOST_WORDS.items():
            marks = [plan.label.mark for plan, lost in zip(plans, all_lost, strict=True) if kind in lost]
            if marks:
                ts.note(f"no room {where} of sheet {sheet.key} for {words}: {_named(marks)}")


def _named(marks: list[str]) -> str:
    """The first of them by name."""
    shown, more = marks[:MOST_NAMED], len(marks) - MOST_NAMED
    return " ".join(shown) + (f" and {more} more" if more > 0 else "")


def _opened(stock: Paper, sheet: LabelSheet, ts: Typesetter) -> Frame:
    frame = Frame(stock.width.points, stock.height.points, "", "")
    if not sheet.crop_marks:
        frame.bare, frame.over = True, sheet.top.points
        return frame
    _crop_marks(frame, sheet, ts)
    return frame


def _crop_marks(frame: Frame, sheet: LabelSheet, ts: Typesetter) -> None:
    """Ticks outside the grid and small crosses inside it."""
    thin = ts.style.thin
    reach, cross = mm(2.5), mm(1.2)

    def down(length: Length) -> float:
        return frame.height - length.points

    xs = [(sheet.left + sheet.step_across * i).points for i in range(sheet.columns + 1)]
    ys = [down(sheet.top + sheet.step_down * i) for i in range(sheet.rows + 1)]
    left, right, top, low = xs[0], xs[-1], ys[0], ys[-1]
    for x in xs:
        frame.items.append(Line(x, top + 1.5, x, top + reach, thin))
        frame.items.append(Line(x, low - 1.5, x, low - reach, thin))
    for y in ys:
        frame.items.append(Line(left - reach, y, left - 1.5, y, thin))
        frame.items.append(Line(right + 1.5, y, right + reach, y, thin))
    for x in xs[1:-1]:
        for y in ys[1:-1]:
            frame.items.append(Line(x - cross, y, x + cross, y, thin))
            frame.items.append(Line(x, y - cross, x, y + cross, thin))
