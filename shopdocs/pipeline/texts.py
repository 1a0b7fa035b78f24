"""What the program prints about its own language: schema, reference, names."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any


def schema_text(shop: bool, receipt: bool = False) -> str:
    """The JSON Schema of the build file, of the shop file or of a receipt."""
    import json

    from shopdocs.source.receipts import receipt_schema
    from shopdocs.source.schema import build_schema
    from shopdocs.source.shop_schema import shop_schema

    schema = receipt_schema if receipt else shop_schema if shop else build_schema
    return json.dumps(schema(), indent=2, ensure_ascii=False)


def reference_text() -> str:
    """Every key of both files with its meaning, as Markdown."""
    from shopdocs.source.reference import reference

    return reference()


def names_text() -> str:
    """Names that stand for something: documents, label sheets, joints, adhesives, finishes, hole patterns, papers;
    and the usual sizes that a maker looks up."""
    from shopdocs.core.assets import layout_table
    from shopdocs.documents.catalogue import NAMES
    from shopdocs.facts.adhesives import adhesive_lines
    from shopdocs.facts.ergonomics import usual_lines
    from shopdocs.facts.finish_types import finish_lines
    from shopdocs.facts.lumber_tables import surfaced_lines
    from shopdocs.model.joint_kinds import kind_lines
    from shopdocs.page.label_sheets import label_sheet_keys
    from shopdocs.page.paper import paper_keys

    lists = {
        "documents (--only)": NAMES,
        "papers (--paper)": paper_keys(),
        "label sheets (--labels)": label_sheet_keys(),
        "joints (kind), what each joins, and the keys for its sizes": tuple(kind_lines()),
        "holes made to meet (crosses, under hardware)": (
            "drawbore pin, peg        crosses the joint whose tenons or dowels it goes through",
            "                         (offset: how much nearer to the shoulder the tenon's hole lies)",
            "cross dowel, barrel nut  crosses the bolt that ends in it",
        ),
        "adhesives, and how long they stay open at 20 °C (the label of the pot wins)": adhesive_lines(),
        "finishes, and what else they are called": finish_lines(),
        "hardwood as sawn, and what it measures surfaced on two sides (yards differ: measure)": surfaced_lines(),
        "usual heights above the floor; `check` asks about others": usual_lines(),
        "hole patterns (pattern), and the measures that each asks for (with)": tuple(
            _pattern_lines(layout_table("hardware_patterns"))
        ),
    }
    return "\n".join(f"{title}\n  " + "\n  ".join(names) for title, names in lists.items())


def _pattern_lines(patterns: dict[str, Any]) -> Iterator[str]:
    """What each pattern is, what it asks for, and what is taken where nothing is said."""
    wide = max(map(len, patterns))
    for name, entry in patterns.items():
        yield f"{name:<{wide}}  {entry['note']}"
        for word, meaning in {**entry.get("asks", {}), **entry.get("asks whole", {})}.items():
            yield f"{'':<{wide}}    {word}: {meaning}"
        for word, text in entry.get("usual", {}).items():
            yield f"{'':<{wide}}    {word}: '{text}' by default"
