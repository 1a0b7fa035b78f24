"""The language as JSON Schema (draft 2020-12), for editors: every group of keys by the names that makers write."""

from __future__ import annotations

from inspect import cleandoc
from typing import Any

from shopdocs.source.groups import AsWritten, Key, Keys, Leaf, ListOf, NamesOf, Shape

_NULL = {"type": "null"}


def schema_of(model: type[Keys], title: str) -> dict[str, Any]:
    """The JSON Schema of a file whose outermost group is `model`; other groups are its `$defs`."""
    groups: dict[str, dict[str, Any]] = {}
    whole = group_schema(model, groups)
    inner = {"$defs": dict(sorted(groups.items()))} if groups else {}
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **inner, **whole, "title": title}


def group_schema(model: type[Keys], groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """The schema of one group; groups within it are added to `groups` by their names, and referred to."""
    properties = {key.written: _property(key, groups) for key in model.keys.values()}
    needed = [key.written for key in model.keys.values() if key.needed]
    return {
        "additionalProperties": False,
        "description": cleandoc(model.__doc__ or ""),
        "properties": properties,
        **({"required": needed} if needed else {}),
        "title": model.__name__,
        "type": "object",
    }


def _property(key: Key, groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    found = _value(key.shape, groups)
    if key.optional:
        found = {"anyOf": [found, _NULL], "default": None}
    found["description"] = key.meaning
    if key.example:
        found["examples"] = [key.example]
    if not _is_group(key.shape):
        found["title"] = key.written.title().replace("_", " ")
    return dict(sorted(found.items()))


def _is_group(shape: Shape) -> bool:
    return isinstance(shape, type)


def _value(shape: Any, groups: dict[str, dict[str, Any]]) -> dict[str, Any]:
    """The schema of what may stand in one place, its words in the order of the alphabet."""
    if isinstance(shape, Leaf):
        found = dict(shape.json)
    elif isinstance(shape, ListOf):
        found = dict(shape.alone.json) if shape.alone else {"items": _value(shape.inner, groups), "type": "array"}
    elif isinstance(shape, NamesOf):
        found = {"additionalProperties": _value(shape.inner, groups), "type": "object"}
    elif isinstance(shape, AsWritten):
        found = dict(shape.json())
    else:
        if shape.__name__ not in groups:
            groups[shape.__name__] = {}
            groups[shape.__name__] = group_schema(shape, groups)
        found = {"$ref": f"#/$defs/{shape.__name__}"}
    return dict(sorted(found.items()))
