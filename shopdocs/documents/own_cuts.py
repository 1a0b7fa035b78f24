"""The maker's own cuts in words, for the sheets where pieces are sawn, marked out and glued."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence

from shopdocs.blocks.sheets import Block
from shopdocs.blocks.text import Bullets, Heading, Paragraph, Run, Step, Text, plain, text
from shopdocs.core.length import ZERO, Length
from shopdocs.documents.arches import arch_words, is_arch
from shopdocs.documents.end_cuts import end_cut_note, end_cut_words, is_end_cut
from shopdocs.documents.figures import length_figure, marks_text
from shopdocs.documents.job import Job
from shopdocs.documents.outlines import outline_words
from shopdocs.documents.rounds import BORED, PLANED, has_flats, is_bored_round, is_round, round_words
from shopdocs.documents.tapers import LATER, is_taper, nesting_lines, taper_words
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut, Stretch
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES, Face, the_face
from shopdocs.model.parts import Part
from shopdocs.work.order.stages import StageWork
from shopdocs.work.scene.own_cuts import own_name
from shopdocs.work.space.ends import extent_of
from shopdocs.work.space.placed import side_of

SHAPING = (CutKind.TAPER, CutKind.ARCH, CutKind.OUTLINE, CutKind.CUT_OUT)
POINTS, POINTS_BELOW = "its points stand with the piece drawing", "its points are in the table below"


def own_names(job: Job, marks: Collection[str]) -> dict[str, str]:
    """What a drawing calls the own cuts of these pieces, by the name of their features."""
    return {own_name(cut): _called(cut) for cut in job.cuts if any(place.piece in marks for place in cut.on)}


def short_names(job: Job, marks: Collection[str]) -> dict[str, str]:
    """The same without angles, where lines beside the drawing tell them."""
    return {own_name(cut): str(cut.kind) for cut in job.cuts if any(place.piece in marks for place in cut.on)}


def _called(cut: OwnCut) -> str:
    return f"{cut.kind} {end_cut_note(cut)}" if is_end_cut(cut) else str(cut.kind)


def cut_lines(job: Job, marks: Collection[str] | None = None, points: str = POINTS) -> Iterator[Text]:
    """A line for each cut and each way it lies, of all pieces or of those of these marks; pieces of which the same is
    said share one. `points` says where the points of what is drawn corner by corner stand."""
    for cut in job.cuts:
        alike: dict[str, tuple[Text, list[str]]] = {}
        places = [place for place in cut.on if marks is None or place.piece in marks]
        for group in said_together(cut, places):
            runs = said_of(job, cut, group, job.part_of(group[0].piece), points=points)
            alike.setdefault(plain(runs), (runs, []))[1].append(group[0].piece)
        for runs, pieces in alike.values():
            note = f". {cut.note}" if cut.note else ""
            if is_round(cut) and any(is_bored_round(job, mark) for mark in pieces):
                note = f". {BORED} {cut.note}".rstrip()
            if is_round(cut) and any(has_flats(job, mark) for mark in pieces):
                note = f". {PLANED}{note.removeprefix('.')}"
            if is_taper(cut) or is_arch(cut) or cut.kind is CutKind.OUTLINE:
                note = f". {LATER} {cut.note}".rstrip()
            yield text(f"{cut.name[:1].upper()}{cut.name[1:]}, {marks_text(pieces, 12)}: ", *runs, note)


def said_of(
    job: Job, cut: OwnCut, places: Sequence[CutPlace], part: Part, brief: bool = False, points: str = POINTS
) -> Text:
    """One cut as it lies on a piece, at one place or at those that are `said_together`; `brief`, the heights of an arch
    stand elsewhere; `points` says where those of an outline stand."""
    if is_taper(cut):
        return taper_words(job, cut, places, part)
    if is_arch(cut):
        runs = 1 if places[0].face in (Face.A, Face.B) else 0
        return arch_words(job, cut, places[0], part, _start(job, places[0], runs), brief)
    if is_end_cut(cut):
        return end_cut_words(job, cut, places[0], part)
    if is_round(cut):
        return round_words(job, cut, places[0], part)
    if cut.kind is CutKind.OUTLINE:
        return (*outline_words(job, cut, places[0], part), f"; {points}")
    if is_corner(cut, places[0]):
        return _corner_words(job, cut, places, part)
    return _words(job, cut, places, part, points)


def _corner_words(job: Job, cut: OwnCut, places: Sequence[CutPlace], part: Part) -> Text:
    """Rounded corners of a piece: "all four corners rounded to a radius of 1-1/2 in"."""
    assert cut.width is not None
    named = [(end, edge) for place in places for end, edge in [sorted(_faces_of(place), key=_ends_first)]]
    radius = length_figure(f"{part.name} · {cut.name} · width", cut.width, job.display, places[0].at)
    runs = text(f"{_which_corners(named)} rounded to a radius of ", radius, f" {job.display.units}")
    both_ends = len(named) == 4 or len({end for end, _ in named}) == 1
    half = cut.width * 2 == part.width and both_ends and len(named) > 1
    return (*runs, ": half a circle") if half else runs


def _faces_of(place: CutPlace) -> tuple[Face, Face]:
    assert place.second is not None
    return place.face, place.second


def _ends_first(face: Face) -> bool:
    return face not in (Face.A, Face.B)


def _which_corners(named: Sequence[tuple[Face, Face]]) -> str:
    if len(named) == 4:
        return "all four corners"
    shared = set(named[0]).intersection(*named)
    if len(named) == 2 and shared:
        return f"both corners at {the_face(shared.pop())}"
    every = [f"{FACE_NAMES[end]} and {FACE_NAMES[edge]}" for end, edge in named]
    return f"corner{'s' if len(every) > 1 else ''} of " + ", ".join(every)


def said_together(cut: OwnCut, places: Sequence[CutPlace]) -> list[list[CutPlace]]:
    """Each place by itself; of a taper those of one piece and end together, of rounded corners those of one piece, of
    what is cut into a face those that lie equally far from its edge."""
    groups: dict[object, list[CutPlace]] = {}
    for number, place in enumerate(places):
        alike: object = place.second if is_taper(cut) else "corners" if is_corner(cut, place) else number
        if _plain(cut, place):
            alike = (place.face, place.across)
        groups.setdefault((place.piece, alike), []).append(place)
    return list(groups.values())


def _plain(cut: OwnCut, place: CutPlace) -> bool:
    """Whether a cut goes straight into a face and is told by how far it lies from edge and end."""
    told_else = is_taper(cut) or is_arch(cut) or is_end_cut(cut) or cut.kind is CutKind.OUTLINE
    return not told_else and place.second is None and place.drawn is None


def is_corner(cut: OwnCut, place: CutPlace) -> bool:
    """Whether a rounding takes a corner off the face side, between an end and an edge."""
    ends, edges = (Face.A, Face.B), (Face.EDGE, Face.FAR_EDGE)
    pair = {place.face, place.second}
    return cut.kind is CutKind.ROUNDING and bool(pair & {*ends}) and bool(pair & {*edges})


def has_rounded_corners(job: Job) -> bool:
    """Whether any corner of a face side is rounded."""
    return any(is_corner(cut, place) for cut in job.build.cuts for place in cut.on)


def has_cut_outs(job: Job) -> bool:
    """Whether anything is cut out of a face."""
    return any(cut.kind is CutKind.CUT_OUT for cut in job.build.cuts)


def cut_blocks(job: Job, drawn: bool) -> list[Block]:
    """All of them under a heading, for the cut list; only their names where the rest stands at the pieces `drawn`."""
    named: dict[str, dict[str, None]] = {}
    for cut in job.cuts:
        name = _spoken(job, cut)
        named.setdefault(name, {}).update((place.piece, None) for place in cut.on)
    told = "; ".join(f"{name} {marks_text([*marks], 12)}" for name, marks in named.items())
    lines = [] if drawn else [*cut_lines(job)]
    lines += nesting_lines(job)
    if told and drawn and not lines:
        return [Paragraph(text(f"Cuts other than joints, on the piece drawings: {told}."))]
    lines = [*([text(f"On the piece drawings: {told}.")] if told and drawn else []), *lines]
    return [Heading("Cuts other than joints", 2), Bullets(tuple(lines))] if lines else []


def cut_steps(job: Job, work: StageWork) -> list[Step]:
    """What must be cut before a stage, while one can still reach it."""
    steps = []
    for cut in job.cuts:
        marks = dict.fromkeys(place.piece for place in cut.on if place.piece in work.stage.pieces)
        if marks:
            name = _spoken(job, cut)
            done = "turned:" if is_round(cut) else "sawn on" if is_end_cut(cut) else "cut in"
            steps.append(Step(text(f"{name[:1].upper()}{name[1:]} is {done} {marks_text([*marks], 12)}")))
    return steps


def let_in_names(job: Job) -> dict[str, list[str]]:
    """The cuts that are marked out and cut as joints are, by the name they are spoken of, with their pieces: all but
    those that shape a piece, which has a pattern, and the ends that lean."""
    found: dict[str, list[str]] = {}
    for cut in job.cuts:
        places = [place for place in cut.on if not is_corner(cut, place)]
        if is_round(cut) or is_end_cut(cut) or cut.kind in SHAPING or not places:
            continue
        name = _spoken(job, cut)
        several = len(places) > 1 and name != cut.name
        found.setdefault(f"{name}es" if several else name, []).extend(place.piece for place in places)
    return found


def is_shaped(job: Job, mark: str) -> bool:
    """Whether a piece is sawn to an outline, tapered or arched, rounded at a corner, or has something cut out."""
    return any(cut.kind in SHAPING or is_corner(cut, place) for cut, place in job.cuts_on(mark))


def _spoken(job: Job, cut: OwnCut) -> str:
    """What a cut is called where no drawing shows what it is: a hinge is let in, its recess is cut."""
    return f"{cut.name} recess" if any(item.name == cut.name for item in job.build.hardware) else cut.name


def _words(job: Job, cut: OwnCut, places: Sequence[CutPlace], part: Part, points: str) -> Text:
    place = places[0]
    at, name = place.at, f"{part.name} · {cut.name}"
    unit = f" {job.display.units}"
    if place.second is not None:
        faces = (place.face, place.second)
        wide, off = (
            length_figure(f"{name} · {what}", value or ZERO, job.display, at)
            for what, value in (("width", cut.width), ("depth", cut.depth))
        )
        if cut.kind is CutKind.ROUNDING:
            runs: Text = text("rounding of radius ", wide, unit, " where ", _meet(faces))
        else:
            runs = text(f"{cut.kind} of ", wide, unit, f" on {the_face(faces[0])} and ", off, unit)
            runs = (*runs, f" on {the_face(faces[1])}")
        size = (part.length, part.width, part.thickness)
        runs_along = 3 - side_of(faces[0])[0] - side_of(faces[1])[0]
        return (*runs, *_stretch(job, name, place, place.along, size[runs_along], "from end A", 0))
    axis, _ = side_of(place.face)
    first, second = (k for k in range(3) if k != axis)
    size = (part.length, part.width, part.thickness)
    froms = [f"from {the_face(face)}" for face in COUNTED_FROM]
    deep: Run = "right through" if cut.depth is None else length_figure(f"{name} · depth", cut.depth, job.display, at)
    runs = text(f"{cut.kind} ", deep, "" if cut.depth is None else f"{unit} deep", f" in {the_face(place.face)}")
    if cut.radius is not None:
        rounded = length_figure(f"{name} · radius", cut.radius, job.display, at)
        runs = (*runs, *text(", corners of radius ", rounded, unit))
    if place.drawn is not None:
        runs = (*runs, f", {points}")
    runs = (*runs, *_stretch(job, f"{name} · across", place, place.across, size[second], froms[second], second))
    along = [_stretch(job, f"{name} · along", each, each.along, size[first], froms[first], first) for each in places]
    return (*runs, *_joined(along))


def _joined(stretches: Sequence[Text]) -> Text:
    """Stretches along one axis, with what they are counted in and from once: ", 47 to 97 and 463 to 513 mm from A"."""
    found = [stretch for stretch in stretches if stretch]
    if not found:
        return ()
    *others, last = found
    told = [run for comma, low, to, high, _ in others for run in (comma, low, to, high)]
    return (*told, *((" and ", *last[1:]) if others else last))


def _meet(faces: tuple[Face, Face]) -> str:
    return " and ".join(FACE_NAMES[face] for face in faces) + " meet"


def _stretch(job: Job, name: str, place: CutPlace, stretch: Stretch, whole: Length, counted: str, axis: int) -> Text:
    """Where a cut lies along one axis, from where one marks it out; nothing where it runs all the way."""
    if stretch == (ZERO, whole):
        return ()
    flush = _start(job, place, axis)
    low = length_figure(f"{name} · from", stretch[0] + flush, job.display, place.at)
    high = length_figure(f"{name} · to", stretch[1] + flush, job.display, place.at)
    return text(", ", low, " to ", high, f" {job.display.units} {counted}")


def _start(job: Job, place: CutPlace, axis: int) -> Length:
    """How far before the body a face really begins, where no shoulder shows."""
    piece = job.space.pieces.get(place.piece) if job.space is not None else None
    if piece is None or side_of(place.face)[0] == axis:
        return ZERO
    return extent_of(piece, place.face, axis).start.flush
