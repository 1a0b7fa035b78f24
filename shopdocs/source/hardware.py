"""Decodes hardware: its holes, written or by a pattern that comes with the program, and where they sit."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from msgspec import Struct
from msgspec.structs import replace

from shopdocs.core.assets import layout_table
from shopdocs.core.display import exact_text
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.joining import Face, Fit, Hardware, Hole, HolePlace, HoleUse, JointLine, PatternCut
from shopdocs.source.arithmetic import evaluate, names_in
from shopdocs.source.joining import Known
from shopdocs.source.keys import BENCH_FACES, FACE_WORDS
from shopdocs.source.measured import by_others, measured
from shopdocs.source.nodes import Mapping as Keyed
from shopdocs.source.nodes import Scalar, shorten
from shopdocs.source.schema import HardwareKeys, HoleKeys, OnKeys
from shopdocs.source.values import Values, suggestion

MOST_HOLES = 5000
MOST_STEPS = 100  # bores at one place
PATTERN_FILE = "hardware_patterns"


def read_hardware(
    entries: Mapping[str, HardwareKeys], known: Known, joints: Iterable[str], values: Values
) -> tuple[Hardware, ...]:
    """All hardware with its holes; faults are noted, and what is faulty is left out."""
    found = []
    left = MOST_HOLES
    known = replace(known, joints=tuple(joints))
    others = [*entries, *known.joints]
    for name, keys in entries.items():
        crosses = [other for node in keys.crosses or () if (other := _crossed(name, node, others, values))]
        hardware = replace(_hardware(values.name(name, keys.at), keys, known, values), crosses=tuple(crosses))
        if len(crosses) < len(keys.crosses or ()):  # without knowing what the offset is for, report nothing more
            hardware = replace(hardware, offset=None)
        left -= len(hardware.holes) * len(hardware.on)
        if left < 0:
            values.note(keys.at, "size", f"more than {MOST_HOLES} holes", "split the build")
            break
        found.append(hardware)
    return tuple(found)


def _crossed(name: str, node: Scalar, others: Iterable[str], values: Values) -> str | None:
    if values.line(node) == name:
        values.note(node.at, "crosses", f"'{shorten(name)}' cannot cross itself", "name the other hardware, or a joint")
        return None
    return values.known(node, [other for other in others if other != name], "hardware and no joint")


def _hardware(name: str, keys: HardwareKeys, known: Known, values: Values) -> Hardware:
    holes = [hole for item in (keys.holes or ())[:MOST_STEPS] if (hole := _hole(item, values))]
    if len(keys.holes or ()) > MOST_STEPS:
        values.note(keys.place("holes"), "size", f"more than {MOST_STEPS} holes at one place", "several under 'along'")
    made = _Pattern()
    if keys.pattern is not None:
        if keys.holes is not None:
            values.note(keys.place("pattern"), "twice", "'pattern' stands beside 'holes'", "write one or the other")
        else:
            made = _pattern(keys, values)
            holes = [*made.holes]
    elif keys.with_ is not None:
        values.note(keys.place("with"), "pattern", "'with' stands without a pattern", "add pattern: and its name")
    places = [place for item in keys.on or () for place in _places(item, known, values)]
    if places and not (holes or made.cuts) and not values.noted_within(keys.at):
        values.note(keys.at, "no-holes", f"'{shorten(name)}' has places but no holes", "add holes, or a pattern")
    count = values.whole(keys.count, len(places) or 1, least=0)
    return Hardware(
        name=name,
        holes=tuple(holes),
        on=tuple(places),
        count=count if count is not None else 1,
        buy=values.note_words(keys.buy),
        note=values.note_words(keys.note),
        stage=values.line(keys.stage),
        holds=tuple(known.expand_all(keys.holds, values)),
        mate_holes=made.mate_holes,
        cuts=made.cuts,
        mate_cuts=made.mate_cuts,
        beside=made.beside,
        rides=made.rides,
        play=values.length(keys.play, least=0),
        offset=values.length(keys.offset, least=0),
        at=keys.at,
        places=keys.places,
    )


class _Pattern(Struct, frozen=True):
    """What a pattern makes at one place, and of the piece that it meets (None: what follows from its holes)."""

    holes: tuple[Hole, ...] = ()
    mate_holes: tuple[Hole, ...] | None = None
    cuts: tuple[PatternCut, ...] = ()
    mate_cuts: tuple[PatternCut, ...] = ()
    beside: bool = False
    rides: bool = False


def _pattern(keys: HardwareKeys, values: Values) -> _Pattern:
    """A pattern that comes with the program, its parameters put in, read as if the maker had written it."""
    assert keys.pattern is not None
    patterns, at = layout_table(PATTERN_FILE), keys.pattern.at
    name = values.known(keys.pattern, patterns, "hole pattern")
    if name is None:
        return _Pattern()
    entry = patterns[name]
    given = {" ".join(word.split()): node for word, node in (keys.with_ or {}).items()}
    asks = {**entry.get("asks", {}), **entry.get("asks whole", {})}
    usual = entry.get("usual", {})
    for word, node in given.items():
        if word not in asks and word not in usual:
            right = suggestion(word, [*asks, *usual], "parameter")
            values.note(node.at, "unknown-key", f"'{shorten(name)}' takes no '{shorten(word)}'", right)
    missing = [word for word in asks if word not in given]
    if missing:
        lacks = " and ".join(f"'{word}' ({asks[word]})" for word in missing)
        wrong = f"the pattern '{name}' lacks {lacks}"
        right = f"measure what you have in hand and add with: {{{missing[0]}: …}}"
        values.note(at, "missing-key", wrong, right)
        return _Pattern()
    own, count = Values(values.units, values.names), 1
    texts: dict[str, str] = {}
    for word, node in {**{word: Scalar(at, text, True) for word, text in usual.items()}, **given}.items():
        if word in ("screw", "bolt"):
            if not _takes(word, node, values):
                return _Pattern()
            texts[word] = node.text
        elif word in entry.get("asks whole", {}):
            count = values.whole(node, 1, most=MOST_STEPS) or 1
        elif (length := values.length(node, least=None if word in entry.get("signed", ()) else 1)) is not None:
            own.names[word] = length
        else:
            return _Pattern()
    if not _fits(name, entry.get("fits", ()), texts, given, own, values):
        return _Pattern()
    found = _Pattern(
        _pattern_holes(entry.get("holes", ()), texts, count, at, own),
        _pattern_holes(entry["mate holes"], texts, count, at, own) if "mate holes" in entry else None,
        _pattern_cuts(entry.get("cuts", ()), at, own),
        _pattern_cuts(entry.get("mate cuts", ()), at, own),
        bool(entry.get("beside", False)),
        bool(entry.get("rides", False)),
    )
    values.problems += own.problems
    return found


def _takes(word: str, node: Scalar, values: Values) -> bool:
    """Whether a text is a screw, and a bolt where the pattern has a nut on it."""
    screw = values.screw(node)
    if screw is not None and word == "bolt" and not screw.bolt:
        values.note(
            node.at, "screw", f"'{shorten(node.text)}' is not a bolt", "write M4 bolt, for one that takes a nut"
        )
        return False
    return screw is not None


def _fits(
    name: str,
    rules: Iterable[tuple[str, str, str]],
    texts: Mapping[str, str],
    given: Mapping[str, Scalar],
    own: Values,
    values: Values,
) -> bool:
    """Whether the measures of a pattern can be those of one thing: of each rule the first below the second, whose sign
    says only which way it lies. What is not is noted at the measure."""
    sizes = dict(own.names)
    for word, text in texts.items():
        screw = Values(own.units).screw(Scalar(NOWHERE, text, True))
        if screw is not None and screw.diameter is not None:
            sizes[word] = screw.diameter
    for less, more, amiss in rules:
        if not {*names_in(less), *names_in(more)} <= set(sizes):
            continue
        small, large = (abs(evaluate(text, own.units, sizes)) for text in (less, more))
        if small < large:
            continue
        node = next(given[word] for word in (*names_in(more), *names_in(less)) if word in given)
        wrong = f"in the {name} {amiss}: {less} is {exact_text(small)}, {more} {exact_text(large)}"
        values.note(node.at, "pattern", wrong, f"measure again what you have in hand; {less} must be less than {more}")
        return False
    return True


def _pattern_holes(
    entries: Iterable[Mapping[str, str]], texts: Mapping[str, str], count: int, at: Position, own: Values
) -> tuple[Hole, ...]:
    holes = []
    for entry in entries:
        leaves = {key: (at, Scalar(at, _put(str(text), texts), True)) for key, text in entry.items() if key != "step"}
        keys = HoleKeys.fitted(Keyed(at, {**leaves}), at, [])
        assert keys is not None
        hole = _hole(keys, own)
        step = own.length(Scalar(at, entry["step"], True)) if "step" in entry else None
        for number in range(count if step is not None else 1):
            if hole is not None:
                holes.append(replace(hole, along=hole.along + (step or ZERO) * number))
    return tuple(holes)


def _put(text: str, texts: Mapping[str, str]) -> str:
    for word, value in texts.items():
        text = text.replace(f"${word}", value)
    return text


def _pattern_cuts(entries: Iterable[Mapping[str, str]], at: Position, own: Values) -> tuple[PatternCut, ...]:
    """The recesses of a pattern, each from and to along and across from its origin."""
    cuts = []
    for entry in entries:
        ends = [own.length(Scalar(at, end, True)) for key in ("along", "across") for end in entry[key].split(" to ")]
        depth = own.length(Scalar(at, entry["depth"], True), least=1)
        if depth is not None and all(end is not None for end in ends):
            a, b, c, d = (end or ZERO for end in ends)
            cuts.append(PatternCut((min(a, b), max(a, b)), (min(c, d), max(c, d)), depth))
    return tuple(cuts)


def _hole(keys: HoleKeys, values: Values) -> Hole | None:
    screw = values.screw(keys.screw)
    use = values.choice(keys.as_, HoleUse, "use of a hole")
    bit = values.length(keys.bit, least=1)
    fit = values.choice(keys.fit, Fit, "fit")
    through = keys.depth is not None and values.line(keys.depth).lower() == "through"
    depth = None if through else values.length(keys.depth, least=1)
    if keys.screw is None and keys.bit is None:
        right = "add screw: '#8 x 1-1/4' with as: clearance or pilot, or bit: 3/8"
        values.note(keys.at, "missing-key", "this hole has neither 'screw' nor 'bit'", right)
    if keys.screw is not None and keys.as_ is None:
        values.note(keys.at, "missing-key", "this hole's 'screw' lacks 'as'", "add as: clearance or as: pilot")
    if (keys.screw is not None and screw is None) or (keys.bit is not None and bit is None):
        return None
    if screw is None and bit is None:
        return None
    use = use or HoleUse.PLAIN
    if use in (HoleUse.CLEARANCE, HoleUse.PILOT) and screw is None:
        values.note(keys.at, "missing-key", f"a {use.value} hole lacks its 'screw'", "add screw: '#8 x 1-1/4'")
        return None
    if use is HoleUse.RECESS and depth is None and not through and keys.depth is None:
        values.note(keys.at, "missing-key", "a recess lacks its 'depth'", "add depth: 1/8")
    slot = values.length(keys.slot, least=1)
    return Hole(
        along=values.length(keys.along) or ZERO,
        across=values.length(keys.across) or ZERO,
        use=use,
        screw=screw,
        bit=bit,
        depth=depth,
        through=through,
        countersunk=values.yes(keys.countersunk, False),
        slot=slot,
        fit=fit or Fit.NORMAL,
        open=values.yes(keys.open, False),
        at=keys.at,
    )


def _places(keys: OnKeys, known: Known, values: Values) -> list[HolePlace]:
    word = values.word(keys.face, (*FACE_WORDS, *BENCH_FACES), "face")
    face = Face(BENCH_FACES.get(word, word)) if word is not None else None
    turned = values.yes(keys.turned, False)
    meets = _met(keys, known, values)
    found: list[HolePlace] = []
    marks = known.expand_all(keys.piece, values)
    if len(marks) * len(keys.along) > MOST_HOLES:
        values.note(keys.at, "size", f"more than {MOST_HOLES} holes", "split the build")
        return []
    by_faces = any(by_others(node, known) for node in (*keys.along, keys.across))
    groups = [[mark] for mark in marks] if by_faces else _by_part(marks, known)
    for group in groups:
        part = known.marks[group[0]]
        across = measured(keys.across, part, group[0], face, 1, known, values)
        for node in keys.along:
            along = measured(node, part, group[0], face, 0, known, values)
            if face is None or along is None or across is None:
                continue
            (one, by_one), (two, by_two) = _apart(along), _apart(across)
            found += [HolePlace(mark, face, one, two, turned, node.at, meets, (by_one, by_two)) for mark in group]
    return found


def _by_part(marks: list[str], known: Known) -> list[list[str]]:
    groups: dict[str, list[str]] = {}
    for mark in marks:
        groups.setdefault(known.marks[mark].name, []).append(mark)
    return list(groups.values())


def _met(keys: OnKeys, known: Known, values: Values) -> str:
    """The piece that a pattern meets as well; "" where none is named."""
    if keys.meets is None:
        return ""
    mark = values.line(keys.meets)
    if mark not in known.marks:
        if not values.is_forgiven(mark):
            right = suggestion(mark, known.marks, "piece")
            values.note(keys.meets.at, "unknown-piece", f"no piece is called '{shorten(mark)}'", right)
        return ""
    return mark


def _apart(measure: Length | JointLine) -> tuple[Length, JointLine | None]:
    return (ZERO, measure) if isinstance(measure, JointLine) else (measure, None)
