"""The works of others that the figures and cautions of a set were taken from."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.documents.cautions import cautions_of
from shopdocs.documents.finish import cautions_of as finish_cautions
from shopdocs.documents.how.buying import measures_of
from shopdocs.documents.job import Job
from shopdocs.facts.adhesives import EPOXY, Adhesive, adhesive
from shopdocs.facts.cautions import EPOXY_HEAT, Caution
from shopdocs.facts.clamps import SPREAD_45, clamp_force, pressure_range
from shopdocs.facts.lumber_tables import BOARD_MEASURE, NHLA
from shopdocs.facts.movement import EQ_4_5, species
from shopdocs.facts.screws import head_diameter, root_diameter
from shopdocs.facts.source import Source
from shopdocs.facts.working_time import clamp_hours
from shopdocs.model.joining import Gluing, HoleUse
from shopdocs.work.cut_list import dressed_size
from shopdocs.work.space.drilled import Bore, screw_size, wood_group

Told = Iterator[tuple[str, Source]]


def sources(job: Job) -> Told:
    """What was taken from where, in the order of the sheets; some come several times."""
    for moves in job.moves.values():
        yield from (("movement of wood", source) for source in moves.sources)
    if job.moves and job.shop.climate.moisture is None:
        yield "moisture from air", EQ_4_5
    if measures_of(job).feet:
        yield "board measure", BOARD_MEASURE
        tallies = [plan.measured.tally for plan in job.boards.materials]
        rules = {tally.source: None for tally in tallies if tally is not None}
        yield from (("surface measure", rule) for rule in rules or (NHLA,))
    for material in job.build.materials:
        board = dressed_size(material)
        yield from (("dressed sizes", source) for source in (board.sources if board is not None else ()))
    for hole in job.holes:
        yield from _of_hole(hole.bore)
    for work in job.stages:
        for source in work.open.sources if work.open is not None else ():
            yield "open time", source
    gluing = job.build.gluing
    glue = adhesive(gluing.adhesive) if gluing is not None else None
    if gluing is not None and glue is not None and any(work.mix is not None for work in job.stages):
        yield from _of_glue(job, gluing, glue)
        yield from _of_clamps(job, glue)
    if job.finish is not None and job.finish.kind is not None and job.finish.finish.coverage is None:
        yield "how far a finish goes", job.finish.kind.coverage_source


def _of_hole(bore: Bore) -> Told:
    if bore.source is not None:
        yield "hole sizes", bore.source
    if bore.screw is not None and bore.source is not None and bore.use is HoleUse.PILOT:
        yield "roots of threads", root_diameter(screw_size(bore.screw)).source
    head = head_diameter(screw_size(bore.screw)) if bore.screw is not None and bore.head is not None else None
    if head is not None:
        yield "heads of screws", head.source
    if bore.angle is not None:
        yield "countersinks", bore.angle.source


def _of_glue(job: Job, gluing: Gluing, glue: Adhesive) -> Told:
    """What the label of the pot does not give."""
    if glue.pot_minutes and gluing.pot_minutes is None and gluing.open_minutes is None:
        yield "pot life", glue.pot_source
    if gluing.clamp_hours is None and any(work.stage.wait_hours is None for work in job.stages):
        yield from (("time in the clamps", source) for source in clamp_hours(glue, gluing.shop_celsius)[1])
    if glue.full_hours is not None:
        yield "full strength", glue.full_source
    if glue.by_weight is not None and gluing.ratio is None:
        yield "mixing ratio", glue.by_weight_source
    yield "glue for an area", glue.spread_source
    if glue.most_grams is not None:
        yield "largest batch", glue.most_source


def _of_clamps(job: Job, glue: Adhesive) -> Told:
    """Why so many clamps stand on a line."""
    for clamping in job.clampings.values():
        for each in (*clamping.sets, *clamping.lacking):
            yield "clamps along a joint", SPREAD_45
            part = job.part_of(each.line.marks[0])
            wood = species(job.build.material(part.material).species)
            pressure = pressure_range(glue, wood_group(job.build, part), wood.gravity if wood is not None else None)
            if pressure is None or not each.line.pressed:
                continue
            yield "pressure of clamps", pressure.source
            yield "force of a clamp", clamp_force(each.kind or "bar clamp").source
            if wood is not None and wood.gravity is not None and glue.pressure is None:
                yield "specific gravity of the wood", wood.gravity_source


def cautions(job: Job) -> list[Caution]:
    """The cautions of the title, the glue-up and the finish sheet."""
    gluing = job.build.gluing
    glue = adhesive(gluing.adhesive) if gluing is not None and job.stages else None
    hot = [EPOXY_HEAT] if glue is not None and glue.family == EPOXY else []
    return [*cautions_of(job), *hot, *finish_cautions(job)]
