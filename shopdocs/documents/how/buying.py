"""How lumber is measured, chosen and priced."""

from __future__ import annotations

from fractions import Fraction

from shopdocs.blocks.text import Run, Text
from shopdocs.core.display import trimmed
from shopdocs.core.limits import MOST_ROUNDS
from shopdocs.documents.job import Job
from shopdocs.documents.yard.words import Measures, random_sizes_text, sold_in_random_sizes
from shopdocs.model.parts import MaterialKind
from shopdocs.work.boards.supply import SURFACE

LUMBER_SETTINGS = (
    "kerf",
    "end trim",
    "milling allowance on thickness",
    "milling allowance on width",
    "milling allowance on length",
    "waste",
    "board-foot rule",
)
BOARD_FEET_OF_CUBIC_METRE = round(12 / (Fraction(3048, 10_000) ** 3))
FROM_RACK = ", the rack's too,"
LONG = 100_000  # search rounds that take seconds


def measures_of(job: Job) -> Measures:
    """Which solid wood of the job is bought by the board foot and which by the cubic metre."""
    return Measures.of(job.display, job.shop, job.boards.materials)


def _solid(job: Job) -> bool:
    return any(plan.material.kind is not MaterialKind.SHEET for plan in job.boards.materials)


def measure(job: Job) -> Text:
    """What a board foot and a cubic metre are; empty where there are only sheets."""
    if not _solid(job):
        return ()
    measures, runs = measures_of(job), ""
    if measures.metres:
        runs += "Cubic metres are thickness as sawn × width × length. "
    if measures.feet:
        rule = "by surface measure" if job.shop.tally == SURFACE else "exactly"
        runs += (
            "A board foot is 144 cubic inches, sawn or nominal, stock under 1 in thick counted as 1 in. This shop "
            f"counts {rule}{_difference(job, measures)}. "
        )
        if job.shop.tally == SURFACE:
            runs += "So a hardwood board is rounded to whole feet long and whole square feet, the sum to whole board "
            runs += "feet; prices are board by board, and a bundle's sum may differ a little. "
    if measures.metres if job.display.units == "in" else measures.feet:  # the yard counts in the other system
        runs += f"A cubic metre is {BOARD_FEET_OF_CUBIC_METRE} board feet. "
    return (f"{runs}Net is the pieces with their joinery; rough adds the allowances.",)


def _difference(job: Job, measures: Measures) -> str:
    """How far both rules are apart over all hardwood that is bought by the board foot."""
    mine = [plan for plan in job.boards.materials if plan.material.name in measures.feet and plan.bought]
    both = [plan.measured for plan in mine if plan.measured.tally is not None]
    apart = sum((m.by(SURFACE) - m.exact for m in both), Fraction(0))
    if not both or not apart:
        return "; for these boards both rules agree" if both else ""
    more = "more" if apart > 0 else "less"
    return f"; by surface measure these boards count {trimmed(abs(apart), 2)} bf {more}"


def choosing(job: Job) -> Text:
    """What yield and least price mean, and how good the plan is."""
    rack = any(board.board.on_hand for plan in job.boards.materials for board in plan.boards)
    runs = (
        f"Yield is how much of the face of the boards{FROM_RACK if rack else ''} ends up in rough pieces. "
        "Lowest possible is proven: no other choice among the boards on offer costs less. Above lowest is how far "
        "this choice lies above it. "
    )
    if job.boards.plain:
        runs += "Searched without the compiler, which pip install 'shopdocs[search]' brings. "
    if any(plan.capped for plan in job.boards.materials):
        runs += "The search was ended by the clock, so another run may choose other boards. "
    elif any(plan.gap for plan in job.boards.materials):
        longer = min(max(LONG, 10 * job.boards.asked), MOST_ROUNDS)
        if longer > job.boards.asked:
            runs += f"A longer search, of {longer:,} rounds, may find cheaper boards. "
    return (runs.rstrip(),)


def random_sizes(job: Job) -> Text:
    """What to buy where the yard sells random widths and lengths; empty where it lists its boards."""
    assumed = [plan for plan in job.boards.materials if sold_in_random_sizes(plan)]
    if not assumed:
        return ()
    waste = f"{trimmed(job.shop.allowances.waste * 100, 1)} %"
    runs: list[Run] = [
        "The boards are of a usual size, because the shop file lists none. Where the yard sells random widths and "
        f"lengths, buy the rough measure plus {waste} for waste, in clear boards: "
    ]
    for index, plan in enumerate(assumed):
        runs += [", " if index else "", f"{plan.material.name} ", *random_sizes_text(measures_of(job), plan, job.shop)]
    return (*runs, ".")


def usual_values(job: Job) -> Text:
    """What the shop file does not set."""
    unset = [words for words in LUMBER_SETTINGS if words in job.shop.defaults]
    unset = [words for words in unset if measures_of(job).feet or words != "board-foot rule"]
    return (f"Not set in the shop file, so a usual value was taken: {', '.join(unset)}.",) if unset else ()
