"""Cutting layout: pieces on boards and sheets, saw cuts only, for the least price and with a proven bound.

    job = Job(wants, stocks, Saw(kerf=..., style=BOARD))       # whole ticks, one thickness of one material
    plan = lay_out(job)                                        # effort=FIRST at once, a larger number for better

``problem`` says what may be asked, ``task`` makes it whole numbers with the kerf inside, ``tree`` and ``packing``
put pieces on boards, ``search`` (by the ``moves``, in Python or compiled) and ``cover`` look for cheaper plans,
``grid``, ``knapsack``, ``bounds`` and ``choices`` prove what no plan can undercut, ``solve`` sets the order of it all,
``cuts`` and ``plan`` write it down for the saw.
"""

from shopdocs.work.layout.cut_order import CROSSCUT, RIP, Cut
from shopdocs.work.layout.cutting_plan import BoardPlan, BoundError, Placed, Plan, Unplaced, lay_out
from shopdocs.work.layout.problem import BOARD, SHEET, Job, Rect, Saw, Stock, Want
from shopdocs.work.layout.solve import compiler_installed
from shopdocs.work.layout.tuning import FIRST, LARGE, SWIFT_AFTER

__all__ = [
    "BOARD",
    "CROSSCUT",
    "FIRST",
    "LARGE",
    "RIP",
    "SHEET",
    "SWIFT_AFTER",
    "BoardPlan",
    "BoundError",
    "Cut",
    "Job",
    "Placed",
    "Plan",
    "Rect",
    "Saw",
    "Stock",
    "Unplaced",
    "Want",
    "compiler_installed",
    "lay_out",
]
