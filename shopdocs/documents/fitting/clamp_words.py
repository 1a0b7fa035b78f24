"""The clamps of a stage in words: which, how far open, along which line, how hard; and what to do where some lack."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from shopdocs.blocks.text import Figure, Run, Step, Text, text
from shopdocs.core.length import Length
from shopdocs.documents.figures import count_figure, length_figure
from shopdocs.documents.fitting.trimming import ends_under_jaws
from shopdocs.documents.fitting.wording import anded, listed, stepped
from shopdocs.documents.job import Job
from shopdocs.work.order.clamping import ANY_CLAMP, PAD, ROOM, SQUARE_INCH, WAYS_OUT, Clamping, ClampSet, lacks_words
from shopdocs.work.order.stages import StageWork
from shopdocs.work.space.askew_piece import AskewPiece

DIRECTIONS = ("left to right", "front to rear", "top to bottom")
# In such steps a clamp is set, and a caul is found.
OPENED = {"in": Length.inches(1), "mm": Length(10)}
CAULS = {"in": Length.inches("1/4"), "mm": Length(5)}
# Clamps of a stage whose widths differ by no more are set alike (common practice, no source).
ALIKE = {"in": Length.inches(2), "mm": Length(50)}
ROOM_TOLD = {"in": "about 1 in", "mm": "20 to 30 mm"}  # `ROOM`, and what rounding up adds to it
NEWTONS = 4.448  # to a pound-force


def clamp_steps(job: Job, work: StageWork) -> Iterator[Step]:
    """For the dry run: every kind with its number, how far it is opened and where it goes."""
    clamping = job.clampings.get(work.number)
    by_kind = {kind: (count, on_wall) for kind, count, on_wall in work.clamps}
    for kind, (count, on_wall) in by_kind.items():
        if kind == ANY_CLAMP:  # told below, with where it lacks
            continue
        own = [each for each in clamping.sets if each.kind == kind] if clamping is not None else []
        runs: list[Run] = [f"{count} × {kind}"]
        if own and not all(each.line.round for each in own):
            widths = _widths(job, own)
            if len(widths) == 1:
                runs += [", opened to ", _width_figure(job, work, kind, next(iter(widths)))]
            if _plain(own):
                runs += [f", {2 * sum(each.count for each in own)} pads ", _deep(job, work, own), " thick"]
            told = _placed(job, work, kind, widths)
        else:
            told = text(_wheres(own)) if own else ()
        spare = count - sum(each.count for each in own) if own else 0
        more = f"{spare} to spare." if spare > 0 else ""
        ends = ends_under_jaws(work, job.space, [(joint, each.line.axis) for each in own for joint in each.line.joints])
        more += _shaped_pads(job, own)
        more += f" Keep pads clear of the ends of {listed(ends)} that come through." if ends else ""
        short = f"You have {on_wall}." if on_wall is not None and on_wall < count else ""
        besides = " ".join(filter(None, (more.strip(), short)))
        yield Step(tuple(runs), (*told, f" {besides}" if told else besides) if besides else told)
    if clamping is not None and clamping.sets and not _plain(clamping.sets):
        yield _padding(job, work, clamping)
    if clamping is not None and clamping.lacking:
        lacking = sum(each.count for each in clamping.lacking)
        why: dict[str, list[str]] = {}
        for each in clamping.lacking:
            reason = lacks_words(clamping, each, job.display.alone().length(_width(job, each)))
            why.setdefault(reason, []).append(listed(each.line.marks))
        places = "; ".join(f"{reason} {'; '.join(them)}" for reason, them in why.items())
        figure = count_figure(f"stage {work.number} · clamps short", lacking)
        words = f" clamp{'s' if lacking > 1 else ''} short: {places}"
        yield Step(text(figure, words), text(f"{WAYS_OUT[0].upper()}{WAYS_OUT[1:]}."))


def _shaped_pads(job: Job, sets: Sequence[ClampSet]) -> str:
    """What is done to the pads of jaws that would rock: on a piece that leans, seen along the clamp, and on a round; by
    the names of those clamps, for it is told behind them all."""
    if job.space is None:
        return ""
    leaning: list[str] = []
    rounds: list[str] = []
    for each in sets:
        line = each.line
        ends = dict.fromkeys((line.marks[0], line.marks[-1])) if line.joints and not line.round else {}
        # On its end, which is sawn level, a piece takes a plain pad.
        sides = [mark for mark in ends if job.space.pieces[mark].pose.build_axis(0) != line.axis]
        round_ones = [mark for mark in sides if job.space.pieces[mark].turned is not None]
        lean = [mark for mark in sides if mark not in round_ones and isinstance(job.space.pieces[mark], AskewPiece)]
        for found, marks in ((leaning, lean), (rounds, round_ones)):
            if marks:
                found.append(names_of(each) if len(marks) == len(ends) else f"{names_of(each)} at {listed(marks)}")
    told = f" Saw the pads of {anded(leaning)} to the lean." if leaning else ""
    return told + (f" Notch the pads of {anded(rounds)} for the round." if rounds else "")


def _width(job: Job, each: ClampSet) -> Length:
    """How far a clamp is opened: over work and pads, and joints that are not home yet."""
    units = job.display.units
    return stepped(each.line.opening + _pad(job, each) * 2 + ROOM[units], OPENED[units])


def _widths(job: Job, sets: Sequence[ClampSet]) -> dict[Length, list[ClampSet]]:
    """The clamps by how far they are opened, the widest first; those that are nearly as wide are set like them."""
    found: dict[Length, list[ClampSet]] = {}
    for each in sorted(sets, key=lambda each: -_width(job, each).mm):
        widest = next(reversed(found), None)
        same = widest is not None and widest - _width(job, each) <= ALIKE[job.display.units]
        found.setdefault(widest if same and widest is not None else _width(job, each), []).append(each)
    return found


def _width_figure(job: Job, work: StageWork, kind: str, width: Length) -> Figure:
    return length_figure(f"stage {work.number} · {kind} opened to", width, job.display, unit=True)


def _placed(job: Job, work: StageWork, kind: str, widths: Mapping[Length, Sequence[ClampSet]]) -> Text:
    """Where each clamp goes; by widths, where there are several: "Opened to 490 mm: C1 ... To 250 mm: C5 ..."."""
    runs: list[Run] = []
    for width, sets in widths.items():
        if len(widths) > 1:
            runs += [" To " if runs else "Opened to ", _width_figure(job, work, kind, width), ": "]
        runs.append(_wheres(sets))
    return tuple(runs)


def _wheres(sets: Iterable[ClampSet]) -> str:
    return f"{'; '.join(map(_where, sets))}."


def names_of(each: ClampSet) -> str:
    """ "C1", "C3 C4" or "C1–C4"."""
    last = each.first + each.count - 1
    if each.count == 1:
        return f"C{each.first}"
    return f"C{each.first}\u00a0C{last}" if each.count == 2 else f"C{each.first}–C{last}"


def _where(each: ClampSet) -> str:
    """ "C1 front to rear over RL"."""
    line = each.line
    if line.round:
        return f"{names_of(each)} round {listed(line.marks)}"
    if not line.joints:
        return f"{names_of(each)} across {listed(line.marks)}"
    return f"{names_of(each)} {DIRECTIONS[line.axis]} over {line.over}"


def _plain(sets: Sequence[ClampSet]) -> bool:
    """Whether pads are all that lies under the jaws."""
    return not any(each.caul or each.line.proud or each.line.round for each in sets)


def _pad(job: Job, each: ClampSet) -> Length:
    """What lies under a jaw, as one finds it in the shop."""
    units = job.display.units
    return PAD[units] if each.depth == PAD[job.build.units] else stepped(each.depth, CAULS[units])


def _deep(job: Job, work: StageWork, sets: Sequence[ClampSet]) -> Figure:
    deepest = max(_pad(job, each) for each in sets)
    return length_figure(f"stage {work.number} · pads", deepest, job.display, unit=True)


def under_jaws(sets: Sequence[ClampSet]) -> str:
    """What lies under the jaws: "cauls" where one clamp closes a whole joint, else "pads"."""
    return "cauls" if any(each.caul for each in sets) else "pads"


def pads_of(sets: Sequence[ClampSet]) -> int:
    """How many of them: two a clamp, none for a band."""
    return 2 * sum(each.count for each in sets if not each.line.round)


def _padding(job: Job, work: StageWork, clamping: Clamping) -> Step:
    """Pads and cauls, and a hole in those that a tenon stands proud under."""
    deep = _deep(job, work, clamping.sets)
    words, count = under_jaws(clamping.sets), pads_of(clamping.sets)
    proud = [mark for each in clamping.sets if each.line.proud for mark in (each.line.marks[0], each.line.marks[-1])]
    told = "Stiff ones, so that one clamp closes the whole joint. " if words == "cauls" else ""
    if proud:
        told += f"Bore those at {listed(dict.fromkeys(proud))} to clear the proud tenons. "
    if not count:
        return Step(text("Corner blocks under the band"), text(told))
    return Step(
        text(count_figure(f"stage {work.number} · {words}", count), f" {words} ", deep, " thick"), text(told.strip())
    )


def tighten_words(job: Job, work: StageWork) -> Text:
    """At the step that puts the clamps on: which in which direction, and how hard."""
    clamping = job.clampings.get(work.number)
    if clamping is None or not (clamping.sets or clamping.lacking):
        return ()
    told = _by_direction(clamping.sets or clamping.lacking)
    pressed = [each for each in clamping.sets if each.line.psi is not None and each.line.pressed]
    if pressed:
        worst = max(pressed, key=lambda each: each.line.pressed * (each.line.psi or 0))
        force = worst.line.pressed / SQUARE_INCH * (worst.line.psi or 0)
        both = " together" if worst.count > 1 else ""
        return text(f"{told}. Firm: about {force_words(job, float(force))} from {names_of(worst)}{both}.")
    glue = work.open is not None and all(each.line.psi is None for each in clamping.sets)
    told = f"{told[:1].upper()}{told[1:]}, {'only until the joints close' if glue else 'until the shoulders close'}."
    return text(told)


def _by_direction(sets: Sequence[ClampSet]) -> str:
    ways: dict[str, list[ClampSet]] = {}
    for each in sets:
        line = each.line
        way = "round all" if line.round else DIRECTIONS[line.axis] if line.joints else "over and under in turn"
        ways.setdefault(way, []).append(each)
    return "; ".join(" ".join((*(names_of(each) for each in own if each.kind), way)) for way, own in ways.items())


def force_words(job: Job, pounds: float) -> str:
    """A force in pounds as it is told, to 50 pounds or half a kilonewton, and never as none: "350 lbf"."""
    if job.display.units == "in":
        return f"{round(pounds / 50) * 50 or 50} lbf"
    return f"{round(pounds * NEWTONS / 500) / 2 or 0.5:g} kN"
