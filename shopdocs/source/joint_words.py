"""Words of the trade for joints that go by another name here, or that are not offered."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache

from shopdocs.core.problems import Position
from shopdocs.model.joining import JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import NOT_OFFERED
from shopdocs.source.guess import closest
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.values import Values


@cache
def _other_names() -> Mapping[str, JointKind]:
    return {word: kind for kind, told in KINDS.items() for word in told.aliases}


def joint_kind(node: Scalar, values: Values) -> JointKind | None:
    """The kind of joint that a word stands for; a problem that says what it is called here."""
    if node.text == MISSING:
        return None
    text = " ".join(node.text.lower().replace("_", " ").split())
    if text in [kind.value for kind in JointKind]:
        return JointKind(text)
    _note(node.at, node.text, text.replace("-", " "), text, values)
    return None


def _note(at: Position, written: str, spaced: str, text: str, values: Values) -> None:
    wrong, others = f"no kind of joint is called '{shorten(written)}'", _other_names()
    known = (*(kind.value for kind in JointKind), *others, *NOT_OFFERED)
    word = next((each for each in (text, spaced) if each in known), None) or closest(text, known, 0.6)
    if word is None:
        values.note(at, "unknown-word", wrong, f"known: {', '.join(kind.value for kind in JointKind)}")
    elif word in NOT_OFFERED:
        values.note(at, "unknown-word", f"the joint '{shorten(written)}' is not offered", NOT_OFFERED[word])
    elif word in (text, spaced) and word in others:
        values.note(at, "unknown-word", wrong, f"here it is called '{others[word].value}'")
    else:
        values.note(at, "unknown-word", wrong, f"did you mean '{others.get(word, word)}'?")
