"""Small stages that one mix serves: glued one right after the other, they would each throw most of the least mix away.

The next stage takes its glue from the tray of the one before only while that is in its life in the cup, and only where
both are in their clamps well within the time that the glue of the first stays open: its clock began with the mix.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

from msgspec.structs import replace

from shopdocs.facts.adhesives import adhesive
from shopdocs.model.build import Build, Shop
from shopdocs.work.order.mixing import LEAST_MIX, Mix, Portion
from shopdocs.work.order.sessions import sessions
from shopdocs.work.order.stages import TIGHT_SHARE, StageWork


def with_shared_mixes(build: Build, shop: Shop, works: Sequence[StageWork]) -> tuple[StageWork, ...]:
    """The stages, of those that follow each other in one visit to the bench the small ones with one mix: the first
    mixes for all of them, each other says of which stage its glue is."""
    glue = adhesive(build.gluing.adhesive) if build.gluing is not None else None
    if glue is None or not glue.mixed:
        return tuple(works)
    most = min(shop.batch_grams, glue.most_grams or shop.batch_grams)
    found = list(works)
    planned = sessions(works)
    first = 0
    while first < len(found):
        last = first
        while last + 1 < len(found) and planned[last + 1].at_once and _serves(found[first : last + 2], shop, most):
            last += 1
        if last > first:
            found[first : last + 1] = _shared(found[first : last + 1])
        first = last + 1
    return tuple(found)


def _serves(works: Sequence[StageWork], shop: Shop, most: Fraction) -> bool:
    """Whether one mix does for all of these stages and saves some of it."""
    mixes = [work.mix for work in works if work.mix is not None and work.mix.batches == 1]
    window = works[0].open
    if len(mixes) < len(works) or not all(mix.least for mix in mixes) or window is None or window.pot is None:
        return False
    minutes = sum((work.minutes for work in works), Fraction(0))
    before = minutes - works[-1].minutes
    spread = shop.pace.spread * len(works[-1].mix.portions[0].numbers) if works[-1].mix is not None else Fraction(0)
    in_time = before + spread <= window.pot and minutes <= window.low * TIGHT_SHARE
    return in_time and max(LEAST_MIX, sum((mix.needed for mix in mixes), Fraction(0))) <= most


def _shared(works: Sequence[StageWork]) -> list[StageWork]:
    needed = sum((work.mix.needed for work in works if work.mix is not None), Fraction(0))
    grams = max(LEAST_MIX, needed)
    numbers = works[0].mix.portions[0].numbers if works[0].mix is not None else ()
    serves = tuple(work.number for work in works)
    whole = Mix(grams, (Portion(grams, numbers, Fraction(0)),), True, needed < LEAST_MIX, needed, serves)
    rest = Mix(Fraction(0), (), True, False, Fraction(0), serves)
    return [replace(works[0], mix=whole), *(replace(work, mix=rest) for work in works[1:])]
