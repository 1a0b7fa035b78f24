"""The code on a label: how large its symbol is, and which wording it holds."""

from __future__ import annotations

from msgspec import Struct

from shopdocs.blocks.sheets import PieceLabel
from shopdocs.page import qr
from shopdocs.page.items import POINTS_PER_MM, Frame, Symbol, mm

SMALL_MODULE_MM = 0.44  # that a phone reads with some margin (common practice, no source)
LOWEST = 15.0  # millimetres: on a label under this height a symbol may use all of it
# Label heights in millimetres up to which a symbol is as large as the first figure, and at most the second, where its
# data need more modules (common practice, no source: 18 mm on one-inch labels).
_SIDES = ((LOWEST, 0.0, 12.0), (22.5, 11.5, 12.0), (31.0, 18.0, 20.0), (45.0, 18.0, 24.0), (1000.0, 25.0, 32.0))


class PlannedCode(Struct, frozen=True):
    """A wording with what it leaves out, and its side and quiet zone in points."""

    text: str
    lost: tuple[str, ...]
    side: float
    quiet: float

    @property
    def room(self) -> float:
        """Side and the quiet zone at both sides."""
        return self.side + 2 * self.quiet

    def paint(self, frame: Frame, x: float, y: float) -> None:
        """With its lower left corner at (x, y), without quiet zone."""
        rows = qr.modules(self.text)
        frame.items.append(Symbol(x, y, self.side / len(rows), rows))


def planned_code(label: PieceLabel, wide: float, high: float) -> PlannedCode | None:
    """The fullest wording whose symbol a phone can read on a label of this size in points; None where none is."""
    tall = high / POINTS_PER_MM
    wanted, most = next((wanted, most) for limit, wanted, most in _SIDES if tall <= limit)
    least = qr.LEAST_MODULE_MM if tall <= LOWEST else SMALL_MODULE_MM
    for wording in label.codes:
        try:
            count = qr.side_modules(wording.text)
        except ValueError:
            continue
        module = max(wanted / count, least)
        module = min(module, tall / (count + 2 * qr.QUIET), 0.45 * wide / POINTS_PER_MM / (count + 2 * qr.QUIET))
        if module >= least - 1e-9 and module * count <= most + 1e-9:
            return PlannedCode(wording.text, wording.lost, mm(module * count), mm(module * qr.QUIET))
    return None
