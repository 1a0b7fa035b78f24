"""Shrinkage, movement coefficients and specific gravity of woods: data only, the lookups stand in `movement`.

Wood Handbook, FPL-GTR-190 (2010): coefficients per 1 % moisture from Table 13-5, shrinkage green to oven-dry in percent
from Table 4-3 (imported woods 4-4), specific gravity at 12 % moisture from Table 5-3 (imported woods 5-5, rough).
"""

from __future__ import annotations

from fractions import Fraction
from functools import partial
from typing import Literal

from msgspec import Struct

from shopdocs.facts.source import Confidence, Source

WoodGroup = Literal["hardwood", "softwood"]

R = Confidence.READ
S = Confidence.SECONDARY
M = Confidence.MEMORY
_BOOK, _EDITION = "Wood Handbook FPL-GTR-190", "(2010)"


class Species(Struct, frozen=True):
    """One wood. Radial movement is across a quarter-sawn board, tangential across a flat-sawn one.

    `radial` and `tangential` are the change per 1 % of moisture as a share of the width, None where Table 13-5 has no
    row. `shrinks_*` is the percentage lost from green to oven-dry. `fibre_saturation` is the moisture in percent above
    which nothing moves (30; 22 for some woods). `gravity` is oven-dry weight over volume at 12 %.
    """

    name: str
    group: WoodGroup
    radial: Fraction | None
    tangential: Fraction | None
    coefficient_source: Source
    shrinks_radial: Fraction
    shrinks_tangential: Fraction
    shrinkage_source: Source
    gravity: Fraction | None
    gravity_source: Source
    aliases: tuple[str, ...] = ()
    fibre_saturation: int = 30


def _species(
    group: WoodGroup,
    imported: bool,
    name: str,
    coefficients: str,
    read_c: Confidence,
    shrinkage: str,
    read_s: Confidence,
    gravity: str,
    read_g: Confidence,
    aliases: str = "",
    base: int = 30,
) -> Species:
    radial, tangential = (Fraction(text) for text in coefficients.split()) if coefficients else (None, None)
    across, along_rings = (Fraction(text) for text in shrinkage.split())
    return Species(
        name,
        group,
        radial,
        tangential,
        Source(_BOOK, read_c, _EDITION, "Table 13-5"),
        across,
        along_rings,
        Source(_BOOK, read_s, _EDITION, "Table 4-4" if imported else "Table 4-3"),
        Fraction(gravity) if gravity else None,
        Source(_BOOK, read_g, _EDITION, "Table 5-5" if imported else "Table 5-3"),
        tuple(alias for alias in aliases.split("; ") if alias),
        base,
    )


_hard = partial(_species, "hardwood", False)
_soft = partial(_species, "softwood", False)
_import = partial(_species, "hardwood", True)

# name, C radial and tangential, read how; shrinkage radial, tangential, read how; gravity, read how; aliases.
# An alias of a group ("southern pine") names its member that moves most.
SPECIES = (
    _hard("alder, red", "0.00151 0.00256", R, "4.4 7.3", R, "0.41", S, "alder"),
    _hard("ash, black", "0.00172 0.00274", R, "5.0 7.8", R, "0.49", S),
    _hard("ash, green", "0.00169 0.00274", R, "4.6 7.1", R, "0.56", S),
    _hard("ash, Oregon", "0.00141 0.00285", R, "4.1 8.1", R, "0.55", S),
    _hard("ash, white", "0.00169 0.00274", R, "4.9 7.8", R, "0.60", S, "ash; American ash"),
    _hard("aspen, quaking", "0.00119 0.00234", R, "3.5 6.7", R, "0.38", S, "aspen"),
    _hard("basswood, American", "0.00230 0.00330", R, "6.6 9.3", R, "0.37", S, "basswood"),
    _hard("beech, American", "0.00190 0.00431", R, "5.5 11.9", R, "0.64", S, "beech"),
    _hard("birch, sweet", "0.00256 0.00338", R, "6.5 9.0", R, "0.65", S),
    _hard("birch, yellow", "0.00256 0.00338", R, "7.3 9.5", R, "0.62", S, "birch"),
    _hard("buckeye, yellow", "0.00123 0.00285", R, "3.6 8.1", R, "0.36", M),
    _hard("butternut", "0.00116 0.00223", R, "3.4 6.4", R, "0.38", S, "white walnut"),
    _hard("catalpa, northern", "0.00085 0.00169", R, "2.5 4.9", M, "0.41", M),
    _hard("cherry, black", "0.00126 0.00248", R, "3.7 7.1", R, "0.50", S, "cherry; American cherry"),
    _hard("chestnut, American", "0.00116 0.00234", R, "3.4 6.7", R, "0.43", S, "chestnut"),
    _hard("cottonwood, eastern", "0.00133 0.00327", R, "3.9 9.2", R, "0.40", S, "cottonwood"),
    _hard("elm, American", "0.00144 0.00338", R, "4.2 9.5", R, "0.50", S, "elm; white elm"),
    _hard("elm, rock", "0.00165 0.00285", R, "4.8 8.1", R, "0.63", S),
    _hard("hackberry", "0.00165 0.00315", R, "4.8 8.9", R, "0.53", S),
    _hard("hickory, pecan", "0.00169 0.00315", R, "4.9 8.9", R, "0.66", S, "pecan"),
    _hard("hickory, true", "0.00259 0.00411", M, "7.0 10.5", M, "0.72", S, "hickory"),
    _hard("honeylocust", "0.00144 0.00230", R, "4.2 6.6", M, "", M, "honey locust"),
    _hard("locust, black", "0.00158 0.00252", R, "4.6 7.2", M, "0.69", S, "robinia"),
    _hard("maple, bigleaf", "0.00126 0.00248", R, "3.7 7.1", M, "0.48", S),
    _hard("maple, black", "0.00165 0.00353", R, "4.8 9.3", M, "0.57", S),
    _hard("maple, red", "0.00137 0.00289", R, "4.0 8.2", M, "0.54", S, "soft maple"),
    _hard("maple, silver", "0.00102 0.00252", R, "3.0 7.2", M, "0.47", M),
    _hard("maple, sugar", "0.00165 0.00353", R, "4.8 9.9", M, "0.63", M, "hard maple; rock maple"),
    _hard("oak, red", "0.00158 0.00369", R, "4.0 8.6", M, "0.63", M),
    _hard("oak, white", "0.00180 0.00365", R, "5.6 10.5", R, "0.68", M),
    _hard("sweetgum", "0.00183 0.00365", R, "5.3 10.2", R, "0.52", M, "sweet gum; red gum"),
    _hard("tupelo, black", "0.00176 0.00308", R, "5.1 8.7", R, "0.50", M, "tupelo; black gum"),
    _hard("walnut, black", "0.00190 0.00274", R, "5.5 7.8", R, "0.55", M, "walnut; American walnut"),
    _hard("yellow-poplar", "0.00158 0.00289", M, "4.6 8.2", R, "0.42", M, "poplar; tulip poplar; tulipwood"),
    _soft("baldcypress", "0.00130 0.00216", M, "3.8 6.2", M, "0.46", M, "bald cypress; cypress"),
    _soft("cedar, eastern redcedar", "0.00106 0.00162", M, "3.1 4.7", R, "0.47", M, "aromatic cedar"),
    _soft("cedar, incense", "0.00112 0.00180", M, "3.3 5.2", R, "0.37", M),
    _soft("cedar, Port-Orford", "0.00158 0.00241", M, "4.6 6.9", R, "0.43", M),
    _soft("cedar, western redcedar", "0.00111 0.00234", M, "2.4 5.0", R, "0.32", M, base=22),
    _soft("Douglas-fir, coast", "0.00165 0.00267", M, "4.8 7.6", R, "0.48", M, "Douglas fir"),
    _soft("fir, white", "0.00112 0.00245", M, "3.3 7.0", R, "0.39", M),
    _soft("hemlock, western", "0.00144 0.00274", M, "4.2 7.8", M, "0.45", M),
    _soft("larch, western", "0.00155 0.00323", M, "4.5 9.1", M, "0.52", M),
    _soft("pine, eastern white", "0.00071 0.00212", M, "2.1 6.1", M, "0.35", M, "white pine"),
    _soft("pine, loblolly", "0.00165 0.00259", M, "4.8 7.4", M, "0.51", M),
    _soft("pine, longleaf", "0.00176 0.00263", M, "5.1 7.5", M, "0.59", M),
    _soft("pine, ponderosa", "0.00133 0.00216", M, "3.9 6.2", M, "0.40", R),
    _soft("pine, shortleaf", "0.00158 0.00271", M, "4.6 7.7", M, "0.51", R, "southern pine; southern yellow pine"),
    _soft("pine, sugar", "0.00099 0.00194", M, "2.9 5.6", M, "0.36", R),
    _soft("redwood, old-growth", "0.00120 0.00205", M, "2.6 4.4", M, "0.40", R, base=22),
    _soft("redwood, second-growth", "0.00101 0.00229", M, "2.2 4.9", M, "0.35", R, "redwood", base=22),
    _soft("spruce, Engelmann", "0.00130 0.00248", M, "3.8 7.1", M, "0.35", M),
    _soft("spruce, Sitka", "0.00148 0.00263", M, "4.3 7.5", M, "0.40", M),
    # imported woods
    _import("mahogany, true", "0.00172 0.00238", M, "3.0 4.1", R, "0.45", M, "mahogany; genuine mahogany"),
    _import("mahogany, African", "0.00141 0.00201", M, "2.5 4.5", R, "0.42", M, "khaya"),
    _import("teak", "0.00101 0.00186", M, "2.5 5.8", M, "0.55", M),
    _import("andiroba", "0.00137 0.00274", M, "3.1 7.6", R, "0.54", M, "crabwood"),
    _import("apitong", "", M, "5.2 10.9", R, "0.59", M, "keruing"),
    _import("afrormosia", "", M, "3.0 6.4", R, "0.61", M),
    _import("limba", "", M, "4.5 6.2", R, "0.38", M),
    _import("angelique", "", M, "5.2 8.8", R, "0.60", M),
)  # fmt: skip
