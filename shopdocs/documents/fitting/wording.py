"""How the trade says that two pieces meet, for each kind of joint (common practice, no source).

Only a tenon, a tongue, a tail or a housed end goes *into* the other piece; where two faces are glued or screwed flat
to each other, one piece lies *against* the other.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopdocs.model.joining import JointKind, Meeting


@dataclass(frozen=True, slots=True)
class Meets:
    """`joins` stands between the two marks ("RF into FL"); `own` before the other's mark on the entering piece's own
    page, `others` on that of the receiving one."""

    joins: str
    own: str
    others: str


_FLAT = Meets("against", "against", "against")
WORDS = {
    JointKind.MORTISE_AND_TENON: Meets("into", "goes into", "takes"),
    JointKind.THROUGH_TENON: Meets("through", "goes through", "is passed through by"),
    JointKind.BRIDLE: Meets("into", "goes into", "straddles"),
    JointKind.HALF_LAP: Meets("lapped with", "lapped with", "lapped with"),
    JointKind.HOUSING: Meets("housed in", "is housed in", "houses"),
    JointKind.TONGUE_AND_GROOVE: Meets("into", "goes into", "takes"),
    JointKind.RABBET: Meets("in the rabbet of", "lies in the rabbet of", "takes in its rabbet"),
    JointKind.DOWELS: _FLAT,
    JointKind.LOOSE_TENON: _FLAT,
    JointKind.DOVETAIL: Meets("into", "tails go into", "takes the tails of"),
    JointKind.SCREWED_BUTT: _FLAT,
    JointKind.EDGE_JOINT: _FLAT,
}


def joined(kind: JointKind, meeting: Meeting) -> str:
    """The two pieces in one phrase, as they come together: 'RF end A into FL'."""
    end = f" end {meeting.end.value}" if meeting.end else ""
    return f"{meeting.entering}{end} {WORDS[kind].joins} {meeting.receiving}"


def from_one(kind: JointKind, meeting: Meeting, mark: str) -> str:
    """The same, said on the page of one of the two pieces: 'end A goes into FL', 'takes RF end A'."""
    words, end = WORDS[kind], f"end {meeting.end.value}" if meeting.end else ""
    if meeting.entering == mark:
        return " ".join(filter(None, (end, words.own, meeting.receiving)))
    return " ".join(filter(None, (words.others, meeting.entering, end)))
