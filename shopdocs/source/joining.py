"""Decodes joints, hardware, gluing and finish."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from fractions import Fraction

from shopdocs.core.length import ZERO
from shopdocs.core.problems import Position, warning
from shopdocs.model.joining import (
    ClampNeed,
    End,
    Finish,
    Gluing,
    Joint,
    Meeting,
    Ratio,
    Stage,
)
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part
from shopdocs.source.guess import closest
from shopdocs.source.joint_words import joint_kind
from shopdocs.source.mark_runs import expand_run
from shopdocs.source.meeting import Bodies
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.schema import FinishKeys, GluingKeys, JointKeys, StageKeys
from shopdocs.source.values import Values, suggestion

MOST_MEETINGS = 5000
MOST_STAGES = 500
LONGEST_WAIT = 30 * 24  # hours in the clamps
LONGEST_STAGE = 100  # hours at the bench
_MEETING = re.compile(r"(\S+)\s+into\s+(\S+)(?:\s+at\s+(\S+))?", re.I)


@dataclass(frozen=True, slots=True)
class Known:
    """The pieces that may be referred to: marks to their parts, part names to their marks."""

    parts: Mapping[str, Part]
    marks: Mapping[str, Part]
    bodies: Bodies
    joints: tuple[str, ...] = ()

    @staticmethod
    def of(parts: Iterable[Part]) -> Known:
        """What joints and hardware may name, from the parts that were read."""
        parts = tuple(parts)
        marks = {piece.mark: p for p in parts for piece in p.pieces}
        return Known({p.name: p for p in parts}, marks, Bodies(parts))

    def expand(self, node: Scalar, values: Values) -> list[str]:
        """The marks that a mark, a run of marks or a part name stands for; a problem where there are none."""
        text = values.line(node)
        if text in self.marks:
            return [text]
        if text in self.parts:
            return [piece.mark for piece in self.parts[text].pieces]
        run = expand_run(text)
        if len(run) > 1 and all(mark in self.marks for mark in run):
            return run
        if not any(values.is_forgiven(word) for word in (node.text, text, *run)):
            names = [*self.marks, *self.parts]
            missing = next((mark for mark in run if mark not in self.marks), text)
            wrong = f"no piece and no part is called '{shorten(missing)}'"
            right = suggestion(missing, names, "piece")
            if "*" in missing:
                right = "a part's name stands for all its pieces, S1..S9 for a run of marks"
            values.note(node.at, "unknown-piece", wrong, right)
        return []

    def expand_all(self, nodes: Iterable[Scalar] | None, values: Values) -> list[str]:
        """The marks that several nodes stand for, each once, in the order in which they are written."""
        return list(dict.fromkeys(mark for node in nodes or () for mark in self.expand(node, values)))


def read_joints(entries: Mapping[str, JointKeys], known: Known, values: Values) -> tuple[Joint, ...]:
    """All joints with their meetings, numbered through the build from 1; faulty ones are noted and left out."""
    found: list[Joint] = []
    number = 0
    ends: dict[str, list[End]] = {}
    for name, keys in entries.items():
        joint = _joint(values.name(name, keys.at), keys, known, values, number, ends)
        if joint is not None:
            number += len(joint.meetings)
            found.append(joint)
    return tuple(found)


def _joint(
    name: str, keys: JointKeys, known: Known, values: Values, number: int, ends: dict[str, list[End]]
) -> Joint | None:
    kind = joint_kind(keys.kind, values)
    pairs = _pairs(name, keys, known, values)
    sizes = {key: values.length(getattr(keys, key), least=1) for key in ("thickness", "width", "length", "depth")}
    proud = values.length(keys.proud, least=0)
    shoulder = values.length(keys.shoulder, least=0)
    haunch = values.length(keys.haunch, least=1)
    room = values.length(keys.room, least=0)
    slope = values.whole(keys.slope, most=20)
    count = values.whole(keys.count, 1, most=100)
    places = {key: at for key, at in keys.places.items() if key != "count" or count}
    glued = values.yes(keys.glued, True)
    flat = values.yes(keys.flat, False)
    if kind is None:
        return None
    if flat and not KINDS[kind].on_flat:
        wrong = f"a flat for {KINDS[kind].called}"
        values.note(keys.place("flat"), "flat", wrong, "a round is planed flat for a mortise and tenon alone")
        return None
    if number + len(pairs) > MOST_MEETINGS:
        values.note(keys.at, "size", f"more than {MOST_MEETINGS} joints", "split the build")
        return None
    meetings = []
    for entering, receiving, end, at in pairs:
        number += 1
        placed = entering in known.bodies.boxes and receiving in known.bodies.boxes
        if placed:
            end = end or known.bodies.end_of(entering, receiving)
            if (
                end is None
                and KINDS[kind].at_end
                and not (KINDS[kind].lapped and known.bodies.askew(entering, receiving))
            ):
                end = known.bodies.end_in(entering, receiving)
        elif KINDS[kind].at_end:
            end = _take_end(entering, end, at, ends, values)
        if flat and not placed:
            wrong = f"a flat on '{receiving}' for '{entering}', and no place for both"
            values.note(keys.place("flat"), "flat", wrong, "give both a place: how deep it is follows from that")
            return None
        meetings.append(Meeting(number, name, entering, receiving, end, at))
    return Joint(
        name=name,
        kind=kind,
        meetings=tuple(meetings),
        thickness=sizes["thickness"],
        width=sizes["width"],
        length=sizes["length"],
        depth=sizes["depth"],
        proud=proud or ZERO,
        shoulder=shoulder,
        haunch=haunch,
        room=room,
        slope=slope,
        count=count or 1,
        glued=glued,
        flat=flat,
        note=values.note_words(keys.note),
        at=keys.at,
        places=places,
    )


def _take_end(mark: str, end: End | None, at: Position, ends: dict[str, list[End]], values: Values) -> End | None:
    """The end of the piece that enters: as written, else A for its first joint and B for its second."""
    taken = ends.setdefault(mark, [])
    if end is None:
        free = [e for e in End if e not in taken]
        if not free:
            wrong = f"both ends of '{mark}' have a joint already"
            values.note(at, "ends", wrong, f"write the end, as in '{mark} into ... at A', if two joints share it")
            return None
        end = free[0]
    taken.append(end)
    return end


def _pairs(name: str, keys: JointKeys, known: Known, values: Values) -> list[tuple[str, str, End | None, Position]]:
    """The meetings of one line of joinery as (entering, receiving, end, place)."""
    if keys.pieces is not None:
        for node in (*(keys.from_ or ()), *(keys.into or ())):
            values.note(node.at, "twice", "'from' and 'into' stand beside 'pieces'", "write one or the other")
            break
        pairs = [pair for node in keys.pieces if (pair := _pair(node, known, values))]
    elif keys.from_ is not None and keys.into is not None:
        entering, receiving = known.expand_all(keys.from_, values), known.expand_all(keys.into, values)
        at = keys.place("from")
        placed = all(mark in known.bodies.boxes for mark in (*entering, *receiving))
        if placed and entering and receiving:
            touching = known.bodies.touching(entering, receiving)
            pairs = [(a, b, None, at) for a, b in touching]
            if not pairs:
                wrong = f"in '{shorten(name)}' no piece of the one touches a piece of the other"
                wrong += known.bodies.nearest(entering, receiving)
                values.note(at, "no-meeting", wrong, "check their places, or name the pieces that meet")
                return []
        elif len(entering) > 1 and len(receiving) > 1:
            wrong = f"{len(entering)} pieces into {len(receiving)} leaves open which goes where"
            right = f"give them places, or write pieces: [{entering[0]} into {receiving[0]}, …]"
            values.note(at, "ambiguous-joint", wrong, right)
            return []
        else:
            pairs = [(a, b, None, at) for a in entering for b in receiving]
    else:
        right = "add pieces: [A into B, …], or from and into"
        values.note(keys.at, "missing-key", f"'{shorten(name)}' does not say which pieces meet", right)
        return []
    for entering_mark, receiving_mark, _, at in pairs:
        if entering_mark == receiving_mark:
            values.note(at, "self-joint", f"'{entering_mark}' is joined to itself", "name two different pieces")
    return [pair for pair in pairs if pair[0] != pair[1]]


def _pair(node: Scalar, known: Known, values: Values) -> tuple[str, str, End | None, Position] | None:
    if node.text == MISSING:
        return None
    match = _MEETING.fullmatch(node.text.strip())
    if not match:
        wrong = f"'{shorten(node.text)}' does not say what goes into what"
        right = "write 'RF into FL', or 'RF into FL at A'"
        if " into " in node.text:
            right += "; parts and several pieces stand under from and into"
        values.note(node.at, "meeting", wrong, right)
        return None
    marks = []
    for group in (1, 2):
        mark = match.group(group)
        if mark not in known.marks:
            if not values.is_forgiven(mark):
                column = node.at.column + match.start(group) + (1 if node.quoted else 0)
                at = Position(node.at.file, node.at.line, column)
                wrong = f"no piece is marked '{shorten(mark)}'"
                right = suggestion(mark, known.marks, "piece")
                if ".." in mark or "*" in mark or mark in known.parts:
                    right = "each meeting names two pieces; several stand under from and into"
                values.note(at, "unknown-piece", wrong, right)
            continue
        marks.append(mark)
    end = match.group(3)
    if end and end.upper() not in ("A", "B"):
        values.note(node.at, "end", f"'{shorten(end)}' is not an end of a piece", "the ends are A and B")
        return None
    return (marks[0], marks[1], End(end.upper()) if end else None, node.at) if len(marks) == 2 else None


def read_gluing(
    keys: GluingKeys | None, known: Known, hardware: Iterable[str], adhesives: Iterable[str], values: Values
) -> Gluing | None:
    """The glue-up with its stages; None where the build has none."""
    if keys is None:
        return None
    open_minutes, clamp_minutes = (
        values.minutes(keys.open_time, most=24),
        values.minutes(keys.clamp_time, most=LONGEST_WAIT),
    )
    own = bool(open_minutes and clamp_minutes)
    adhesive = _adhesive(keys.adhesive, own, list(adhesives), values) if keys.adhesive.text != MISSING else None
    titles: list[str] = []
    stages: list[Stage] = []
    hardware = list(hardware)
    for item in keys.stages or ():
        if len(stages) == MOST_STAGES:
            values.note(item.at, "size", f"more than {MOST_STAGES} glue-up stages", "split the build")
            break
        stage = _stage(item, known, hardware, titles, values)
        titles.append(stage.title)
        stages.append(stage)
    return Gluing(
        adhesive=adhesive or "",  # an unknown one is told; what is said of a glue by that name would be a second cause
        open_minutes=open_minutes,
        pot_minutes=values.minutes(keys.pot_life, most=24),
        label_celsius=values.celsius(keys.label_at, 0, "temperature on a glue's label"),
        ratio=_ratio(keys.ratio, values),
        clamp_hours=clamp_minutes / 60 if clamp_minutes else None,
        shop_celsius=values.celsius(keys.shop),
        stages=tuple(stages),
        note=values.note_words(keys.note),
        at=keys.at,
        places=keys.places,
    )


def _adhesive(node: Scalar, own: bool, adhesives: list[str], values: Values) -> str | None:
    """The kind of adhesive. One that no table knows is taken by its own name where the build has times of its `own` for
    it, open and in the clamps; what is nearly a known name is a slip of the pen all the same."""
    word = " ".join(node.text.lower().split())
    known = [" ".join(name.lower().split()) for name in adhesives]
    if own and word and word not in known and closest(word, known) is None:
        return values.line(node)
    return values.word(node, adhesives, "adhesive", "; of another, write 'open time' and 'clamp time' from its label")


MOST_TO_ONE = 100  # of one part to the other; polyester takes 1 to 2 % of hardener, no wood glue less (from memory)
_RATIO = re.compile(r"(\d{1,4}(?:\.\d{1,3})?) ?: ?(\d{1,4}(?:\.\d{1,3})?) by (weight|volume)")


def _ratio(node: Scalar | None, values: Values) -> Ratio | None:
    if node is None:
        return None
    match = _RATIO.fullmatch(" ".join(node.text.split()).lower())
    parts = (Fraction(match[1]), Fraction(match[2])) if match else (Fraction(0), Fraction(0))
    if match is None or not min(parts) or max(parts) > MOST_TO_ONE * min(parts):
        wrong = f"'{shorten(node.text)}' is not a mixing ratio"
        values.note(node.at, "ratio", wrong, "write it as the label does: 2:1 by volume, or 100:45 by weight")
        return None
    return Ratio(*parts, match[3])


def _named_twice(keys: StageKeys, pieces: list[str], title: str, known: Known, values: Values) -> None:
    """A mark that stands twice in a stage most often stands where another of its part was meant."""
    seen: set[str] = set()
    for node in keys.pieces or ():
        mark = node.text.strip()
        if mark in seen and mark in known.marks:
            left = [piece.mark for piece in known.marks[mark].pieces if piece.mark not in pieces]
            right = f"did you mean '{left[0]}'?" if left else "name each piece once"
            wrong = f"'{shorten(mark)}' stands twice in the stage '{shorten(title)}'"
            values.problems.append(warning(node.at, "named-twice", wrong, right))
        seen.add(mark)


def _stage(keys: StageKeys, known: Known, hardware: list[str], earlier: list[str], values: Values) -> Stage:
    title = values.brief(keys.title)
    if title in earlier:
        values.note(keys.at, "duplicate-stage", f"a stage called '{shorten(title)}' exists", "give each its own title")
    pieces = known.expand_all(keys.pieces, values)
    _named_twice(keys, pieces, title, known, values)
    uses = [name for node in keys.uses or () if (name := values.known(node, earlier, "earlier stage"))]
    written = bool(keys.pieces) or closest("pieces", values.forgiven) is not None  # misspelt or faulty, and told
    if not written and len({values.line(node) for node in keys.uses or ()}) < 2:
        wrong = f"the stage '{shorten(title)}' names no piece, and fewer than two earlier stages"
        values.note(keys.place("pieces"), "empty-stage", wrong, "name its pieces, or the stages that it joins (uses)")
    fitted = [name for node in keys.hardware or () if (name := values.known(node, hardware, "hardware"))]
    clamps = []
    for kind, node in (keys.clamps or {}).items():
        count = values.whole(node)
        if count is not None:
            clamps.append(ClampNeed(count, values.name(kind, node.at), node.at))
    wait = values.minutes(keys.wait, most=LONGEST_WAIT)
    return Stage(
        title=title,
        pieces=tuple(pieces),
        uses=tuple(uses),
        first=values.note_lines(keys.first),
        dry_fit=values.note_lines(keys.dry_fit),
        after=values.note_lines(keys.after),
        when_set=values.note_lines(keys.when_set),
        tools=values.note_lines(keys.tools),
        clamps=tuple(clamps),
        hardware=tuple(fitted),
        minutes=values.minutes(keys.minutes, bare=True, most=LONGEST_STAGE),
        wait_hours=wait / 60 if wait else None,
        note=values.note_words(keys.note),
        at=keys.at,
        places=keys.places,
    )


def read_finish(keys: FinishKeys | None, kinds: Iterable[str], values: Values) -> Finish | None:
    """The finish; None where the build has none."""
    if keys is None:
        return None
    kind = values.word(keys.kind, kinds, "finish") if keys.kind.text != MISSING else None
    grits = [grit for node in keys.grits or () if (grit := values.whole(node, least=16, most=5000))]
    return Finish(
        kind=kind or values.line(keys.kind),
        coats=values.whole(keys.coats, 2, most=20) or 2,
        coverage=values.number(keys.coverage),
        steps=values.note_lines(keys.steps),
        grits=tuple(grits),
        note=values.note_words(keys.note),
        at=keys.at,
        places=keys.places,
    )
