"""Turned rounds in words: from what stock, to which diameters, and where."""

from __future__ import annotations

from collections.abc import Collection, Iterator

from shopdocs.blocks.text import Figure, Run, Text, plain, text
from shopdocs.core.display import Display
from shopdocs.core.length import Length
from shopdocs.core.rounds import Round
from shopdocs.documents.figures import length_figure, length_figures
from shopdocs.documents.job import Job
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.model.parts import Part
from shopdocs.work.scene.own_cuts import turned_pieces
from shopdocs.work.space.placed import PlacedPiece

BORED = (
    "Bore into it while it is square, from the middle of the face. Or after, in a V-block: the line of that face is "
    "drawn over both ends first, and turned straight up."
)


PLANED = (
    "Before it is turned, draw the line of each face that gets a flat over both ends. Then plane the flat there until "
    "it is as wide as written where the round is thinnest, and chop the mortise from it."
)


def is_round(cut: OwnCut) -> bool:
    """Whether a cut makes a piece round."""
    return cut.kind is CutKind.ROUND


def has_rounds(job: Job) -> bool:
    """Whether anything in the build is turned."""
    return any(map(is_round, job.build.cuts))


FINISHED = "Finished"


def finished_name(job: Job, part: Part, mark: str) -> str:
    """What the finished size of a piece is called: that of one that is turned all along is what it is turned from."""
    turned = job.once(("rounds",), lambda: turned_pieces(job.build)).get(mark)
    return "Before turning" if is_round_throughout(turned, part.length) else FINISHED


def is_round_throughout(turned: Round | None, length: Length) -> bool:
    """Whether a piece is round from end to end, so that it keeps none of its faces."""
    return turned is not None and turned.throughout(length)


def round_tenons(piece: PlacedPiece | None) -> frozenset[Length]:
    """The diameters of the round tenons on a piece: they are turned to the bit that bores their mortises."""
    cuboids = piece.cuboids if piece is not None else ()
    adding = (cuboid for cuboid in cuboids if cuboid.adds and Trait.ROUND in cuboid.kind.traits)
    return frozenset(cuboid.slant.thick for cuboid in adding if cuboid.slant is not None)


def diameter_words(diameter: Length, tenons: Collection[Length], display: Display) -> str:
    """A diameter in the units of the sheet; that of one of the `tenons` as its bit is called, with its unit where that
    is another: "16 mm", for 5/8 in would be too thin."""
    bit = display.drill(diameter) if diameter in tenons else ""
    return bit if bit and not bit.endswith(f" {display.units}") else display.bare(diameter)


def round_words(job: Job, cut: OwnCut, place: CutPlace, part: Part) -> Text:
    """A round as it is turned: "from 1 in square, from end A on: at 0 Ø 5/8 in, at 6 Ø 1 in, …, straight between"."""
    turned = place.turned
    assert turned is not None
    name, unit = f"{part.name} · {cut.name}", f" {job.display.units}"

    def figure(what: str, value: Length) -> Run:
        return length_figure(f"{name} · {what}", value, job.display, place.at)

    tenons = round_tenons(job.space.pieces.get(place.piece) if job.space is not None else None)
    if part.width == part.thickness:
        runs: Text = text("turn from ", figure("stock", part.width), unit, " square")
    else:
        one, two = length_figures(
            (f"{name} · stock", part.thickness, place.at), (f"{name} · wide", part.width, place.at), display=job.display
        )
        runs = text("turn from ", one, " × ", two, unit)
    runs = (*runs, "; ")
    for number, (along, diameter) in enumerate(turned.spots):
        shown = diameter_words(diameter, tenons, job.display)
        told = Figure(f"{name} · diameter {number + 1}", shown, diameter.mm, "mm", place.at)
        runs = (*runs, ", " if number else "", "Ø ", told)
        if number + 1 < len(turned.spots) and turned.spots[number + 1][0] == along:
            continue
        runs = (*runs, " at ", figure(f"place {number + 1}", along))
    runs = (*runs, unit, " from end A", ", straight between" if len(set(turned.spots)) > 1 else "")
    for number, (low, high) in enumerate(turned.pommels, 1):
        last = number == len(turned.pommels)
        word = " and " if last else ", "
        word = word if number > 1 else f"; pommel{'' if last else 's'} from "
        begins, ends = figure(f"pommel {number} begins", low), figure(f"pommel {number} ends", high)
        runs = (*runs, word, begins, " to ", ends, unit if last else "")
    square = [
        text("up to ", figure("begins", turned.start), unit) if turned.start else (),
        text("beyond ", figure("ends", turned.end), unit) if turned.end < part.length else (),
    ]
    left = [words for words in square if words]
    if left:
        runs = (*runs, "; square ", *left[0], *(((" and "), *left[1]) if len(left) > 1 else ()))
    return runs


def turned_to(job: Job, mark: str) -> Text:
    """What the cut list says beside a part: "turned to Ø 1 in"; nothing of what stays square."""
    part = job.part_of(mark)
    for cut, place in job.cuts_on(mark):
        if place.turned is not None:
            thick = length_figure(f"{part.name} · {cut.name} · thickest", place.turned.thickest, job.display, place.at)
            partly = "" if is_round_throughout(place.turned, part.length) else "in part "
            return text(f"turned {partly}to Ø ", thick, f" {job.display.units}")
    return ()


def is_bored_round(job: Job, mark: str) -> bool:
    """Whether a mortise or a hole goes into the side of a piece where it is round."""
    piece = job.space.pieces.get(mark) if job.space is not None else None
    holes = [hole.along for hole in job.holes_in(mark) if hole.face not in (Face.A, Face.B)]
    if piece is not None:
        holes += [cut.slant.centre[0] for cut in piece.cuboids if cut.slant is not None and not cut.adds]
    rounds = [place.turned for _, place in job.cuts_on(mark) if place.turned is not None]
    return any(turned.within(at, at) for turned in rounds for at in holes)


def has_flats(job: Job, mark: str) -> bool:
    """Whether the round of a piece is planed flat for a shoulder."""
    piece = job.space.pieces.get(mark) if job.space is not None else None
    return piece is not None and any(Trait.PLANED in cut.kind.traits for cut in piece.cuboids)


def turned_label(job: Job, mark: str) -> str:
    """What a label says of a piece that is turned; "" of others."""
    return plain(turned_to(job, mark)) if has_rounds(job) else ""


def diameters_along(turned: Round, display: Display, tenons: Collection[Length] = ()) -> Iterator[tuple[Length, str]]:
    """Where along the piece which diameters stand: of a step both, that nearer to end A first. `tenons` are those
    of its round tenons."""
    places = dict.fromkeys(along for along, _ in turned.spots)
    for place in places:
        told = [diameter_words(diameter, tenons, display) for along, diameter in turned.spots if along == place]
        yield place, "Ø " + " / ".join(told)
