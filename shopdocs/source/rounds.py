"""Decodes rounds: diameters at places along a piece, and the pommels between them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO
from shopdocs.core.rounds import Round, Span, Spot
from shopdocs.model.cutting import CutKind, CutPlace, OwnCut
from shopdocs.model.joining import Face
from shopdocs.model.parts import Part
from shopdocs.source.cut_schema import CutKeys, CutOnKeys
from shopdocs.source.joining import Known
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.stretches import written_stretch
from shopdocs.source.values import Values

MOST_DIAMETERS = 100
_RIGHT = "write along, comma, diameter, from end A on: diameters: ['0, 5/8', 'length/2, 1', 'length, 5/8']"


def read_rounds(name: str, keys: CutKeys, known: Known, values: Values, early: bool = False) -> Iterator[OwnCut]:
    """The rounds of one entry; pieces of another size may have others, for their lengths may be named. `early`, the
    lengths of pieces are not known yet."""
    given = {"depth": keys.depth, "width": keys.width, "radius": keys.radius, "to": keys.to, "angle": keys.angle}
    for word, node in {**given, "tilt": keys.tilt}.items():
        if node is not None:
            values.note(node.at, "cut", f"a round has no '{word}'", "its diameters say all: diameters: ['0, 1', …]")
            return
    for word, listed in (("outline", keys.outline), ("mirrored half", keys.half)):
        if listed is not None:
            values.note(
                keys.place(word), "cut", "a round has no corners", "it has diameters: kind: outline has corners"
            )
            return
    nodes = keys.diameters
    if nodes is None:
        values.note(keys.at, "missing-key", f"the round '{shorten(name)}' lacks 'diameters'", _RIGHT)
        return
    if not 2 <= len(nodes) <= MOST_DIAMETERS:
        wrong = f"{len(nodes)} diameter{'s' if len(nodes) != 1 else ''} make{'s' if len(nodes) == 1 else ''} no round"
        values.note(
            keys.place("diameters"),
            "round",
            wrong,
            f"write 2 to {MOST_DIAMETERS}: one where it begins, one where it ends",
        )
        return
    on: list[CutPlace] = []
    for item in keys.on:
        if not _whole(item, values):
            return
        marks = known.expand_all(item.piece, values)
        for part_name in dict.fromkeys(known.marks[mark].name for mark in marks):
            part = known.parts[part_name]
            turned = _round(nodes, part, values, early)
            if turned is not None and keys.pommels is not None:
                turned = _with_pommels(turned, nodes, keys.pommels, part, values)
            if turned is None:
                return
            for mark in (mark for mark in marks if known.marks[mark] is part):
                if any(place.piece == mark for place in on):
                    values.note(item.at, "round", f"'{mark}' is named twice here", "name it once")
                    return
                stretch = (turned.start, turned.end)
                on.append(CutPlace(mark, Face.FACE, stretch, (ZERO, part.width), at=item.at, turned=turned))
    if on:
        yield OwnCut(
            name, CutKind.ROUND, tuple(on), None, note=values.note_words(keys.note), at=keys.at, places=keys.places
        )


def _whole(item: CutOnKeys, values: Values) -> bool:
    """Whether only pieces are named: a round goes all round its piece."""
    given = {"face": item.face, "edge": item.edge, "corners": item.corners, "along": item.along}
    for word, node in {**given, "across": item.across, "from": item.counted}.items():
        if node is not None:
            right = "it goes all round, about the middle of its piece; name the pieces alone: on: [{piece: rung}]"
            values.note(node.at, "cut", f"a round has no '{word}'", right)
            return False
    return True


def _round(nodes: Sequence[Scalar], part: Part, values: Values, early: bool) -> Round | None:
    """The round of the pieces of a part; None with a note where it cannot be."""
    spots: list[Spot] = []
    least = min(part.width, part.thickness)
    for node in nodes:
        spot = _spot(node, part, values)
        if spot is None:
            return None
        along, diameter = spot
        told = shorten(node.text)
        if not ZERO <= along <= part.length and not early:
            wrong = f"'{told}' lies off the end of '{part.name}', which is {exact_text(part.length)} long"
            values.note(node.at, "outside", wrong, f"write a place from 0 to {exact_text(part.length)}")
            return None
        if diameter > least:
            stock = f"{exact_text(part.thickness)} x {exact_text(part.width)}"
            wrong = f"a round of {exact_text(diameter)} does not come out of '{part.name}', which is {stock}"
            values.note(node.at, "round", wrong, f"write {exact_text(least)} at most, or make the stock larger")
            return None
        if spots and along < spots[-1][0]:
            wrong = f"'{told}' comes before {exact_text(spots[-1][0])}, which is written before it"
            values.note(node.at, "round", wrong, "write the places in order from end A")
            return None
        same = [before for before in spots if before[0] == along]
        if same and (same[-1][1] == diameter or len(same) > 1):
            wrong = f"there are {len(same) + 1} diameters at {exact_text(along)}"
            values.note(node.at, "round", wrong, "write one, or two that differ for a step")
            return None
        spots.append(spot)
    if spots[0][0] == spots[-1][0]:
        values.note(nodes[-1].at, "round", "this round begins and ends at one place", "write where it ends")
        return None
    for (one, two), node in zip(pairwise(spots), nodes, strict=False):
        if one[0] == two[0] and one[0] in (spots[0][0], spots[-1][0]):
            wrong = f"a step at {exact_text(one[0])}, where the round {'begins' if one == spots[0] else 'ends'}"
            values.note(node.at, "round", wrong, "write one diameter there")
            return None
    return Round(tuple(spots))


def _with_pommels(
    turned: Round, nodes: Sequence[Scalar], pommels: Sequence[Scalar], part: Part, values: Values
) -> Round | None:
    """The round with its pommels, and a diameter at each of their shoulders; None with a note where it cannot be."""
    read = [(stretch, node) for node in pommels if (stretch := written_stretch(node, part, values)) is not None]
    if len(read) < len(pommels):
        return None
    read.sort(key=lambda each: each[0])
    for (low, high), node in read:
        told = f"the pommel '{shorten(node.text)}'"
        if high <= turned.start or turned.end <= low:
            wrong = f"{told} lies where '{part.name}' is not turned"
            values.note(node.at, "pommel", wrong, "leave it out: beyond its diameters a piece stays square")
            return None
        if low <= turned.start or turned.end <= high:
            first = low <= turned.start
            wrong = f"{told} takes the {'beginning' if first else 'end'} of the round"
            word, at = ("begin", high) if first else ("end", low)
            right = f"let the diameters {word} at {exact_text(at)}: beyond them the piece stays square"
            values.note(node.at, "pommel", wrong, right)
            return None
    for (one, before), (two, after) in pairwise(read):
        if two[0] <= one[1]:
            wrong = f"the pommels '{shorten(before.text)}' and '{shorten(after.text)}' "
            wrong += "overlap" if two[0] < one[1] else "meet"
            whole = f"{exact_text(one[0])} to {exact_text(max(one[1], two[1]))}"
            values.note(after.at, "pommel", wrong, f"write them as one: '{whole}', or leave round wood between them")
            return None
    spans = tuple(stretch for stretch, _ in read)
    return _shouldered(turned, nodes, spans, values)


def _shouldered(turned: Round, nodes: Sequence[Scalar], pommels: tuple[Span, ...], values: Values) -> Round | None:
    """The round with a diameter at each shoulder of its pommels: what is not written follows from the cone there."""
    for (along, _), node in zip(turned.spots, nodes, strict=True):
        for low, high in pommels:
            if low < along < high:
                wrong = f"'{shorten(node.text)}' lies in the pommel from {exact_text(low)} to {exact_text(high)}"
                right = "leave it out, or write it for a shoulder of the pommel; a pommel stays square"
                values.note(node.at, "pommel", wrong, right)
                return None
            if along in (low, high) and sum(other == along for other, _ in turned.spots) > 1:
                wrong = f"there are 2 diameters at {exact_text(along)}, where a pommel has its shoulder"
                values.note(node.at, "pommel", wrong, "write one, that of the round beside it")
                return None
    spots = list(turned.spots)
    for at in (end for span in pommels for end in span):
        diameter = turned.at(at)
        assert diameter is not None
        spots.append((at, diameter))
    ordered = sorted(dict.fromkeys(spots), key=lambda spot: spot[0])
    return Round(tuple(ordered), pommels)


def _spot(node: Scalar, part: Part, values: Values) -> Spot | None:
    text, (first, comma, second) = node.text, node.text.partition(",")
    blank = len(second) - len(second.lstrip())
    if not first.strip() or not second.strip() or "," in second:
        values.note(node.at, "round", f"'{shorten(text)}' is not a place and a diameter", _RIGHT)
        return None
    if comma and not blank:
        values.note(node.at, "round", f"'{shorten(text)}' has a comma without a space", "write 4, 5 or 4.5")
        return None
    local = {"length": part.length, "width": part.width, "thickness": part.thickness}
    along = values.length(node.part(0, first.strip()), local)
    diameter = values.length(node.part(len(first) + 1 + blank, second.strip()), local, least=1)
    return None if along is None or diameter is None else (along, diameter)
