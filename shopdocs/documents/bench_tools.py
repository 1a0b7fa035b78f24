"""What lies at most benches, listed because the sheets call for it: to mark out, to saw, to plane and pare, to drill;
what guards lungs and eyes; what the finish goes on and comes off with. All common practice, no source."""

from __future__ import annotations

from collections.abc import Iterator

from shopdocs.blocks.text import Step, text
from shopdocs.core.length import Length
from shopdocs.documents.angles import has_angles
from shopdocs.documents.finish import cautions_of
from shopdocs.documents.fitting.wording import anded
from shopdocs.documents.job import Job
from shopdocs.documents.rounds import has_rounds
from shopdocs.facts.cautions import FINISH_VAPOUR, OILY_RAGS
from shopdocs.model.cutting import CutKind, OwnCut
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.kinds.kind import Kind
from shopdocs.work.cut_list import keeps_width

LARGEST_BIT = Length.inches(2)  # of those that bore a clean round end (common practice, no source)
BLOCK_PLANE, CHISELS, DRILL = "block plane", "bevel-edge chisels", "drill or brace"
_SAWN = (CutKind.NOTCH, CutKind.END_CUT)
_PARED = (CutKind.NOTCH, CutKind.RECESS, CutKind.MORTISE)
_PLANED = (CutKind.BEVEL, CutKind.TAPER)


def bench_tools(job: Job) -> list[str]:
    """To mark out, to saw, to plane and pare, to drill, in this order."""
    kinds = [KINDS[kind] for kind in dict.fromkeys(joint.kind for joint in job.build.joints if joint.meetings)]
    cuts = {cut.kind for cut in job.cuts}
    made = [*_marking(job, kinds, cuts), *_saws(job, kinds, cuts), *_planes(job, cuts), *_chisels(job, kinds, cuts)]
    drilled = job.holes or any(kind.bored for kind in kinds) or any(map(bored_round, job.build.cuts))
    return [*made, DRILL] if drilled else made


def bored_round(cut: OwnCut) -> bool:
    """Whether the ends or corners of a cut-out are bored: nobody draws with compasses what a bit leaves."""
    return cut.kind is CutKind.CUT_OUT and cut.radius is not None and cut.radius * 2 <= LARGEST_BIT


def guard_steps(job: Job) -> Iterator[Step]:
    """What the bars of caution ask to be worn."""
    bored = bool(job.faces) or any(KINDS[joint.kind].bored for joint in job.build.joints)
    mixes = [*(panel.mix for panel in job.panels), *(work.mix for work in job.stages)]
    mixed = any(mix is not None and mix.mixed for mix in mixes)
    worn = {
        "dust mask": True,
        "vapour mask": FINISH_VAPOUR in cautions_of(job),
        "gloves": mixed,
        "eye protection": bored or mixed,
        "face shield for the lathe": has_rounds(job),
    }
    yield Step(text(f"To wear: {', '.join(what for what, asked in worn.items() if asked)}"))


def finish_steps(job: Job) -> Iterator[Step]:
    """What the finish goes on with, what it is wiped off with, and where oily rags go."""
    if job.finish is None:
        return
    oily = OILY_RAGS in cautions_of(job)
    wiped = oily or (job.finish.kind is not None and job.finish.kind.wiped)
    used = ["brush or cloth", *(["rags"] if wiped else []), *(["metal can with a lid"] if oily else [])]
    yield Step(text(f"For the finish: {', '.join(used)}"))


def named_at_stages(job: Job) -> set[str]:
    """The tools that the maker names for the stages, in small letters: each stands on the list once."""
    return {tool.casefold() for work in job.stages for tool in work.stage.tools}


def _marking(job: Job, kinds: list[Kind], cuts: set[CutKind]) -> list[str]:
    found = ["rule or tape", "pencil"]
    if "square" not in named_at_stages(job):
        found.append("square")
    gauged = any(not kind.screwed for kind in kinds) or job.holes or cuts
    sawn = any(_sawn(kind) or kind.chopped for kind in kinds)
    knifed = sawn or cuts & {*_SAWN, *_PARED} or has_angles(job)
    used = [*(["gauge"] if gauged else []), *(["knife"] if knifed else [])]
    return [*found, f"marking {anded(used)}"] if used else found


def _saws(job: Job, kinds: list[Kind], cuts: set[CutKind]) -> list[str]:
    ripped = any(not keeps_width(group.material, row) for group in job.groups for row in group.rows)
    tenons = any(_sawn(kind) and not kind.sloped for kind in kinds) or cuts & {*_SAWN}
    tails = any(kind.sloped for kind in kinds)
    names = ["crosscut", *(["rip"] if ripped else []), *(["tenon"] if tenons else [])]
    saws = f"{anded(names)} saw{'s' if len(names) > 1 else ''}"
    return [saws, "dovetail saw"] if tails else [saws]


def _sawn(kind: Kind) -> bool:
    """Whether a joint is sawn to a knifed or gauged line: at a shoulder, beside a trench, at corners."""
    at_corner = kind.at_end and not (kind.chopped or kind.ploughed)
    return kind.shouldered or kind.trenched or at_corner


def _planes(job: Job, cuts: set[CutKind]) -> Iterator[str]:
    rows = job.rows.values()
    milled = any((row.rough.thickness, row.rough.width) != (row.joinery.thickness, row.joinery.width) for row in rows)
    bench = bool(milled or cuts & {*_PLANED})
    if job.alike is not None:  # then there is a sheet of edges to chamfer or ease
        yield f"bench and {BLOCK_PLANE}s" if bench else BLOCK_PLANE
    elif bench:
        yield "bench plane"
    if CutKind.RABBET in cuts or any(joint.meetings and KINDS[joint.kind].rabbeted for joint in job.build.joints):
        yield "router, or a rabbet plane where a rabbet runs through"


def _chisels(job: Job, kinds: list[Kind], cuts: set[CutKind]) -> Iterator[str]:
    let_in = any(cut.kind in _PARED for cut in job.cuts)
    if let_in or cuts & {*_PARED} or any(_sawn(kind) or kind.chopped for kind in kinds):
        yield CHISELS
    bought = " ".join(job.build.buy).casefold()
    if (job.panels or any(work.panels for work in job.stages)) and "scraper" not in bought:
        yield "scraper"
