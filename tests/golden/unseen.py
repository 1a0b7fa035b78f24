"""A sign of all that documents hold, also of what no page shows: names and values of figures, where they come from,
what tables, outlines and anchors are called in the files of a set, drawings at the sizes that no page had room for.

Measures count to a hundredth of a millimetre, values of figures to a millionth of their unit, so that the last digit of
a machine changes nothing. Lines of the build file count with `lines` alone: those of a sample move with every comment.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import fields, is_dataclass
from enum import Enum
from fractions import Fraction
from hashlib import sha256
from typing import TYPE_CHECKING

from shopdocs.core.length import Length
from shopdocs.core.problems import Position

if TYPE_CHECKING:
    from shopdocs.blocks.sheets import Document

LONG = 20  # things in a tuple that is kept: the settings of a drawing share its shapes


def unseen_signs(documents: Iterable[Document], records: Iterable[Document], lines: bool = False) -> dict[str, str]:
    """A sign for each document, and one for all record pages."""
    found = {f"{document.name} unseen": [document] for document in documents}
    found["records unseen"] = list(records)
    return {name: sign_of(those, lines) for name, those in found.items() if those}


def sign_of(content: object, lines: bool = False) -> str:
    """The sign of anything that blocks are made of."""
    parts: list[str] = []
    _collect(content, parts, {}, lines)
    return sha256("\0".join(parts).encode("utf-8", "surrogatepass")).hexdigest()[:10]


def _collect(content: object, parts: list[str], long: dict[int, list[str]], lines: bool) -> None:
    if isinstance(content, Enum):
        parts.append(f"{type(content).__name__} {content.value}")
    elif isinstance(content, str):
        parts.append(content)
    elif isinstance(content, Length):
        parts.append(_to(float(content.mm), 2))
    elif isinstance(content, float):
        parts.append(_to(content, 2))
    elif isinstance(content, Fraction):
        parts.append(_to(float(content), 6))
    elif isinstance(content, (tuple, list)):
        if id(content) in long:
            parts += long[id(content)]
            return
        start = len(parts)
        parts.append(f"({len(content)}")
        for one in content:
            _collect(one, parts, long, lines)
        if len(content) > LONG:
            long[id(content)] = parts[start:]
    elif isinstance(content, dict):
        _collect(tuple(content.items()), parts, long, lines)
    elif isinstance(content, Position):
        parts.append(str(content.line if lines else content.line > 0))
    elif names := _fields(content):
        parts.append(type(content).__name__)
        for name in names:
            _collect(getattr(content, name), parts, long, lines)
    else:
        parts.append(repr(content))


def _fields(content: object) -> tuple[str, ...]:
    if is_dataclass(content):
        return tuple(field.name for field in fields(content))
    names: tuple[str, ...] = getattr(type(content), "__struct_fields__", ())
    return names


def _to(value: float, places: int) -> str:
    return f"{round(value, places) + 0.0:.{places}f}"
