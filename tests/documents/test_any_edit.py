"""Any edit of a build is named by the comparison, and nothing else is: builds made up at random, each edited at random.

A build is kept here as plain data, apart from the program; what an edit must change follows from that data. Posts stand
half a metre apart, some with a rail between them that is tenoned into both, the rest free.
"""

from __future__ import annotations

import copy
import random
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from shopdocs.documents.revised.compare import Changes, compare
from shopdocs.documents.revised.state import BuildState, state_of
from tests.sample_jobs import job_of

APART = 500
Told = set[tuple[str, str]]  # the mark of a piece, and what of it changed


@dataclass
class Plan:
    """Posts by part (how many; thickness and width alike for all, the length the part's own), rails by the post at
    their left, holes and grooves by the post."""

    parts: list[dict[str, int | str]]
    posts: list[tuple[str, int]]  # mark and its part
    y: dict[str, int]
    rails: dict[str, tuple[int, int, int]] = field(default_factory=dict)  # post: tenon thick, wide, long
    holes: dict[str, tuple[int, int]] = field(default_factory=dict)  # post: along, depth
    grooves: dict[str, int] = field(default_factory=dict)  # post: depth
    chamfers: set[str] = field(default_factory=set)  # parts with one arris left square
    title: str = "Rack"
    note: str = "plain"
    chamfer: int = 3

    def marks(self, part: int) -> list[str]:
        return [mark for mark, own in self.posts if own == part]

    def rail_marks(self) -> Iterator[tuple[str, str, str]]:
        names = [mark for mark, _ in self.posts]
        for post in self.rails:
            yield f"R{post}", post, names[names.index(post) + 1]

    def overall(self) -> tuple[int, int, int]:
        """Width, depth and height over all posts; rails lie between them."""
        ends = list(self.y.values())
        high = max(int(self.parts[part]["long"]) for _, part in self.posts)
        return APART * (len(self.posts) - 1) + 50, max(ends) + 50 - min(ends), high

    def text(self) -> str:
        lines = [f"build: {{title: {self.title}, mark: RK, units: mm, chamfer: {self.chamfer}, free standing: no}}"]
        lines += ["materials:", *(f"  {name}: {{kind: hardwood, rough: 63}}" for name in ("ash", "elm")), "parts:"]
        for number, part in enumerate(self.parts):
            square = ", leave square: [face and edge]" if f"post {number}" in self.chamfers else ""
            lines += [
                f"  {part['name']}:",
                f"    {{material: {part['wood']}, size: 50 x 50 x {part['long']}, runs: {{length: z, width: y}},",
                f"     note: {self.note}{square}, pieces: {{",
            ]
            for place, (mark, own) in enumerate(self.posts):
                if own == number:
                    lines.append(f"      {mark}: {{x: {APART * place}, y: {self.y[mark]}, z: 0}},")
            lines.append("    }}")
        places = {mark: place for place, (mark, _) in enumerate(self.posts)}
        if self.rails:
            lines += ["  rail:", "    {material: ash, size: 20 x 60 x 450, runs: {length: x, width: z}, pieces: {"]
            lines += [
                f"      {rail}: {{x: {APART * places[post] + 50}, y: {self.y[post] + 15}, z: 100}},"
                for rail, post, _ in self.rail_marks()
            ]
            lines += ["    }}", "joints:"]
            for rail, post, far in self.rail_marks():
                thick, wide, long = self.rails[post]
                lines.append(
                    f"  {rail} joint: {{kind: mortise and tenon, "
                    f"pieces: [{rail} into {post} at A, {rail} into {far} at B], "
                    f"thickness: {thick}, width: {wide}, length: {long}}}"
                )
        if self.holes:
            lines.append("hardware:")
            for post, (along, deep) in self.holes.items():
                hole = f"{{bit: 8, depth: {deep}}}"
                place = f"{{piece: {post}, face: edge, along: {along}, across: 25}}"
                lines.append(f"  peg {post}: {{holes: [{hole}], on: [{place}]}}")
        if self.grooves:
            lines.append("cuts:")
            for post, deep in self.grooves.items():
                place = f"{{piece: {post}, face: face, across: 20 to 30}}"
                lines.append(f"  slot {post}: {{kind: groove, depth: {deep}, on: [{place}]}}")
        return "\n".join(lines) + "\n"


def random_plan(chance: random.Random) -> Plan:
    parts = [
        {"name": f"post {n}", "wood": chance.choice(("ash", "elm")), "long": chance.randrange(300, 700)}
        for n in (0, 1, 2)
    ]
    count = chance.randint(4, 7)
    posts = [(f"P{n}", n % 3) for n in range(count)]
    plan = Plan(parts, posts, {mark: 0 for mark, _ in posts})
    for mark, _ in posts[:-2]:
        if chance.random() < 0.6:
            plan.rails[mark] = (chance.randint(6, 12), chance.randint(30, 50), chance.randint(20, 30))
    for mark in chance.sample([mark for mark, _ in posts], 2):
        plan.holes[mark] = (chance.randrange(180, 280), chance.randint(10, 30))
    plan.grooves[posts[-1][0]] = chance.randint(4, 10)
    return plan


# --- edits: each changes the plan and says what must be told of which piece -------------------------------------------


def length_of_a_part(plan: Plan, chance: random.Random) -> Told:
    part = chance.randrange(3)
    plan.parts[part]["long"] = int(plan.parts[part]["long"]) + chance.choice((-9, 7, 30))
    return {(mark, what) for mark in plan.marks(part) for what in ("finished", "with joinery", "rough")} | {
        (mark, f"cut slot {mark}")
        for mark in plan.marks(part)
        if mark in plan.grooves  # from end to end, so longer
    }


def wood_of_a_part(plan: Plan, chance: random.Random) -> Told:
    part = plan.parts[chance.randrange(3)]
    part["wood"] = "elm" if part["wood"] == "ash" else "ash"
    return {(mark, "material") for mark in plan.marks(plan.parts.index(part))}


def name_of_a_part(plan: Plan, chance: random.Random) -> Told:
    part = chance.randrange(3)
    plan.parts[part]["name"] = "upright"
    plan.chamfers.discard(f"post {part}")
    return {(mark, "part") for mark in plan.marks(part)}


def place_of_a_post(plan: Plan, chance: random.Random) -> Told:
    joined = {post for _, *both in plan.rail_marks() for post in both}
    mark = chance.choice([mark for mark, _ in plan.posts if mark not in joined])
    plan.y[mark] += chance.choice((-40, 3, 100))
    return {(mark, "place")}


def a_tenon(plan: Plan, chance: random.Random) -> Told:
    """Longer tenons at both ends: the rail is longer with joinery and in the rough, its finished size stays."""
    if not plan.rails:
        return set()
    post = chance.choice(list(plan.rails))
    thick, wide, long = plan.rails[post]
    longer = chance.random() < 0.5
    plan.rails[post] = (thick, wide, long - 3) if longer else (thick + 1, wide, long)
    (rail, _, far) = next(one for one in plan.rail_marks() if one[1] == post)
    told = {
        (rail, f"joint with {post}"),
        (rail, f"joint with {far}"),
        (post, f"joint with {rail}"),
        (far, f"joint with {rail}"),
    }
    return told | ({(rail, "with joinery"), (rail, "rough")} if longer else set())


def no_rail(plan: Plan, chance: random.Random) -> Told:
    if not plan.rails:
        return set()
    rail, post, far = chance.choice(list(plan.rail_marks()))
    del plan.rails[post]
    return {(rail, "gone"), (post, f"joint with {rail}"), (far, f"joint with {rail}")}


def one_more_post(plan: Plan, chance: random.Random) -> Told:
    mark = f"P{len(plan.posts)}"
    plan.posts.append((mark, chance.randrange(3)))
    plan.y[mark] = 0
    return {(mark, "new")}


def a_hole(plan: Plan, chance: random.Random) -> Told:
    post = chance.choice(list(plan.holes))
    along, deep = plan.holes[post]
    plan.holes[post] = chance.choice(((along + 5, deep), (along, deep + 2)))
    return {(post, f"holes for peg {post}, face edge")}


def a_hole_less(plan: Plan, chance: random.Random) -> Told:
    post = chance.choice(list(plan.holes))
    del plan.holes[post]
    return {(post, f"holes for peg {post}, face edge")}


def a_groove(plan: Plan, chance: random.Random) -> Told:
    (post,) = plan.grooves
    plan.grooves[post] += 1
    return {(post, f"cut slot {post}")}


def an_arris(plan: Plan, chance: random.Random) -> Told:
    part = chance.randrange(2)
    plan.chamfers.add(f"post {part}")
    return {(mark, what) for mark in plan.marks(part) for what in ("arrises, chamfer", "arrises, leave square")}


def the_chamfer(plan: Plan, chance: random.Random) -> Told:
    plan.chamfer += chance.choice((-1, 1))
    return {("", "chamfer")}


def words_alone(plan: Plan, chance: random.Random) -> Told:
    plan.note = "oiled twice"
    return set()


EDITS: tuple[Callable[[Plan, random.Random], Told], ...] = (
    length_of_a_part,
    wood_of_a_part,
    name_of_a_part,
    place_of_a_post,
    a_tenon,
    no_rail,
    one_more_post,
    a_hole,
    a_hole_less,
    a_groove,
    an_arris,
    the_chamfer,
    words_alone,
)


def state(plan: Plan, folder: Path) -> BuildState:
    (folder / "rack.yaml").write_text(plan.text(), encoding="utf-8")
    return state_of(job_of(folder / "rack.yaml"), (), ())


def told(changes: Changes) -> Told:
    found = {("", change.what) for change in changes.build}
    found |= {(piece.mark, change.what) for piece in changes.pieces for change in piece.changes}
    found |= {(piece.mark, "new") for piece in changes.pieces if piece.old is None}
    return found | {(piece.mark, "gone") for piece in changes.pieces if piece.new is None}


@pytest.mark.thorough
@pytest.mark.parametrize("seed", range(3))
def test_any_edit_is_named_and_nothing_else(tmp_path: Path, seed: int) -> None:
    chance = random.Random(seed)
    plan = random_plan(chance)
    before = state(plan, tmp_path)
    assert not compare(before, state(plan, tmp_path)).any
    for edit in EDITS:
        other = copy.deepcopy(plan)
        expected = edit(other, chance)
        if other.overall() != plan.overall():
            expected.add(("", "width × depth × height"))
        assert told(compare(before, state(other, tmp_path))) == expected, (edit.__name__, other.text())
