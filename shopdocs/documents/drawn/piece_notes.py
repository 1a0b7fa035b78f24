"""What is said beside the cuts and holes of a piece: the joint's name; how many, how large, how deep."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from shopdocs.core.curves import near
from shopdocs.core.display import Display
from shopdocs.core.length import ZERO, Length
from shopdocs.core.outline import Side
from shopdocs.documents.arches import arch_note
from shopdocs.documents.drawn.gauged import Gauged
from shopdocs.documents.drawn.shown import Shown
from shopdocs.documents.fitting.off_square import is_open_mortise, open_mortise_words, slanting_note
from shopdocs.model.joining import Face
from shopdocs.model.joint_names import Trait
from shopdocs.work.space.placed import Bore, Cuboid, Feature, FeatureKind, Spot, side_of

Names = Mapping[str, str]  # what a joint is called on the drawing, by its number


@dataclass(frozen=True, slots=True)
class Note:
    """Words on a leader to one of `spots` of a face; `shown` is the cut they speak of, the first of `more` where they
    speak of several."""

    face: Face
    words: str
    spots: tuple[Spot, ...]
    shown: Shown | None = None
    more: tuple[Shown, ...] = ()
    is_row: bool = False  # of many cuts, told by the names of the first two and the last

    @property
    def speaks_of(self) -> tuple[Shown, ...]:
        """All cuts that the words speak of."""
        return self.more or ((self.shown,) if self.shown is not None else ())


def middle_of(shown: Shown) -> Spot:
    """The middle of a cut or a hole, in piece coordinates; of a rounded corner the middle of its arc."""
    flare = shown.cuboid.flare
    if flare is not None and shown.cuboid.kind is FeatureKind.ROUNDING and flare.waste:
        (arc,) = [side for side in flare.waste if side.centre is not None]
        x, y = _top_of(arc)
        return x, y, (shown.lo[2] + shown.hi[2]) / 2
    a, b, c = ((low + high) / 2 for low, high in zip(shown.lo, shown.hi, strict=True))
    return (a, b, c)


def _top_of(arc: Side) -> tuple[Length, Length]:
    """The middle of an arc of a quarter of a circle: on the line from its centre through the middle of its chord."""
    assert arc.centre is not None
    out = arc.radius.float_mm() / math.sqrt(2)
    ways = [(start + end) / 2 - centre for start, end, centre in zip(arc.start, arc.end, arc.centre, strict=True)]
    x, y = (
        near(centre.float_mm() + (out if way > ZERO else -out)) for centre, way in zip(arc.centre, ways, strict=True)
    )
    return x, y


NAMED = ": "  # after the name of a joint: "5  1/4 deep" would read as five and a quarter


def name_in(words: str) -> str:
    """The name of the joint that a note begins with."""
    return words.split(NAMED)[0]


NOBODY: Mapping[Feature, str] = {}


def notes_of(
    gauged: Gauged, names: Names, display: Display, bare: bool, alone: Mapping[Feature, str] = NOBODY
) -> Iterator[Note]:
    """The notes of a piece; on a `bare` drawing only the names of its joints. What is borne `alone` says by whom."""
    cuts: dict[tuple[Face, str], list[Shown]] = {}
    for shown in gauged.shown:
        if not shown.cuboid.adds:
            words = _whose(alone.get(shown.cuboid, "")) + _cut_words(shown, gauged, names, display, bare)
            cuts.setdefault((shown.face, words), []).append(shown)
    for (face, words), group in cuts.items():
        if words:
            yield Note(face, words, tuple(middle_of(shown) for shown in group), group[0])
    if not bare:
        yield from _hole_notes(gauged, names, display, alone)
        return
    holes = {bore.joint: bore for bore in gauged.piece.bores if bore.joint in names}
    for joint, bore in holes.items():
        yield Note(bore.face, names[joint], (bore.centre,))


def _whose(marks: str) -> str:
    return f"{marks} only, " if marks else ""


FEWEST_TOGETHER = 3  # cuts that share one note


def together(notes: Sequence[Note]) -> list[Note]:
    """The notes, with one for all cuts of a face that are alike in size and depth and follow each other along the
    piece: their names in order from end A."""
    alike: dict[object, list[Note]] = {}
    for number, note in enumerate(notes):
        key: object = number
        if note.shown is not None and not note.shown.cuboid.adds and NAMED in note.words and len(note.spots) == 1:
            size = tuple(high - low for low, high in zip(note.shown.lo, note.shown.hi, strict=True))
            key = (note.face, note.words.split(NAMED, 1)[1], note.shown.cuboid.kind, size)
        alike.setdefault(key, []).append(note)
    found: list[Note] = []
    for group in alike.values():
        group.sort(key=lambda note: note.spots[0])
        apart = len({note.spots[0][0] for note in group}) == len(group)
        found += [_shared(group)] if len(group) >= FEWEST_TOGETHER and apart else group
    return found


def _shared(group: Sequence[Note]) -> Note:
    names, deep = [name_in(note.words) for note in group], group[0].words.split(NAMED, 1)[1]
    steps = {int(two) - int(one) for one, two in pairwise(names)} if all(n.isdecimal() for n in names) else {0}
    even = len(steps) == 1 and 0 not in steps and len(names) > FEWEST_TOGETHER
    told = f"{names[0]}, {names[1]} … {names[-1]}" if even else ", ".join(names)
    shown = tuple(note.shown for note in group if note.shown is not None)
    spots = tuple(note.spots[0] for note in group)
    return Note(group[0].face, f"{told} from end A{NAMED}{deep}", spots, group[0].shown, shown, even)


def _cut_words(shown: Shown, gauged: Gauged, names: Names, display: Display, bare: bool) -> str:
    name = names.get(shown.cuboid.joint, "")
    if bare:
        return name
    if shown.cuboid.kind is FeatureKind.END_CUT:
        return name
    if shown.cuboid.kind is FeatureKind.OUTLINE:
        return ""  # its points have names
    if shown.cuboid.kind is FeatureKind.TAPER:
        return f"{name}  to {display.bare(gauged.left_at_end(shown.cuboid))}"
    if shown.cuboid.kind is FeatureKind.ARCH:
        return f"{name}  {_arch(shown.cuboid, display)}"
    deep = "through" if shown.depth is None else f"{display.bare(shown.depth)} deep"
    if is_open_mortise(shown.cuboid):
        deep = open_mortise_words(shown.cuboid, display)
        if shown.at_mouth:
            return name
    if Trait.PLANED in shown.cuboid.kind.traits:
        deep = f"flat, {deep}"
    radius = _radius(shown.cuboid)
    if radius is not None:
        told = f"radius {display.bare(radius)}"
        deep = told if shown.cuboid.kind is FeatureKind.ROUNDING else f"{deep}, corners {told}"
    return f"{name}{NAMED}{deep}" if name else deep


def _radius(cuboid: Cuboid) -> Length | None:
    """The radius of rounded corners, or of a rounding along an arris; None of a cut without."""
    if cuboid.kind is FeatureKind.ROUNDING and cuboid.flare is not None and cuboid.flare.arc:
        return cuboid.flare.by
    if cuboid.flare is None or not cuboid.flare.waste:
        return None
    radii = {side.radius for side in cuboid.flare.waste if side.centre is not None}
    return radii.pop() if len(radii) == 1 else None


def _arch(arch: Cuboid, display: Display) -> str:
    assert arch.flare is not None
    high = arch.size[side_of(arch.flare.at)[0]]
    return arch_note(high, arch.flare.by * 2, display)


def _hole_notes(gauged: Gauged, names: Names, display: Display, alone: Mapping[Feature, str]) -> Iterator[Note]:
    """How many holes of a kind, their diameter and depth; one note for all holes about one centre."""
    about: dict[tuple[Face, Spot], list[Bore]] = {}
    for bore in sorted(gauged.piece.bores, key=lambda bore: -bore.diameter.mm):
        about.setdefault((bore.face, bore.centre), []).append(bore)
    groups: dict[tuple[object, ...], list[list[Bore]]] = {}
    for nest in about.values():
        shapes = tuple((bore.diameter, bore.depth, bore.head, bore.slot, bore.marked, bore.slanting) for bore in nest)
        whose = _whose(alone.get(nest[0], ""))
        groups.setdefault((nest[0].face, names.get(nest[0].joint, ""), shapes, whose), []).append(nest)
    for key, nests in groups.items():
        name = str(key[1])
        words = ", in it ".join(_bore_words(bore, display) for bore in nests[0])
        words = str(key[3]) + (f"{len(nests)} × " if len(nests) > 1 else "") + words
        centres = tuple(sorted(nest[0].centre for nest in nests))
        yield Note(nests[0][0].face, f"{name}{NAMED}{words}" if name else words, centres)


def _bore_words(bore: Bore, display: Display) -> str:
    words = [f"Ø {display.drill(bore.diameter)}"]
    if bore.note:
        return f"{words[0]}, {bore.note}"
    words.append("through" if bore.depth is None else f"{display.bare(bore.depth)} deep")
    if bore.slanting is not None:
        words.append(slanting_note(bore))
    if bore.slot:
        words.append(f"slotted {display.bare(bore.slot)} long")
    if bore.head:
        words.append(f"countersunk to Ø {display.alone().length(bore.head)}")
    if bore.marked:
        words.append("marked through the other piece")
    return ", ".join(words)
