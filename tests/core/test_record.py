"""Our dataclass does what the standard library's does, which is the reference here."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from collections.abc import Callable
from dataclasses import FrozenInstanceError, asdict, astuple, field, fields, is_dataclass, replace
from functools import cached_property
from typing import Any, ClassVar

import pytest

from shopdocs.core.record import dataclass as ours

OPTIONS = [
    {},
    {"frozen": True},
    {"slots": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "order": True},
    {"frozen": True, "slots": True, "eq": False},
]


def classes(make: Callable[..., Any], options: dict[str, bool]) -> tuple[Any, Any, Any]:
    """A class with what fields there can be, one derived from it, and one with methods of its own."""

    @make(**options)
    class Board:
        """Wood."""

        kinds: ClassVar[tuple[str, ...]] = ("oak", "ash")
        name: str
        size: tuple[int, int]
        count: int = 1
        notes: list[str] = field(default_factory=list, compare=False, repr=False)
        made: dict[str, int] = field(default_factory=dict, init=False, compare=False)

        @property
        def many(self) -> bool:
            return self.count > 1

    @make(**options)
    class Panel(Board):
        strips: int = 3
        planed: bool = field(kw_only=True)
        count: int = 2

    @make(**options)
    class Own:
        a: int

        def __post_init__(self) -> None:
            if self.a < 0:
                raise ValueError("less than nothing")

        def __repr__(self) -> str:
            return f"<{self.a}>"

        def __hash__(self) -> int:
            return 7

    return Board, Panel, Own


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_objects_are_as_those_of_the_standard_library(options: dict[str, bool]) -> None:
    made = [classes(make, options) for make in (ours, dataclasses.dataclass)]
    for mine, theirs in zip(*made, strict=True):
        assert is_dataclass(mine)
        assert [(f.name, f.type, f.init, f.compare, f.default) for f in fields(mine)] == [
            (f.name, f.type, f.init, f.compare, f.default) for f in fields(theirs)
        ]
        assert mine.__match_args__ == theirs.__match_args__
        assert mine.__qualname__ == theirs.__qualname__
    (board, panel, own), (board_, panel_, own_) = made
    assert board.__doc__ == "Wood."
    assert board.kinds == ("oak", "ash")
    for one, other in (
        (board("a", (1, 2)), board_("a", (1, 2))),
        (board("a", (1, 2), 3, ["x"]), board_("a", (1, 2), 3, ["x"])),
        (panel(name="b", size=(3, 4), strips=5, planed=True), panel_(name="b", size=(3, 4), strips=5, planed=True)),
    ):
        assert repr(one) == repr(other)
        assert asdict(one) == asdict(other)
        assert astuple(one) == astuple(other)
        assert one.many == other.many
        assert repr(replace(one, count=9)) == repr(replace(other, count=9))
        assert repr(copy.copy(one)) == repr(other)
        assert hasattr(one, "__dict__") == hasattr(other, "__dict__")
        if options.get("eq", True):
            assert one == copy.deepcopy(one)
            assert one != replace(one, name="c")
            assert one == replace(one, notes=["compared by nobody"])
            assert one != other
    assert repr(own(4)) == repr(own_(4)) == "<4>"
    assert hash(own(4)) == hash(own_(4)) == 7
    with pytest.raises(ValueError, match="less than nothing"):
        own(-1)
    for kind in (board, board_):
        with pytest.raises(TypeError):
            kind("a")
        with pytest.raises(TypeError):
            kind("a", (1, 2), wood=3)


@pytest.mark.parametrize("options", OPTIONS, ids=str)
def test_hashes_and_orders_are_there_where_the_standard_library_gives_them(options: dict[str, bool]) -> None:
    (mine, *_), (theirs, *_) = (classes(make, options) for make in (ours, dataclasses.dataclass))
    assert (mine.__hash__ is None) == (theirs.__hash__ is None)
    if mine.__hash__ is not None and options.get("eq", True):
        assert hash(mine("a", (1, 2))) == hash(mine("a", (1, 2), 1, ["x"]))
        assert len({mine("a", (1, 2)), mine("a", (1, 2)), mine("b", (1, 2))}) == 2
    if options.get("order"):
        boards = [mine("b", (1, 2)), mine("a", (3, 2)), mine("a", (1, 2), 2)]
        assert [board.name for board in sorted(boards)] == ["a", "a", "b"]
        assert sorted(boards)[0] < sorted(boards)[1] <= sorted(boards)[1]
        assert sorted(boards)[2] > sorted(boards)[1] >= sorted(boards)[0]


@pytest.mark.parametrize("options", [one for one in OPTIONS if one.get("frozen")], ids=str)
def test_frozen_ones_cannot_be_changed(options: dict[str, bool]) -> None:
    board = classes(ours, options)[0]("a", (1, 2))
    with pytest.raises(FrozenInstanceError):
        board.count = 3
    with pytest.raises(FrozenInstanceError):
        del board.count
    assert board.count == 1


def test_a_default_that_could_be_changed_is_refused() -> None:
    with pytest.raises(TypeError, match="default_factory"):

        @ours
        class _Shared:
            pieces: list[str] = []  # noqa: RUF012


@ours(frozen=True, slots=True)
class Sent:
    """At the top of a module, where pickle finds it."""

    a: int
    b: tuple[str, ...] = ()


@ours(frozen=True)
class Kept:
    """Without slots, so that a property can be kept."""

    a: int

    @cached_property
    def twice(self) -> int:
        return self.a * 2


def test_they_go_to_another_process_and_keep_properties() -> None:
    assert pickle.loads(pickle.dumps(Sent(3, ("x",)))) == Sent(3, ("x",))
    assert Kept(4).twice == 8
    match Sent(5):
        case Sent(a, b):
            assert (a, b) == (5, ())
