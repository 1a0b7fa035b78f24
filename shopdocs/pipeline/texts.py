"""What the program prints about its own language: schema, reference, names."""

from __future__ import annotations


def schema_text(shop: bool, receipt: bool = False) -> str:
    """The JSON Schema of the build file, of the shop file or of a receipt."""
    import json

    from shopdocs.source.receipt import receipt_schema
    from shopdocs.source.schema import build_schema
    from shopdocs.source.shop_schema import shop_schema

    schema = receipt_schema if receipt else shop_schema if shop else build_schema
    return json.dumps(schema(), indent=2, ensure_ascii=False)


def reference_text() -> str:
    """Every key of both files with its meaning, as Markdown."""
    from shopdocs.source.reference import reference

    return reference()


def names_text() -> str:
    """Names that stand for something: documents, label sheets, joints, adhesives, finishes, hole patterns, papers."""
    from shopdocs.core.assets import layout_table
    from shopdocs.documents.catalogue import NAMES
    from shopdocs.facts.adhesives import adhesive_lines
    from shopdocs.facts.finish_types import finish_lines
    from shopdocs.model.joint_kinds import kind_lines
    from shopdocs.page.label_sheets import label_sheet_keys
    from shopdocs.page.paper import paper_keys

    lists = {
        "documents (--only)": NAMES,
        "papers (--paper)": paper_keys(),
        "label sheets (--labels)": label_sheet_keys(),
        "joints (kind), what each joins, and the keys for its sizes": tuple(kind_lines()),
        "holes that are meant to meet (crosses, under hardware)": (
            "drawbore pin, peg        crosses the joint whose tenons or dowels it goes through",
            "                         (offset: how much nearer to the shoulder the tenon's hole lies)",
            "cross dowel, barrel nut  crosses the bolt that ends in it",
        ),
        "adhesives, and how long they stay open at 20 °C (the label of the pot wins)": adhesive_lines(),
        "finishes, and what else they are called": finish_lines(),
        "hole patterns": tuple(layout_table("hardware_patterns")),
    }
    return "\n".join(f"{title}\n  " + "\n  ".join(names) for title, names in lists.items())
