"""What to leave on the day of making: one figure on the cut list, the movement sheet and drawn beside the piece; and
the play of drawers and doors, reckoned by hand."""

from __future__ import annotations

import subprocess
from fractions import Fraction
from pathlib import Path

import pytest
import shapely

from shopdocs.blocks.drawing import Drawing, Line, Polygon, Stroke, Words
from shopdocs.blocks.text import Table, plain
from shopdocs.blocks.walk import figures, walk
from shopdocs.core.length import Length
from shopdocs.documents.drawn.season_details import ROOM, season_details
from shopdocs.documents.fitting.joint_cuts import cut_words
from shopdocs.documents.job import Job
from shopdocs.documents.seasons import season_lines
from tests.sample_jobs import BY_NAME, document_of, job_of, sample_job, sample_pdf


def measured(drawing: Drawing) -> list[tuple[str, Length]]:
    """What is told of the room, and how far apart its two thin lines stand in the drawing."""
    words = [shape.text for shape in drawing.shapes if isinstance(shape, Words) and shape.anchor == "left"]
    thin = [shape for shape in drawing.shapes if isinstance(shape, Line) and shape.stroke is Stroke.THIN]
    upright = [line.start[0] for line in thin if line.start[0] == line.end[0]]
    level = [line.start[1] for line in thin if line.start[1] == line.end[1]]
    ends = upright or level
    return [(told, max(ends) - min(ends)) for told in words]


def named(drawing: Drawing) -> list[str]:
    """By shapely: the name within each outline of a detail, first that of what is tinted. Each holds one name with all
    its height; capitals are about 0.7 of the size of their letters high, an inch is 72 points."""
    forms = [shape for shape in drawing.shapes if isinstance(shape, Polygon)]
    names = [shape for shape in drawing.shapes if isinstance(shape, Words) and shape.anchor == "centre"]
    found = []
    for form in sorted(forms, key=lambda form: form.fill != "tint"):
        outline = shapely.Polygon([(x.float_mm(), y.float_mm()) for x, y in form.points])
        for name in names:
            x, y = (value.float_mm() for value in name.at)
            letters = shapely.LineString([(x, y), (x, y + 0.7 * name.size_pt * 25.4 / 72)])
            if outline.contains(letters):
                assert outline.exterior.distance(letters) > 0.5
                found.append(name.text)
    assert len(forms) == len(names) == len(found)
    return found


def test_the_room_of_the_bench_top_is_drawn_true_and_told_alike() -> None:
    # tests/work/seasons/test_samples.py reckons 0.063705 in each way by hand; up to the next 32nd, as the bench is
    # measured, that is 3/32 in. The second way by hand: 0.063705 / 0.03125 = 2.04, so 3 of them. The build leaves 1/8.
    job = sample_job(BY_NAME["threshold_bench"], "in")
    (drawn,) = season_details(job, ["T"])
    assert [one.scale for one in (*drawn.larger, drawn)] == [Fraction(1), Fraction(2, 3), Fraction(1, 2)]
    for one in (*drawn.larger, drawn):
        (told,) = [(words, far) for words, far in measured(one) if "now" in words]
        assert told == ("¹⁄₈ in each way now", Length.inches("1/8"))
        assert {"RB", "top button", "T"} < {shape.text for shape in one.shapes if isinstance(shape, Words)}
    for name in ("cut-list", "movement", "piece-drawings"):
        told = {f.shown for f in figures(document_of(job, name).blocks) if f.name == "top · season"}
        assert told == {"³⁄₃₂ in"}, name
    drawn_there = [b.name for b in walk(document_of(job, "piece-drawings").blocks) if isinstance(b, Drawing)]
    assert drawn_there.count(ROOM) == 1


def section_of(polygon: Polygon) -> shapely.Polygon:
    return shapely.Polygon([(x.float_mm(), y.float_mm()) for x, y in polygon.points])


def test_a_button_is_drawn_with_its_tongue_in_the_groove() -> None:
    """From the build: the rail is 7/8 thick, its groove 3/8 deep, 1/2 to 13/16 under the top. A tongue is 1/32 thinner
    and shorter than its groove (common practice, no source): 9/32 x 11/32; the shoulder 1/8 off the rail. So it reaches
    11/32 - 1/8 = 7/32 into the groove, and 3/8 - 7/32 = 5/32 is left before its end."""
    (drawn,) = season_details(sample_job(BY_NAME["threshold_bench"], "in"), ["T"])
    rail, button = (section_of(shape) for shape in drawn.shapes if isinstance(shape, Polygon))
    hull, inch = rail.envelope, 25.4
    groove = hull.difference(rail)
    assert groove.area == pytest.approx(3 / 8 * 5 / 16 * inch**2)
    assert not rail.buffer(-1e-6).intersects(button)
    assert groove.intersection(button).area == pytest.approx(7 / 32 * 9 / 32 * inch**2)
    top = next(s for s in drawn.shapes if isinstance(s, Line) and s.stroke is Stroke.VISIBLE)
    assert top.start[1] == top.end[1]
    assert rail.bounds[3] == pytest.approx(top.start[1].float_mm())
    assert 0 <= top.start[1].float_mm() - button.bounds[3] < inch / 16
    assert button.intersection(hull.buffer(inch / 8 - 1e-6)).difference(hull).area < 9 / 32 / 8 * inch**2 + 1e-3


def test_a_gap_is_drawn_and_told_as_the_build_has_it() -> None:
    """From the build of the potting table: slats 6 apart, of which 3 are needed on both sides together; 2 from the
    drawer front up to the front rail over it. Slats 3 apart would make a top 600 - 5 x 3 = 585 deep."""
    job = sample_job(BY_NAME["potting_table"], "mm")
    (slats,) = season_details(job, ["TS2"])
    assert measured(slats) == [("6 mm now", Length(6))]
    assert named(slats)[1] == "TS2"
    (front,) = season_details(job, ["DF1"])
    assert measured(front) == [("2 mm now", Length(2))]
    rail, drawer = named(front)
    assert (rail, drawer) == ("FU", "DF1")
    high = {shape.text: shape.at[1] for shape in front.shapes if isinstance(shape, Words)}
    across = {shape.text: shape.at[0] for shape in front.shapes if isinstance(shape, Words)}
    assert high["FU"] > high["DF1"]
    assert across["FU"] == across["DF1"]
    told = {line for line in map(plain, season_lines(job)) if "gap" in line}
    assert "TS2–TS5: leave gaps of 6 mm now; 3 mm is the least, both sides together" in told
    assert any(line.endswith("leave a gap of 2 mm to FU now; 1.5 mm is the least") for line in told)


def small(tmp_path: Path, parts: str, joints: str) -> Job:
    """A build of hard maple, worked at 6 % and 6 to 12 % over the year."""
    (tmp_path / "shop.yaml").write_text("shop: {worked at: 6 %, climate: {moisture: 6 % to 12 %}}")
    (tmp_path / "build.yaml").write_text(
        "build: {title: Season, mark: S, units: mm, free standing: no}\n"
        "materials: {maple: {kind: hardwood, species: hard maple, rough: 34}}\n"
        f"parts:\n{parts}joints: {{{joints}}}\n",
        "utf-8",
    )
    return job_of(tmp_path / "build.yaml")


@pytest.mark.parametrize(
    ("name", "wood"),
    [
        ("threshold_bench", "white ash, flat-sawn (assumed)"),  # the table has "ash, white"
        ("plate_rack", "hard maple (sugar maple), flat-sawn (assumed)"),  # and "maple, sugar": one wood, two names
    ],
)
def test_wood_is_called_as_on_the_other_sheets(name: str, wood: str) -> None:
    sheet = document_of(sample_job(BY_NAME[name], "in"), "movement")
    (table,) = (block for block in walk(sheet.blocks) if isinstance(block, Table) and block.name == "movement")
    assert {plain(row.cells[2].text) for group in table.groups for row in group.rows} == {wood}


def test_a_panel_is_drawn_in_its_groove(tmp_path: Path) -> None:
    # Hard maple moves 0.00353 for 1 % (Wood Handbook, FPL-GTR-190, Table 13-5). The panel is 300 + 2 x 8 wide:
    # 316 x 0.00353 x 6 = 6.693 mm over six per cent, 3.346 at either edge, to be left as 3.5 (half millimetres).
    job = small(
        tmp_path,
        "  stile: {material: maple, size: 22 x 50 x 500, runs: {length: z, width: x},\n"
        "    pieces: {L: {x: 0, y: 0, z: 0}, R: {x: 350, y: 0, z: 0}}}\n"
        "  panel: {material: maple, size: 12 x 300 x 400, runs: {length: z, width: x},\n"
        "    pieces: {P: {x: 50, y: 5, z: 50}}}\n",
        "g: {kind: tongue and groove, from: panel, into: stile, thickness: 6, length: 8, room: 4, glued: no}",
    )
    (drawn,) = season_details(job, ["P"])
    assert measured(drawn) == [("at least 3.5 mm each side now", Length("3.5"))]
    assert named(drawn) in (["L", "P"], ["R", "P"])
    # the tongue of 6 between walls of 3 on either side; what is measured stands upon them
    (groove,) = (shape for shape in drawn.shapes if isinstance(shape, Polygon) and shape.fill == "tint")
    thin = [shape for shape in drawn.shapes if isinstance(shape, Line) and shape.stroke is Stroke.THIN]
    feet = {min(line.start[1], line.end[1]) for line in thin if line.start[0] == line.end[0]}
    assert feet == {max(y for _, y in groove.points)} == {Length(12)}
    assert not season_details(job, ["L", "R"])  # they hold it


@pytest.mark.parametrize(("width", "told"), [("", ""), (", width: 13", " for a tongue 12 thick")])
def test_a_groove_says_where_its_tongue_is_thinner(tmp_path: Path, width: str, told: str) -> None:
    # a sheet 12 thick goes in whole, 10 deep (common practice, no source), with 1.5 of room
    (tmp_path / "build.yaml").write_text(
        "build: {title: Groove, mark: G, units: mm, free standing: no}\n"
        "materials:\n"
        "  maple: {kind: hardwood, species: hard maple, rough: 34}\n"
        "  ply: {kind: sheet, species: birch plywood, thickness: 12, sheet: 1200 x 2400}\n"
        "parts:\n"
        "  stile: {material: maple, size: 26 x 50 x 500, runs: {length: z, width: x},\n"
        "    pieces: {L: {x: 0, y: 0, z: 0}}}\n"
        "  panel: {material: ply, size: 12 x 300 x 400, runs: {length: z, width: x},\n"
        "    pieces: {P: {x: 50, y: 7, z: 50}}}\n"
        f"joints: {{g: {{kind: tongue and groove, from: panel, into: stile, glued: no{width}}}}}\n",
        "utf-8",
    )
    job = job_of(tmp_path / "build.yaml")
    assert job.space is not None
    (groove,) = job.space.pieces["L"].features
    wide = 13 if width else 12
    assert cut_words(job, [groove], job.space.pieces["L"]) == f"groove {wide} wide{told}, 11.5 deep"


def test_a_breadboard_end_is_drawn_with_the_way_its_panel_goes(tmp_path: Path) -> None:
    # 400 of hard maple, its middle kept by a pin: 400 x 0.00353 x 6 = 8.472, half of it at either edge, 4.236 mm out;
    # as it is worked at the driest, nothing back.
    job = small(
        tmp_path,
        "  panel: {material: maple, size: 24 x 400 x 600, runs: {length: x, width: y},\n"
        "    pieces: {P: {x: 60, y: 0, z: 0}}}\n"
        "  end: {material: maple, size: 24 x 60 x 400, runs: {length: y, width: x}, pieces: {E: {x: 0, y: 0, z: 0}}}\n",
        "end: {kind: breadboard end, from: panel, into: end, thickness: 8, length: 30, width: 8}",
    )
    (drawn,) = season_details(job, ["P"])
    assert measured(drawn) == [("≈4.2 out", Length("4.236"))]
    assert named(drawn) == ["E", "P"]


def test_drawers_in_their_openings() -> None:
    # From the build: the front rails are 1000 long between the legs, the divider 30 wide in their middle, so that each
    # opening is (1000 - 30) / 2 = 485; the fronts leave 2 at either side. The apron is 160, the rails 30 and 30 of it:
    # 100 high, the drawer sides 98, riding on the lower rail. Flat-sawn white oak, 0.00365 for 1 %, worked at 11 %; in
    # damp air 1.3963 mm is taken (tests/work/seasons/test_samples.py), in dry air 98 x 0.00365 x (11 - 6.9) = 1.4666
    # is added (Eq. 13-2). The legs beside them are 60 wide and swell by 60 x (1.3963 / 98) = 0.8549, half of it into
    # the opening: 4 - 0.43 = 3.57; in dry air 4 + 60 x 0.00365 x 4.1 / 2 = 4.449. The divider's width runs back.
    folder = BY_NAME["potting_table"]
    job = sample_job(folder, "mm")
    assert [fit.word for fit in job.fits] == ["drawer", "drawer"]
    (table,) = [b for b in walk(document_of(job, "movement").blocks) if isinstance(b, Table) and b.name == "clearances"]
    told = [[plain(cell.text) for cell in row.cells] for group in table.groups for row in group.rows]
    assert told == [
        ["drawers DF1, DF2", "width", "485", "481", "2 left, 2 right", "≈3.6", "≈4.4"],
        ["drawers DF1, DF2", "height", "100", "98", "0 below, 2 above", "≈0.6", "≈3.5"],
    ]
    assert job.year.dry == Fraction("6.9")
    printed = subprocess.run(["pdftotext", "-layout", "-", "-"], input=sample_pdf(folder, "mm"), capture_output=True)
    lines = [" ".join(line.split()) for line in printed.stdout.decode().splitlines()]
    assert any("height 100 98 0 below, 2 above ≈0.6 ≈3.5" in line for line in lines)


def test_a_door_that_lies_over_its_case(tmp_path: Path) -> None:
    job = small(
        tmp_path,
        "  side: {material: maple, size: 20 x 100 x 400, runs: {length: z, width: y},\n"
        "    pieces: {L: {x: 0, y: 22, z: 0}, R: {x: 280, y: 22, z: 0}}}\n"
        "  shelf: {material: maple, size: 20 x 100 x 260, runs: {length: x, width: y},\n"
        "    pieces: {S: {x: 20, y: 22, z: 100}, T: {x: 20, y: 22, z: 300}}}\n"
        "  door: {material: maple, size: 20 x 296 x 396, runs: {length: z, width: x},\n"
        "    pieces: {D: {x: 2, y: 0, z: 2}}}\n",
        "s: {kind: dowels, from: shelf, into: side, count: 2, thickness: 8}",
    )
    # the case begins at y 22, the door ends at 20
    (fit,) = job.fits
    assert (fit.word, fit.marks) == ("door", ("D",))
    assert fit.behind is not None and fit.behind.gap == Length(2)
    assert all(way.low is None and way.high is None and way.opening is None for way in fit.ways)


def test_what_the_maker_leaves_so_is_told_as_such(tmp_path: Path) -> None:
    """The seat of a deeper stool is held by legs tied below, and its build answers the doubt: `meant: [fast-across S
    FL BL]`. Without the answer the sheet says no and nothing else."""
    deep = (BY_NAME["loft_stool"] / "build.yaml").read_text("utf-8").replace("  D: 300", "  D: 340")
    for text, told in ((deep + "\nmeant: [fast-across S FL BL]\n", "no, on purpose"), (deep, "no")):
        file = tmp_path / "build.yaml"
        file.write_text(text, "utf-8")
        (table,) = (b for b in walk(document_of(job_of(file), "movement").blocks)
                    if isinstance(b, Table) and b.name == "movement-held")  # fmt: skip
        ((row,),) = (group.rows for group in table.groups)
        assert plain(row.cells[-1].text) == told
