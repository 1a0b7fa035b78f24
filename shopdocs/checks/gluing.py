"""A glue-up that runs out of time, clamps, or forgets a piece."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from shopdocs.checks.space import few
from shopdocs.core.display import exact_text, trimmed
from shopdocs.core.problems import Problem, warning
from shopdocs.facts.adhesives import adhesive
from shopdocs.model.build import Build, Shop
from shopdocs.model.joining import Meeting, Stage
from shopdocs.work.computed import Computed
from shopdocs.work.order.clamping import WAYS_OUT, Clamping, lacks_words
from shopdocs.work.order.closing import Outcome
from shopdocs.work.order.diverging import tied_too_early
from shopdocs.work.order.stages import StageWork, time_words

HOTTEST = 35  # °C; data sheets of wood glues end at 30 to 35 (common practice, no source)
HURRIED_SHARE = Fraction(1, 4)  # of the time at the shop's pace: less is a slip of the pen (common practice, no source)


def stages_that_fail(work: Computed) -> Iterator[Problem]:
    """Stages that take too long, lack clamps, join nothing or cannot be put together, pieces in no stage or in two, a
    shop too cold for the glue."""
    build, works = work.build, work.stages
    for stage in works:
        yield from _time(stage)
        yield from _clamps(stage, work.shop)
        yield from _locked(stage)
        yield from _hardware_after(build, stage)
    for clamping in work.clampings:
        yield from _clamps_short(works[clamping.number - 1], clamping)
    yield from _not_mixed(build)
    yield from _unknown(build)
    if build.gluing is not None and not build.gluing.stages and "stages" in build.gluing.places:
        wrong, right = "no stage stands under 'stages', so no glue-up sheet is made", "write a stage with its pieces"
        yield warning(build.gluing.places["stages"], "empty-stage", wrong, right)
    if works:
        yield from few(_glued_twice(build))
        yield from _used_twice(build)
        yield from _joins_nothing(build, works)
        yield from _forgotten(build, works)
        yield from few(_shut_in(work))
        yield from _left_locked(work)
        yield from _legs_tied(work)
        yield from _cold(build, works)


def _time(work: StageWork) -> Iterator[Problem]:
    at = work.stage.places.get("minutes", work.stage.at)
    if not work.estimated and work.minutes < work.paced * HURRIED_SHARE:
        said, usual = trimmed(work.minutes, 1), trimmed(work.paced, 0)
        wrong = f"the stage '{work.stage.title}' is to take {said} min; at the shop's pace it takes about {usual}"
        yield warning(at, "hurried", wrong, "check the number, or time a dry run; leave it out for that of the pace")
    if work.open is None:
        return
    wrong = f"the stage '{work.stage.title}' takes {time_words(work)}"
    if work.too_long:
        right = "split the stage ('shopdocs stages' says how, or that no split helps), or take a slower glue"
        yield warning(at, "open-time", wrong, right)
    elif work.tight:
        yield warning(at, "open-time", wrong, "that leaves no slack: split the stage, or time a dry run")


def _legs_tied(work: Computed) -> Iterator[Problem]:
    """Legs that lean each its own way, glued to each other before they go into one piece."""
    found = tied_too_early(work.build, work.space, work.stages)
    if found is not None:
        stage, legs = found
        wrong = f"{', '.join(legs.tied)} each lean their own way into '{legs.onto}', and are glued to each other before"
        right = "glue them in one stage with it: all their joints close together as they go in"
        yield warning(stage.stage.at, "legs-tied", wrong, right)


def _not_mixed(build: Build) -> Iterator[Problem]:
    """A ratio or a time in the cup for a glue that comes ready to spread."""
    glue = adhesive(build.gluing.adhesive) if build.gluing is not None else None
    if build.gluing is None or glue is None or glue.mixed:
        return
    for key in ("pot life", "ratio"):
        if key in build.gluing.places:
            wrong = f"{build.gluing.adhesive} is not mixed, so '{key}' says nothing about it"
            yield warning(build.gluing.places[key], "not-mixed", wrong, "leave it out, or name the glue that it is of")


def _unknown(build: Build) -> Iterator[Problem]:
    """A glue that no table knows: its times are those that are written, and no more is known of it."""
    if build.gluing is None or not build.gluing.adhesive or adhesive(build.gluing.adhesive) is not None:
        return
    wrong = f"no adhesive is called '{build.gluing.adhesive}': its own times are taken, and how much of it, how hard to"
    right = "name its kind if it is listed ('shopdocs list'), or go by the label"
    at = build.gluing.places.get("adhesive", build.gluing.at)
    yield warning(at, "unknown-glue", f"{wrong} clamp and in what cold is not known", right)


def _glued_twice(build: Build) -> Iterator[Problem]:
    """Pieces that a later stage names again; what strips were glued to is one piece then, and may be named."""
    strips = {piece.mark for part, piece in build.pieces() if part.strips > 1}
    named: dict[str, str] = {}
    for stage in build.gluing.stages if build.gluing is not None else ():
        panels_alone = strips.issuperset(stage.pieces)
        for mark in stage.pieces:
            if mark in named:
                wrong = f"'{mark}' is glued in the stage '{named[mark]}' already"
                right = f"write uses: [{named[mark]}] instead of the piece"
                yield warning(stage.places.get("pieces", stage.at), "glued-twice", wrong, right)
        named.update({mark: stage.title for mark in stage.pieces if not panels_alone})


def _used_twice(build: Build) -> Iterator[Problem]:
    """Stages whose work went into another one before: it is part of that now."""
    taken: dict[str, str] = {}
    for stage in build.gluing.stages if build.gluing is not None else ():
        for title in dict.fromkeys(stage.uses):
            if title in taken:
                now = taken[title]
                while now in taken:
                    now = taken[now]
                wrong = f"'{title}' went into the stage '{taken[title]}' already"
                right = "leave it out here" if now in stage.uses else f"write uses: [{now}], of which it is a part"
                yield warning(stage.places.get("uses", stage.at), "glued-twice", wrong, right)
        taken.update({title: stage.title for title in stage.uses if title not in taken})


def _joins_nothing(build: Build, works: tuple[StageWork, ...]) -> Iterator[Problem]:
    """Stages that close no joint though the build has some."""
    if not build.joints and not any(work.panels for work in works) and build.gluing is not None:
        wrong = "the build has stages and no joint: what they glue, in which order and time, cannot be worked out"
        yield warning(build.gluing.places.get("stages", build.gluing.at), "no-joint", wrong, "name its joints")
        return
    for work in works:
        if not work.meetings and not work.panels and work.members:
            wrong = f"the stage '{work.stage.title}' closes no joint"
            right = "name both pieces of each joint it glues, or the stages they are in (uses); or leave it out"
            yield warning(work.stage.at, "no-joint", wrong, right)


def _locked(work: StageWork) -> Iterator[Problem]:
    if work.order.outcome is Outcome.LOCKED:
        locked = work.order.locked
        marks = ", ".join(locked[:6]) + (f" and {len(locked) - 6} more" if len(locked) > 6 else "")
        wrong = f"the stage '{work.stage.title}' has no straight order: {marks} lock each other in"
        glued = [name for name in locked if len(work.ready.get(name, ())) > 1]
        loose = [name for name in locked if name not in glued]
        if glued and loose:
            right = f"glue {loose[0]} in with the stage '{glued[0]}', before that is shut"
        else:
            right = "each is caught by the others: shorten a tenon or a tongue, or let a joint close another way"
        yield warning(work.stage.at, "no-order", wrong, right)


def _clamps(work: StageWork, shop: Shop) -> Iterator[Problem]:
    if not shop.clamps:
        return
    for need in work.stage.clamps:
        on_wall = shop.clamps.get(need.kind)
        if on_wall is None:
            known = ", ".join(f"'{kind}'" for kind in shop.clamps)
            yield warning(need.at, "clamps", f"the shop file lists no clamps called '{need.kind}'", f"known: {known}")
        elif on_wall < need.count:
            wrong = f"the stage '{work.stage.title}' needs {need.count} × {need.kind}"
            yield warning(need.at, "clamps", wrong, f"you have {on_wall}: split the stage or borrow some")


def _clamps_short(work: StageWork, clamping: Clamping) -> Iterator[Problem]:
    """Fewer clamps than there are lines to close, or none that opens far enough."""
    if not clamping.lacking:
        return
    places = "; ".join(
        f"{lacks_words(clamping, each, exact_text(each.opened))} {' '.join(each.line.marks)}"
        for each in clamping.lacking[:3]
    )
    more = f" and {len(clamping.lacking) - 3} more" if len(clamping.lacking) > 3 else ""
    where = work.stage.clamps[0].at if work.stage.clamps else work.stage.at
    have = "lists" if clamping.written else "you have"
    short = sum(each.count for each in clamping.lacking)
    wrong = (
        f"the stage '{work.stage.title}' needs {clamping.count} clamp{'s' if clamping.count > 1 else ''}, "
        f"and {have} {clamping.count - short} that will do: {places}{more}"
    )
    yield warning(where, "clamps", wrong, WAYS_OUT)


def _hardware_after(build: Build, work: StageWork) -> Iterator[Problem]:
    """A stage that glues the last joint of a piece whose hardware is named for a later stage."""
    for hardware in build.hardware:
        if not hardware.stage or build.gluing is None:
            continue
        titles = [stage.title for stage in build.gluing.stages]
        if hardware.stage in titles and work.stage.title in titles:
            later = titles.index(hardware.stage) > titles.index(work.stage.title)
            if later and hardware.name in work.stage.hardware:
                wrong = f"'{hardware.name}' is fitted in '{work.stage.title}' but named for '{hardware.stage}'"
                yield warning(hardware.at, "hardware-stage", wrong, "name one stage")


def _forgotten(build: Build, works: tuple[StageWork, ...]) -> Iterator[Problem]:
    """Pieces and glued joints that no stage names."""
    glued = {mark for j, m in build.meetings() if j.glued for mark in (m.entering, m.receiving)}
    named = {mark for work in works for mark in work.stage.pieces}
    for _, piece in build.pieces():
        if piece.mark in glued and piece.mark not in named:
            yield warning(
                piece.at, "no-stage", f"'{piece.mark}' is in no glue-up stage", "add it to the stage that glues it"
            )
    closed = {meeting.number for work in works for _, meeting in work.meetings}
    for joint, meeting in build.meetings():
        both_named = {meeting.entering, meeting.receiving} <= named
        if joint.glued and both_named and meeting.number not in closed:
            wrong = f"the joint of '{meeting.entering}' and '{meeting.receiving}' is not in any stage"
            right = "name both in one stage, or the earlier stage under 'uses'"
            idle, later = _idle(works, meeting)
            if idle is not None and later is not None:
                wrong = f"'{idle.title}' is taken up by no stage, so {wrong}"
                right = f"write it in '{later.title}' under uses"
            yield warning(meeting.at, "no-stage", wrong, right)


def _shut_in(work: Computed) -> Iterator[Problem]:
    """Pieces without glue that must lie in their place before a stage is closed, and are in none."""
    places = {piece.mark: piece.at for _, piece in work.build.pieces()}
    for each in work.shut_in:
        title = work.stages[each.number - 1].stage.title
        wrong = (
            f"the stage '{title}' shuts '{each.mark}' in, which is in no stage: there is no way in for it afterwards"
        )
        right = f"add {each.mark} to the pieces of '{title}': it goes in there without glue; or leave it a way in"
        yield warning(places[each.mark], "shut-in", wrong, right)


def _left_locked(work: Computed) -> Iterator[Problem]:
    """What is left to go on without glue, and cannot; told where no stage shuts in one piece of it by itself."""
    if work.left is None or not work.left.locked or work.shut_in:
        return
    loose = [name for name in work.left.locked if name != work.left.main]
    place = next(piece.at for _, piece in work.build.pieces() if piece.mark in _pieces(work, loose))
    marks = ", ".join(f"'{name}'" for name in loose[:6]) + (f" and {len(loose) - 6} more" if len(loose) > 6 else "")
    wrong = f"when all stages are done there is no way left to bring in {marks}, which no glue holds"
    right = "name what a stage shuts in among its pieces: it goes in there without glue; or leave it a way in"
    yield warning(place, "no-order", wrong, right)


def _pieces(work: Computed, names: list[str]) -> set[str]:
    things = work.stages[-1].things
    return {mark for name in names for mark in things.get(name, (name,))}


def _idle(works: tuple[StageWork, ...], meeting: Meeting) -> tuple[Stage | None, Stage | None]:
    """The stage of one of two pieces that no later stage takes up, and the later stage of the other."""
    taken = {title for work in works for title in work.stage.uses}
    own = [work.stage for mark in (meeting.entering, meeting.receiving) for work in works if mark in work.stage.pieces]
    if len(own) != 2 or own[0] is own[1]:
        return None, None
    first, last = sorted(own, key=lambda stage: [work.stage for work in works].index(stage))
    return (first, last) if first.title not in taken else (None, None)


def _degrees(celsius: Fraction) -> str:
    return f"{trimmed(celsius, 1)} °C ({trimmed(celsius * 9 / 5 + 32, 0)} °F)"


def _cold(build: Build, works: tuple[StageWork, ...]) -> Iterator[Problem]:
    window = works[0].open
    if window is not None and window.too_cold and build.gluing is not None:
        at = build.gluing.places.get("shop", build.gluing.at)
        glue = adhesive(build.gluing.adhesive)
        least = glue.minimum_celsius if glue is not None else None
        warmth = f"warm it to {_degrees(least)} or more" if least is not None else "warm it"
        wrong = f"the shop is too cold for {build.gluing.adhesive}"
        yield warning(at, "cold", wrong, f"{warmth}, or follow the glue's label")

    if build.gluing is not None and (build.gluing.shop_celsius or 0) > HOTTEST:
        wrong = f"the shop is hotter than glue data sheets go, {HOTTEST} °C (95 °F): the times here are estimates"
        at = build.gluing.places.get("shop", build.gluing.at)
        yield warning(at, "hot", wrong, "glue in the cool of the morning, or follow the glue's label")


CHECKS = (stages_that_fail,)
