"""The quick `dataclass` against the one of the standard library, which says what is right."""

from __future__ import annotations

import copy
import dataclasses
import pickle
from dataclasses import field, fields, replace

import pytest

from shopdocs.core import swift


class _Post:
    def __post_init__(self) -> None:
        seen.append(type(self).__name__)


seen: list[str] = []
KINDS = [
    {"frozen": True},
    {"frozen": True, "slots": True},
    {"frozen": True, "slots": True, "order": True},
    {"slots": True},
    {},
]


def _declared(decorate, **how):  # type: ignore[no-untyped-def]
    @decorate(**how)
    class Board:
        mark: str
        wide: int = 3
        cuts: list[int] = field(default_factory=list, compare=False)
        note: str = field(default="", repr=False)
        sum: int = field(default=0, kw_only=True)

    Board.__qualname__ = "Board"
    return Board


@swift.dataclass(frozen=True, slots=True)
class Kept:
    """For pickles, which look for it by its name."""

    mark: str
    wide: int = 3


@pytest.mark.parametrize("how", KINDS, ids=str)
def test_values_behave_as_those_of_the_standard_library(how: dict[str, bool]) -> None:
    standard, quick = (_declared(decorate, **how) for decorate in (dataclasses.dataclass, swift.dataclass))
    told = []
    for kind in (standard, quick):
        one, same, other = kind("a", sum=2), kind("a", 3, [1], "", sum=2), kind("b", note="n")
        found = [repr(one), one == same, one == other, one != same, one == 3, kind.__match_args__]
        found += [[each.name for each in fields(kind)], replace(one, wide=5).wide, repr(copy.copy(one)), one.cuts]
        found += [kind.__hash__ is None, hasattr(one, "__dict__"), kind("c").cuts is kind("c").cuts]
        if how.get("frozen"):
            found += [hash(one), hash(other)]
        for act in (lambda: setattr(one, "wide", 9), lambda: delattr(one, "wide"), lambda: one < other, kind):  # noqa: B023
            try:
                found.append(repr(act()))
            except (TypeError, AttributeError) as fault:
                found.append(type(fault))
        told.append(found)
    assert told[0] == told[1]


def test_a_value_survives_a_pickle() -> None:
    assert pickle.loads(pickle.dumps(Kept("a", 4))) == Kept("a", 4)


def test_the_second_value_is_made_as_the_first_and_post_init_is_called() -> None:
    @swift.dataclass
    class Late(_Post):
        at: int
        names: tuple[str, ...] = ("x",)

    seen.clear()
    assert [Late(1), Late(at=2, names=())] == [Late(1, ("x",)), Late(2, ())]
    assert seen == ["Late"] * 4


def test_a_class_that_inherits_is_left_to_the_standard_library() -> None:
    @swift.dataclass(frozen=True)
    class Wood:
        name: str

    @swift.dataclass(frozen=True)
    class Plank(Wood):
        long: int = 1

    assert Plank("oak", 2) == Plank("oak", 2) != Plank("oak", 3)
    assert Plank("oak") != Wood("oak")
