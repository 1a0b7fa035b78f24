"""A proposal for the stages of a glue-up, as the text that a maker pastes into the build."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator
from textwrap import wrap
from typing import TYPE_CHECKING

from shopdocs.core.display import trimmed
from shopdocs.core.problems import Problem, error, has_errors

if TYPE_CHECKING:
    from shopdocs.work.order.proposal import Proposal, ProposedStage

# What YAML takes for plain text wherever it stands, in a list too, and this language for nothing else.
_PLAIN = re.compile(r"[A-Za-z](?:[\w .+-]*\w)?", re.ASCII)
_WIDE = 100  # letters to a line of marks


def propose_stages(build: str, shop: str | None = None) -> tuple[tuple[Problem, ...], str]:
    """The errors that keep a build from being planned, and the text of its stages; empty where there is none. Warnings
    of the build are left to `check_build`: its stages are what is going to change."""
    from shopdocs.pipeline.checking import checked
    from shopdocs.work.order.proposal import NoProposal

    found = checked(build, shop)
    bad = tuple(problem for problem in found.problems if has_errors([problem]))
    if found.work is None or bad:
        return bad, ""
    proposal = found.work.proposal
    if isinstance(proposal, NoProposal):
        return (error(proposal.at, proposal.code, proposal.wrong, proposal.right),), ""
    assert found.work.build.gluing is not None
    return (), "\n".join(_lines(proposal, found.work.build.gluing.adhesive)) + "\n"


def _lines(proposal: Proposal, adhesive: str) -> Iterator[str]:
    clock = "" if proposal.open is None else f"; {adhesive} stays open {trimmed(proposal.open, 1)} min here"
    yield "  # Under gluing:, in place of any stages there. Every order was tried with the pieces in their places"
    yield f"  # {_of(len(proposal.stages), 'stage')}{clock}, a quarter of which is left in hand."
    yield "  stages:"
    for stage in proposal.stages:
        yield from _stage(stage)
    if proposal.after:
        told = f"Without glue, when all this has set: {', '.join(proposal.after)}"
        yield from wrap(told, _WIDE, initial_indent="  # ", subsequent_indent="  # ", break_long_words=False)


def _stage(stage: ProposedStage) -> Iterator[str]:
    yield f"    - title: {_text(stage.title)}"
    if stage.pieces:
        yield from _list("pieces", stage.pieces)
    if stage.uses:
        yield from _list("uses", stage.uses)
    if stage.hardware:
        yield from _list("hardware", stage.hardware, "goes on before this stage closes the way to it")
    if stage.loose:
        yield f"      # no glue on {', '.join(stage.loose)}"
    glued = _of(stage.joints, "seam" if stage.seams else "joint")
    yield f"      # {glued}, about {trimmed(stage.minutes, 1)} min to clamps tight"


def _list(key: str, names: Iterable[str], why: str = "") -> Iterator[str]:
    """A list in one line, or in several where it is long."""
    line = f"      {key}: ["
    told = f"  # {why}" if why else ""
    for number, name in enumerate(every := [_text(name) for name in names]):
        last = number + 1 == len(every)
        if len(line) + len(name) > _WIDE:
            yield line.rstrip()
            line = " " * 8
        line += name + ("" if last else ", ")
    yield f"{line}]{told}"


def _text(words: str) -> str:
    """Words as YAML has them; in quotes where they could be taken for something else."""
    return words if _PLAIN.fullmatch(words) else json.dumps(words, ensure_ascii=False)


def _of(count: int, word: str) -> str:
    return f"{count} {word}{'' if count == 1 else 's'}"
