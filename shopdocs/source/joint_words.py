"""Words of the trade for joints that go by another name here, or that are not offered."""

from __future__ import annotations

from shopdocs.core.problems import Position
from shopdocs.model.joining import JointKind
from shopdocs.model.joint_kinds import KINDS
from shopdocs.source.guess import closest
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.values import Values

_MITRE = "glue alone does not hold a mitre: take a 'splined mitre' for a flat frame, or a 'keyed mitre'"
_SLIDING = "take a housing of the same depth and say in its note that it is undercut"
_PLAIN = "boards edge to edge are an 'edge joint', a piece screwed to another is a 'screwed butt'"
_NAILED = "take a 'screwed butt', or write no joint and say under hardware what it holds (holds: …)"
_BISCUIT = "take a 'loose tenon' of the size of the slots, or an 'edge joint' and say it in the note"
_SCARF = "cut the piece from one board, or write two parts and say the scarf in their notes"
_NOT_OFFERED: dict[str, str] = {
    **dict.fromkeys(
        ("mitre", "miter", "mitre joint", "miter joint", "mitred", "mitered", "lock mitre", "lock miter", "bevel"),
        _MITRE,
    ),
    **dict.fromkeys(
        ("sliding dovetail", "dovetail housing", "dovetailed housing", "dovetail dado", "tapered dovetail"), _SLIDING
    ),
    **dict.fromkeys(("butt", "butt joint", "glued butt", "glued", "glue"), _PLAIN),
    **dict.fromkeys(
        ("nailed", "nailed butt", "nails", "nail", "pocket screw", "pocket screws", "pocket hole"), _NAILED
    ),
    **dict.fromkeys(("biscuit", "biscuits", "biscuit joint", "spline", "splined joint"), _BISCUIT),
    **dict.fromkeys(("scarf", "scarf joint", "spliced joint"), _SCARF),
}
_OTHER_NAMES = {word: kind for kind, told in KINDS.items() for word in told.aliases}
_ALL = (*(kind.value for kind in JointKind), *_OTHER_NAMES, *_NOT_OFFERED)


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
    elif word in _NOT_OFFERED:
        values.note(at, "unknown-word", f"the joint '{shorten(written)}' is not offered", _NOT_OFFERED[word])
    elif word in (text, spaced) and word in _OTHER_NAMES:
        values.note(at, "unknown-word", wrong, f"here it is called '{_OTHER_NAMES[word].value}'")
    else:
        values.note(at, "unknown-word", wrong, f"did you mean '{_OTHER_NAMES.get(word, word)}'?")
