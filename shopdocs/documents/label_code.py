"""What the code on a label holds: the address of the piece's record, or without one all that the label says.

Where a label is too small for a symbol that holds all of it, kinds of words are left out of the code whole, in the
order of LABEL_LOSS, and the page tells which; a size or a joint is never cut in two. The mark stands in every code.
Where to stick the label and its arrows are no part of the code.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from shopdocs.blocks.sheets import LABEL_LOSS, CodeText
from shopdocs.core.display import FRACTION_SLASH, ROUNDED
from shopdocs.documents.job import Job

_FRACTION = re.compile(f"([0-9]*)([⁰¹²³⁴⁵⁶⁷⁸⁹]+){FRACTION_SLASH}([₀₁₂₃₄₅₆₇₈₉]+)")
_PLAIN = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")
_CAPITALS = set("0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ $%*+-./:")  # a denser mode (ISO/IEC 18004, table 5)


def plain_words(shown: str) -> str:
    """Words of a label in the characters of every keyboard: '≈1³⁄₄ × 2' gives 'about 1-3/4 x 2'."""

    def fraction(found: re.Match[str]) -> str:
        whole, above, below = (part.translate(_PLAIN) for part in found.groups())
        return f"{whole}-{above}/{below}" if whole else f"{above}/{below}"

    plain = _FRACTION.sub(fraction, shown).replace("×", "x").replace(ROUNDED, "about ")
    return plain.replace("\u00a0", " ").replace("\u2212", "-")


def codes_of(
    job: Job,
    mark: str,
    name: str,
    sizes: Sequence[str],
    meets: Sequence[str],
    stage: str,
    warning: str,
    record_of: str = "",
) -> tuple[CodeText, ...]:
    """The wordings of a label's code, the whole one first. `record_of` is the piece whose record it opens, where that
    is another one. All is set in capitals, which makes the symbol smaller, unless a mark tells them from small letters.
    """
    full = job.build.full_mark(mark)
    if address := job.address(record_of or mark):
        return CodeText(address), CodeText(full, ("address",))
    cased = any(sign.islower() for sign in "".join((full, *meets, _marks_in(warning))))
    joints = " ".join(meet.replace(" ", ":", 1) if meet[:1].isdigit() else meet for meet in meets)
    kinds = {
        "name": name,
        "sizes": " / ".join(plain_words(size) for size in sizes),
        "mates": f"joints {joints}" if any(meet[:1].isdigit() for meet in meets) else joints,
        "stage": stage.replace(",", ""),
        "warning": warning.replace(": ", " - ").replace(", ", " ").replace("–", "-").replace("  ", " "),
    }
    told = {kind: words for kind, words in kinds.items() if words}
    lost: tuple[str, ...] = ()
    wordings = [CodeText(_dense(" / ".join([full, *told.values()]), cased))]
    for kind in LABEL_LOSS:
        if told.pop(kind, ""):
            lost = (*lost, kind)
            wordings.append(CodeText(_dense(" / ".join([full, *told.values()]), cased), lost))
    return tuple(wordings)


def _marks_in(warning: str) -> str:
    """The marks of a warning such as "not FR BL: mirror image"."""
    return warning.removeprefix("not ").partition(":")[0] if warning.startswith("not ") else ""


def _dense(text: str, cased: bool) -> str:
    return text if cased or not set(text.upper()) <= _CAPITALS else text.upper()
