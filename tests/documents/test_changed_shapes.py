"""What the comparison says where a diameter, a lean, a tilt or the place of a joint changed, and what that means."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from shopdocs.documents.revised.compare import Changes, Step, compare
from shopdocs.documents.revised.state import BuildState, state_from, state_of
from tests.sample_jobs import BY_NAME, job_of
from tests.small_builds import one_piece

STOOL = (BY_NAME["loft_stool"] / "build.yaml").read_text("utf-8")
SHELF = """
build: {title: Shelf, mark: SH, units: mm, free standing: no}
materials: {ash: {kind: hardwood, species: white ash, rough: 27}}
parts:
  side:
    material: ash
    size: 20 x 200 x 500
    runs: {length: z, width: y}
    pieces: {L: {x: 0, y: 0, z: 0}, R: {mirror: L across x at 200}}
  shelf:
    material: ash
    thickness: 20
    width: 120
    runs: {length: x, width: y}
    pieces: {S1: {x: L.right to R.left, y: centred on 100, z: centred on 250, tilt: 15 rear}}
joints: {shelves: {kind: housing, from: shelf, into: side, depth: 6}}
"""
LEVEL = SHELF.replace(", tilt: 15 rear", "")


def states(folder: Path, text: str, *edit: str) -> tuple[BuildState, BuildState]:
    made = []
    for number, one in enumerate((text, text.replace(*edit))):  # type: ignore[arg-type]
        path = folder / f"{number}.yaml"
        path.write_text(one, "utf-8")
        made.append(state_of(job_of(path), (), ()))
    assert made[0] != made[1]
    return made[0], made[1]


def told(changes: Changes) -> dict[str, dict[str, tuple[str, str]]]:
    return {piece.mark: {one.what: (one.old, one.new) for one in piece.changes} for piece in changes.pieces}


@pytest.mark.parametrize(
    ("old", "new", "good", "words"),
    [
        ("rail", "rail - 2", True, "turn it down to its new diameters"),
        ("rail - 2", "rail", False, "it is turned to other diameters"),
    ],
)
def test_another_diameter_of_a_round(tmp_path: Path, old: str, new: str, good: bool, words: str) -> None:
    """The middle stretcher, 26 thick in its middle or 24; a round can be turned down, and not up."""
    text = STOOL.replace("'length/2, rail', 'length, 14'", f"'length/2, {old}', 'length, 14'")
    changes = compare(*states(tmp_path, text, f"'length/2, {old}', 'length, 14'", f"'length/2, {new}', 'length, 14'"))
    assert list(told(changes)) == ["M"]
    before, after = told(changes)["M"]["cut middle stretcher round"]
    thick = {"rail": "Ø 26 at", "rail - 2": "Ø 24 at"}
    assert thick[old] in before and thick[new] in after
    (verdict,) = changes.pieces[0].verdicts
    assert (verdict.step, verdict.good) == (Step.JOINTED, good)
    assert words in verdict.words


@pytest.mark.parametrize(
    ("old", "new", "good"),
    [
        ("'120, 20'], pommels: 40 to 60", "'120, 18'], pommels: 40 to 60", True),
        ("'120, 18'], pommels: 40 to 60", "'120, 20'], pommels: 40 to 60", False),
        ("'120, 20'], pommels: 40 to 60", "'120, 20'], pommels: 40 to 70", False),
        ("'120, 20']", "'120, 20'], pommels: 40 to 60", False),
    ],
)
def test_another_pommel(tmp_path: Path, old: str, new: str, good: bool) -> None:
    """What was turned to a round is no pommel again; beside one that stays, a leg is turned down as any other."""
    text = one_piece("leg", "24 x 24 x 300", "length: z, width: x", "L: {x: 0, y: 0, z: 0}")
    text += f"cuts: {{foot: {{kind: round, on: [{{piece: leg}}], diameters: ['0, 16', {old}}}}}\n"
    changes = compare(*states(tmp_path, text, old, new))
    before, after = told(changes)["L"]["cut foot"]
    for words, keys in ((before, old), (after, new)):
        assert ("pommel from 40 to" in words) == ("pommels" in keys)
    (verdict,) = changes.pieces[0].verdicts
    assert verdict.good == good


def test_another_splay(tmp_path: Path) -> None:
    """10 degrees more steeply 11: the four legs lean otherwise, each to its own side, and no stretcher does."""
    found = told(compare(*states(tmp_path, STOOL, "splay: 10", "splay: 11")))
    leans = {mark: changes["leans"] for mark, changes in found.items() if "leans" in changes}
    assert leans == {
        f"{end}{side}": (f"splay 10° {left}, rake 6° {front}", f"splay 11° {left}, rake 6° {front}")
        for side, left in (("L", "left"), ("R", "right"))
        for end, front in (("F", "front"), ("B", "rear"))
    }


def test_another_tilt_turns_the_housings_with_the_shelf(tmp_path: Path) -> None:
    """The middle of the housing stays where it was, in the middle of the shelf; it lies at another angle."""
    changes = compare(*states(tmp_path, SHELF, "tilt: 15", "tilt: 12"))
    found = told(changes)
    assert found["S1"]["leans"] == ("tipped 15° to the rear", "tipped 12° to the rear")
    for side in ("L", "R"):
        at = "its middle 250 along, 100 across"
        assert found[side] == {"joint with S1": (f"{at}, 15° off square", f"{at}, 12° off square")}
    assert set(changes.glued) == {"L", "R", "S1"}


def test_a_shelf_that_moves_takes_its_housings_along(tmp_path: Path) -> None:
    """10 higher: cut already, the housings are in the wrong place, though no size of them changed."""
    changes = compare(*states(tmp_path, LEVEL, "centred on 250", "centred on 260"))
    found = told(changes)
    assert set(found) == {"L", "R", "S1"}
    for piece in changes.pieces:
        if piece.mark != "S1":
            at = [f"its middle {high} along, 100 across" for high in (250, 260)]
            assert found[piece.mark] == {"joint with S1": tuple(at)}
            assert [(one.step, one.good) for one in piece.verdicts] == [(Step.JOINTED, False)]


def test_an_older_set_that_does_not_tell_them_has_changed_none(tmp_path: Path) -> None:
    """A state without leans and places of joints, as it was kept before they were told, against one with them."""
    path = tmp_path / "build.yaml"
    path.write_text(SHELF, "utf-8")
    now = state_of(job_of(path), (), ())
    kept: dict[str, Any] = json.loads(json.dumps(now.as_json()))
    for piece in kept["pieces"].values():
        del piece["leans"]
        for joint in piece["joints"]:
            del joint["at"], joint["runs"]
    old = state_from({"state": kept})
    assert old != now
    assert compare(old, now).pieces == ()
