"""A proposal for the stages of a glue-up, as the text that a maker pastes into the build."""

from __future__ import annotations

import json
import re
from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby
from textwrap import wrap
from typing import TYPE_CHECKING

from shopdocs.core.display import trimmed
from shopdocs.core.problems import Problem, error, has_errors

if TYPE_CHECKING:
    from shopdocs.work.computed import Computed
    from shopdocs.work.order.gates import Gate
    from shopdocs.work.order.proposal import Proposal, ProposedStage
    from shopdocs.work.order.sessions import Session
    from shopdocs.work.order.stages import StageWork
    from shopdocs.work.order.unglued import Unglued

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
    return (), "\n".join(_lines(proposal, found.work)) + "\n"


def _lines(proposal: Proposal, work: Computed) -> Iterator[str]:
    from shopdocs.work.order.gates import gates_of
    from shopdocs.work.order.sessions import sessions
    from shopdocs.work.order.shared_mix import with_shared_mixes

    assert work.build.gluing is not None
    adhesive = work.build.gluing.adhesive
    clock = ""
    if proposal.open is not None:
        clock = f"; {adhesive} stays open {trimmed(proposal.open, 1)} min here, a quarter of it kept in hand"
    yield "  # Paste under gluing:, in place of any stages there. Every order was tried with the pieces in their places"
    yield f"  # {_of(len(proposal.stages), 'stage')}{clock}."
    yield "  stages:"
    works = [stage.work for stage in proposal.stages if stage.work is not None]
    found = sessions(works)
    mixes = {w.number: w.mix.serves for w in with_shared_mixes(work.build, work.shop, works) if w.mix is not None}
    gates = dict(zip((made.number for made in works), gates_of(works, work.space), strict=True))
    for stage in proposal.stages:
        yield from _stage(stage, work, gates.get(stage.work.number) if stage.work is not None else None)
        if stage.work is not None:
            shared = mixes.get(stage.work.number, ())
            yield from _said(_when(found, stage.work.number, [each.title for each in proposal.stages], shared))
    if proposal.left is not None:
        yield from _said(f"Without glue, when all this has set: {'; '.join(_unglued(proposal.left))}", "  ")


def _when(found: Sequence[Session], number: int, titles: Sequence[str], shared: Sequence[int]) -> str:
    """What a stage waits for, where it does."""
    session = found[number - 1]
    if session.clamps:
        return f"waits for the clamps of {' and '.join(repr(titles[work.number - 1]) for work in session.clamps)}"
    if session.at_once and not session.after:
        mix = ", and so does one mix" if shared and shared[0] < number else ""
        return f"in one session with {titles[number - 2]!r}: the clamps on the wall serve both{mix}"
    return ""


def _unglued(left: Unglued) -> Iterator[str]:
    """What goes on without glue, in its order: neighbours that go the same way in one phrase, what goes in as one after
    what puts it together."""
    from shopdocs.documents.fitting.sequence import way_words
    from shopdocs.documents.fitting.wording import listed

    for way, run in groupby(left.added, key=lambda added: way_words(added.closing) if added.closing else ""):
        single: list[str] = []
        for added in run:
            if len(added.things) == 1:
                single += added.things
                continue
            if single:
                yield f"{' '.join(single)} {way}".strip()
                single = []
            yield f"{listed(added.things)} put together first, then as one {way}".strip()
        if single:
            yield f"{' '.join(single)} {way}".strip()


def _said(words: str, indent: str = "      ") -> list[str]:
    """A comment, in several lines where it is long."""
    start = f"{indent}# "
    return wrap(words, _WIDE, initial_indent=start, subsequent_indent=start, break_long_words=False)


def _stage(stage: ProposedStage, work: Computed, gate: Gate | None) -> Iterator[str]:
    yield f"    - title: {_text(stage.title)}"
    if stage.pieces:
        yield from _list("pieces", stage.pieces)
    if stage.uses:
        yield from _list("uses", stage.uses)
    if stage.hardware:
        yield from _list("hardware", stage.hardware, "goes on before this stage closes the way to it")
    late = {name for closing in stage.work.order.later for name in closing.what} if stage.work is not None else set()
    loose = [mark for mark in stage.loose if mark not in late]
    if loose:
        it = "it" if len(loose) == 1 else "they"
        yield from _list("first", [f"{' '.join(loose)} in without glue: {it} cannot go in later"])
    if stage.work is not None and gate is not None:
        yield from _known(stage, stage.work, work, gate)
    glued = _of(stage.joints, "seam" if stage.seams else "joint")
    yield f"      # {glued}, about {trimmed(stage.minutes, 1)} min to clamps tight"


def _known(stage: ProposedStage, made: StageWork, work: Computed, gate: Gate) -> Iterator[str]:
    """Its clamps, and what the sheets will say by themselves: the order, what comes before, what waits until after."""
    from shopdocs.documents.fitting.sequence import way_words
    from shopdocs.documents.fitting.trimming import ends_out_level
    from shopdocs.model.joining import FACE_NAMES

    if made.clamps and not stage.lacking:
        yield f"      clamps: {{{', '.join(f'{_text(kind)}: {count}' for kind, count, _ in made.clamps)}}}"
    elif stage.lacking:
        yield from _said(f"{_of(stage.lacking, 'clamp')} short on the wall; the sheet says where and how to do without")
    moves = [(closing.what, way_words(closing) if closing.onto else "") for closing in made.order.closings]
    runs = [
        (" ".join(name for what, _ in run for name in what), way)
        for way, found in groupby(moves, key=lambda move: move[1])
        for run in [list(found)]
    ]
    if runs:
        yield from _said(f"in this order: {'; '.join(f'{names} {way}'.strip() for names, way in runs)}")
    faces: dict[str, list[str]] = {}
    for each in gate.faces:
        faces.setdefault(FACE_NAMES[each.face], []).append(each.mark)
    told = [f"{' '.join(gate.panels)} with all edges"] if gate.panels else []
    told += [f"{' '.join(sorted(each.mark for each in gate.rounds))} all round"] if gate.rounds else []
    told += [f"{face} of {' '.join(marks)}" for face, marks in faces.items()]
    if told:
        yield from _said(f"scrape, sand and finish before it: {'; '.join(told)}")
    waits = [name for closing in made.order.later for name in closing.what]
    proud = [meeting.entering for joint, meeting in made.meetings if joint.glued and joint.proud]
    waits += [f"the proud tenons of {' '.join(dict.fromkeys(proud))}"] if proud else []
    level = ends_out_level(made, work.space)
    waits += [f"the ends of {' '.join(level)} planed flush where they come through"] if level else []
    pins, pegs = _driven(made, work)
    waits += [f"{name}, bored for and driven" for name in pegs]
    waits += [f"{' and '.join((*pins, *pegs))} sawn off flush"] if pins or pegs else []
    if pins:
        yield from _said(f"driven while the glue is wet: {', '.join(pins)}")
    if waits:
        yield from _said(f"wait until it has set: {', '.join(waits)}")


def _driven(made: StageWork, work: Computed) -> tuple[list[str], list[str]]:
    """Drawbore pins, which draw the joints of a stage up, and pegs that only hold what the glue holds already."""
    from shopdocs.work.holes.crossed_holes import crossings

    numbers = {meeting.number for _, meeting in made.meetings}
    found = crossings(work.build, work.holes, work.space)
    items = {c.item.name: c.item for c in found if any(m.number in numbers for m in c.meetings)}
    pins = [name for name, item in items.items() if item.offset]
    return pins, [name for name in items if name not in pins]


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
