"""Cutting layout: pieces on boards and sheets, saw cuts only, for the least price and with a proven bound."""

from shopdocs.work.layout.cuts import CROSSCUT, RIP, Cut
from shopdocs.work.layout.plan import BoardPlan, BoundError, Placed, Plan, Unplaced, lay_out
from shopdocs.work.layout.problem import BOARD, SHEET, Job, Rect, Saw, Stock, Want
from shopdocs.work.layout.solve import FIRST

__all__ = ["BOARD", "CROSSCUT", "FIRST", "RIP", "SHEET", "BoardPlan", "BoundError", "Cut", "Job", "Placed", "Plan",
           "Rect", "Saw", "Stock", "Unplaced", "Want", "lay_out"]
