"""Puts names in an order in which each comes after those it needs."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from typing import TypeVar

Name = TypeVar("Name", bound=Hashable)
MOST_STEPS = 8  # of a circle, in words


def circle_words(steps: Sequence[str]) -> str:
    """'A needs B needs A'; of a long circle the beginning and the end."""
    if len(steps) > MOST_STEPS:
        steps = [*steps[: MOST_STEPS - 2], f"… ({len(steps) - MOST_STEPS + 1} more)", steps[-1]]
    return " needs ".join(steps)


def in_order(needs: Mapping[Name, Iterable[Name]]) -> tuple[list[Name], list[list[Name]]]:
    """Names after those they need, and the circles met; what lies on a circle or needs one is in neither order.

    Walks with a stack of its own, so that a chain of thousands is no deep recursion.
    """
    ordered: list[Name] = []
    circles: list[list[Name]] = []
    usable: dict[Name, bool] = {}
    for start in needs:
        if start in usable:
            continue
        path = [start]
        on_path = {start}
        rest: list[Iterator[Name]] = [iter(needs[start])]
        while path:
            name = path[-1]
            following = next(rest[-1], None)
            if following is None:
                path.pop()
                rest.pop()
                on_path.discard(name)
                if usable.setdefault(name, all(usable.get(need, True) for need in needs[name])):
                    ordered.append(name)
            elif following in on_path:
                circle = path[path.index(following) :]
                if not any(
                    usable.get(member) is False for member in circle
                ):  # the same circle from the other side: report it once
                    circles.append(circle)
                usable.update(dict.fromkeys(circle, False))
            elif following in needs and following not in usable:
                path.append(following)
                on_path.add(following)
                rest.append(iter(needs[following]))
    return ordered, circles
