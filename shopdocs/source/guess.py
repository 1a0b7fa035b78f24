"""What a misspelt name probably meant."""

from __future__ import annotations

from collections.abc import Iterable
from difflib import get_close_matches

MOST_COMPARED = 200


def closest(name: str, known: Iterable[str], cutoff: float = 0.55) -> str | None:
    """The known name nearest to `name`, letter case aside, or None. Of very many names only those that begin with the
    same letter are compared, and not all of them: a guess must not cost more than the reading."""
    names = list(known)
    if len(names) > MOST_COMPARED:
        first = name[:1].lower()
        names = [each for each in names if each[:1].lower() == first][:MOST_COMPARED]
    lower = {each.lower(): each for each in names}
    found = get_close_matches(name.lower()[:80], lower, 1, cutoff)
    return lower[found[0]] if found else None
