"""What a stage is called: by what its pieces are parts of, else by where they stand."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from itertools import pairwise

from shopdocs.core.box import AXES, Box
from shopdocs.work.scene.in_space import Space

LAST = "Final glue-up"
FLAT = 0.45  # of the whole along an axis: no more than this is an end, a front, a layer
_WHERE = (("Left end", "Right end"), ("Front frame", "Rear frame"), ("Lower frame", "Upper frame"))
_MOST = 0.75  # of the pieces share the first word of their parts' names


def title_of(marks: Sequence[str], part_of: Mapping[str, str], space: Space, whole: Iterable[str], last: bool) -> str:
    """A title for what is one thing after a stage: "Drawer" for drawer sides, a drawer front and a drawer back; "Left
    end"; "Final glue-up" for the `last` stage of the `whole`. Not yet told from others that are called the same."""
    parts = [part_of[mark] for mark in marks]
    word = _first_word(parts)
    if word:
        least = min(Counter(parts).values())
        return word[:1].upper() + word[1:] + ("s" if last and least > 1 and not word.endswith("s") else "")
    if last:
        return LAST
    around, mine = _around(space, whole), _around(space, marks)
    shares = [(mine.size[k] / max(1, around.size[k]), k) for k in AXES]
    for share, axis in sorted(shares):
        off = mine.doubled_centre[axis] - around.doubled_centre[axis]
        if share <= FLAT and abs(off) > around.size[axis] / 4:
            return _WHERE[axis][off > 0]
    most, _ = Counter(part_of[mark] for mark in marks).most_common(1)[0]
    return f"{most[:1].upper()}{most[1:]} frame"


def told_apart(
    titles: Sequence[str], marks: Sequence[Sequence[str]], uses: Sequence[Sequence[int]] | None = None
) -> list[str]:
    """The titles, those that are alike with a number where each takes up the one before, else with the first mark of
    each. `uses`: the places in these lists of the stages that each takes up."""
    found = list(titles)
    for title, count in Counter(titles).items():
        alike = [i for i, each in enumerate(titles) if each == title]
        chained = uses is not None and all(one in uses[two] for one, two in pairwise(alike))
        for number, i in enumerate(alike if count > 1 else (), 1):
            found[i] = f"{title} {number}" if chained else f"{title} {marks[i][0]}"
    for i, name in enumerate(found):
        while found.index(found[i]) < i:
            found[i] = name = f"{name} again"
    return found


def _around(space: Space, marks: Iterable[str]) -> Box:
    return Box.around(space.scene.solids[space.scene.index(mark)].body for mark in marks)


def _first_word(names: Sequence[str]) -> str:
    """The word that the names of most parts begin with, where they are several parts; empty where there is none."""
    words = Counter(name.split()[0].lower() for name in names)
    word, count = words.most_common(1)[0]
    several = len({name for name in names if name.split()[0].lower() == word}) > 1
    return word if several and count >= _MOST * len(names) else ""
