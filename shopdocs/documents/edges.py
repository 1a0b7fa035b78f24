"""The edge map: which edges are chamfered, which stay square and why."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from shopdocs.blocks.drawing import Drawing
from shopdocs.blocks.sheets import Block, Document, SideBySide, Together
from shopdocs.blocks.text import Cell, Column, Group, Heading, Paragraph, Row, Run, Table, Text, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.drawn.edge_box import edge_box
from shopdocs.documents.figures import length_figure, length_text, marks_text
from shopdocs.documents.fitting.alike import FACE_WORDS
from shopdocs.documents.job import Job
from shopdocs.model.joining import Face
from shopdocs.model.parts import Axis, Part
from shopdocs.work.space.arrises import EDGES, EdgeFinding, EdgeName, Verdict, Why
from shopdocs.work.space.ends import extent_of

STOPPED_LEAST = Length(60)  # a stopped chamfer shorter than this looks like a slip (common practice, no source)
MOST_STOPPED = 3  # stretches on one edge; more of them are the gaps between slats

LONG_EDGES = tuple(edge for edge in EDGES if not set(edge) & {Face.A, Face.B})


@dataclass(frozen=True, slots=True)
class EdgeGroup:
    """Pieces of one part whose twelve edges are treated alike for the same reasons."""

    part: Part
    marks: tuple[str, ...]
    edges: tuple[EdgeFinding, ...]

    def of(self, verdict: Verdict) -> list[EdgeFinding]:
        return [found for found in self.edges if found.verdict is verdict]


def edge_groups(job: Job) -> tuple[EdgeGroup, ...]:
    """All placed pieces, grouped; reasons are told by the names of parts, so that left and right fall together."""
    assert job.alike is not None
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    groups: dict[tuple[object, ...], list[str]] = {}
    for part, piece in job.build.pieces():
        if job.space is None or piece.mark not in job.space.pieces:
            continue
        found = job.alike.edges(piece.mark)
        answer = tuple((f.edge, f.verdict, f.why, _reason(f, parts), tuple(stopped(f))) for f in found)
        groups.setdefault((part.name, answer), []).append(piece.mark)
    return tuple(
        EdgeGroup(parts[marks[0]], tuple(marks), job.alike.edges(marks[0])) for marks in groups.values()
    )  # fmt: skip


def edge_map(job: Job) -> Document:
    groups = edge_groups(job)
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    chamfer = length_text("chamfer", job.build.chamfer, job.display, job.build.places.get("chamfer", job.build.at))
    blocks: list[Block] = [
        Paragraph(
            text(
                "A chamfer is ", *chamfer, " wide on both faces. An edge that lies against another piece, or that a "
                "joint enters, stays square, or a gap shows there. An eased edge loses only its sharpness. A name such "
                "as back / far edge means the edge where these two faces meet.",
            )
        ),
        _table(job, groups, parts),
    ]  # fmt: skip
    stops = tuple(_stopped_rows(job, groups))
    if stops:
        blocks += [Heading("Stopped chamfers, where you want them", 2), _stopped_table(job, stops)]
    lines = (
        "A heavy line stays square, a double line is chamfered, a dashed line is eased. Each piece is seen from the "
        "corner of face side, face edge and end A, and from the corner opposite, without its tenons; a gap in the "
        "edges says that it is longer or wider than drawn."
    )
    drawings = [_drawing(job, group) for group in groups]
    pairs = zip(drawings[::2], [*drawings[1::2], None], strict=False)
    rows = [SideBySide(((one,), (two,) if two is not None else ()), (1.0, 1.0)) for one, two in pairs]
    blocks += [Heading("Edge by edge", 2), Together((Paragraph(text(lines)), *rows[:1])), *rows[1:]]
    return Document("edges", "Edges", "Which edges are chamfered, which stay square?", tuple(blocks))


def _drawing(job: Job, group: EdgeGroup) -> Drawing:
    assert job.space is not None
    verdicts = {found.edge: found.verdict for found in group.edges}
    name = f"{group.part.name}  {marks_text(group.marks, 8)}"
    return edge_box(job.space.pieces[group.marks[0]], verdicts, name)


def _table(job: Job, groups: Iterable[EdgeGroup], parts: dict[str, Part]) -> Table:
    columns = (
        Column("Pieces", strong=True, share=0.8),
        Column("Chamfer", share=1.3),
        Column("Leave square", share=1.3),
        Column("Because", share=0.9),
        Column("Ease", share=0.55),
    )
    by_part: dict[str, list[Row]] = {}
    for group in groups:
        cells = (
            Cell.of(marks_text(group.marks)),
            Cell.of(edges_words(f.edge for f in group.of(Verdict.CHAMFER)) or "—"),
            Cell.of(edges_words(f.edge for f in group.of(Verdict.SQUARE)) or "—"),
            Cell.of(reasons_words(group, parts)),
            Cell.of(edges_words(f.edge for f in group.of(Verdict.EASE)) or "—"),
        )
        by_part.setdefault(group.part.name, []).append(Row(cells))
    return Table("edges", columns, tuple(Group(tuple(rows), name) for name, rows in by_part.items()), ticks=True)


def reasons_words(group: EdgeGroup, parts: dict[str, Part]) -> str:
    """Why edges of the group stay square, each reason once."""
    square = group.of(Verdict.SQUARE)
    against = sorted({name for found in square for name in _against(found, parts)})
    told = [f"against {', '.join(against)}"] if against else []
    others = {_reason(found, parts) for found in square if found.why is Why.MAKER or not _against(found, parts)}
    return "; ".join([*told, *sorted(others)])


def _against(found: EdgeFinding, parts: dict[str, Part]) -> set[str]:
    """The parts an edge lies against, where that is why it stays square."""
    if found.why is Why.MAKER:
        return set()
    return {parts[s.what].name for s in found.taken if s.why is Why.AGAINST and s.what in parts}


def _reason(found: EdgeFinding, parts: dict[str, Part]) -> str:
    if found.why is Why.MAKER:
        return str(found.why)
    against = _against(found, parts)
    if against:
        return f"against {' and '.join(sorted(against))}"
    return "a joint enters" if found.taken else str(found.why)


def edges_words(edges: Iterable[EdgeName]) -> str:
    """A set of the twelve edges as one would say it: whole rings first, then edge by edge."""
    left = set(edges)
    if len(left) == len(EDGES):
        return "all twelve"
    words = []
    if left.issuperset(LONG_EDGES):
        words.append("all four long edges")
        left -= set(LONG_EDGES)
    rings = [end for end in (Face.A, Face.B) if left.issuperset(_ring(end))]
    if len(rings) == 2:
        words.append("around both ends")
    elif rings:
        words.append(f"around {FACE_WORDS[rings[0]]}")
    for end in rings:
        left -= set(_ring(end))
    for face in (Face.FACE, Face.BACK, Face.EDGE, Face.FAR_EDGE):
        both = {edge for edge in LONG_EDGES if face in edge}
        if both <= left:
            words.append(f"both long edges of the {FACE_WORDS[face]}")
            left -= both
    for edge in LONG_EDGES:
        if edge in left:
            words.append(_pair_words(edge))
    for end in (Face.A, Face.B):
        rest = [next(face for face in edge if face is not end) for edge in _ring(end) if edge in left]
        if len(rest) == 3:
            missing = next(f for edge in _ring(end) for f in edge if f is not end and f not in rest)
            words.append(f"around {FACE_WORDS[end]} but not at the {FACE_WORDS[missing]}")
        elif rest:
            words.append(f"{FACE_WORDS[end]} at the {' and '.join(FACE_WORDS[face] for face in rest)}")
    return ", ".join(words)


def _ring(end: Face) -> tuple[EdgeName, ...]:
    return tuple(edge for edge in EDGES if end in edge)


def _pair_words(edge: EdgeName) -> str:
    return " / ".join(FACE_WORDS[face] for face in sorted(edge, key=lambda f: f not in (Face.FACE, Face.BACK)))


def stopped(found: EdgeFinding) -> list[tuple[Length, Length]]:
    """Where on an edge that stays square a chamfer could still run and stop: its long free stretches."""
    if found.verdict is not Verdict.SQUARE or found.why is Why.MAKER or found.axis is not Axis.LENGTH:
        return []
    spans = [(low, high) for low, high in found.free if high - low >= STOPPED_LEAST]
    return spans if len(spans) <= MOST_STOPPED else []


def _stopped_table(job: Job, rows: tuple[Row, ...]) -> Table:
    unit = job.display.units
    columns = (
        Column("Pieces", strong=True, share=1.2),
        Column("Edge", share=1.4),
        Column("From end A (its shoulder at a tenon), from – to", "right", unit, share=1.2),
    )
    return Table("stopped-chamfers", columns, (Group(rows),), ticks=True)


def _stopped_rows(job: Job, groups: Iterable[EdgeGroup]) -> Iterator[Row]:
    for group in groups:
        stretches: dict[tuple[tuple[Length, Length], ...], list[EdgeName]] = {}
        for found in group.edges:
            if free := stopped(found):
                flush = _flush(job, group, found.edge)
                spans = tuple((low + flush, high + flush) for low, high in free)
                stretches.setdefault(spans, []).append(found.edge)
        for spans, edges in sorted(stretches.items()):
            runs: list[Run] = []
            for low, high in spans:
                name = f"{group.part.name} · stopped chamfer"
                runs += ["   "] if runs else []
                runs.append(length_figure(f"{name} from", low, job.display, group.part.at))
                runs += [" – ", length_figure(f"{name} to", high, job.display, group.part.at)]
            yield Row((Cell.of(marks_text(group.marks)), Cell.of(edges_words(edges)), Cell(tuple(runs))))


def _flush(job: Job, group: EdgeGroup, edge: EdgeName) -> Length:
    """How far end A lies beyond the body along a long edge, where no shoulder shows on its faces."""
    if job.space is None:
        return ZERO
    piece = job.space.pieces[group.marks[0]]
    return min(extent_of(piece, face, 0).start.flush for face in edge)


def edges_text(job: Job, group: EdgeGroup) -> list[tuple[str, Text]]:
    """The edges of a piece for its record: what is done, and to which."""
    parts = {piece.mark: part for part, piece in job.build.pieces()}
    square = edges_words(f.edge for f in group.of(Verdict.SQUARE))
    told = {
        "Chamfer": edges_words(f.edge for f in group.of(Verdict.CHAMFER)),
        "Leave square": f"{square} ({reasons_words(group, parts)})" if square else "",
        "Ease": edges_words(f.edge for f in group.of(Verdict.EASE)),
    }
    return [(name, text(words)) for name, words in told.items() if words]
