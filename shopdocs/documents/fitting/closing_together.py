"""Legs that lean each their own way into one seat: the steps say where joints stay open, and how all of them close."""

from __future__ import annotations

from dataclasses import replace

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
            elif any(set(each.marks) & set(one.legs) for each in moves):
                open_by = () if one.onto in self._told else self._open(one)
                self._told.add(one.onto)
                step = replace(step, text=(*step.text, ", not home"), detail=_joined(open_by, step.detail))
        return step

    def _open(self, one: Diverging) -> Text:
        name, unit = f"{self.work.stage.title} · {one.onto}", self.job.display.units
        runs: list[Run] = ["Leave the joints between them open by "]
        for what, value in (("left and right", one.sideways), ("front and rear", one.lengthways)):
            if value.mm:
                runs += [" and " if len(runs) > 1 else "", length_figure(f"{name} · {what}", value, self.job.display)]
                runs.append(f" {unit} {what}")
        return (*runs, f": {listed(one.legs)} each lean their own way, and go into {one.onto} only together.")


def _joined(first: Text, second: Text) -> Text:
    return (*first, " ", *second) if plain(first) and plain(second) else (*first, *second)
