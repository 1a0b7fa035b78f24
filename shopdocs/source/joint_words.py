"""Words of the trade for joints that go by another name here, or that are not offered."""

from __future__ import annotations

from shopdocs.core.problems import Position
from shopdocs.model.joining import JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.model.joint_names import NOT_OFFERED
from shopdocs.source.guess import closest
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.values import Values

_OTHER_NAMES = {word: kind for kind, told in KINDS.items() for word in told.aliases}
_ALL = (*(kind.value for kind in JointKind), *_OTHER_NAMES, *NOT_OFFERED)


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
    wrong = f"no kind of joint is called '{shorten(written)}'"
    word = next((each for each in (text, spaced) if each in _ALL), None) or closest(text, _ALL, 0.6)
    if word is None:
        values.note(at, "unknown-word", wrong, f"known: {', '.join(kind.value for kind in JointKind)}")
    elif word in NOT_OFFERED:
        values.note(at, "unknown-word", f"the joint '{shorten(written)}' is not offered", NOT_OFFERED[word])
    elif word in (text, spaced) and word in _OTHER_NAMES:
        values.note(at, "unknown-word", wrong, f"here it is called '{_OTHER_NAMES[word].value}'")
    else:
        values.note(at, "unknown-word", wrong, f"did you mean '{_OTHER_NAMES.get(word, word)}'?")
