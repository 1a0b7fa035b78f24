"""What a set says of its build, short enough to be kept beside it: by this a later revision is compared with it.

Kept as JSON under the key `state` of `figures.json`. Lengths are exact: millimetres as a whole number or a fraction.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from fractions import Fraction
from typing import Any, TypeVar

from msgspec import Struct, field, to_builtins
from msgspec.structs import asdict, replace

from shopdocs.blocks.digest import digest
from shopdocs.blocks.drawing import FullScale
from shopdocs.blocks.sheets import Document, Labels
from shopdocs.blocks.text import Checklist, plain
from shopdocs.blocks.walk import walk
from shopdocs.core.angle import Angle
from shopdocs.core.display import Display, trimmed
from shopdocs.core.length import Length
from shopdocs.core.slug import record_slug
from shopdocs.documents.edges import edges_words
from shopdocs.documents.fitting.off_square import askew_words
from shopdocs.documents.fitting.wording import from_one
from shopdocs.documents.job import Job, other, up_of
from shopdocs.documents.templates import slanting_hole
from shopdocs.model.cutting import Drawn
from shopdocs.model.joining import FACE_NAMES, Face, Meeting
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.parts import Part, Piece
from shopdocs.work.cut_list import Size
from shopdocs.work.joints.room import depths_of
from shopdocs.work.scene.overall import overall_of
from shopdocs.work.space.placed import Cuboid, Feature, side_of

B = TypeVar("B")

FORMAT = 1
SIZES = ("finished", "joinery", "rough")  # in the order in which they are said; they are made the other way round


class NoState(ValueError):
    """What was read is not a state of a set; its text says why."""


class JointState(Struct, frozen=True):
    """One joint of a piece: its number, the piece it meets, its kind, how the two go together, its sizes in exact
    millimetres by name, whether glue goes in, and whether it is this piece that enters the other."""

    number: int
    mate: str
    kind: str
    how: str
    sizes: Mapping[str, str]
    glued: bool
    enters: bool
    at: tuple[str, ...] | None = None
    runs: str = ""


class HoleState(Struct, frozen=True):
    """One hole of a piece, its centre from the reference corner of its face; `depth` is "" where it goes through,
    `runs` says how it goes in where that is not square to its face."""

    hardware: str
    face: str
    along: str
    across: str
    bit: str
    depth: str
    use: str
    runs: str = ""


class CutState(Struct, frozen=True):
    """One cut of the maker's own in a piece, or of a worked edge the two faces that meet there; stretches from and to
    in exact millimetres, `depth` "" where it goes through. Of a worked edge `across` is empty, and `width` and `depth`
    are what is taken off the two faces; of another cut `width` is the radius of its corners, where they are rounded.
    `points` are the corners of an outline: along, across, and what leads there, each joined by spaces; or the diameters
    of a round, a place along it and the diameter there, and its pommels, from and to."""

    name: str
    kind: str
    faces: str
    along: tuple[str, ...]
    across: tuple[str, ...]
    depth: str
    width: str
    points: tuple[str, ...] = ()


class PieceState(Struct, frozen=True):
    """One piece. Sizes are thickness, width, length in exact millimetres, `place` the corner nearest to the origin and
    the size along x, y and z, empty where it has none. `leans` says how far it leans or is tipped, `arrises` by
    treatment which are worked so, in words; None where an older set does not tell, as `cuts`."""

    part: str
    material: str
    strips: int
    finished: tuple[str, ...]
    joinery: tuple[str, ...]
    rough: tuple[str, ...]
    place: tuple[str, ...] = ()
    lies: str = ""
    stage: str = ""
    joints: tuple[JointState, ...] = ()
    holes: tuple[HoleState, ...] = ()
    cuts: tuple[CutState, ...] | None = None
    arrises: Mapping[str, str] | None = None
    leans: str | None = None


class SheetState(Struct, frozen=True):
    """One document: its title as printed, and the digest of each of its blocks."""

    title: str
    blocks: tuple[str, ...]


class BuildState(Struct, frozen=True):
    """One revision of a build as it was printed. `bought` are the lines of the shopping list; `labels` and `records` go
    by the mark of a piece or strip, `templates` by the title at their head, `sheets` by the name of the document; what
    they hold are digests."""

    title: str
    mark: str
    revision: str
    check_word: str
    units: str
    step: str
    overall: tuple[str, ...] = ()
    chamfer: str = ""
    pieces: Mapping[str, PieceState] = field(default_factory=dict)
    bought: tuple[str, ...] = ()
    labels: Mapping[str, str] = field(default_factory=dict)
    records: Mapping[str, str] = field(default_factory=dict)
    templates: Mapping[str, str] = field(default_factory=dict)
    sheets: Mapping[str, SheetState] = field(default_factory=dict)

    @property
    def display(self) -> Display:
        """How lengths of this revision were printed."""
        return Display("in" if self.units == "in" else "mm", length_of(self.step))

    def as_json(self) -> dict[str, Any]:
        """The state as plain lists, texts and numbers, with the number of its format."""
        return {"format": FORMAT, **to_builtins(self)}

    def told(self) -> dict[str, object]:
        """The same for a writer that takes structs as they are: of a thousand pieces a copy is many megabytes."""
        return {"format": FORMAT, **asdict(self)}


def exact(value: Length) -> str:
    """A length in millimetres, exact: '44.45' is written '889/20'."""
    return str(value.mm)


def length_of(text: str) -> Length:
    """The length again; ValueError where the text is none."""
    return Length(Fraction(text))


def state_of(job: Job, documents: Sequence[Document], records: Sequence[Document]) -> BuildState:
    """The state of a build as these documents and record pages print it."""
    return with_sheets(state_of_pieces(job, records), documents)


def state_of_pieces(job: Job, records: Sequence[Document]) -> BuildState:
    """The state of a build as its record pages print it, without any sheet."""
    build, word = job.build, job.check_word
    overall = overall_of(build, job.space)
    pages = {page.name: digest(page, word) for page in records}
    return BuildState(
        title=build.title,
        mark=build.mark,
        revision=build.revision,
        check_word=word,
        units=job.display.units,
        step=exact(job.display.step),
        overall=() if overall is None else tuple(map(exact, (overall.width, overall.depth, overall.height))),
        chamfer=exact(build.chamfer),
        pieces={piece.mark: _piece(job, part, piece) for part, piece in build.pieces()},
        records={
            piece.mark: pages[name]
            for _, piece in build.pieces()
            if (name := record_slug(build.full_mark(piece.mark))) in pages
        },
    )


def with_sheets(state: BuildState, documents: Sequence[Document]) -> BuildState:
    """That state with what these documents print."""
    word = state.check_word
    return replace(
        state,
        bought=tuple(_bought(documents)),
        labels={label.mark: digest(label, word) for block in _blocks(documents, Labels) for label in block.labels},
        templates={block.title: digest(block, word) for block in _blocks(documents, FullScale) if block.corrected},
        sheets={
            document.name: SheetState(document.title, tuple(digest(block, word) for block in document.blocks))
            for document in documents
        },
    )


def _blocks(documents: Sequence[Document], kind: type[B]) -> Iterator[B]:
    for document in documents:
        for block in walk(document.blocks):
            if isinstance(block, kind):
                yield block


def _bought(documents: Sequence[Document]) -> Iterator[str]:
    """The lines of the shopping list, without the tools: those one has or has not."""
    for document in documents:
        if document.name == "shopping":
            for block in _blocks((document,), Checklist):
                if not block.title.startswith("Tools"):
                    yield from (plain(step.text) for step in block.steps)


def _piece(job: Job, part: Part, piece: Piece) -> PieceState:
    row = job.rows[piece.mark]
    placed = job.space.pieces.get(piece.mark) if job.space is not None else None
    lies = ""
    if part.runs is not None:
        runs = part.runs
        up = up_of(part, piece)
        lies = f"length {runs.length.value}, width {runs.width.value}, thickness {runs.thickness.value}"
        lies += f", {up} up" if up else ""
    stage = job.stage_of.get(piece.mark)
    return PieceState(
        part=part.name,
        material=part.material,
        strips=part.strips,
        finished=_size(row.finished),
        joinery=_size(row.joinery),
        rough=_size(row.rough),
        place=tuple(map(exact, (*placed.at, *placed.extent))) if placed is not None else (),
        lies=lies,
        stage=stage.stage.title if stage is not None else "",
        joints=tuple(_joints(job, piece)),
        holes=tuple(_holes(job, piece)),
        cuts=tuple(_cuts(job, piece)),
        arrises=_arrises(job, piece),
        leans=_leans(piece),
    )


def _leans(piece: Piece) -> str:
    """How a piece stands off square: "splay 10° left, rake 6° front", "tipped 15° to the front"; "" where it does not.
    Angles to 1/1000 degree: finer is set by nobody."""
    place = piece.place
    if place is not None and place.tilt is not None:
        way = {0: ("front", "rear"), 1: ("right", "left")}[place.tilt.axis][place.tilt.slope < 0]
        return f"tipped {_degrees(place.tilt.slope)} to the {way}"
    if place is None or place.lean is None:
        return ""
    ways = (("splay", place.lean.right, ("left", "right")), ("rake", place.lean.rear, ("front", "rear")))
    return ", ".join(f"{name} {_degrees(slope)} {sides[slope > 0]}" for name, slope, sides in ways if slope)


def _degrees(slope: Fraction) -> str:
    return f"{trimmed(Fraction(Angle(abs(slope)).degrees), 3)}°"


def _size(size: Size) -> tuple[str, ...]:
    return tuple(map(exact, (size.thickness, size.width, size.length)))


def _joints(job: Job, piece: Piece) -> Iterator[JointState]:
    for joint, meeting in job.meets[piece.mark]:
        kind = KINDS[joint.kind]
        values = (
            joint.thickness,
            joint.width_on(job.rows[meeting.entering].finished.width),
            *depths_of(joint, job.build),
        )
        sizes = {name: exact(value) for name, value in zip(kind.size_names, values, strict=True) if value is not None}
        how = from_one(joint.kind, meeting, piece.mark)
        enters, mate = meeting.entering == piece.mark, other(meeting, piece.mark)
        at, runs = _where(job, piece, meeting, enters)
        yield JointState(meeting.number, mate, joint.kind.value, how, sizes, joint.glued, enters, at, runs)


def _where(job: Job, piece: Piece, meeting: Meeting, enters: bool) -> tuple[tuple[str, ...], str]:
    """The middle of what a joint cuts in a piece, along and across the face that it is cut in, and how it lies or goes
    in there where that is off square. What enters by an end is told by the piece's own length."""
    made = job.space.joinery.get(meeting.number) if job.space is not None else None
    if made is None or job.space is None:
        return (), ""
    face = made.enters if enters else made.meets
    own = [one for one in job.space.pieces[piece.mark].features if one.joint == str(meeting.number)]
    spans = [(one.lo, one.hi) if isinstance(one, Cuboid) else (one.centre, one.centre) for one in own if not _adds(one)]
    axes = [k for k in range(3) if k != (side_of(face)[0] if face is not None else 2)]
    if not spans or (enters and face in (Face.A, Face.B)):
        return (), ""
    middles = ((min(lo[k] for lo, _ in spans) + max(hi[k] for _, hi in spans)) / 2 for k in axes)
    slants = [(one, one.slant) for one in own if one.slant is not None and not _adds(one)]
    runs = {askew_words(one, slant) for one, slant in slants}
    return tuple(map(exact, middles)), "; ".join(sorted(filter(None, runs)))


def _adds(feature: Feature) -> bool:
    return isinstance(feature, Cuboid) and feature.adds


def _holes(job: Job, piece: Piece) -> Iterator[HoleState]:
    for hole in job.holes_in(piece.mark):
        along, across, bit = map(exact, (hole.along, hole.across, hole.bore.bit))
        depth = exact(hole.bore.depth) if hole.bore.depth is not None else ""
        runs = slanting_hole(job, hole)
        yield HoleState(hole.hardware, hole.face.value, along, across, bit, depth, hole.bore.use.value, runs)


def _cuts(job: Job, piece: Piece) -> Iterator[CutState]:
    for cut, place in job.cuts_on(piece.mark):
        faces = " and ".join(FACE_NAMES[face] for face in (place.face, place.second) if face is not None)
        along = tuple(map(exact, place.along))
        across = tuple(map(exact, place.across)) if place.second is None else ()
        depth, width = ("" if value is None else exact(value) for value in (cut.depth, cut.width or cut.radius))
        points = tuple(_points(place.drawn)) if place.drawn is not None else ()
        if place.turned is not None:
            points = tuple(f"{exact(at)} {exact(across)}" for at, across in place.turned.spots)
            points += tuple(f"{exact(low)} to {exact(high)}" for low, high in place.turned.pommels)
        yield CutState(cut.name, cut.kind.value, faces, along, across, depth, width, points)


def _points(drawn: Drawn) -> Iterator[str]:
    """The corners of an outline as they are written, an arc across the centre line without a place."""
    told = drawn.told
    for corner in (told.first, *told.corners, told.last):
        if corner is not None:
            at = ("across",) if corner in (told.first, told.last) else tuple(map(exact, corner.at))
            sizes = (("rise", corner.rise), ("radius", corner.radius), ("rounded", corner.rounded))
            words = (f"{word} {exact(size)}" for word, size in sizes if size is not None)
            yield " ".join(filter(None, (corner.way, *at, *words)))


def _arrises(job: Job, piece: Piece) -> dict[str, str]:
    if job.alike is None or job.space is None or piece.mark not in job.space.pieces:
        return {}
    found = job.alike.edges(piece.mark)
    ways = dict.fromkeys(one.verdict for one in found)
    return {str(way): edges_words(one.edge for one in found if one.verdict is way) for way in ways}


# --- read again ------------------------------------------------------------------------------------------------------


def state_from(figures: object) -> BuildState:
    """The state in what was read from a `figures.json`. Raises NoState where it is none, is of another format, or does
    not hold together."""
    state = figures.get("state") if isinstance(figures, dict) else None
    if not isinstance(state, dict) or not isinstance(state.get("format"), int):
        raise NoState("it holds no state of a build; it was made by an older version, or is another file")
    if state.get("format") != FORMAT:
        raise NoState(f"its state is of format {state['format']}; this version reads {FORMAT}")
    try:
        return BuildState(
            title=_text(state["title"]),
            mark=_text(state["mark"]),
            revision=_text(state["revision"]),
            check_word=_text(state["check_word"]),
            units=_text(state["units"]),
            step=exact(length_of(state["step"])),
            chamfer=exact(length_of(state["chamfer"])) if state.get("chamfer") else "",
            overall=_measures(state["overall"]),
            pieces={_text(mark): _read_piece(piece) for mark, piece in state["pieces"].items()},
            bought=tuple(map(_text, state["bought"])),
            labels=_words(state["labels"]),
            records=_words(state["records"]),
            templates=_words(state["templates"]),
            sheets={
                name: SheetState(_text(sheet["title"]), tuple(map(_text, sheet["blocks"])))
                for name, sheet in state["sheets"].items()
            },
        )
    except (KeyError, TypeError, ValueError, AttributeError, ZeroDivisionError) as fault:
        raise NoState("its state of the build is damaged") from fault


def _read_piece(piece: Mapping[str, Any]) -> PieceState:
    return PieceState(
        part=_text(piece["part"]),
        material=_text(piece["material"]),
        strips=int(piece["strips"]),
        finished=_measures(piece["finished"]),
        joinery=_measures(piece["joinery"]),
        rough=_measures(piece["rough"]),
        place=_measures(piece["place"]),
        lies=_text(piece["lies"]),
        stage=_text(piece["stage"]),
        joints=tuple(map(_read_joint, piece["joints"])),
        holes=tuple(map(_read_hole, piece["holes"])),
        cuts=tuple(map(_read_cut, piece["cuts"])) if piece.get("cuts") is not None else None,
        arrises=_words(piece["arrises"]) if piece.get("arrises") is not None else None,
        leans=_text(piece["leans"]) if piece.get("leans") is not None else None,
    )


def _read_joint(joint: Mapping[str, Any]) -> JointState:
    sizes = {_text(name): exact(length_of(value)) for name, value in joint["sizes"].items()}
    mate, kind, how = (_text(joint[name]) for name in ("mate", "kind", "how"))
    glued, enters, at = bool(joint["glued"]), bool(joint["enters"]), joint.get("at")
    where = _measures(at) if at is not None else None
    return JointState(int(joint["number"]), mate, kind, how, sizes, glued, enters, where, _text(joint.get("runs", "")))


def _read_hole(hole: Mapping[str, Any]) -> HoleState:
    along, across, bit = _measures([hole["along"], hole["across"], hole["bit"]])
    depth = exact(length_of(hole["depth"])) if hole["depth"] else ""
    named, face, use, runs = hole["hardware"], Face(hole["face"]).value, hole["use"], hole.get("runs", "")
    return HoleState(_text(named), face, along, across, bit, depth, _text(use), _text(runs))


def _read_cut(cut: Mapping[str, Any]) -> CutState:
    name, kind, faces = (_text(cut[key]) for key in ("name", "kind", "faces"))
    depth, width = (exact(length_of(cut[key])) if cut[key] else "" for key in ("depth", "width"))
    points = tuple(map(_text, cut.get("points", ())))
    return CutState(name, kind, faces, _measures(cut["along"]), _measures(cut["across"]), depth, width, points)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _words(value: Mapping[str, str]) -> dict[str, str]:
    return {_text(name): _text(word) for name, word in value.items()}


def _measures(values: Sequence[str]) -> tuple[str, ...]:
    """Lengths as they are kept, each read and written again, so that one length has one text."""
    return tuple(exact(length_of(value)) for value in values)
