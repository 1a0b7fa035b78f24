"""Short cautions in our own words, each with the works behind it.

They are printed where the hurt would happen, once, and hand on to those who know more: the data sheet of the product,
local rules, licensed practice. They are no safety training.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from shopdocs.core.length import INCH, Length
from shopdocs.facts.source import COMMON_PRACTICE, Confidence, Source


class Caution(Struct, frozen=True):
    """`text` is two or three short sentences, `sources` say where what is known behind it is from."""

    key: str
    title: str
    text: str
    sources: tuple[Source, ...]


EPOXY_HEAT = Caution(
    "epoxy",
    "Mixed epoxy makes its own heat",
    "Mix small batches and spread each at once in a shallow tray. A full cup can smoke and burn skin. "
    "Skin contact can bring on a lasting allergy: gloves, sleeves, fresh air. Follow the data sheet.",
    # known: about 240 ml (8 fl oz) in a plastic cup can get hot enough to melt it; a cup has been shown at 105
    # °C (221 °F); bisphenol resins are classed as skin sensitising (H317)
    (
        Source("epoxy maker's questions and answers on temperature", Confidence.SECONDARY),
        Source("Temperature: the ultimate variable", Confidence.SECONDARY),
        Source("Regulation (EC) 1272/2008", Confidence.MEMORY, table="Annex VI, Skin Sens. 1"),
    ),
)
OILY_RAGS = Caution(
    "rags",
    "Oily rags can set themselves alight",
    "Never leave them in a heap. Spread each flat outdoors to dry, or drown them in water in a metal can with a "
    "tight lid. Dispose of them as local rules say.",
    # known: rags wet with drying oil can ignite within a few hours; codes ask for covered metal or listed
    # containers
    (
        Source("fabrication laboratory page on oil-based finishes, Harvard GSD", Confidence.READ),
        Source("30 CFR 57.4104", Confidence.READ),
        Source("International Fire Code", Confidence.READ, table="3304.2"),
        Source("NFPA tip sheet on oily rags", Confidence.MEMORY),
    ),
)
WOOD_DUST = Caution(
    "dust",
    "Wood dust harms lungs and nose",
    "Catch it at the tool, wear a mask made for fine dust, and clean up without stirring it. Some woods also irritate "
    "skin. Local limits apply.",
    # known: NIOSH advises at most 1 mg/m³ over a working day; oak and beech dust are listed as human
    # carcinogens by ACGIH
    (
        Source("OSHA, Wood Dust: Evaluating Exposure", Confidence.READ),
        Source("OSHA Chemical Sampling Information", Confidence.READ, table="NIOSH REL, ACGIH notation"),
        Source("Directive (EU) 2017/2398", Confidence.MEMORY, table="2 mg/m³ hardwood dust"),
    ),
)
DRILLING = Caution(
    "drilling",
    "Before drilling",
    "Clamp the piece, back up the exit, guard your eyes. No gloves, loose sleeves or hair near the turning bit. "
    "Try bit and stop in scrap first.",
    # known: workshop habit
    (COMMON_PRACTICE,),
)
TIP_OVER = Caution(
    "tip-over",
    "Can tip: fasten it to the wall",
    "A tall piece, and any with its drawers open, can fall on a child. Fit a tip restraint into solid framing. "
    "US rules for clothing storage begin at 27 in (686 mm), 30 lb and 3.2 ft³; local rules come first.",
    # known: US rule for clothing storage units: from 27 in high, 30 lb and 3.2 ft³ of enclosed storage
    (
        Source("16 CFR 1261", Confidence.READ, table="with ASTM F2057-23"),
        Source("ASTM F2057", Confidence.MEMORY, edition="23", table="tip restraint supplied"),
    ),
)
LATHE = Caution(
    "lathe",
    "At the lathe",
    "Face shield on. No gloves, loose sleeves, rings or hair near it. Turn the blank by hand to see that it clears, "
    "start slow, stand aside. The lathe's manual and local rules come first.",
    # known: workshop habit; the manual of the lathe decides
    (COMMON_PRACTICE,),
)
FINISH_VAPOUR = Caution(
    "finish",
    "Finish vapour",
    "Open windows, no flame or spark, and the mask the data sheet asks for. Let it harden fully before use, "
    "longer where food or a child's mouth will touch it.",
    # known: workshop habit; every product's own data sheet decides
    (COMMON_PRACTICE,),
)
ON_A_WALL = Caution(
    "wall",
    "It hangs on the wall: fix it to something solid",
    "Screw into studs or sound masonry, with fixings rated for the wall, the piece and its load. "
    "Look for hidden wires and pipes before drilling. Local rules and a licensed tradesperson come first.",
    # known: workshop habit; the data sheet of the fixing decides
    (COMMON_PRACTICE,),
)

GLASS = Caution(
    "glass",
    "Glass: have it cut, and of the safe kind",
    "Ask the glazier for tempered or laminated glass in tops, shelves and doors, its edges ground. "
    "Measure for it when the frame is made and leave it play. Local rules may ask for marked safety glass.",
    # known: US standards for safety glazing, and one for glass in the tops of desks and tables
    (
        Source("16 CFR 1201", Confidence.MEMORY, table="safety glazing, doors"),
        Source("ASTM F2813", Confidence.MEMORY, table="glass as a horizontal surface in desks and tables"),
    ),
)

TIP_OVER_HEIGHT = INCH * 27  # 16 CFR 1261, smallest height in scope
TIP_OVER_POUNDS = 30
TIP_OVER_CUBIC_FEET = Fraction("3.2")


def may_tip(height: Length, pounds: Fraction | None, cubic_feet: Fraction | None) -> bool:
    """Should a free-standing piece carry the tip-over caution? Within the published scope all three limits are met (16
    CFR 1261: height, weight empty, what drawers and doors enclose). What is None nobody knows, and counts as met. A
    hint, not a stability calculation."""
    return (
        height >= TIP_OVER_HEIGHT
        and (pounds is None or pounds >= TIP_OVER_POUNDS)
        and (cubic_feet is None or cubic_feet >= TIP_OVER_CUBIC_FEET)
    )
