"""Dataclasses written at their first call against those of Python's own library, the same classes made by both."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from functools import cached_property
from typing import Any

import pytest

from shopdocs.core import lazy_dataclass

OPTIONS = [
    {},
    {"frozen": True},
    {"slots": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "order": True},
    {"slots": True, "eq": False},
]
Made = tuple[Any, Any]


def both(of: Callable[[Callable[[Any], Any]], Any], options: dict[str, bool]) -> Made:
    """The class by either decorator."""
    one: Any = lazy_dataclass.dataclass
    other: Any = dataclasses.dataclass
    return of(one(**options)), of(other(**options))


def board(decorate: Callable[[Any], Any]) -> Any:
    @decorate
    class Board:
        """A board."""

        mark: str
        wide: int = 6
        note: str = dataclasses.field(default="", compare=False, repr=False)
        defects: list[int] = dataclasses.field(default_factory=list, hash=False)
        sawn: list[int] = dataclasses.field(default_factory=list, init=False, compare=False, repr=False)

        @property
        def area(self) -> int:
            return self.wide * 2

    return Board


def shelf(decorate: Callable[[Any], Any]) -> Any:
    @decorate
    class Wood:
        mark: str
        wide: int = 6

    @decorate
    class Shelf(Wood):
        deep: int = dataclasses.field(kw_only=True)
        pins: int = 4

        def __post_init__(self) -> None:
            if self.pins < 0:
                raise ValueError("no pins")

    return Shelf


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_objects_are_made_shown_and_compared_alike(options: dict[str, bool]) -> None:
    lazy, plain = both(board, options)
    given: list[tuple[Any, ...]] = [("A",), ("A", 6, "knotty"), ("A", 7), ("B", 6, "", [3]), ("A", 6, "", [1])]
    made = [[kind(*each) for each in given] for kind in (lazy, plain)]
    assert [repr(one) for one in made[0]] == [repr(one) for one in made[1]]
    assert [dataclasses.astuple(one) for one in made[0]] == [dataclasses.astuple(one) for one in made[1]]
    assert [[a == b for b in made[0]] for a in made[0]] == [[a == b for b in made[1]] for a in made[1]]
    assert [one != "A" for one in made[0]] == [True] * len(given)
    assert [one.area for one in made[0]] == [one.area for one in made[1]]
    if options.get("order"):
        assert [[a < b for b in made[0]] for a in made[0]] == [[a < b for b in made[1]] for a in made[1]]
        assert [[a >= b for b in made[0]] for a in made[0]] == [[a >= b for b in made[1]] for a in made[1]]
    if options.get("frozen"):
        assert [hash(one) for one in made[0]] == [hash(one) for one in made[1]]
    elif options.get("eq", True):
        with pytest.raises(TypeError, match="unhashable"):
            hash(made[0][0])
    assert made[0][0].sawn is not made[0][1].sawn


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_the_class_tells_the_same_of_itself(options: dict[str, bool]) -> None:
    for of in (board, shelf):
        lazy, plain = both(of, options)
        told = [
            [
                (one.name, one.type, one.default, one.default_factory, one.init, one.repr, one.hash, one.compare)
                for one in dataclasses.fields(kind)
            ]
            for kind in (lazy, plain)
        ]
        assert told[0] == told[1]
        for name in ("__match_args__", "__name__", "__qualname__", "__module__"):
            assert getattr(lazy, name) == getattr(plain, name)
        assert getattr(lazy, "__slots__", None) == getattr(plain, "__slots__", None) or of is shelf
        assert hasattr(lazy("A", deep=1) if of is shelf else lazy("A"), "__dict__") is not options.get("slots", False)


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_what_is_derived_has_the_fields_of_both(options: dict[str, bool]) -> None:
    lazy, plain = both(shelf, options)
    made = [kind("S", 8, 3, deep=11) for kind in (lazy, plain)]
    assert repr(made[0]) == repr(made[1])
    changed = [dataclasses.replace(one, wide=9, deep=12) for one in made]
    assert repr(changed[0]) == repr(changed[1])
    for wrong in ((), ("S",), ("S", 8, 3, 11)):
        for kind in (lazy, plain):
            with pytest.raises(TypeError):
                kind(*wrong)
    with pytest.raises(ValueError, match="no pins"):
        lazy("S", pins=-1, deep=1)


def test_frozen_objects_stay_as_they_are() -> None:
    for of in (board, shelf):
        for slots in (True, False):
            lazy, _ = both(of, {"frozen": True, "slots": slots})
            one = lazy("A", deep=1) if of is shelf else lazy("A")
            with pytest.raises(dataclasses.FrozenInstanceError):
                one.mark = "B"
            with pytest.raises(dataclasses.FrozenInstanceError):
                del one.mark
            assert one.mark == "A"


@lazy_dataclass.dataclass(frozen=True, slots=True)
class Kept:
    """One that pickle finds by its name."""

    mark: str
    sizes: tuple[int, ...] = ()


def test_pickled_and_copied_objects_are_equal() -> None:
    one = Kept("A", (1, 2))
    assert pickle.loads(pickle.dumps(one)) == one == copy.copy(one)


def test_own_methods_and_cached_properties_stay() -> None:
    @lazy_dataclass.dataclass(frozen=True)
    class Own:
        mark: str

        @cached_property
        def letters(self) -> list[str]:
            return list(self.mark)

        def __eq__(self, other: object) -> bool:
            return True

        def __hash__(self) -> int:
            return 7

        def __repr__(self) -> str:
            return "own"

    one = Own("AB")
    assert one.letters is one.letters
    assert (one == "x", hash(one), repr(one)) == (True, 7, "own")


def test_nothing_is_written_before_its_first_call() -> None:
    kind: Any = board(lazy_dataclass.dataclass(frozen=True, slots=True))  # type: ignore[call-overload]
    waiting = kind.__init__.__code__
    kind("A")
    assert kind.__init__.__code__ is not waiting
    assert kind.__eq__.__code__.co_varnames[-2:] != ("self", "other")
    assert kind("A") == kind("A")
    assert kind.__eq__.__code__.co_varnames == ("self", "other")
