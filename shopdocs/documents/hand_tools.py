"""Other hand tools that the sheets call for: by what is screwed, bored, nailed or laid out, and by what the maker's own
words say is done. All common practice, no source."""

from __future__ import annotations

import re
from collections.abc import Iterator

from shopdocs.blocks.text import Figure, Run, Step, text
from shopdocs.documents.arches import has_arches
from shopdocs.documents.bench_tools import (
    BLOCK_PLANE,
    CHISELS,
    DRILL,
    bench_tools,
    bored_round,
    named_at_stages,
)
from shopdocs.documents.job import Job
from shopdocs.documents.patterns import has_patterns
from shopdocs.documents.rounds import has_rounds, is_bored_round
from shopdocs.documents.templates import has_templates
from shopdocs.model.joining import HoleUse
from shopdocs.work.holes.joint_holes import screws_of

# What the maker writes of, and the tool for it.
SAID = {
    r"\bnail(s|ed|ing)?\b|\bpanel pins?\b|\bbrads?\b|\btacks?\b|\bpin it\b|\bhammer\b": "hammer",
    r"\bv-block\b": "V-block",
    r"\bscrew(s|ed)?\b|\bscrewdriver\b": "screwdriver",
    r"\bcountersink": "countersink",
    r"\bscraper\b": "scraper",
    r"\bflush-cut saw\b": "flush-cut saw",
    r"\bpare[sd]?\b|\bparing\b": CHISELS,
    r"\bchamfer(s|ed|ing)?\b|\barris(es)?\b": BLOCK_PLANE,
    r"\btape\b": "masking tape",
}
_NAILS = r"\b(nails?|panel pins?|brads?)\b"
_BORED = r"\b(bored?|boring|drill(ed)?|pre-drill(ed)?)\b"
_CUT_OUT = "cut"  # the label sheet that is plain paper with crop marks
_A_SIZE = r"\d\S* (mm|in) bit\b"


def hand_tool_steps(job: Job) -> Iterator[Step]:
    """What lies at most benches, in the order of the work, and what this build wants besides."""
    bench, named = bench_tools(job), _named(job)
    words = ", ".join([*bench, *(tool for tool in named if not any(tool in each for each in bench))])
    yield Step(text(f"{words[0].upper()}{words[1:]}"))
    bits = sorted({cut.radius * 2 for cut in job.build.cuts if bored_round(cut) and cut.radius is not None})
    if bits:
        runs: list[Run] = ["Bit for the rounded ends of cut-outs Ø "]
        for number, bit in enumerate(bits):
            runs += [", " if number else "", Figure("bit", job.display.drill(bit), bit.mm, "mm")]
        yield Step(tuple(runs))


def _named(job: Job) -> list[str]:
    words = " ".join(makers_words(job)).casefold()
    bought = " ".join((*job.build.buy, *(tool for work in job.stages for tool in work.stage.tools))).casefold()
    found = {tool for pattern, tool in SAID.items() if re.search(pattern, words) and tool.casefold() not in bought}
    sunk = any(hole.bore.head is not None and hole.bore.angle is not None for hole in job.holes)
    screwed = any(screws_of(joint) for joint in job.build.joints)
    if screwed or any(hole.bore.screw is not None and hole.bore.use is not HoleUse.RECESS for hole in job.holes):
        found.add("screwdriver")
    if screwed:
        found.add("countersink")
    if any(hole.bore.slot for hole in job.holes):
        found.add("round file")
    nailed = re.search(_NAILS, words) is not None and re.search(_BORED, words) is not None
    if nailed:
        found |= {DRILL} if re.search(_A_SIZE, bought) else {DRILL, "bit a little thinner than the nails"}
    if sunk:  # it stands on the list with its size
        found.discard("countersink")
    if has_arches(job):  # their curve is sprung by nails at its heights
        found = (found - {"hammer"}) | {"hammer, nails", "batten"}
    if any(is_bored_round(job, piece.mark) for _, piece in job.build.pieces()):
        found.add("V-block")
    if job.panels or any(work.panels for work in job.stages):
        found |= {"straightedge"} - named_at_stages(job)
    if has_templates(job):
        found |= {"scissors", "awl", "masking tape"}
    if has_patterns(job):
        found |= {"scissors", "paste", "thin plywood or card"}
        found |= {"coping saw"} if has_rounds(job) else set()
    if job.label_sheet == _CUT_OUT:
        found |= {"scissors"}
    if job.finish is not None:
        found.add("sanding block")
    return sorted(found, key=str.casefold)


def makers_words(job: Job) -> Iterator[str]:
    """What the maker wrote to be read at the bench."""
    build = job.build
    yield build.intro
    yield from build.buy
    yield from (part.note for part in build.parts)
    yield from (piece.note for part in build.parts for piece in part.pieces)
    yield from (joint.note for joint in build.joints)
    yield from (cut.note for cut in build.cuts)
    for item in build.hardware:
        yield from (item.note, item.buy)
    for work in job.stages:
        stage = work.stage
        yield from (*stage.first, *stage.dry_fit, *stage.after, *stage.when_set, stage.note)
    if build.gluing is not None:
        yield build.gluing.note
    if job.finish is not None:
        yield job.finish.finish.note
