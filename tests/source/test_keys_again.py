"""Keys that come again and again: each means what it would mean by itself."""

from __future__ import annotations

from random import Random

import yaml

from shopdocs.source.nodes import NO_KEY, Mapping, Scalar, Sequence, compose

KEYS = (
    "width",
    "two  words",
    '"two   words"',
    '"wi\\tdth"',
    '"wi\\ndth"',
    '"wid\\x07th"',
    "'width'",
    "ünder",
    '"u\\u0308nder"',
)


def test_a_key_written_often_is_read_each_time() -> None:
    """Against PyYAML's own composer: blanks made one, what cannot be printed refused at every place it stands."""
    dice = Random(3)
    lines, refused, named = [], 0, []
    for number in range(200):
        key = dice.choice(KEYS)
        lines.append(f"- {{{key}: {number}}}")
        (pair,) = yaml.compose(f"{{{key}: {number}}}", Loader=yaml.SafeLoader).value
        text = " ".join(pair[0].value.replace("u\u0308", "ü").split())
        named.append(text if "\x07" not in text and "\t" not in pair[0].value else NO_KEY)
        refused += named[-1] == NO_KEY
    root, problems = compose("\n".join(lines), "build.yaml")
    assert isinstance(root, Sequence)
    assert len([problem for problem in problems if problem.code == "key"]) == refused > 20
    for number, (item, name) in enumerate(zip(root.items, named, strict=True)):
        assert isinstance(item, Mapping)
        assert [*item.entries] == ([] if name == NO_KEY else [name]), lines[number]
        for at, value in item.entries.values():
            assert (at.line, at.column) == (number + 1, 4)
            assert isinstance(value, Scalar) and value.text == str(number)
