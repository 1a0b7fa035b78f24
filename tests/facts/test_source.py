"""What a sheet prints about where a figure comes from."""

from __future__ import annotations

from collections.abc import Iterator
from types import ModuleType

import pytest
from msgspec import Struct
from msgspec.structs import astuple

from shopdocs.facts import (
    adhesives,
    cautions,
    ergonomics,
    finish_types,
    lumber_tables,
    movement,
    screw_tables,
    screws,
    species_table,
)
from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source

MODULES = (cautions, ergonomics, finish_types, adhesives, lumber_tables, movement, screw_tables, screws, species_table)


def test_sources_as_printed() -> None:
    assert str(Source("PS 20", Confidence.SECONDARY, table="dressed dry")) == "PS 20, dressed dry"
    remembered = Source("ASME B18.2.8", Confidence.MEMORY, "1999", "Table 1")
    assert str(remembered) == "ASME B18.2.8 1999, Table 1 (common value, to be checked)"
    assert str(COMMON_PRACTICE) == "common practice"


def sources_in(value: object) -> Iterator[Source]:
    """Every source inside a module's value, through rows and tuples."""
    if isinstance(value, Source):
        yield value
    elif isinstance(value, tuple | list):
        for item in value:
            yield from sources_in(item)
    elif isinstance(value, Struct):
        for inner in astuple(value):
            yield from sources_in(inner)


@pytest.mark.parametrize("module", MODULES, ids=lambda module: module.__name__.rpartition(".")[2])
def test_nothing_hides_that_it_is_remembered_or_habit(module: ModuleType) -> None:
    found = [source for value in vars(module).values() for source in sources_in(value)]
    assert found
    for source in found:
        text = str(source)
        assert text
        if source.confidence is Confidence.MEMORY:
            assert "to be checked" in text
        elif source.confidence is Confidence.PRACTICE:
            assert "common practice" in text
        else:
            assert source.title
