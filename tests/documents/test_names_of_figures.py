"""What the figures of a set are called in its list of figures: by what they measure, last of all the word for that. The
words stand here as a maker would look for them, each beside the units that it is told in."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from shopdocs.blocks.text import Figure
from shopdocs.blocks.walk import figures
from tests.sample_jobs import SAMPLES, own_units, records_of, sample_documents, sample_job

MONEY = ("$", "EUR")
LENGTHS = """
    length | width | thickness | height | depth | radius | diameter | place | size | stock | span | step | index | gap
    kerf | bit | chamfer | countersink | overhang | screw | tongue | tongue long | across | along | along it | deep
    from | to | begins | off | out | left | rise | skew | curve | apart | thickest
    finished length | finished width | finished thickness | rough length | rough width | rough thickness
    with joinery length | with joinery width | with joinery thickness | long with joinery
    before turning length | before turning width | before turning thickness
    stopped chamfer from | stopped chamfer to | shoulder line from the end | shoulder to shoulder | centre line
    hole across | hole along | hole depth | hole from far edge | end A | the face edge | cut
    dimension | top | underside
    pilot bit | pilot bit of its screw | pilot depth of its screw | clearance bit | clearance bit of its screw
    recess bit | recess bit of its screw | recess depth of its screw | slot of its screw | depth stop
    groove | stopped groove | housing | mortise | end trim | sheet trim
    swells | swells by | shrinks | over the year | made | damp | gives | needs | season | room left | slight | opening
    play above | play below | play left | play right | play in damp air | play in dry air | off what it lies over
    bar clamp cm opened to | bar clamp in opened to | pads | proud | sawn back to | front and rear | left and right
"""
COUNTS = """
    pieces | joints | strips | seams | boards | sheets | count | surface | to saw | to buy | cuts | holes
    screws | clamps | cauls | pads | coats | lines | arcs | mixing cups
"""
SAID: dict[str, str] = {
    "mm": LENGTHS,
    "count": COUNTS,
    "degrees": "angle | off square | on the edge | from the edge | from the face | from plumb | rake | splay | tilt"
    "| sight line | sight line from front-rear | sight line from left-right",
    "length to 1 off": "slope",
    "min": "assembly time | pot life | at the bench | work | glue no older than",
    "h": "full strength | first hard use | wait | begins | clamped | in clamps | out of the clamps",
    "g": "adhesive | glue | batch | else mixed",
    "l": "finish",
    "m²": "area | glued area",
    "ft²": "area",
    "m³": "net | rough | boards | volume | volume to buy",
    "bf": "net | rough | exact | by surface | used | to buy",
    "%": "humidity | moisture | worked at | yield | over the least",
    "°C": "label | shop | temperature",
    **dict.fromkeys(MONEY, "each | price | least price"),
}
WORDS = {unit: {word.strip() for word in re.split(r"[|\n]", said)} - {""} for unit, said in SAID.items()}


def last_word(figure: Figure) -> str:
    """What it measures, without the number of one among several."""
    return re.sub(r"\bp?\d+ ?", "", figure.name.rpartition(" · ")[2]).strip()


@pytest.mark.parametrize("folder", SAMPLES, ids=lambda path: path.name)
def test_every_figure_is_called_by_what_it_measures(folder: Path) -> None:
    units = own_units(folder)
    documents = (*sample_documents(folder, units), *records_of(sample_job(folder, units)))
    strange = {
        (document.name, figure.name, figure.unit)
        for document in documents
        for figure in figures(document.blocks)
        if last_word(figure) not in WORDS.get(figure.unit, ())
    }
    assert not strange
