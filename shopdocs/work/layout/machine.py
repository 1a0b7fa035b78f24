"""The moves compiled: ``moves`` with what ``slots``, ``striking`` and ``laying`` do to a board in place of ``hand``.

One function is compiled, ``moves.run``, for one set of argument types, and all that it calls with it. The compiler
stores what it made, once an installation; the store's name holds a stamp of all sources, because the compiler itself
looks at the file of that one function alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Sequence
from functools import cache
from logging import getLogger
from pathlib import Path
from types import FunctionType, ModuleType
from typing import Protocol, TypeVar, cast
from zlib import crc32

import numpy as np
from numpy.typing import NDArray

from shopdocs.work.layout import hand, laying, moves, numbered, rows, slots, striking, tree, tuning

Row = TypeVar("Row")

PARTS = (slots, striking, laying)
SOURCES = (*PARTS, moves, rows, numbered, tree, tuning)
COMPILING = "compiling the search for cheaper boards, some 10 to 20 seconds; this is done once"
NOT_STORED = (
    "the compiled search cannot be stored, so every long search compiles it again; "
    "name a folder that can be written in NUMBA_CACHE_DIR"
)
# Nothing is made or let go in compiled code, so references to arrays need no counting, which takes most of the time.
OPTIONS: dict[str, bool | str] = {"_nrt": False, "error_model": "numpy"}
# All that run calls is inlined: handing the arrays on took two thirds of the time.
INNER: dict[str, bool | str] = {**OPTIONS, "no_cpython_wrapper": True, "no_cfunc_wrapper": True, "forceinline": True}


def own_functions(module: ModuleType) -> Iterator[FunctionType]:
    """The functions that stand in a module's own file."""
    for thing in vars(module).values():
        if isinstance(thing, FunctionType) and thing.__module__ == module.__name__:
            yield thing


@cache
def compiled_run() -> Callable[..., int]:
    """``moves.run`` for ``rows.Rows``, compiled when it is first called, or loaded where that was done before.

    Tells the user where it has to be compiled, and where what was compiled cannot be stored.

    Raises ImportError where the compiler is not installed.
    """
    from numba import njit
    from numba.extending import overload, register_jitable

    for module in (*PARTS, moves):
        for function in own_functions(module):
            if function is not moves.run:
                register_jitable(**INNER)(function)
            if module is not moves and hasattr(hand, function.__name__):
                stand_in(overload, getattr(hand, function.__name__), function)
    return made_by(cast(Compiler, njit))


class Stats(Protocol):
    """What the compiler tells of a function: the folder of what it made."""

    cache_path: str


class Compiled(Protocol):
    """A function handed to the compiler."""

    stats: Stats

    def __call__(self, *args: object) -> int: ...


class Compiler(Protocol):
    """As much of ``numba.njit`` as is used here; numba itself has no types."""

    def __call__(self, **options: bool | str) -> Callable[[Callable[..., int]], Compiled]: ...


def made_by(njit: Compiler) -> Callable[..., int]:
    """``moves.run`` handed to the compiler, to be stored where a folder for that can be written."""
    moves.run.__qualname__ = f"run_{stamp():08x}"
    stored = False
    try:
        made = njit(cache=True, nogil=True, **OPTIONS)(moves.run)
        stored = any(Path(made.stats.cache_path).glob(f"moves.{moves.run.__qualname__}-*.nbi"))
    except RuntimeError:  # what the compiler raises where it finds no such folder
        made = njit(nogil=True, **OPTIONS)(moves.run)
        told(NOT_STORED)
    if not stored:
        told(COMPILING)
    return made


def ready(first: Callable[[], int]) -> None:
    """Make the ``first`` call of the compiled moves, which compiles them or loads what was stored."""
    try:
        first()
    except OSError:  # compiled, but the folder to store it in cannot be written or is full
        told(NOT_STORED)
        first()


@cache
def told(words: str) -> None:
    """Tell the user, once."""
    getLogger("shopdocs.search").warning(words)


def stand_in(overload: Callable[..., Callable[..., object]], named: FunctionType, function: FunctionType) -> None:
    """Let one function stand for another of the same arguments in compiled code."""
    overload(named, jit_options=INNER, strict=False)(lambda *_: function)


def stamp() -> int:
    """A number that changes with any of the sources."""
    total = crc32(Path(__file__).read_bytes())
    for module in SOURCES:
        total = crc32(Path(str(module.__file__)).read_bytes(), total)
    return total


def fields_of(row: type) -> np.dtype[np.void]:
    """The fields of a class of rows, whole numbers and numbers, as a type of array items."""
    kinds = {"int": np.int64, "float": np.float64, "Bits": np.uint64}
    return np.dtype([(name, kinds[kind]) for name, kind in row.__annotations__.items()], align=True)


def one_row(row: type[Row]) -> Row:
    """A row with all fields 0, read and set by name."""
    return cast(Row, np.zeros(1, dtype=fields_of(row)).view(np.recarray)[0])


def empty_rows(row: type[Row], many: int) -> rows.Table[Row]:
    """So many rows with all fields 0."""
    return cast(rows.Table[Row], np.zeros(many, dtype=fields_of(row)))


def empty_grid(row: type[Row], many: int, each: int) -> rows.Grid[Row]:
    """Of each of so many slots that many rows with all fields 0."""
    return cast(rows.Grid[Row], np.zeros((many, each), dtype=fields_of(row)))


def readable(table: rows.Table[Row]) -> rows.Table[Row]:
    """The same rows, their fields read and set by name from Python too."""
    return cast(rows.Table[Row], items_of(table).view(np.recarray))


def items_of(table: object) -> NDArray[np.void]:
    """The array that such rows are."""
    return cast(NDArray[np.void], table)


def numbers_of(numbers: rows.Numbers) -> NDArray[np.int64]:
    """The array that such a list of whole numbers is."""
    return cast(NDArray[np.int64], numbers)


def array_of(row: type[Row], things: Iterable[Row]) -> Sequence[Row]:
    """Rows with the fields of these things. Raises OverflowError for numbers of more than 64 bits."""
    names = row.__annotations__
    items = [tuple(getattr(thing, name) for name in names) for thing in things]
    return cast(Sequence[Row], np.array(items, dtype=fields_of(row)))


def arrays_of(facts: numbered.Facts) -> numbered.Facts:
    """The same facts in arrays. Raises OverflowError for numbers of more than 64 bits."""
    return numbered.Facts(
        array_of(numbered.Way, facts.ways),
        array_of(numbered.Member, facts.members),
        array_of(numbered.Kind, facts.kinds),
        array_of(numbered.Code, facts.codes),
        array_of(numbered.Form, facts.shapes),
        array_of(numbered.Clear, facts.areas),
        cast(Sequence[int], np.array(facts.limits, dtype=np.int64)),
    )
