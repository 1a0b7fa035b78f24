"""Two pieces that meet, in one phrase; the trade's words for it stand with each kind of joint."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import pairwise

from shopdocs.core.length import Length
from shopdocs.documents.figures import marks_text
from shopdocs.model.joining import JointKind, Meeting
from shopdocs.model.joint_kinds import KINDS


def listed(names: Iterable[str], last: str = "and") -> str:
    """ "DT, DB and DP"; runs of marks drawn together as on other sheets."""
    drawn = marks_text(list(names)).split("  ")
    return anded(drawn, last)


def anded(words: Sequence[str], last: str = "and") -> str:
    """ "a, b and c"."""
    return f" {last} ".join(filter(None, (", ".join(words[:-1]), words[-1])))


def stepped(length: Length, step: Length, up: bool = True) -> Length:
    """A length in whole steps, as one sets a clamp or picks a caul: no smaller than it is, or no larger."""
    steps = length / step
    return step * (-(-steps.numerator // steps.denominator) if up else steps.numerator // steps.denominator)


def numbered(what: str, numbers: Sequence[int]) -> str:
    """ "stage 4", "stages 3, 4 and 5"."""
    return f"{what}{'s' if len(numbers) > 1 else ''} {listed(map(str, numbers))}"


def joined(kind: JointKind, meeting: Meeting) -> str:
    """The two pieces in one phrase, as they come together: 'RF end A into FL'."""
    end = f" end {meeting.end.value}" if meeting.end else ""
    return f"{meeting.entering}{end} {KINDS[kind].meets.joins} {meeting.receiving}"


def from_one(kind: JointKind, meeting: Meeting, mark: str) -> str:
    """The same, said on the page of one of the two pieces: 'end A goes into FL', 'takes RF end A'."""
    words, end = KINDS[kind].meets, f"end {meeting.end.value}" if meeting.end else ""
    if meeting.entering == mark:
        return " ".join(filter(None, (end, words.own, meeting.receiving)))
    return " ".join(filter(None, (words.others, meeting.entering, end)))


def stepped_text(numbers: Sequence[int]) -> str:
    """ "5–8", or "17, 19 … 27" where they go by another step: in their own order, which is that of the pieces named
    beside them."""
    steps = {after - before for before, after in pairwise(numbers)}
    if len(numbers) > 2 and steps == {1}:
        return f"{numbers[0]}–{numbers[-1]}"
    if len(numbers) > 3 and len(steps) == 1:
        return f"{numbers[0]}, {numbers[1]} … {numbers[-1]}"
    return ", ".join(map(str, numbers))


def numbers_text(numbers: Sequence[int]) -> str:
    """ "5–8, 11": runs of three and more drawn together."""
    runs: list[list[int]] = []
    for number in sorted(numbers):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    told = [f"{run[0]}–{run[-1]}" if len(run) > 2 else ", ".join(map(str, run)) for run in runs]
    return ", ".join(told)
