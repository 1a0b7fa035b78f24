"""How the layout search goes about it: every setting, what it does and how it was found.

Found in three ways. *Tried*: other values were run on part of the open instances and on jobs made by cutting up whole
boards (``tests/bench/layout.py``), and this one gave the cheapest plans. *Measured*: it keeps time or memory within
bounds. *By hand*: set when it was written; no comparison was kept, so a better one may be found.
"""

from __future__ import annotations

from typing import NamedTuple


class Manner(NamedTuple):
    """How boards are taken apart and what is taken for better.

    ``few`` to ``many`` pieces come off in a round. ``close`` is the share of rounds in which pieces come off a
    stretch of a board rather than here and there; ``empty`` is how many further boards are drawn on average, of
    which the emptiest is taken.
    ``heat`` is what may be lost at first, as a share of a board's area; ``worth`` the weight that the set cover's
    worth of a loose piece has against its area. A run of rounds is at most ``longest`` and at most ``growth`` times
    as long as the one before; ``runs`` is how many go from one set cover to the next after the first ``early`` runs,
    ``choose`` whether whole boards of the pool are chosen.
    """

    few: float = 4.0
    many: float = 20.0
    close: float = 0.0
    empty: float = 0.4
    heat: float = 0.004
    worth: float = 0.7
    longest: int = 32_000
    growth: int = 2
    runs: int = 1
    early: int = 1
    choose: bool = True


# One round: how boards are taken apart and pieces put back (``moves``). By hand, but for the weights of a manner.
WHOLE = 0.6  # a larger share of a board's pieces than this takes all of them
BRANCHES = 0.7  # a branch goes with all its pieces, so this part of the share of branches takes the share of pieces
BY_AREA, BY_LENGTH, BY_WIDTH = 0.6, 0.75, 0.9  # draws up to these sort loose pieces so; above, in any order
LEAST_NOISE, MORE_NOISE, NOISE = 0.1, 0.6, 0.3  # how far sizes are blurred: by area (least, up to so much more); else
OFTEN = 0.85  # how often the cheaper board for its size is opened with the first of the next two
SPREAD, WIDE_SPREAD = 0.6, 30.0  # how far prices are blurred when a board is opened
LEAST_WORTH = 0.7  # what the blur of a price begins with

# Manners: by how many pieces lie on a board, and whether all boards are alike (``solve.manner_for``). All tried.
FILLED, CROWDED = 5.0, 12.0  # pieces a board from which it counts as filled, crowded
LOOSE_ALIKE = Manner(empty=2.0, longest=4_000)  # the emptiest of three boards: half the rounds to the same price
FILLED_ALIKE = Manner(
    few=2.0, many=8.0, empty=2.0, heat=0.02, worth=0.0, longest=16_000, runs=32, early=1, choose=False
)
CROWDED_ALIKE = Manner(
    few=3.0, many=12.0, close=0.7, empty=0.8, worth=0.0, longest=64_000, growth=8, runs=8, early=0, choose=False
)
FILLED_MIXED = (Manner(), Manner(few=3.0, many=12.0, empty=0.8, heat=0.012, worth=0.0))  # in turns
CROWDED_MIXED = Manner(few=3.0, many=12.0, close=0.7)
CHOSEN_HEAT = 0.012  # of a run that starts from a choice of whole boards: hotter, for its plan is poor at first
CHOSEN_ROUND = 12_000  # rounds of such a run
ROOMIEST = 6  # it starts from one of so many choices, the roomiest

# How long.
FIRST = 0  # effort for the first answer at once
FIRST_ROUND = 1000  # rounds of the first run; by hand
SWIFT_AFTER = 1100  # rounds from which machine code may go on: no set printed unasked loads the compiler
DEFAULT_LARGE = 1500  # rounds of a large job unless asked; by hand
DEFAULT_SECONDS, DEFAULT_SECONDS_LARGE = 0.75, 1.8  # the cap unless asked; what a maker waits for at a print, by hand
LARGE = 300  # pieces above which column generation comes first and rounds stay in Python; by hand
ENDLESS = 1 << 40  # rounds: no end

# Long searches by compiled moves (``swift``).
LANES = 2  # side by side, fixed so that the machine does not decide the plan; measured on two cores
TURN = 1000  # rounds from one look at the clock to the next: some 10 ms; measured
STOP_TURN = 16  # the same in Python; by hand
MARKS_MET = 1 << 18  # places for marks of boards met, twice as many as may be noted; measured
NODES_MET = 1 << 19  # room for boards met from one look at the clock to the next; measured
MET_A_RUN = 4000  # boards noted in a run, all lanes together; measured
POOL_MOST = 120_000  # boards kept; measured, for memory

# Set cover and new boards by worth (``cover``, ``solve``).
LAYS = 25  # at most so many rounds of laying boards by worth between two runs; by hand
TRIES = 40  # boards laid in each; by hand
BLENDS = (0.0, 0.25, 0.5)  # shares of area in the worth of a piece, in turns; by hand
EXACT = 100  # pieces up to which whole boards are chosen by an exact model, which seldom ends for more; tried
COVER_NODES = 10  # nodes of that model's tree; by hand
COVER_MOST = 400  # boards it chooses from at first; by hand
MORE = 4  # times as many the next time where it found nothing; tried
LATE = 6  # runs before it is asked where starts come from choices of boards; by hand
SHARE = 0.3  # of the time left that it may take; by hand

# Bounds (``bounds``, ``choices``, ``grid``, ``knapsack``): they decide what is proven, not what is found.
GRIDS = (100, 200, 400)  # grids of the proof, finer and finer; by hand
GRIDS_BOARD = (150, 400, 1600)  # the same for solid boards, whose cuts allow finer ones; by hand
PATIENCE = 4  # calls a grid is given before the next finer one; by hand
LEAST_LAYS = 3  # rounds of column generation a call takes at least; by hand
RULED_OUT = 10  # choices of boards held against a grid in a call; by hand
SMOOTH = 0.5  # how far values stay at the best ones so far; a common setting of column generation
BOUND_ROWS = 150  # rows of the relaxation, neighbours in size share one; by hand
STRONGEST = 12  # needs kept for choices of whole boards; by hand
KNAPSACK_NODES, KNAPSACK_CHOICES = 4000, 20_000  # where enumerating whole boards gives up; by hand
GRID_AT_ONCE = 200  # columns of sums at a time; measured, for memory

# Offcuts together at the same price (``tidy``).
TIDY_SECONDS, TIDY_SHARE = 0.12, 0.15  # kept for it where the clock ends a search, at most this share; measured
TIDY_WORK = 5000  # pieces laid in all; by hand
TIDY_TRIES = 150  # ways to lay a board, at most; by hand
TIDY_SOURCES = 6  # emptiest boards whose pieces go to fuller ones; by hand
TIDY_CUT = 0.002  # what a cut costs, as a square of offcut area; by hand, so that offcuts of a hand's breadth win
