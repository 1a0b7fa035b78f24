"""The tools that any sheet calls for: bits, chisels, clamps, grits, what glue is mixed with, what the maker names."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from shopdocs.blocks.text import Figure, Run, Step, Text, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.angles import has_angles
from shopdocs.documents.arches import has_arches
from shopdocs.documents.bench_tools import bored_round, finish_steps, guard_steps
from shopdocs.documents.bits import stand_in, widths_text
from shopdocs.documents.figures import count_figure, length_figure
from shopdocs.documents.fitting.buttons import button_bit
from shopdocs.documents.fitting.clamp_words import pads_of, under_jaws
from shopdocs.documents.hand_tools import hand_tool_steps
from shopdocs.documents.job import Job
from shopdocs.documents.outlines import drawn_radii
from shopdocs.documents.own_cuts import is_corner
from shopdocs.documents.rounds import has_rounds
from shopdocs.facts.finish_types import next_finer
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import HoleUse
from shopdocs.model.joint_kinds import KINDS
from shopdocs.work.finish_needs import FinishWork
from shopdocs.work.order.sessions import most_at_once, sessions


def tool_steps(job: Job) -> list[Step]:
    """A step for each kind of tool, none where nothing needs it. Every tool that a sheet calls for is named."""
    made = (*_bits(job), *_cutters(job), *_curves(job), *_turning(job), *_bevel(job))
    clamped = (*_clamps(job), *_under_the_jaws(job))
    late = (*_mixing(job), *_abrasives(job), *finish_steps(job), *_named(job))
    return [*hand_tool_steps(job), *made, *clamped, *late, *guard_steps(job)]


def _bits(job: Job) -> Iterator[Step]:
    """Every bit that a hole is drilled with, by what kind of bit it is; and the countersinks."""
    usual = {hole.bore.bit for hole in job.holes if hole.bore.use is not HoleUse.RECESS}
    usual |= {joint.thickness for joint in job.build.joints if KINDS[joint.kind].bored and joint.thickness is not None}
    usual |= {bit for item in job.build.hardware if (bit := button_bit(job, item)) is not None}
    flat = {hole.bore.bit for hole in job.holes if hole.bore.use is HoleUse.RECESS}
    for words, sizes in (("Drill bits", usual), ("Flat-bottomed bits (Forstner)", flat)):
        if sizes:
            yield Step(_sizes(job, words, sizes), _not_in_the_shop(job, sizes))
    sinks: dict[int, Length] = {}
    for hole in job.holes:
        if hole.bore.head is not None and hole.bore.angle is not None:
            degrees = hole.bore.angle.degrees
            sinks[degrees] = max(sinks.get(degrees, hole.bore.head), hole.bore.head)
    for degrees, head in sorted(sinks.items()):
        figure = length_figure("countersink", head, job.display.alone(), unit=True)
        yield Step(text(f"Countersink {degrees}°, Ø ", figure, " or larger"))


def _sizes(job: Job, words: str, sizes: Iterable[Length]) -> Text:
    dowels = {joint.thickness for joint in job.build.joints if KINDS[joint.kind].bored}
    runs: list[Run] = [f"{words} Ø "]
    for number, size in enumerate(sorted(sizes)):
        bores = [hole.bore for hole in job.holes if hole.bore.bit == size]
        other = stand_in(job, size, bores) if size not in dowels else ""
        runs += [", " if number else "", Figure("bit", job.display.drill(size), size.mm, "mm"), other]
    return tuple(runs)


def _not_in_the_shop(job: Job, sizes: set[Length]) -> Text:
    """Those that the shop file does not list, where it lists any."""
    lacking = sizes - set(job.shop.bits) if job.shop.bits else set()
    return _sizes(job, "To get, not in the shop file:", lacking) if lacking else ()


def _cutters(job: Job) -> Iterator[Step]:
    """Chisels as wide as mortises and housings, and what cuts grooves as wide as those (common practice, no source)."""
    mortises = {
        joint.thickness
        for joint in job.build.joints
        if KINDS[joint.kind].chopped and joint.thickness is not None and joint.meetings
    }
    chopped = [
        (f"{names} ", *widths_text(job, names.removesuffix("s"), widths))
        for names, widths in (("mortises", mortises), *_trenches(job).items())
        if widths
    ]
    lines: list[Text] = []
    if chopped:
        both = tuple(run for number, each in enumerate(chopped) for run in ((", ", *each) if number else each))
        lines.append(("Chisel or bit for ", *both, " wide" if len(chopped) == 1 else ""))
    whole, stopped = _grooves(job)
    if whole:
        lines.append(("Router or plough plane for grooves ", *widths_text(job, "groove", whole), " wide"))
    if stopped:
        lines.append(("Router or chisel for stopped grooves ", *widths_text(job, "stopped groove", stopped), " wide"))
    if lines:
        more = [run for number, line in enumerate(lines[1:]) for run in (("; ", *line) if number else line)]
        yield Step(lines[0], tuple(more))


def _trenches(job: Job) -> dict[str, set[Length]]:
    """How wide housings and the like are, by what they are called: as what goes into them is thick."""
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    found: dict[str, set[Length]] = {}
    for joint, meeting in job.build.meetings():
        if KINDS[joint.kind].trenched:
            wide = joint.thickness or parts[meeting.entering].thickness
            found.setdefault(f"{joint.kind.value}s", set()).add(wide)
    return found


def _grooves(job: Job) -> tuple[set[Length], set[Length]]:
    """How wide the grooves are, of joints and of the maker's own; and apart, those that stop within their piece, which
    a plough plane cannot run out of."""
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    widths: set[Length] = set()
    stopped: set[Length] = set()
    for cut in job.build.cuts:
        for place in cut.on if cut.kind is CutKind.GROOVE else ():
            part = parts[place.piece]
            spans = ((*place.along, part.length), (*place.across, part.width))
            low, high, whole = max(spans, key=lambda span: span[1] - span[0])
            narrow = min(end - start for start, end, _ in spans)
            (widths if low <= ZERO and high >= whole else stopped).add(narrow)
    for joint in job.build.joints:
        written = [getattr(joint, size) for size in KINDS[joint.kind].ploughed]
        wide = next((size for size in written if size is not None), None)
        if wide is not None and joint.meetings:
            widths.add(wide)
    return widths, stopped


def _curves(job: Job) -> Iterator[Step]:
    """What curves are drawn, sawn and smoothed with (common practice, no source)."""
    rounded = {
        radius
        for cut in job.build.cuts
        if not bored_round(cut)
        for place in cut.on
        for radius in [cut.width if is_corner(cut, place) else cut.radius]
        if radius is not None
    }
    rounded |= {radius for cut in job.build.cuts for radius in drawn_radii(cut)}
    if rounded:
        runs: list[Run] = ["Compasses, or something round of that size: radius "]
        for number, radius in enumerate(sorted(rounded)):
            runs += [", " if number else "", length_figure("radius", radius, job.display)]
        yield Step((*runs, f" {job.display.units}"))
    if rounded or has_arches(job) or any(map(bored_round, job.build.cuts)):
        yield Step(text("Bow or coping saw for curves, rasp, spokeshave"))


def _turning(job: Job) -> Iterator[Step]:
    """What makes wood round (common practice, no source)."""
    if has_rounds(job):
        words = "Lathe with roughing gouge, skew and parting tool; or drawknife, plane and spokeshave"
        yield Step(text(words), text("Callipers for the diameters"))


def _bevel(job: Job) -> Iterator[Step]:
    """For pieces that lean, and whatever else has an angle to set."""
    if any(cut.follows for cut in job.build.cuts):
        yield Step(text("Sliding bevel, and a square to stand on the sight line"))
    elif has_angles(job):
        yield Step(text("Sliding bevel"))


def _clamps(job: Job) -> Iterator[Step]:
    """The most of each kind that are on at one time, held against those on the wall."""
    taken = {work.number: {kind: count for kind, count, _ in work.clamps} for work in job.stages}
    for kind, count in most_at_once(sessions(job.stages), taken).items():
        have = job.shop.clamps.get(kind)
        short = have is not None and have < count
        detail = f"{have} on the wall: {count - (have or 0)} short." if short else ""
        yield Step(text(count_figure(f"{kind} · clamps", count), f" × {kind}"), text(detail) if detail else ())


def _under_the_jaws(job: Job) -> Iterator[Step]:
    """The most pads and the most cauls that lie under jaws at one time."""
    taken = {number: {under_jaws(each.sets): pads_of(each.sets)} for number, each in job.clampings.items()}
    for words, count in most_at_once(sessions(job.stages), taken).items():
        if count:
            yield Step(text(count_figure(f"tools · {words}", count), f" {words} for the clamps"))


def _mixing(job: Job) -> Iterator[Step]:
    """What two parts are mixed with, a clean cup for each batch."""
    every = [*(work.mix for work in job.panels), *(work.mix for work in job.stages)]
    mixes = [mix for mix in every if mix is not None and mix.mixed]
    if mixes:
        count = sum(mix.batches for mix in mixes) * job.build.copies
        cups = " plastic cups or trays" if count > 1 else " plastic cup or tray"
        yield Step(text("Mixing kit: ", count_figure("mixing cups", count), cups, ", sticks, scale"))


def grits_of(work: FinishWork) -> tuple[int, ...]:
    """Every grit that the finish sheet names: before the first coat, one finer for end grain, between coats."""
    grits = {*work.grits}
    if work.grits and (finer := next_finer(max(work.grits))) is not None:
        grits.add(finer)
    if work.kind is not None and work.kind.between_grit is not None and work.finish.coats > 1:
        grits.add(work.kind.between_grit)
    return tuple(sorted(grits))


def _abrasives(job: Job) -> Iterator[Step]:
    if job.finish is not None and (grits := grits_of(job.finish)):
        yield Step(text(f"Abrasives, grit {', '.join(str(grit) for grit in grits)}"))


# What is laid within reach before any glue, and the words by which the maker may have named it.
AT_HAND = {"glue brush": ("brush", "roller"), "mallet": ("mallet",), "rags": ("rag",), "wax or tape": ("wax", "tape")}


def _named(job: Job) -> Iterator[Step]:
    """What the maker names for the stages, each once, and what the bar before the first stage asks for besides."""
    named = dict.fromkeys(tool for work in job.stages for tool in work.stage.tools)
    if any(work.mix is not None for work in job.stages):
        known = " ".join((*named, *job.build.buy)).casefold()
        named |= dict.fromkeys(tool for tool, words in AT_HAND.items() if not any(word in known for word in words))
    if named:
        yield Step(text(f"For the glue-up: {', '.join(named)}"))
