"""Groups of keys against another reader of the same language: a validator of JSON Schema must find fault with just
those files that the reader finds fault with, whatever stands where."""

from __future__ import annotations

import json
from copy import deepcopy
from pathlib import Path
from random import Random
from typing import Any

import pytest
from jsonschema import Draft202012Validator

from shopdocs.core.problems import Position
from shopdocs.pipeline import schema_text
from shopdocs.source.groups import Faults, is_empty
from shopdocs.source.nodes import Mapping, Node, Scalar, Sequence, compose
from shopdocs.source.schema import Source
from shopdocs.source.shop_schema import ShopSource

SAMPLES = sorted((Path(__file__).parents[2] / "sample_builds").glob("*/[bs]*.yaml"))  # builds and shop files
AT = Position("file", 1, 1)
OTHERS: tuple[Node, ...] = (
    Scalar(AT, "", False),
    Scalar(AT, "3/4", False),
    Sequence(AT),
    Sequence(AT, [Scalar(AT, "a", False), Scalar(AT, "", False)]),
    Sequence(AT, [Mapping(AT, {"face": (AT, Scalar(AT, "back", False))})]),
    Mapping(AT),
    Mapping(AT, {"piece": (AT, Scalar(AT, "RF", False)), "face": (AT, Scalar(AT, "", False))}),
)


def any_leaf(schema: Any) -> Any:
    """The schema with any word wherever it asks for a word of some kind: what a word means is read later. How pieces
    are written is not seen to by the groups."""
    if isinstance(schema, list):
        return [any_leaf(each) for each in schema]
    if not isinstance(schema, dict):
        return schema
    if "x-meaning" in schema and schema["x-meaning"].startswith("marks:"):
        return {}
    if "x-meaning" in schema and "anyOf" not in schema:
        return {"type": "string"}
    if "anyOf" in schema and "x-meaning" in schema:
        one = {"type": "string"}
        return {"anyOf": [one, {"type": "array", "items": one}]}
    return {name: any_leaf(each) for name, each in schema.items()}


def plain(node: Node, entry: bool = False) -> Any:
    """What a reader without places makes of a node. An entry of a list is never blank."""
    if isinstance(node, Scalar):
        return None if is_empty(node) and not entry else node.text
    if isinstance(node, Sequence):
        return [plain(item, entry=True) for item in node.items]
    return {key: plain(value) for key, (_, value) in node.entries.items()}


def spots(node: Node) -> list[tuple[Mapping | Sequence, Any]]:
    """Every place in which a node stands."""
    if isinstance(node, Scalar):
        return []
    inner = {k: v for k, (_, v) in node.entries.items()} if isinstance(node, Mapping) else dict(enumerate(node.items))
    return [*((node, step) for step in inner), *(spot for each in inner.values() for spot in spots(each))]


def change(root: Node, dice: Random) -> None:
    """One change somewhere: a key left out, misspelt or of another group, another node in its place."""
    if not (every := spots(root)):
        return
    within, step = dice.choice(every)
    other = deepcopy(dice.choice(OTHERS))
    if isinstance(within, Sequence):
        within.items[step] = other
        return
    way = dice.randrange(3)
    if way == 0:
        del within.entries[step]
    elif way == 1:
        within.entries[step] = (AT, other)
    else:
        word = dice.choice([key for spot, key in every if isinstance(spot, Mapping)])
        within.entries[dice.choice((word, f"{step}s"))] = (AT, other)


@pytest.mark.parametrize("path", SAMPLES, ids=lambda path: f"{path.parent.name}/{path.stem}")
def test_schema_and_reader_find_fault_with_the_same(path: Path) -> None:
    text, dice = path.read_text("utf-8"), Random(path.parent.name)
    model = ShopSource if path.stem == "shop" else Source
    judge = Draft202012Validator(any_leaf(json.loads(schema_text(model is ShopSource))))
    answers = set()
    for number in range(60):
        node, _ = compose(text, path.name)
        assert node is not None
        for _ in range(number % 3):
            change(node, dice)
        faults = Faults()
        model.fitted(node, node.at, faults)
        assert (not faults) == judge.is_valid(plain(node)), faults
        answers.add(not faults)
    assert answers == {True, False}
