"""From a file that was read to its root node."""

from __future__ import annotations

from shopdocs.core.problems import Position, Problem, error
from shopdocs.core.slug import address_base
from shopdocs.source.given import Given, text_of
from shopdocs.source.nodes import Node, Scalar, compose, shorten
from shopdocs.source.values import Values


def read_root(given: Given) -> tuple[Node | None, list[Problem]]:
    """The root node of a YAML file, None when there is nothing to read, and the problems met."""
    text, problems = text_of(given)
    if text is None:
        return None, problems
    node, problems = compose(text, given.name)
    if node is None and not problems:
        problems.append(
            error(Position(given.name, 1, 1), "empty", "the file is empty", "`shopdocs start` writes one to begin with")
        )
    return node, problems


def web_address(node: Scalar | None, values: Values) -> str:
    """A web address that may be printed and scanned; only http and https, no spaces."""
    text = values.line(node)
    if node is None or not text:
        return ""
    base = address_base(text)
    if base is None:
        values.note(node.at, "address", f"'{shorten(text)}' is not a web address", "write https://example.org/records/")
        return ""
    return base
