"""What changed from one revision of a build to the next, and what that means for wood that is already worked.

Pieces are told apart by their marks. Numbers of joints are no change of a joint: they are counted anew when one is
added, and then labels and records are printed anew, which is told.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from enum import StrEnum

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.length import ZERO
from shopdocs.documents.revised.state import BuildState, CutState, JointState, PieceState, length_of
from shopdocs.documents.revised.told import cut_words, holes_words, joint_at, joint_words, place_words, size_words
from shopdocs.model.build import Build
from shopdocs.model.joining import FACE_NAMES, Face

Size = tuple[str, ...]

AXES = ("thickness", "width", "length")
MOST_LETTERS = 2  # of a revision; more are a word
# what to do with a piece that is cut to another shape than it has now, by the kind of the cut
_DUG = ("groove", "rabbet", "recess", "notch", "mortise", "cut-out")
_WORKED = ("bevel", "rounding")
_OTHER_SHAPE = {
    "outline": "it is sawn to another outline: lay the new pattern on it, or make a new piece",
    "round": "it is turned to other diameters: turn it down where they are less, make a new piece where one is more",
    "end cut": "its ends are sawn at another angle: saw them anew where there is length enough, or make a new piece",
}


class Step(StrEnum):
    """A step of the work that a change touches, in the order of the bench."""

    SAWN = "sawn"
    PLANED = "planed to size"
    JOINTED = "joints cut"
    DRILLED = "drilled"


class Change(Struct, frozen=True):
    """One thing that is other than before. `what` names it ("finished"), `old` and `new` say it in words; empty where
    there was none, or is none any more."""

    what: str
    old: str
    new: str


class Verdict(Struct, frozen=True):
    """What a change means for a piece on which a step is done already; `good` where it can still be used."""

    step: Step
    good: bool
    words: str


class PieceChange(Struct, frozen=True):
    """A piece that changed. `changes` is empty where it is only printed otherwise, `old` None for a new piece, `new`
    None for one that is gone."""

    mark: str
    part: str
    old: PieceState | None
    new: PieceState | None
    changes: tuple[Change, ...]
    verdicts: tuple[Verdict, ...] = ()


class Changes(Struct, frozen=True):
    """All that differs between two revisions. `labels`, `records` are marks, `templates` titles, `sheets` names of
    documents that are to be printed anew; the same with `void_` before it are thrown away and have no successor."""

    old: BuildState
    new: BuildState
    build: tuple[Change, ...] = ()
    pieces: tuple[PieceChange, ...] = ()
    bought: tuple[Change, ...] = ()
    labels: tuple[str, ...] = ()
    void_labels: tuple[str, ...] = ()
    records: tuple[str, ...] = ()
    void_records: tuple[str, ...] = ()
    templates: tuple[str, ...] = ()
    void_templates: tuple[str, ...] = ()
    sheets: tuple[str, ...] = ()
    void_sheets: tuple[str, ...] = ()
    proposed: str = ""  # the revision to write, where the new one has none or still the old one's

    @property
    def glued(self) -> tuple[str, ...]:
        """Marks of pieces that would have to come out again where they are glued in."""
        moved = ("finished", "with joinery", "place", "lies", "leans", "material", "strips")
        return tuple(
            piece.mark
            for piece in self.pieces
            if piece.new is None or any(one.what in moved or one.what.startswith("joint") for one in piece.changes)
        )

    @property
    def printed_otherwise(self) -> bool:
        """Whether every record page differs though nothing of the furniture does."""
        furniture = (self.build, self.pieces, self.bought)
        return not any(furniture) and len(self.records) == len(self.new.records) > 0

    @property
    def any(self) -> bool:
        """Whether anything on paper differs."""
        lists = (self.build, self.pieces, self.bought, self.labels, self.void_labels, self.records, self.void_records)
        return any(lists) or any((self.templates, self.void_templates, self.sheets, self.void_sheets))


def same_build(old: BuildState | Build, new: BuildState | Build) -> bool:
    """Whether two builds, or states of them, can be revisions of one build: the same mark, or the same title."""
    return old.mark == new.mark or old.title == new.title


def compare(old: BuildState, new: BuildState) -> Changes:
    """All differences, pieces in the order of the new build, those that are gone after them."""
    printed_alike = (old.units, old.step) == (new.units, new.step)
    found = Changes(
        old,
        new,
        build=tuple(_of_build(old, new)),
        pieces=tuple(_pieces(old, new)),
        bought=tuple(_bought(old, new)) if printed_alike else (),
        labels=_anew(old.labels, new.labels),
        void_labels=_void(old.labels, new.labels),
        records=_anew(old.records, new.records),
        void_records=_void(old.records, new.records),
        templates=_anew(old.templates, new.templates),
        void_templates=_void(old.templates, new.templates),
        sheets=tuple(name for name, sheet in new.sheets.items() if name not in old.sheets or old.sheets[name] != sheet),
        void_sheets=_void(old.sheets, new.sheets),
    )
    same = new.revision == old.revision
    return replace(found, proposed=next_revision(old.revision) if same and found.any else "")


def _anew(old: Mapping[str, str], new: Mapping[str, str]) -> tuple[str, ...]:
    return tuple(name for name, word in new.items() if old.get(name) != word)


def _void(old: Mapping[str, object], new: Mapping[str, object]) -> tuple[str, ...]:
    return tuple(name for name in old if name not in new)


def next_revision(revision: str) -> str:
    """The revision that follows: B after A, AA after Z, 4 after 3, A after none; "" where it is a word and no
    number ends it."""
    if not revision:
        return "A"
    head = revision.rstrip("0123456789")
    if head != revision:
        number = revision[len(head) :]
        return head + str(int(number) + 1).rjust(len(number), "0")
    if len(revision) > MOST_LETTERS or not (
        revision.isascii() and revision.isalpha() and (revision.isupper() or revision.islower())
    ):
        return ""
    last = "Z" if revision.isupper() else "z"
    first = "A" if revision.isupper() else "a"
    kept = revision.rstrip(last)
    over = first * (len(revision) - len(kept))
    return kept[:-1] + chr(ord(kept[-1]) + 1) + over if kept else first + over


# --- the build -------------------------------------------------------------------------------------------------------


def _of_build(old: BuildState, new: BuildState) -> Iterator[Change]:
    for what, before, after in (("title", old.title, new.title), ("mark", old.mark, new.mark)):
        if before != after:
            yield Change(what, before, after)
    if old.overall != new.overall:
        yield Change("width × depth × height", size_words(old, old.overall), size_words(new, new.overall))
    if old.chamfer and new.chamfer and old.chamfer != new.chamfer:
        yield Change("chamfer", *(state.display.length(length_of(state.chamfer)) for state in (old, new)))


def _bought(old: BuildState, new: BuildState) -> Iterator[Change]:
    """Lines of the shopping list that came or went."""
    gone = Counter(old.bought) - Counter(new.bought)
    come = Counter(new.bought) - Counter(old.bought)
    yield from (Change("shopping list", line, "") for line in old.bought if gone[line])
    yield from (Change("shopping list", "", line) for line in new.bought if come[line])


# --- pieces ----------------------------------------------------------------------------------------------------------


def _pieces(old: BuildState, new: BuildState) -> Iterator[PieceChange]:
    for mark, piece in new.pieces.items():
        before = old.pieces.get(mark)
        if before is None:
            yield PieceChange(mark, piece.part, None, piece, ())
            continue
        changes = tuple(_of_piece(old, new, before, piece))
        if changes:
            yield PieceChange(mark, piece.part, before, piece, changes, tuple(_verdicts(new, before, piece)))
    for mark, piece in old.pieces.items():
        if mark not in new.pieces:
            yield PieceChange(mark, piece.part, piece, None, ())


def _of_piece(old: BuildState, new: BuildState, before: PieceState, after: PieceState) -> Iterator[Change]:
    for what in ("part", "material", "lies", "stage"):
        one, other = getattr(before, what), getattr(after, what)
        if one != other:
            yield Change(what, one, other)
    if before.strips != after.strips:
        yield Change("strips", str(before.strips), str(after.strips))
    for what, name in (("finished", "finished"), ("with joinery", "joinery"), ("rough", "rough")):
        one, other = getattr(before, name), getattr(after, name)
        if one != other:
            yield Change(what, size_words(old, one), size_words(new, other))
    if before.leans is not None and after.leans is not None and before.leans != after.leans:
        yield Change("leans", before.leans or "not at all", after.leans or "not at all")
    if before.place[:3] != after.place[:3]:
        yield Change("place", place_words(old, before.place), place_words(new, after.place))
    yield from _joint_changes(old, new, before, after)
    yield from _hole_changes(old, new, before, after)
    yield from _cut_changes(old, new, before, after)
    if before.arrises is not None and after.arrises is not None:
        for way in dict.fromkeys((*before.arrises, *after.arrises)):
            one, other = before.arrises.get(way, ""), after.arrises.get(way, "")
            if one != other:
                yield Change(f"arrises, {way}", one, other)


def _joint_changes(old: BuildState, new: BuildState, before: PieceState, after: PieceState) -> Iterator[Change]:
    """Joints that changed, by the piece they meet; of several with one piece those that stayed are taken out first."""
    was, now = _joints_of(before, after)
    gone, come = _without(was, now), _without(now, was)
    for joint in list(come):
        twin = next((one for one in gone if one.mate == joint.mate), None)
        if twin is not None:
            gone.remove(twin)
            come.remove(joint)
            yield Change(f"joint with {joint.mate}", *_joint_pair(old, new, twin, joint))
    yield from (Change(f"joint with {joint.mate}", joint_words(old, joint), "") for joint in gone)
    yield from (Change(f"joint with {joint.mate}", "", joint_words(new, joint)) for joint in come)


def _joints_of(before: PieceState, after: PieceState) -> tuple[Sequence[JointState], Sequence[JointState]]:
    """The joints of both; without their places where an older set does not tell them."""
    if all(joint.at is not None for joint in (*before.joints, *after.joints)):
        return before.joints, after.joints
    was, now = ([replace(joint, at=None, runs="") for joint in piece.joints] for piece in (before, after))
    return was, now


def _without(joints: Sequence[JointState], others: Sequence[JointState]) -> list[JointState]:
    """The joints that are not among the others, their numbers aside."""
    left = [replace(joint, number=0) for joint in others]
    found = []
    for joint in joints:
        bare = replace(joint, number=0)
        if bare in left:
            left.remove(bare)
        else:
            found.append(joint)
    return found


def _hole_changes(old: BuildState, new: BuildState, before: PieceState, after: PieceState) -> Iterator[Change]:
    gone, come = Counter(before.holes) - Counter(after.holes), Counter(after.holes) - Counter(before.holes)
    names = dict.fromkeys((hole.hardware, hole.face) for hole in (*before.holes, *after.holes))
    for hardware, face in names:
        was = [hole for hole in gone.elements() if (hole.hardware, hole.face) == (hardware, face)]
        now = [hole for hole in come.elements() if (hole.hardware, hole.face) == (hardware, face)]
        if was or now:
            yield Change(
                f"holes for {hardware}, {FACE_NAMES[Face(face)]}", holes_words(old, was), holes_words(new, now)
            )


def _cut_changes(old: BuildState, new: BuildState, before: PieceState, after: PieceState) -> Iterator[Change]:
    """Cuts of the maker's own, by their names; a set that does not tell them has changed none."""
    if before.cuts is None or after.cuts is None:
        return
    gone, come = Counter(before.cuts) - Counter(after.cuts), Counter(after.cuts) - Counter(before.cuts)
    for name in dict.fromkeys(cut.name for cut in (*before.cuts, *after.cuts)):
        was, now = ([cut for cut in some.elements() if cut.name == name] for some in (gone, come))
        if was or now:
            words = ("; ".join(cut_words(state, cut) for cut in some) for state, some in ((old, was), (new, now)))
            yield Change(f"cut {name}", *words)


def _joint_pair(old: BuildState, new: BuildState, before: JointState, after: JointState) -> tuple[str, str]:
    """Both joints in words; where only sizes or places differ, those that do."""
    if (before.at, before.runs) != (after.at, after.runs):
        moved = replace(after, number=before.number, at=before.at, runs=before.runs) == before
        one, two = (joint_at(state, joint) for state, joint in ((old, before), (new, after)))
        if moved:
            return one, two
        return ", ".join((joint_words(old, before), one)), ", ".join((joint_words(new, after), two))
    if not _same_but_sizes(before, after):
        return joint_words(old, before), joint_words(new, after)
    other = [name for name in after.sizes if after.sizes[name] != before.sizes[name]]
    one, two = (
        ", ".join(f"{name} {state.display.length(length_of(joint.sizes[name]))}" for name in other)
        for state, joint in ((old, before), (new, after))
    )
    return one, two


# --- what is done already ---------------------------------------------------------------------------------------------


def _verdicts(new: BuildState, before: PieceState, after: PieceState) -> Iterator[Verdict]:
    """For each step that may be done already, whether the piece still serves; nothing after what spoils it."""
    found: list[Verdict] = []
    other_wood = before.material != after.material or before.strips != after.strips
    if other_wood or before.rough != after.rough:
        found.append(_sawn(new, before, after, other_wood))
    if other_wood or before.joinery != after.joinery:
        found.append(_enough(new, Step.PLANED, before.joinery, after.joinery, other_wood))
    found += _jointed(before, after)
    was, now = Counter(before.holes), Counter(after.holes)
    if was - now:
        found.append(
            Verdict(Step.DRILLED, False, "old holes are in the way or no longer there: plug them, or make a new piece")
        )
    elif now - was:
        found.append(Verdict(Step.DRILLED, True, "drill the new holes"))
    for verdict in found:
        yield verdict
        if not verdict.good and verdict.step in (Step.SAWN, Step.PLANED):
            return


def _jointed(before: PieceState, after: PieceState) -> Iterator[Verdict]:
    was, now = _joints_of(before, after)
    gone, come = _without(was, now), _without(now, was)
    added = [cut for cut in after.cuts or () if before.cuts is not None and cut not in before.cuts]
    lost = [cut for cut in before.cuts or () if cut not in (after.cuts or ())]
    words: list[str] = []
    for joint in list(gone):
        twin = next((one for one in come if _same_but_sizes(joint, one)), None)
        if twin is not None and (cure := _recut(joint, twin)):
            gone.remove(joint)
            come.remove(twin)
            words.append(cure)
    if gone:
        yield Verdict(Step.JOINTED, False, "a joint that is cut no longer fits: plug it, or make a new piece")
    elif before.joints and before.finished != after.finished:
        yield Verdict(Step.JOINTED, False, "the joints sit at other places on it")
    elif any(all(not _takes_all_of(cut, one) for one in added) for cut in lost):
        kinds = {cut.kind for cut in lost}
        words = ["a cut that is made is no longer there: fill it, or make a new piece"]
        words = [_OTHER_SHAPE[next(iter(kinds))]] if len(kinds) == 1 and kinds <= _OTHER_SHAPE.keys() else words
        if _only_thinner(before, after):
            yield Verdict(Step.JOINTED, True, "turn it down to its new diameters")
        else:
            yield Verdict(Step.JOINTED, False, words[0])
    elif words or come or added:
        words += [f"cut the joint with {joint.mate}" for joint in come]
        larger = {cut.name: None for cut in added if any(_takes_all_of(one, cut) for one in lost)}
        words += [f"cut the {name} to its new size" for name in larger]
        words += [f"cut the {cut.name}" for cut in added if cut.name not in larger]
        yield Verdict(Step.JOINTED, True, "; ".join(words))


def _takes_all_of(before: CutState, after: CutState) -> bool:
    """Whether what a cut took off lies within what the same cut takes off now: then it is cut larger, and nothing is to
    be filled. Corners may become rounder only of worked edges."""
    if (before.name, before.kind, before.faces) != (after.name, after.kind, after.faces):
        return False
    if before.kind not in (*_DUG, *_WORKED):
        return False
    for old, new in ((before.along, after.along), (before.across, after.across)):
        if old and not (length_of(new[0]) <= length_of(old[0]) and length_of(old[1]) <= length_of(new[1])):
            return False
    was, now = ([length_of(value or "0") for value in (cut.width, cut.depth)] for cut in (before, after))
    if before.kind in _WORKED:
        return was[0] <= now[0] and was[1] <= now[1]
    return now[0] <= was[0] and (not after.depth or (bool(before.depth) and was[1] <= now[1]))


def _only_thinner(before: PieceState, after: PieceState) -> bool:
    """Whether all that changed of the cuts of a piece are diameters of its round, and none is more than it was; its
    pommels stay."""
    gone, come = (
        [cut for cut in one.cuts or () if cut not in (two.cuts or ())]
        for one, two in ((before, after), (after, before))
    )
    if [cut.kind for cut in (*gone, *come)] != ["round", "round"]:
        return False
    pommels = [[point for point in cut.points if " to " in point] for cut in (*gone, *come)]
    was, now = (
        [[length_of(value) for value in point.split()] for point in cut.points if " to " not in point]
        for cut in (*gone, *come)
    )
    same = [at for at, _ in was] == [at for at, _ in now] and pommels[0] == pommels[1]
    return same and all(new <= old for (_, old), (_, new) in zip(was, now, strict=True))


def _same_but_sizes(one: JointState, other: JointState) -> bool:
    return (
        replace(one, number=0, sizes={}) == replace(other, number=0, sizes={})
        and one.sizes.keys() == other.sizes.keys()
    )


def _recut(before: JointState, after: JointState) -> str:
    """How a joint that is cut is made the new one: what enters may be cut smaller, what takes it may be cut larger, and
    may stay deeper than it need be. Empty where it cannot."""
    less = {name for name in after.sizes if length_of(after.sizes[name]) < length_of(before.sizes[name])}
    more = {name for name in after.sizes if length_of(after.sizes[name]) > length_of(before.sizes[name])}
    if before.enters:
        own = {name for name in more if not _of_the_taker(name)}
        return "" if own else f"cut what goes into {after.mate} down to its new size"
    if any(_of_the_taker(name) for name in after.sizes):  # what enters has sizes of its own, its length among them
        less, more = less - {"long"}, more - {"long"}
    if any(not _of_the_taker(name) for name in less):
        return ""
    return f"cut it larger for {after.mate}" if more else f"deeper than it need be for {after.mate}: leave it"


def _of_the_taker(name: str) -> bool:
    """Whether a size is the depth that is cut for what enters: 'mortise deep'. Deeper than need be does no harm."""
    return name.endswith(" deep")


def _sawn(new: BuildState, before: PieceState, after: PieceState, other_wood: bool) -> Verdict:
    """A blank smaller than one would saw it now, which yet holds the new piece, serves with less to mill off."""
    found = _enough(new, Step.SAWN, before.rough, after.rough, other_wood)
    was, needs, saws = ([length_of(value) for value in size] for size in (before.rough, after.joinery, after.rough))
    left = [less - more for less, more in zip(was, needs, strict=True)]
    under = [number for number in range(len(AXES)) if was[number] < saws[number]]
    if found.good or other_wood or any(left[number] <= ZERO for number in under) or min(left) < ZERO:
        return found
    words = ", ".join(f"{new.display.length(left[number])} of {AXES[number]}" for number in under)
    return Verdict(Step.SAWN, True, f"enough wood, with only {words} to mill off")


def _enough(new: BuildState, step: Step, before: Size, after: Size, other_wood: bool) -> Verdict:
    """Whether a piece of one size can be made the other by taking wood off."""
    if other_wood:
        return Verdict(step, False, "it is of other wood now: saw a new piece")
    was, needs = [length_of(value) for value in before], [length_of(value) for value in after]
    short = [(axis, more - less) for axis, less, more in zip(AXES, was, needs, strict=True) if more > less]
    if short:
        words = ", ".join(f"{new.display.length(by)} short in {axis}" for axis, by in short)
        return Verdict(step, False, f"{words}: saw a new piece")
    over = [(axis, less - more) for axis, less, more in zip(AXES, was, needs, strict=True) if less > more]
    words = ", ".join(f"{new.display.length(by)} off the {axis}" for axis, by in over)
    return Verdict(step, True, f"enough wood: take {words}")
