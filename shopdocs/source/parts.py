"""Decodes dimensions, materials, parts and their pieces."""

from __future__ import annotations

import re
from collections.abc import Mapping
from fractions import Fraction
from itertools import islice, product
from string import ascii_lowercase
from typing import Any

from shopdocs.core.length import INCH, Length
from shopdocs.core.problems import Position
from shopdocs.model.build import Dimension
from shopdocs.model.joining import OPPOSITE, Face
from shopdocs.model.parts import Axis, Cut, Direction, FlatSize, Material, MaterialKind, Part, Piece, Runs, TradeSize
from shopdocs.source.arithmetic import UNIT_SIZES, names_in
from shopdocs.source.drafts import PartDraft, PieceDraft
from shopdocs.source.groups import AT, HIDDEN, KEYS
from shopdocs.source.keys import BENCH_FACES, CUT_WORDS, REFERENCE_NAMES
from shopdocs.source.leaning import one_lean, read_lean, sawn_length
from shopdocs.source.mark_runs import MOST_PIECES, expand_run, run_of
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.order import circle_words, in_order
from shopdocs.source.placing import Placing
from shopdocs.source.schema import MaterialKeys, PartKeys, PieceKeys, RunsKeys
from shopdocs.source.tilting import read_tilt
from shopdocs.source.values import MOST, Values, suggestion

RESERVED = {*UNIT_SIZES, "x", "to", "from", "evenly", "length", "width", "thickness", "through", "mirror", "of"}
PIECE_NAMES = {"length", "width", "thickness"}  # allowed as dimensions; on a piece they mean its own
MOST_STRIPS = 60
MOST_DIMENSIONS = 10_000
MARK = re.compile(r"[^\W_](?:[^\W_]|-(?=[^\W_])){0,7}")

_SUFFIXES = ["", *ascii_lowercase, *("".join(two) for two in product(ascii_lowercase, repeat=2))]
_QUARTERS = re.compile(r"(\d{1,2})/4")


def read_dimensions(entries: Mapping[str, Any], values: Values) -> tuple[Dimension, ...]:
    """The named lengths in any order; each may use others. Cycles are named with their lines."""
    texts: dict[str, Scalar] = {}
    for raw, node in entries.items():
        if len(texts) == MOST_DIMENSIONS:
            values.note(node.at, "size", f"more than {MOST_DIMENSIONS} dimensions", "split the build")
            values.forgiven |= entries.keys()
            break
        name = values.name(raw, node.at)
        if not re.fullmatch(r"[^\W\d]\w*(?: [^\W\d]\w*)*", name) or name in RESERVED - PIECE_NAMES:
            why = "is kept for the language" if name in RESERVED else "cannot stand in arithmetic"
            right = "use words of letters and digits, such as 'seat height'"
            values.note(node.at, "dimension-name", f"the name '{shorten(raw)}' {why}", right)
        elif name in texts:
            values.note(node.at, "duplicate-key", f"'{name}' is written twice", "give each dimension one name")
        else:
            texts[name] = node
    found: dict[str, Dimension] = {}
    ordered, circles = in_order({name: [n for n in names_in(node.text) if n in texts] for name, node in texts.items()})
    for circle in circles:
        _report_cycle(circle, texts, values)
    for name in ordered:
        node = texts[name]
        value = values.length(node)
        if value is not None:
            values.names[name] = value
            found[name] = Dimension(name, node.text, value, node.at)
    values.forgiven |= texts.keys() - found.keys()
    return tuple(found[name] for name in texts if name in found)


def _report_cycle(cycle: list[str], texts: Mapping[str, Scalar], values: Values) -> None:
    first = min(cycle, key=lambda name: texts[name].at)
    turn = cycle[cycle.index(first) :] + cycle[: cycle.index(first)]
    way = circle_words([f"'{name}' (line {texts[name].at.line})" for name in [*turn, first]])
    values.note(texts[first].at, "cycle", f"dimensions go round in a circle: {way}", "give one of them a plain length")


def read_materials(entries: Mapping[str, MaterialKeys], values: Values) -> tuple[Material, ...]:
    """All materials; a faulty one is noted, left out, and forgiven where a part names it."""
    found = []
    for name, keys in entries.items():
        material = _material(values.name(name, keys.at), keys, values)
        if material is None:
            values.forgiven.add(name)
        else:
            found.append(material)
    return tuple(found)


def _material(name: str, keys: MaterialKeys, values: Values) -> Material | None:
    kind = values.choice(keys.kind, MaterialKind, "kind of material")
    rough, quarters = _rough(name, keys, values)
    nominal = _nominal(keys.nominal, values)
    thickness = values.length(keys.thickness, least=1)
    sheet = values.size(keys.sheet, 2, "width x length")
    price = values.price(keys.price)
    if kind is None:
        return None
    needs = {
        MaterialKind.HARDWOOD: (rough, keys.rough, "rough", "its sawn thickness, such as rough: 8/4"),
        MaterialKind.SOFTWOOD: (nominal, keys.nominal, "nominal", "its trade size, such as nominal: 2x4"),
        MaterialKind.SHEET: (thickness, keys.thickness, "thickness", "its thickness, such as thickness: 18 mm"),
    }
    have, node, key, right = needs[kind]
    if have is None:
        if node is None:
            values.note(keys.at, "missing-key", f"the {kind.value} '{shorten(name)}' lacks '{key}'", f"add {right}")
        return None
    if kind is MaterialKind.SHEET and sheet is None and keys.sheet is None:
        sheet = FlatSize(INCH * 48, INCH * 96) if values.units == "in" else FlatSize(Length(1220), Length(2440))
    return Material(
        name=name,
        kind=kind,
        species=values.brief(keys.species),
        rough=rough,
        quarters=quarters,
        nominal=nominal,
        thickness=thickness,
        sheet=FlatSize(*sheet) if sheet else None,
        price=price,
        cut=_cut(keys.cut, values),
        moves=values.share(keys.moves, MOST_MOVES),
        note=values.note_words(keys.note),
        at=keys.at,
        places=keys.places,
    )


MOST_MOVES = Fraction(1)  # percent of the width for one of moisture; no wood moves half as much


def _cut(node: Scalar | None, values: Values) -> Cut | None:
    """How the rings lie; the word unknown is as good as none."""
    word = values.word(node, CUT_WORDS, "cut")
    return Cut(word) if word in set(Cut) else None


def _rough(name: str, keys: MaterialKeys, values: Values) -> tuple[Length | None, int | None]:
    """Sawn thickness, and its quarters where it was named in quarters: '8/4' is 2 in whatever the build's unit."""
    text = keys.rough.text.strip() if keys.rough else ""
    match = _QUARTERS.fullmatch(text) or (None if text else re.search(r"(?:^|\s)(\d{1,2})/4$", name))
    if match:
        quarters = int(match.group(1))
        if quarters:
            return INCH * Fraction(quarters, 4), quarters
    return values.length(keys.rough, least=1), None


def _nominal(node: Scalar | None, values: Values) -> TradeSize | None:
    if node is None:
        return None
    match = re.fullmatch(r"(\d+(?:[-/]\d+(?:/\d+)?)?)\s*x\s*(\d+)", node.text.strip().lower().replace("×", "x"))
    if match:
        whole, _, rest = match.group(1).rpartition("-")
        try:
            return TradeSize(Fraction(whole or 0) + Fraction(rest), Fraction(match.group(2)))
        except (ValueError, ZeroDivisionError):
            pass
    values.note(
        node.at, "nominal", f"'{shorten(node.text)}' is not a trade size", "write thickness x width, such as 2x4"
    )
    return None


class Marks:
    """Gives out piece marks; none twice, letter case aside (labels and file names would clash)."""

    def __init__(self, values: Values) -> None:
        self.values = values
        self.taken: dict[str, tuple[str, Position]] = {}
        self.is_full = False
        self.passed: dict[tuple[str, int], int] = {}

    def take(self, mark: str, at: Position) -> bool:
        """Take a mark for a piece; False, with a note, where it cannot be a mark or is taken already."""
        if not MARK.fullmatch(mark):
            right = "one to eight letters, digits and inner hyphens, such as FL or S-12"
            self.values.note(at, "mark", f"'{shorten(mark)}' cannot be a mark", right)
            return False
        earlier = self.taken.get(mark.casefold())
        if earlier:
            wrong = (
                f"the mark '{mark}' is taken" if earlier[0] == mark else f"the mark '{mark}' is taken by '{earlier[0]}'"
            )
            self.values.note(
                at, "duplicate-mark", f"{wrong} in line {earlier[1].line}", "give every piece a mark of its own"
            )
            return False
        if len(self.taken) >= MOST_PIECES:
            if not self.is_full:
                self.values.note(at, "size", f"more than {MOST_PIECES} pieces", "split the build")
            self.is_full = True
            self.values.forgiven.add(mark)  # to name it is no second mistake
            return False
        self.taken[mark.casefold()] = (mark, at)
        return True

    def free(self, stem: str, count: int, reserved: set[str]) -> list[str]:
        """`count` marks that begin with `stem` and that no piece has yet: numbered behind the stem, else behind the
        stem and one or two letters, else the stem's next free numbers. What was passed over once stays taken."""
        begin = self.passed.get((stem, count), 0)
        for tried in range(begin, len(_SUFFIXES)):
            candidates = _numbered(stem + _SUFFIXES[tried], count)
            if all(self._is_free(mark, reserved) for mark in candidates):
                self.passed[stem, count] = tried
                return candidates
        self.passed[stem, count] = len(_SUFFIXES)
        first = self.passed.get((stem, 0), 1)
        numbers = (number for number in range(first, MOST * 10) if self._is_free(f"{stem}{number}", reserved))
        found = list(islice(numbers, count))
        self.passed[stem, 0] = found[-1] + 1 if found else first
        return [f"{stem}{number}" for number in found] if len(found) == count else _numbered(stem, count)

    def _is_free(self, mark: str, reserved: set[str]) -> bool:
        folded = mark.casefold()
        return folded not in self.taken and folded not in reserved and MARK.fullmatch(mark) is not None


def read_parts(
    entries: Mapping[str, PartKeys], materials: Mapping[str, Material], values: Values
) -> tuple[tuple[Part, ...], Marks]:
    """All parts with their pieces, sizes and places worked out."""
    marks = Marks(values)
    reserved = _first_pass_marks(entries)
    drafts: dict[str, PartDraft] = {}
    for raw, keys in entries.items():
        name = values.name(raw, keys.at)
        runs = _runs(keys.runs, values)
        drafts[name] = PartDraft(
            name, keys.at, runs, _sizes(keys, values), _pieces(name, keys, values, marks, reserved)
        )
    placing = Placing(drafts.values(), values)
    placing.work_out()
    found = []
    for raw, keys in entries.items():
        draft = drafts[" ".join(raw.split())]
        part = _part(draft, keys, materials, placing, values)
        if part is None:
            values.forgiven |= {raw, draft.name, *(piece.mark for piece in draft.pieces)}
        else:
            found.append(part)
    return tuple(found), marks


def _first_pass_marks(entries: Mapping[str, PartKeys]) -> set[str]:
    """Marks that the maker wrote, so that marks made from part names keep clear of them."""
    written: set[str] = set()
    for keys in entries.values():
        for item in keys.pieces if isinstance(keys.pieces, (list, dict)) else [keys.pieces]:
            text = item.text if isinstance(item, Scalar) else item
            if isinstance(text, str):
                written |= {mark.casefold() for mark in expand_run(text)}
    return written


def _part(
    draft: PartDraft, keys: PartKeys, materials: Mapping[str, Material], placing: Placing, values: Values
) -> Part | None:
    material = values.known(keys.material, materials, "material")
    turns = values.yes(keys.turns, False)
    sizes = placing.sizes[draft.name]
    for axis in (Axis.THICKNESS, Axis.WIDTH, Axis.LENGTH):
        if axis not in sizes and axis not in draft.sizes and keys.size is None and draft.pieces:
            _report_no_size(draft, axis, values)
    pieces = tuple(Piece(p.mark, draft.name, p.note, p.at, placing.place_of(p)) for p in draft.pieces)
    if material is None or len(sizes) != 3 or not pieces:
        return None
    leans = one_lean(draft.name, pieces, draft.sizes, values)
    if leans is not None and draft.runs is not None:
        sizes = {**sizes, Axis.LENGTH: sawn_length(leans, draft.runs, sizes)}
    return Part(
        name=draft.name,
        material=material,
        thickness=sizes[Axis.THICKNESS],
        width=sizes[Axis.WIDTH],
        length=sizes[Axis.LENGTH],
        pieces=pieces,
        runs=draft.runs,
        turns=turns,
        strips=values.whole(keys.strips, 1, most=MOST_STRIPS) or 1,
        one_board=_one_board(draft.name, keys.one_board, values),
        chamfer=_edges(keys.chamfer, values),
        leave_square=_edges(keys.leave_square, values),
        cut=_cut(keys.cut, values),
        note=values.note_words(keys.note),
        private=values.line(keys.private),
        at=keys.at,
        places=keys.places,
    )


def _one_board(name: str, node: Scalar | None, values: Values) -> str:
    """Which pieces come from one board: the part's own group, a shared one, or "=" for the strips of each piece."""
    word = values.line(node)
    if word.lower() in ("yes", "true", "on"):
        return f"part {name}"
    if word.lower() in ("", "no", "false", "off"):
        return ""
    return "=" if word.lower() == "each" else f"group {word}"


_EDGES = tuple(
    (one.value, other.value)
    for first, second in ((Face.FACE, Face.EDGE), (Face.FACE, Face.A), (Face.EDGE, Face.A))
    for one in (first, OPPOSITE[first])
    for other in (second, OPPOSITE[second])
)


def _edges(nodes: list[Scalar] | None, values: Values) -> tuple[tuple[str, str], ...]:
    """Edges by the two faces that meet there; the word all stands for the twelve."""
    found: list[tuple[str, str]] = []
    for node in nodes or ():
        named = (" ".join(word.split()) for word in values.line(node).split(" and "))
        words = tuple(BENCH_FACES.get(word, word) for word in named)
        if words == ("all",):
            found += _EDGES
        elif words in _EDGES or words[::-1] in _EDGES:
            found.append((words[0], words[1]))
        else:
            right = "write two faces that meet, such as face and edge, back and far edge, face and A; or all"
            values.note(node.at, "edge", f"'{shorten(node.text)}' is not an edge of a piece", right)
    return tuple(found)


def _report_no_size(draft: PartDraft, axis: Axis, values: Values) -> None:
    """A size that is neither written nor follows from a place, unless its place is faulty and told already."""
    direction = draft.direction_of(axis)
    placed = direction is not None and any(piece.is_placed for piece in draft.pieces)
    spans = any("to" in node.text.split() for piece in draft.pieces for node in piece.coordinates.values())
    if values.is_forgiven("size") or (placed and spans and values.noted_within(draft.at)):
        return
    way = f", or give a piece {direction.value}: FROM to TO" if placed and direction is not None else ""
    right = f"add {axis.value}, or size: thickness x width x length{way}"
    values.note(draft.at, "missing-key", f"'{shorten(draft.name)}' lacks '{axis.value}'", right)


def _sizes(keys: PartKeys, values: Values) -> dict[Axis, Scalar]:
    """The sizes as written, by axis, from `size` or from the three keys."""
    single = {Axis.THICKNESS: keys.thickness, Axis.WIDTH: keys.width, Axis.LENGTH: keys.length}
    if keys.size is None:
        return {axis: node for axis, node in single.items() if node is not None}
    for axis, node in single.items():
        if node is not None:
            values.note(node.at, "twice", f"'{axis.value}' is given by 'size' already", "write one of them")
    split = values.split_size(keys.size, 3, "thickness x width x length")
    return dict(zip(single, split, strict=True)) if split else {}


def _runs(keys: RunsKeys | None, values: Values) -> Runs | None:
    if keys is None:
        return None
    length = values.choice(keys.length, Direction, "direction")
    width = values.choice(keys.width, Direction, "direction")
    if length is None or width is None:
        return None
    if length is width:
        values.note(keys.at, "runs", f"length and width both run along {length.value}", "they are square to each other")
        return None
    thickness = next(d for d in Direction if d not in (length, width))
    return Runs(length, width, thickness)


def _pieces(name: str, keys: PartKeys, values: Values, marks: Marks, reserved: set[str]) -> list[PieceDraft]:
    if keys.pieces is None:
        return _counted(name, keys, values, marks, reserved)
    if keys.count is not None:
        values.note(keys.count.at, "twice", "'count' stands beside 'pieces'", "the pieces are counted; remove 'count'")
    written = keys.pieces
    if isinstance(written, Scalar):
        written = [written]
    found: list[PieceDraft] = []
    if isinstance(written, list):
        for item in written:
            if not isinstance(item, Scalar):
                values.note(
                    keys.place("pieces"), "shape", "a list or group stands among the pieces", "write marks only"
                )
                continue
            found += [
                PieceDraft(mark, name, "", item.at)
                for mark in _run(item.text, item.at, values)
                if marks.take(mark, item.at)
            ]
    else:
        for mark_text, item in written.items():
            if mark_text not in HIDDEN:
                found += _drafts(name, mark_text, item, written, keys, values, marks)
    if not found and not marks.is_full and not values.noted_within(keys.place("pieces")):
        values.note(keys.place("pieces"), "no-pieces", "'pieces' is empty", "name at least one mark")
    return found


def _run(text: str, at: Position, values: Values) -> list[str]:
    """The marks of a run, or of one piece; a run that goes backwards is reported and gives none."""
    marks = expand_run(text)
    if len(marks) == 1 and ".." in marks[0]:
        ends = run_of(text)
        if ends is not None and ends[1] - ends[0] >= MOST_PIECES:
            wrong = f"'{shorten(text)}' is a run of {ends[1] - ends[0] + 1} pieces"
            values.note(at, "run", wrong, f"at most {MOST_PIECES} pieces are one build")
            return []
        values.note(at, "run", f"'{shorten(text)}' is a run of no pieces", "write it as S1..S9, first number first")
        return []
    return marks


def _drafts(
    name: str, mark_text: str, item: Any, written: dict[str, Any], keys: PartKeys, values: Values, marks: Marks
) -> list[PieceDraft]:
    """The pieces of one entry: a note, or keys with a place; a run shares its keys."""
    at = written[KEYS].get(mark_text, keys.place("pieces"))
    note, given, lean, tilt = "", {}, None, None
    if item is None or isinstance(item, Scalar):
        note = values.note_words(item)
    elif isinstance(item, dict):
        at = item[AT]
        lean = read_lean(item, values)
        if lean is not None and item.get("mirror") is not None:
            wrong = f"'{shorten(mark_text)}' mirrors a piece, and leans as that does"
            values.note(item[KEYS].get("lean", at), "lean", wrong, "leave out its lean, or give it a place of its own")
            lean = None
        tilt = read_tilt(item, values)
        given = _piece_keys({key: inner for key, inner in item.items() if key not in ("lean", "tilt")}, values)
        note = values.note_words(given.get("note"))
    else:
        values.note(at, "shape", "a list stands under a piece", "write a note, or keys with values")
    run = _run(mark_text, at, values)
    return [
        PieceDraft(
            mark=mark,
            part=name,
            note=note,
            at=at,
            coordinates={d: given[d.value] for d in Direction if d.value in given},
            mirror=given.get("mirror"),
            sides={key: given[key] for key in REFERENCE_NAMES if key in given},
            lean=lean,
            tilt=tilt,
            index=index,
            count=len(run),
        )
        for index, mark in enumerate(run)
        if marks.take(mark, at)
    ]


def _piece_keys(item: dict[str, Any], values: Values) -> dict[str, Scalar]:
    """The keys of one piece; unknown ones and misplaced groups are reported."""
    known = list(PieceKeys.keys)
    found: dict[str, Scalar] = {}
    for key, inner in item.items():
        if key in HIDDEN:
            continue
        at = item[KEYS].get(key, item[AT])
        if key not in known:
            right = suggestion(key, known, "key")
            values.note(at, "unknown-key", f"there is no key '{shorten(key)}' here", right)
        elif inner is None:
            continue
        elif not isinstance(inner, Scalar):
            values.note(at, "shape", f"a list or group stands under '{key}'", "a single value is wanted")
            found[key] = Scalar(at, MISSING, False)  # or it would be told a second time as not written
        else:
            found[key] = inner
    return found


def _counted(name: str, keys: PartKeys, values: Values, marks: Marks, reserved: set[str]) -> list[PieceDraft]:
    if keys.count is None:
        right = "add count: 1 (how many), or pieces: [marks]"
        values.note(keys.at, "missing-key", f"'{shorten(name)}' has neither 'pieces' nor 'count'", right)
        return []
    count = values.whole(keys.count, most=MOST)
    if count is None:
        return []
    stem = values.line(keys.mark) or _initials(name)
    if keys.mark is not None and not MARK.fullmatch(stem + "1"):
        right = "one to four letters or digits, such as L"
        values.note(keys.mark.at, "mark", f"'{shorten(stem)}' cannot begin a mark", right)
        return []
    if keys.mark is not None:  # written ones are reported where they are taken; those made here step aside
        candidates = [stem] if count == 1 else _numbered(stem, count)
    else:
        candidates = marks.free(stem, count, reserved)
    return [PieceDraft(mark, name, "", keys.at) for mark in candidates if marks.take(mark, keys.at)]


def _numbered(stem: str, count: int) -> list[str]:
    return [f"{stem}{number}" for number in range(1, count + 1)]


def _initials(name: str) -> str:
    """'long rail' gives LR, 'leg' gives L."""
    letters = [word[0] for word in re.findall(r"[^\W\d_]+", name)]
    return "".join(letters[:3]).upper() or "P"
