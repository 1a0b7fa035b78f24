"""figures.json: every figure that stands on a sheet, with its exact value, for checks from outside."""

from __future__ import annotations

import json
from collections.abc import Iterable, Iterator, Mapping, Sequence
from fractions import Fraction
from functools import lru_cache
from pathlib import PurePath
from types import MappingProxyType
from typing import Any

from msgspec.structs import asdict

from shopdocs.blocks.sheets import Document, Imprint
from shopdocs.blocks.text import Figure
from shopdocs.blocks.walk import figures
from shopdocs.output.exact import exact_number

LENGTH_UNIT = "mm"


def _fields(value: object) -> dict[str, object]:
    """A struct as the group of its fields, for the encoder; TypeError for anything else."""
    return asdict(value)  # type: ignore[arg-type]


_READABLE = json.JSONEncoder(ensure_ascii=False, default=_fields)


def figures_json(
    documents: Sequence[Document],
    imprint: Imprint,
    facts: Mapping[str, str] | None = None,
    state: Mapping[str, Any] | None = None,
    gone: Sequence[Mapping[str, Any]] = (),
    more: Mapping[str, Iterable[Figure]] = MappingProxyType({}),
) -> bytes:
    """All figures of the documents, and of `more` by their names, as JSON text in UTF-8, one figure a line, in the
    order of the sheets.

    `build` holds title, mark, revision, maker, date and check word, and `facts` such as the paper or the version. Each
    figure has `document`, `name`, `shown` (as printed), `exact` (a decimal where it ends, else a fraction, in `unit`)
    and `unit`; a length also has `mm`, the same as a number; `source` is its file (without folders, which are the
    maker's own affair), line and column where it is known. `state` is what a later revision is compared with, in plain
    values or structs, `gone` the pieces that earlier revisions had. The same documents always give the same text.
    """
    return b"".join(figures_in_pieces(documents, imprint, facts, state, gone, more))


def figures_in_pieces(
    documents: Sequence[Document],
    imprint: Imprint,
    facts: Mapping[str, str] | None = None,
    state: Mapping[str, Any] | None = None,
    gone: Sequence[Mapping[str, Any]] = (),
    more: Mapping[str, Iterable[Figure]] = MappingProxyType({}),
) -> Iterator[bytes]:
    """The same in pieces, to be written as they come: of a thousand pieces of furniture it is many megabytes."""
    build = {
        "title": imprint.title,
        "mark": imprint.mark,
        "revision": imprint.revision,
        "maker": imprint.maker,
        "date": imprint.date,
        "check word": imprint.check,
        **(facts or {}),
    }
    yield b'{\n  "build": %b,\n  "figures": [' % _json(build)
    between = b"\n    "
    own = ((document.name, figures(document.blocks)) for document in documents)
    for name, found in (*own, *more.items()):
        for figure in found:
            yield between + _line(name, figure)
            between = b",\n    "
    yield b"]" if between == b"\n    " else b"\n  ]"
    if state is not None:
        yield b',\n  "state": %b' % _json(state)
    if gone:
        yield b',\n  "gone": %b' % _json(list(gone))
    yield b"\n}\n"


def _line(document: str, figure: Figure) -> bytes:
    entry: dict[str, Any] = {
        "document": document,
        "name": figure.name,
        "shown": figure.shown,
        "exact": exact_number(figure.value),
        "unit": figure.unit,
    }
    if figure.unit == LENGTH_UNIT:
        entry["mm"] = _number(figure.value)
    if figure.at.line:
        entry["source"] = {"file": _file_name(figure.at.file), "line": figure.at.line, "column": figure.at.column}
    return _json(entry)


@lru_cache(maxsize=64)
def _file_name(file: str) -> str:
    return PurePath(file).name


def _number(value: Fraction) -> int | float:
    return value.numerator if value.denominator == 1 else float(value)


def _json(value: object) -> bytes:
    """Readable in any script; lone surrogates, which UTF-8 cannot carry, are escaped."""
    try:
        return _READABLE.encode(value).encode("utf-8")
    except UnicodeEncodeError:
        return json.dumps(value, default=_fields).encode("ascii")
