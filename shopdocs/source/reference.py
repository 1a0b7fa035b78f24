"""The readable reference of the build language, printed from the schema itself."""

from __future__ import annotations

from collections.abc import Iterator
from inspect import cleandoc
from typing import Any

from shopdocs.source.cut_schema import CutKeys, CutOnKeys, GapKeys
from shopdocs.source.groups import Keys
from shopdocs.source.json_schema import group_schema
from shopdocs.source.receipts import BoughtKeys, ReceiptKeys
from shopdocs.source.schema import (
    BuildKeys,
    FinishKeys,
    GluingKeys,
    HardwareKeys,
    HoleKeys,
    JointKeys,
    LeanKeys,
    MaterialKeys,
    OnKeys,
    PartKeys,
    PieceKeys,
    RunsKeys,
    Source,
    StageKeys,
    build_schema,
)
from shopdocs.source.shop_schema import (
    ClimateKeys,
    MillingKeys,
    PaceKeys,
    PrinterKeys,
    RackKeys,
    ShopKeys,
    YardKeys,
    shop_schema,
)

# Each group of keys, where it stands, in the order a maker writes them.
GROUPS: tuple[tuple[str, type[Keys]], ...] = (
    ("The file", Source),
    ("build:", BuildKeys),
    ("materials: NAME:", MaterialKeys),
    ("parts: NAME:", PartKeys),
    ("parts: NAME: runs:", RunsKeys),
    ("parts: NAME: pieces: MARK:", PieceKeys),
    ("parts: NAME: pieces: MARK: lean:", LeanKeys),
    ("joints: NAME:", JointKeys),
    ("hardware: NAME:", HardwareKeys),
    ("hardware: NAME: holes: -", HoleKeys),
    ("hardware: NAME: on: -", OnKeys),
    ("cuts: NAME:", CutKeys),
    ("cuts: NAME: on: -", CutOnKeys),
    ("gaps: NAME:", GapKeys),
    ("gluing:", GluingKeys),
    ("gluing: stages: -", StageKeys),
    ("finish:", FinishKeys),
    ("shop: (shop file)", ShopKeys),
    ("shop: milling:", MillingKeys),
    ("shop: yard: -", YardKeys),
    ("shop: rack: -", RackKeys),
    ("shop: climate:", ClimateKeys),
    ("shop: pace:", PaceKeys),
    ("shop: printer:", PrinterKeys),
    ("receipt: (receipt file)", ReceiptKeys),
    ("receipt: boards: -", BoughtKeys),
)

_HEAD = """# The build language

Lengths are written as at the bench: `1-3/4`, `1 3/4`, `1.75`, `7/8`, `3/4"`, `44.45 mm`, `4.5 cm`, `2 ft 3-1/2 in`,
`4'-6 1/2"`. A number without a unit is in the unit of the build. Wherever a length stands, arithmetic with named
dimensions may stand: `width - 2 * leg`, with + - * / and brackets; put spaces around a minus before a fraction. A value
that holds ` #` must stand in quotes. Keys marked * are needed.
"""


def reference() -> str:
    """The whole reference as Markdown."""
    meanings = {**build_schema().get("$defs", {}), **shop_schema().get("$defs", {})}
    parts = [_HEAD]
    for place, model in GROUPS:
        schema = meanings.get(model.__name__) or group_schema(model, {})
        parts.append(f"## `{place}`\n\n{cleandoc(model.__doc__ or '')}\n\n" + "\n".join(_lines(model, schema)) + "\n")
    return "\n".join(parts)


def _lines(model: type[Keys], schema: dict[str, Any]) -> Iterator[str]:
    properties: dict[str, Any] = schema.get("properties", {})
    needed = set(schema.get("required", ()))
    for written, key in model.keys.items():
        star = "*" if written in needed else ""
        example = f" Example: `{key.example}`." if key.example else ""
        kind = _kind(properties.get(written, {}))
        yield f"- `{written}`{star}{f' ({kind})' if kind else ''}: {key.meaning}.{example}"


def _kind(shape: dict[str, Any]) -> str:
    """What may stand there, from the schema's own words."""
    if "x-meaning" in shape:
        return str(shape["x-meaning"])
    for option in shape.get("anyOf", ()):
        found = _kind(option)
        if found:
            return found
    if shape.get("type") == "array":
        inner = _kind(shape.get("items", {}))
        return f"list of: {inner}" if inner else "list"
    if shape.get("type") == "object":
        return "names with values under them"
    return ""
