"""Legs that lean each their own way into one seat: the steps say where joints stay open, and how all of them close."""

from __future__ import annotations

from msgspec.structs import replace

from shopdocs.blocks.text import Run, Step, Text, plain, text
from shopdocs.documents.figures import length_figure
from shopdocs.documents.fitting.wording import listed
from shopdocs.documents.job import Job
from shopdocs.work.order.diverging import Diverging, diverging
from shopdocs.work.order.runs import Run as Moves
from shopdocs.work.order.stages import StageWork


class ClosingTogether:
    """What is added to the steps of a stage, in their order: a note beside them is read when the joints are home."""

    def __init__(self, job: Job, work: StageWork) -> None:
        self.job, self.work = job, work
        self.found = list(diverging(job.build, job.space, work))
        self._between = {one.onto: _between(job, one) for one in self.found}
        self._told: set[str] = set()

    def said(self, step: Step, moves: Moves) -> Step:
        """The step with what its moves must leave open, or start all at once."""
        for one in self.found:
            receives = {m.receiving for each in moves for _, m in each.joints if m.entering in one.legs}
            if one.onto in receives:
                closing = (
                    f"Start all tenons in {one.onto}, then drive each a little in turn: all joints close together."
                )
                step = replace(step, detail=_joined(text(closing), step.detail))
            elif any(self._between[one.onto].issuperset((m.entering, m.receiving)) for e in moves for _, m in e.joints):
                open_by = () if one.onto in self._told else self._open(one)
                self._told.add(one.onto)
                step = replace(step, text=(*step.text, ", not home"), detail=_joined(open_by, step.detail))
        return step

    def _open(self, one: Diverging) -> Text:
        name, unit = f"{self.work.stage.title} · {one.onto}", self.job.display.units
        runs: list[Run] = [f"Leave all joints between {listed(one.legs)} open by "]
        for what, value in (("left and right", one.sideways), ("front and rear", one.lengthways)):
            if value.mm:
                runs += [" and " if len(runs) > 1 else "", length_figure(f"{name} · {what}", value, self.job.display)]
                runs.append(f" {unit} {what}")
        return (*runs, f": each leans its own way, and they go into {one.onto} only together.")


def _between(job: Job, one: Diverging) -> set[str]:
    """The legs and all that is joined to them, by one piece or by several, but for what they go into: its joints are
    what gives them the room to lean."""
    found, grown = set(one.legs), True
    while grown:
        more = {
            mark
            for _, m in job.build.meetings()
            if one.onto not in (m.entering, m.receiving) and found & {m.entering, m.receiving}
            for mark in (m.entering, m.receiving)
        }
        grown = not more <= found
        found |= more
    return found


def _joined(first: Text, second: Text) -> Text:
    return (*first, " ", *second) if plain(first) and plain(second) else (*first, *second)
