"""Short words for what stands on a sheet, so that two printings can be told apart without keeping either.

Source places are left out: a line added at the top of a build moves all of them and changes nothing that is printed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterable
from enum import Enum

from shopdocs.blocks.drawing import Line, Stroke
from shopdocs.core.length import Length
from shopdocs.core.problems import Position

LONG = 40  # things in a tuple that is kept
AT_ONCE = 4096  # parts: a picture of a thousand pieces at all its sizes would be many megabytes of text at once
LETTERS = 10  # 40 bits: of a thousand sheets two would be taken for alike once in two million sets

_FIELDS: dict[type, tuple[str, ...] | None] = {}  # of each kind that was met; None for what has none
_STROKES: dict[Stroke, str] = {}
_NAMES: dict[type, dict[object, str]] = {}  # of the members of enumerations


def digest(content: object, without: str = "") -> str:
    """The word of a block, a document or any tuple of them. `without` is taken out of all text first (the check word,
    which changes with every letter of the build)."""
    parts: list[str] = []
    _collect(content, parts, {})
    word = hashlib.sha256()
    for start in range(0, len(parts), AT_ONCE):
        told = "\0".join(("", *parts[start : start + AT_ONCE]) if start else parts[:AT_ONCE])
        if without:
            told = told.replace(without, "").replace(without.upper(), "")
        word.update(told.encode("utf-8", "surrogatepass"))
    return word.hexdigest()[:LETTERS]


def _collect(content: object, parts: list[str], long: dict[int, list[str]]) -> None:
    """Adds what the content says; `long` holds what long tuples say, for the settings of a drawing share its shapes."""
    kind = type(content)
    if kind is str:
        parts.append(content)  # type: ignore[arg-type]
    elif kind is Length:
        parts.append(repr(content))
    elif kind is Line:  # nearly all that a drawing holds
        (a, b), (c, d), stroke = content.start, content.end, content.stroke  # type: ignore[attr-defined]
        drawn = _STROKES.get(stroke) or _STROKES.setdefault(stroke, repr(stroke))
        parts += ("Line", "(2", repr(a), repr(b), "(2", repr(c), repr(d), drawn, content.ink)  # type: ignore[attr-defined]
    elif kind is tuple or isinstance(content, (tuple, list)):
        if id(content) in long:
            parts += long[id(content)]
            return
        start = len(parts)
        parts.append(f"({len(content)}")  # type: ignore[arg-type]
        _collect_all(content, parts, long)  # type: ignore[arg-type]
        if len(content) > LONG:  # type: ignore[arg-type]
            long[id(content)] = parts[start:]
    elif kind is Position:
        return
    else:
        names = _FIELDS[kind] if kind in _FIELDS else _fields_of(kind)
        if names is not None:
            parts.append(kind.__name__)
            _collect_all([getattr(content, name) for name in names], parts, long)
        elif kind in _NAMES:  # most of what a drawing holds are lines of a few strokes
            known = _NAMES[kind]
            parts.append(known.get(content) or known.setdefault(content, repr(content)))
        else:
            parts.append(repr(content))


def _collect_all(contents: Iterable[object], parts: list[str], long: dict[int, list[str]]) -> None:
    """The same of each of them, words and lengths at once: most are such."""
    for one in contents:
        if type(one) is str:
            parts.append(one)
        elif type(one) is Length:
            parts.append(repr(one))
        else:
            _collect(one, parts, long)


def _fields_of(kind: type) -> tuple[str, ...] | None:
    names: tuple[str, ...] | None = getattr(kind, "__struct_fields__", None)
    _FIELDS[kind] = names
    if issubclass(kind, Enum):
        _NAMES[kind] = {}
    return names
