"""What can only be done in one order stands in that order: common practice, no source."""

from __future__ import annotations

import re

from shopdocs.blocks.text import Checklist, Table, plain
from shopdocs.blocks.walk import walk
from shopdocs.documents.fitting.planing import chamfered_panels
from shopdocs.documents.title import title_sheet
from tests.sample_jobs import BY_NAME, document_of, sample_job
from tests.values import replace


def steps_of(sample: str, units: str) -> list[str]:
    """The head of every step of the glue-up of a sample, in order."""
    job = sample_job(BY_NAME[sample], units)
    return [
        plain(s.text) for b in walk(document_of(job, "glue-up").blocks) if isinstance(b, Checklist) for s in b.steps
    ]


def test_a_top_of_strips_is_chamfered_when_it_is_flat_and_drilled() -> None:
    """Its strips stay square until they are glued up, and what is planed afterwards loses its chamfers."""
    steps = steps_of("threshold_bench", "in")
    flat, drilled, chamfered = (steps.index(one) for one in (
        "Scrape and plane T flat, cut to size", "Drill T", "Chamfer T, smooth",
    ))  # fmt: skip
    assert flat < drilled < chamfered


def test_what_is_bored_in_a_panel_is_bored_before_its_arrises_are_chamfered() -> None:
    """The seat is one piece only when its glue has set: flat, bored, the legs tried in it; a bit that comes out of a
    smooth face with its chamfers done spoils both."""
    steps = steps_of("loft_stool", "mm")
    places = [steps.index(one) for one in (
        "Scrape and plane S flat, cut to size", "Bore S for joints 1–4", "Try every leg in its hole: the feet lean "
        "outward", "Chamfer S, smooth",
    )]  # fmt: skip
    assert places == sorted(places)


def test_legs_that_go_in_together_are_left_open_at_their_steps() -> None:
    """Each leg of the stool leans its own way, 10 and 6 degrees: over the 40 of the seat by 40 tan 10 = 7.05 and 40 tan
    6 = 4.2 mm. What says so must be read before the joints are home, not beside the picture."""
    job = sample_job(BY_NAME["loft_stool"], "mm")
    lists = [b for b in walk(document_of(job, "glue-up").blocks) if isinstance(b, Checklist)]
    steps = [step for one in lists for step in one.steps if plain(step.text)[:1].isdigit()]
    told = {plain(s.text)[0]: (plain(s.text), plain(s.detail)) for s in steps if "×" not in plain(s.text)}
    assert [number for number, (words, _) in told.items() if words.endswith(", not home")] == ["2", "3", "4", "5"]
    assert "open by ≈7 mm left and right and ≈4 mm front and rear" in told["2"][1]  # the stretcher between the sides
    assert told["6"][1].startswith("Start all tenons in S, then drive each a little in turn")


def test_a_panel_whose_joints_are_screws_alone_is_not_cut_for_them() -> None:
    """The top of the bench lies on rails without any joint of its own."""
    assert not [step for step in steps_of("threshold_bench", "in") if re.match(r"(Cut|Bore) T for joint", step)]


def test_what_one_looks_at_while_it_is_together_dry_follows_the_dry_fit() -> None:
    """Nobody stands a stool on the floor before it has legs. Tenons are there before kerfs are sawn in them."""
    steps = steps_of("loft_stool", "mm")
    places = [next(n for n, step in enumerate(steps) if step.startswith(head)) for head in (
        "Level end of leg is sawn", "Cut four wedges", "Joints 1–4: Saw a kerf", "Dry fit in this order", "Stand it on",
        "7 × bar clamp",
    )]  # fmt: skip
    assert places == sorted(places)


def test_the_build_order_has_the_chamfers_of_a_top_wait() -> None:
    job = sample_job(BY_NAME["threshold_bench"], "in")
    (order,) = [b for b in walk(title_sheet(job, ()).blocks) if isinstance(b, Table) and b.name == "build-order"]
    told = [plain(row.cells[1].text) for group in order.groups for row in group.rows]
    assert [one for one in told if one.startswith("Chamfer")] == ["Chamfer and smooth the pieces; T once glued up"]


def test_nothing_is_chamfered_where_no_piece_has_a_place() -> None:
    job = sample_job(BY_NAME["threshold_bench"], "in")
    assert chamfered_panels(job, ["T", "no such piece"]) == ["T"]
    assert chamfered_panels(replace(job, alike=None), ["T"]) == []


def test_screws_are_driven_when_the_clamps_have_drawn_the_joints_home() -> None:
    """The cabinet's hanging rail is screwed to its sides in stages that clamp housings as well."""
    steps = steps_of("spice_cabinet", "mm")
    driven = [n for n, step in enumerate(steps) if step.startswith("Drive ")]
    assert len(driven) == 2
    assert all(steps[n - 1] == "Clamps on" for n in driven)
