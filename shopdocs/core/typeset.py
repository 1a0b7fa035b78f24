"""The maker's own words as they are set on paper, in the style of every computed size beside them.

Sizes typed as on a keyboard, "1-1/2 x 12", come out with the times sign and set fractions; nothing else is touched.
"""

from __future__ import annotations

import re
from fractions import Fraction

from shopdocs.core.display import FRACTION_SLASH, mixed_number

# No 0x41, and no date 4/5/2031; quarters of rough stock such as 8/4 are a name and no fraction.
_TIMES = re.compile(r"(?<![\w.])((?!0 ?x)[#M]?[\d./-]*\d(?: ?(?:mm|cm|in|[\"”″]))?) ?[x×] ?(?=[#M]?\d)")
_FRACTION = re.compile(r"(?<![\w/.-])(?:(\d+)-)?(\d+)/(2|4|8|16|32|64)(?![\w/.]|-\d)")
_SET = re.compile(rf"([⁰¹²³⁴⁵⁶⁷⁸⁹]+){FRACTION_SLASH}([₀₁₂₃₄₅₆₇₈₉]+)")
_KEYS = str.maketrans("⁰¹²³⁴⁵⁶⁷⁸⁹₀₁₂₃₄₅₆₇₈₉", "01234567890123456789")


def typeset(words: str) -> str:
    """The words with "2 x 3-1/2" set as "2 × 3¹⁄₂"."""
    return _FRACTION.sub(_fraction, _TIMES.sub(r"\1 × ", words))


def _fraction(found: re.Match[str]) -> str:
    whole, over, under = found.groups()
    if int(over) >= int(under):
        return found.group()
    return (whole or "") + mixed_number(Fraction(int(over), int(under)))


def typed(words: str) -> str:
    """What `typeset` set, in characters of every keyboard again: "2 × 3¹⁄₂" as "2 × 3-1/2"."""
    plain = re.sub(rf"(\d)(?={_SET.pattern})", r"\1-", words)
    return _SET.sub(lambda found: f"{found.group(1)}/{found.group(2)}".translate(_KEYS), plain)
