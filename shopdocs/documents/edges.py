"""The edge map: which arrises are chamfered, which stay square and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from msgspec import Struct, field

from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Checklist, Paragraph, Run, Step, Text, plain, text
from shopdocs.core.display import FRACTION_SLASH
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.arches import has_arches
from shopdocs.documents.drawn.edge_box import edge_box
from shopdocs.documents.drawn.edge_shape import shape_of
from shopdocs.documents.end_cuts import has_end_cuts
from shopdocs.documents.figures import length_figure, length_text, marks_text, strips_text
from shopdocs.documents.job import Job
from shopdocs.documents.outlines import has_outlines
from shopdocs.documents.own_cuts import has_cut_outs, has_rounded_corners
from shopdocs.documents.rounds import has_rounds, is_round_throughout
from shopdocs.documents.tapers import has_tapers
from shopdocs.model.joining import FACE_NAMES, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.scene.own_cuts import worked_in_part
from shopdocs.work.space.arrises import EDGES, EdgeFinding, EdgeName, Verdict, Why
from shopdocs.work.space.ends import extent_of

Spans = tuple[tuple[Length, Length], ...]

LONG_EDGES = tuple(edge for edge in EDGES if not set(edge) & {Face.A, Face.B})
OUTLINED = " A shaped piece is drawn to its shape, a long one cut short; its arrises follow the curve."
STOPPED, SQUARE = "Chamfer, stopped", "Leave square"
PAGE_MM, GAP_MM = 180.0, 6.35  # the width of a page, and what parts columns on it
BOX_MM = {False: 42.0, True: 31.0}  # the width of a drawing, of a small one
# Both long arrises of a face.
_BOTH = {
    Face.FACE: f"both arrises of {the_face(Face.FACE)}",
    Face.BACK: f"both arrises of {the_face(Face.BACK)}",
    Face.EDGE: f"both arrises of {the_face(Face.EDGE)}",
    Face.FAR_EDGE: f"both arrises of {the_face(Face.FAR_EDGE)}",
}


class EdgeGroup(Struct, frozen=True):
    """Pieces of one part whose twelve arrises are worked alike."""

    part: Part
    marks: tuple[str, ...]
    edges: tuple[EdgeFinding, ...]
    every: tuple[tuple[EdgeFinding, ...], ...]  # those of each piece: what they lie against differs
    in_part: Mapping[EdgeName, Spans] = field(default_factory=dict)  # bevelled or rounded, but not from end to end

    def of(self, verdict: Verdict) -> list[EdgeFinding]:
        """Those of the twelve arrises that get this treatment."""
        return [found for found in self.edges if found.verdict is verdict]

    @property
    def whole(self) -> Verdict | None:
        """What is done to all twelve, where it is one thing; pieces of strips are drawn all the same."""
        verdicts = {found.verdict for found in self.edges}
        alike = len(verdicts) == 1 and self.part.strips == 1 and not self.in_part
        return verdicts.pop() if alike else None


def edge_groups(job: Job) -> tuple[EdgeGroup, ...]:
    """All placed pieces, grouped by what is done to their arrises."""
    assert job.alike is not None
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    groups: dict[tuple[object, ...], list[str]] = {}
    in_part = worked_in_part(job.build)
    for part, piece in job.build.pieces():
        if job.space is None or piece.mark not in job.space.pieces:
            continue
        if is_round_throughout(job.space.pieces[piece.mark].turned, part.length):
            continue  # it has no arrises
        found = job.alike.edges(piece.mark)
        answer = tuple((f.verdict, f.free if f.verdict is Verdict.STOPPED else ()) for f in found)
        own = tuple(sorted(in_part.get(piece.mark, {}).items()))
        groups.setdefault((part.name, answer, own), []).append(piece.mark)
    return tuple(
        EdgeGroup(
            parts[marks[0]],
            tuple(marks),
            job.alike.edges(marks[0]),
            tuple(map(job.alike.edges, marks)),
            in_part.get(marks[0], {}),
        )
        for marks in groups.values()
    )


def edge_map(job: Job) -> Document:
    """A drawing for pieces that are worked alike; a piece treated alike all round gets a line of words."""
    groups = edge_groups(job)
    chamfer = length_text("chamfer", job.build.chamfer, job.display, job.build.places.get("chamfer", job.build.at))
    kinds = (
        ("tapers", has_tapers),
        ("arches", has_arches),
        ("outlines", has_outlines),
        ("end cuts", has_end_cuts),
        ("rounded corners", has_rounded_corners),
        ("cut-outs", has_cut_outs),
        ("rounds", has_rounds),
    )
    drawn_so = {"arches", "outlines"} if job.space is not None else set()
    pieces = job.space.pieces.values() if job.space is not None else ()
    outlined = any(shape_of(piece) is not None for piece in pieces)
    shaped = [word for word, found in kinds if found(job) and not (outlined and word in drawn_so)]
    every = ["tenons", *shaped]
    without = " and ".join(filter(None, (", ".join(every[:-1]), every[-1])))
    blocks: list[Block] = [
        Paragraph(
            text(
                "Two lines are a chamfer, ",
                *chamfer,
                " wide on both faces. A heavy line, and any arris not named, stays square: another piece lies "
                "against it, or a joint enters there. A thin line is eased: just take off the sharpness. "
                f"Pieces are drawn without their {without}; where lines are broken, the piece is longer "
                f"or wider than drawn.{OUTLINED if outlined else ''}",
            )
        ),
    ]
    # Chamfers that run through first, which are worked before those that one has to mark out; then by how many words
    # they need, so that no short ones stand beside long ones.
    drawn = sorted(
        (g for g in groups if g.whole is None),
        key=lambda group: (bool(group.of(Verdict.STOPPED)), len(plain(treatment(job, group)))),
    )
    alike = _worked_alike(drawn)
    steps = [*_turned(job)]
    steps += [step for verdict in Verdict for step in _whole([g for g in groups if g.whole is verdict], verdict)]
    whole = (Checklist(tuple(steps), "Without a drawing" if drawn else ""),) if steps else ()
    rows, closer = (_rows(job, alike, small, whole) for small in (False, True))
    question = "Which arrises are chamfered, which stay square?"
    instead = (*blocks, *closer) if drawn else ()
    return Document("edges", "Edges", question, (*blocks, *rows), runs_on=True, instead=instead)


def _rows(job: Job, alike: Sequence[Sequence[EdgeGroup]], small: bool, whole: tuple[Block, ...]) -> list[Block]:
    """Two drawings in a row, each with its words at its right; what is told without one stands in the last row where
    it has room."""
    cells, box = _cells(job, alike, small), BOX_MM[small]
    words = (PAGE_MM - 3 * GAP_MM) / 2 - box
    rows = [(*one, *other) for one, other in zip(cells[::2], cells[1::2], strict=False)]
    made: list[Block] = [Together((SideBySide(row, (box, words) * 2),)) for row in rows]
    if len(cells) % 2 == 0:
        return [*made, *whole]
    beside = (*cells[-1], whole) if whole else cells[-1]
    rest = (box, words, box + GAP_MM + words) if whole else (box, PAGE_MM - GAP_MM - box)
    return [*made, Together((SideBySide(beside, rest),))]


def _worked_alike(groups: Sequence[EdgeGroup]) -> list[list[EdgeGroup]]:
    """Groups whose arrises are worked alike from end to end together, for one drawing says it of all of them; where a
    chamfer stops, or strips are glued up, every part has its own."""
    alike: dict[object, list[EdgeGroup]] = {}
    for group in groups:
        own = group.part.strips > 1 or group.in_part or any(found.verdict is Verdict.STOPPED for found in group.edges)
        key = group.marks if own else tuple((found.edge, found.verdict) for found in group.edges)
        alike.setdefault(key, []).append(group)
    return list(alike.values())


def _cells(job: Job, alike: Sequence[Sequence[EdgeGroup]], small: bool) -> list[tuple[tuple[Block, ...], ...]]:
    """For groups that are worked alike a drawing of the first, beside it a box to tick for each, and the same in words.
    Words are of one size all over the sheet, so large that the fractions of all can be worked by."""
    assert job.space is not None
    told = [treatment(job, groups[0]) for groups in alike]
    large = any(FRACTION_SLASH in plain(words) for words in told)
    cells: list[tuple[tuple[Block, ...], ...]] = []
    for groups, words in zip(alike, told, strict=True):
        *heads, last = (text(_head(group)) for group in groups)
        steps = (*map(Step, heads), Step(last, words))
        box = edge_box(
            job.space.pieces[groups[0].marks[0]], groups[0].edges, groups[0].part.strips, small, groups[0].in_part
        )
        cells.append(((box,), (Checklist(steps, works_by=large),)))
    return cells


def _head(group: EdgeGroup) -> str:
    return f"{marks_text(group.marks)}  {group.part.name}"


def treatment(job: Job, group: EdgeGroup) -> Text:
    """What is done to which arrises; what is not named stays square."""
    runs: list[Run] = []
    for name, told in _told(job, group):
        if name == SQUARE:
            continue
        name = "stopped" if name == STOPPED else name.lower()
        runs += ["; " if runs else "", f"{name}: ", *told]
    until = _until_glued(group)
    return (*runs, "; " if runs and until else "", *until)


def _until_glued(group: EdgeGroup) -> Text:
    if group.part.strips < 2:
        return ()
    strips = "; ".join(strips_text(group.part.strip_marks(mark)) for mark in group.marks)
    return (f"strips {strips}: square all round until they are glued up",)


def _turned(job: Job) -> Iterator[Step]:
    """What is round from end to end, and has no arrises but those of its ends."""
    pieces = job.space.pieces if job.space is not None else {}
    marks: dict[str, list[str]] = {}
    for part, piece in job.build.pieces():
        placed = pieces.get(piece.mark)
        if placed is not None and is_round_throughout(placed.turned, part.length):
            marks.setdefault(part.name, []).append(piece.mark)
    if marks:
        heads = ", ".join(f"{marks_text(each)}  {name}" for name, each in marks.items())
        yield Step(text(f"Round all along, no arrises; ease the ends that show: {heads}"))


def _whole(groups: list[EdgeGroup], verdict: Verdict) -> Iterator[Step]:
    """A line for all pieces of which every arris is worked alike."""
    words = {Verdict.CHAMFER: "Chamfer all twelve arrises", Verdict.EASE: "Ease all twelve arrises"}
    words[Verdict.SHAPED] = "Bevel or round all twelve arrises as drawn"
    name = words.get(verdict, "Leave all twelve arrises square")
    if groups:
        yield Step(text(f"{name}: {', '.join(_head(group) for group in groups)}"))


def reasons_words(group: EdgeGroup, parts: dict[str, Part]) -> str:
    """Why arrises of the group stay square, each reason once."""
    square = [found for edges in group.every for found in edges if found.verdict is Verdict.SQUARE]
    against = sorted({name for found in square for name in _against(found, parts)})
    told = [f"against {', '.join(against)}"] if against else []
    others = {_reason(found, parts) for found in square if not _against(found, parts)}
    others -= {str(Why.ALIKE)} if told or len(others) > 1 else set()
    return "; ".join([*told, *sorted(others)])


def _against(found: EdgeFinding, parts: dict[str, Part]) -> set[str]:
    """The parts an edge lies against, where that is why it stays square."""
    if found.why is Why.MAKER:
        return set()
    return {parts[s.what].name for s in found.taken if s.why is Why.AGAINST and s.what in parts}


def _reason(found: EdgeFinding, parts: dict[str, Part]) -> str:
    if found.why in (Why.MAKER, Why.ALIKE):
        return str(found.why)
    return "a joint enters" if found.taken and found.why is not Why.ROUND else str(found.why)


def edges_words(edges: Iterable[EdgeName]) -> str:
    """A set of the twelve edges as one would say it: whole rings first, then edge by edge."""
    left = set(edges)
    if len(left) == len(EDGES):
        return "all twelve"
    words = []
    if left.issuperset(LONG_EDGES):
        words.append("all four long arrises")
        left -= set(LONG_EDGES)
    rings = [end for end in (Face.A, Face.B) if left.issuperset(_ring(end))]
    if len(rings) == 2:
        words.append("around both ends")
    elif rings:
        words.append(f"around {FACE_NAMES[rings[0]]}")
    for end in rings:
        left -= set(_ring(end))
    for face in (Face.FACE, Face.BACK, Face.EDGE, Face.FAR_EDGE):
        both = {edge for edge in LONG_EDGES if face in edge}
        if both <= left:
            words.append(_BOTH[face])
            left -= both
    for edge in LONG_EDGES:
        if edge in left:
            words.append(_pair_words(edge))
    for end in (Face.A, Face.B):
        rest = [next(face for face in edge if face is not end) for edge in _ring(end) if edge in left]
        if len(rest) == 3:
            missing = next(f for edge in _ring(end) for f in edge if f is not end and f not in rest)
            words.append(f"around {FACE_NAMES[end]} but not at the {FACE_NAMES[missing]}")
        elif rest:
            words.append(f"{FACE_NAMES[end]} at the {' and '.join(FACE_NAMES[face] for face in rest)}")
    return ", ".join(words)


def _ring(end: Face) -> tuple[EdgeName, ...]:
    return tuple(edge for edge in EDGES if end in edge)


def _pair_words(edge: EdgeName) -> str:
    return " / ".join(FACE_NAMES[face] for face in sorted(edge, key=lambda f: f not in (Face.FACE, Face.BACK)))


def _stopped_text(job: Job, group: EdgeGroup) -> Text:
    """Where chamfers run that stop: which arrises, and from where to where from end A."""
    stretches: dict[tuple[tuple[Length, Length], ...], list[EdgeName]] = {}
    for found in group.of(Verdict.STOPPED):
        flush = _flush(job, group, found.edge)
        spans = tuple((low + flush, high + flush) for low, high in found.free)
        stretches.setdefault(spans, []).append(found.edge)
    runs: list[Run] = []
    for spans, edges in sorted(stretches.items()):
        runs += [", " if runs else "", edges_words(edges), ", from end A "]
        for number, (low, high) in enumerate(spans):
            name = f"{group.part.name} · stopped chamfer"
            runs += [" and "] if number else []
            runs.append(length_figure(f"{name} from", low, job.display, group.part.at))
            runs += [" to ", length_figure(f"{name} to", high, job.display, group.part.at)]
    return (*runs, f" {job.display.units}") if runs else ()


def _flush(job: Job, group: EdgeGroup, edge: EdgeName) -> Length:
    """How far end A lies beyond the body along a long edge, where no shoulder shows on its faces."""
    if job.space is None:
        return ZERO
    piece = job.space.pieces[group.marks[0]]
    return min(extent_of(piece, face, 0).start.flush for face in edge)


def edges_text(job: Job, group: EdgeGroup) -> list[tuple[str, Text]]:
    """The arrises of a piece for its record: what is done, to which, and why some stay square."""
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    return [
        (name, (*words, f" ({reasons_words(group, parts)})") if name == SQUARE else words)
        for name, words in _told(job, group)
    ]


def _told(job: Job, group: EdgeGroup) -> list[tuple[str, Text]]:
    told: dict[str, Text] = {
        "Chamfer": text(edges_words(f.edge for f in group.of(Verdict.CHAMFER))),
        "Bevel or round, see its drawing": text(edges_words(f.edge for f in group.of(Verdict.SHAPED))),
        "Bevel or round in part, see its drawing": text(edges_words(group.in_part)),
        STOPPED: _stopped_text(job, group),
        "Ease": text(edges_words(f.edge for f in group.of(Verdict.EASE))),
        SQUARE: text(edges_words(f.edge for f in group.of(Verdict.SQUARE) if f.edge not in group.in_part)),
    }
    return [(name, words) for name, words in told.items() if any(words)]
