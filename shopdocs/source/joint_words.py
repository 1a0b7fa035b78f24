"""Words of the trade for joints that go by another name here, or that are not offered."""

from __future__ import annotations

from shopdocs.core.problems import Position
from shopdocs.model.joining import JointKind
from shopdocs.source.guess import closest
from shopdocs.source.nodes import MISSING, Scalar, shorten
from shopdocs.source.values import Values

_SAME: dict[JointKind, tuple[str, ...]] = {
    JointKind.MORTISE_AND_TENON: (
        "mortice and tenon", "mortise & tenon", "mortice & tenon", "mortise tenon", "mortise", "mortice", "tenon",
        "stopped tenon", "blind tenon", "stub tenon", "haunched tenon", "haunched mortise and tenon", "drawbored tenon",
        "stopped mortise and tenon", "blind mortise and tenon",
    ),
    JointKind.THROUGH_TENON: (
        "through mortise and tenon", "through mortice and tenon", "through mortise", "wedged tenon",
        "wedged through tenon", "tusk tenon",
    ),
    JointKind.BRIDLE: (
        "bridle joint", "open mortise", "open mortice", "open mortise and tenon", "open tenon", "slip joint",
        "corner bridle", "t-bridle", "slot mortise",
    ),
    JointKind.HALF_LAP: (
        "lap", "lap joint", "halving", "halving joint", "cross lap", "cross halving", "corner lap", "end lap",
        "half lap joint", "halved joint", "notch",
    ),
    JointKind.HOUSING: (
        "dado", "dado joint", "stopped dado", "through dado", "trench", "trenched joint", "housed joint",
        "housing joint", "stopped housing", "let in",
    ),
    JointKind.TONGUE_AND_GROOVE: (
        "groove", "plough", "plow", "ploughed groove", "tongue", "tongued and grooved", "tongue & groove",
        "frame and panel", "panel", "panel groove",
    ),
    JointKind.RABBET: ("rebate", "rabbet joint", "rebate joint", "rabbeted", "rebated"),
    JointKind.DOWELS: ("dowel", "dowel joint", "dowelled", "dowelled joint", "pegs"),
    JointKind.LOOSE_TENON: ("floating tenon", "slip tenon", "loose tongue", "loose mortise and tenon"),
    JointKind.DOVETAIL: (
        "dovetails", "dovetail joint", "through dovetail", "lapped dovetail", "half blind dovetail",
        "half-blind dovetail", "blind dovetail", "carcase dovetail",
    ),
    JointKind.SCREWED_BUTT: ("screws", "screw", "screwed", "screwed joint", "screw joint"),
    JointKind.EDGE_JOINT: (
        "edge glue", "edge glued", "edge-glued", "edge glued joint", "glue joint", "rubbed joint", "rub joint",
        "glued edge", "panel glue-up", "long grain joint",
    ),
}  # fmt: skip

_MITRE = (
    "all cuts are square here: measure both pieces to the long points of their mitres, write no joint, and say the "
    "mitre in the part's note; or take a bridle or a half lap"
)
_FINGERS = "take a dovetail, or give both pieces their whole lengths, write no joint, and say the fingers in a note"
_SLIDING = "take a housing of the same depth and say in its note that it is undercut"
_PLAIN = "boards edge to edge are an 'edge joint', a piece screwed to another is a 'screwed butt'"
_NAILED = "take a 'screwed butt', or write no joint and say under hardware what it holds (holds: …)"
_BISCUIT = "take a 'loose tenon' of the size of the slots, or an 'edge joint' and say it in the note"
_SCARF = "cut the piece from one board, or write two parts and say the scarf in their notes"
_NOT_OFFERED: dict[str, str] = {
    **dict.fromkeys(
        ("mitre", "miter", "mitre joint", "miter joint", "mitred", "mitered", "splined mitre", "splined miter",
         "keyed mitre", "keyed miter", "lock mitre", "lock miter", "bevel"), _MITRE,
    ),
    **dict.fromkeys(("finger joint", "fingers", "box joint", "comb joint", "comb"), _FINGERS),
    **dict.fromkeys(
        ("sliding dovetail", "dovetail housing", "dovetailed housing", "dovetail dado", "tapered dovetail"), _SLIDING
    ),
    **dict.fromkeys(("butt", "butt joint", "glued butt", "glued", "glue"), _PLAIN),
    **dict.fromkeys(
        ("nailed", "nailed butt", "nails", "nail", "pocket screw", "pocket screws", "pocket hole"), _NAILED
    ),
    **dict.fromkeys(("biscuit", "biscuits", "biscuit joint", "spline", "splined joint"), _BISCUIT),
    **dict.fromkeys(("scarf", "scarf joint", "spliced joint"), _SCARF),
}  # fmt: skip
_OTHER_NAMES = {word: kind for kind, words in _SAME.items() for word in words}
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
