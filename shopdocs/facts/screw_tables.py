"""Printed sizes of screws, clearance holes and cores: data only, the lookups stand in `screws`.

Inch tables are in inches and metric ones in millimetres, exact as printed.
"""

from __future__ import annotations

from fractions import Fraction

from msgspec import Struct

from shopdocs.facts.source import Confidence, Source

_CHART = "Basic Skills: Screw Size Charts"
_PRODUCTION_PAGE = "Wood screw sizes, production screws (manufacturer table)"

GAUGE_RULE = Source(
    "ASME B18.6.1", Confidence.SECONDARY, table="shank 0.060 + 0.013 n", page="two screw gauge chart pages"
)
SHANK_OVER = Fraction("0.004")  # in, above the nominal shank at most
SHANK_LIMIT = Source(
    "ASME B18.6.1",
    Confidence.SECONDARY,
    table="shank, upper limit",
    page="Screw Dimensions / Boring Chart for Wood Screws",
)
SHANK_ROOM = Source("ASME B18.6.1", Confidence.PRACTICE, table="shank, upper limit, and room to slide")
HEAD_CHART = Source("ASME B18.6.1", Confidence.SECONDARY, table="flat head, largest diameter", page=_CHART)
HEAD_PRODUCTION = Source(
    "ASME B18.6.1", Confidence.SECONDARY, table="flat head, largest diameter", page=_PRODUCTION_PAGE
)
HEAD_MEMORY = Source("ASME B18.6.1", Confidence.MEMORY, table="flat head, largest diameter")
ROOT_NDS = Source("NDS", Confidence.MEMORY, table="Appendix L, Table L3, root diameter")
ROOT_TWO_THIRDS = Source(
    "Wood Handbook FPL-GTR-190", Confidence.READ, edition="(2010)", table="ch. 8, root about two thirds of the shank"
)
ANGLE_INCH = Source("ASME B18.6.1", Confidence.MEMORY, table="flat head 80-82 degrees")
ANGLE_METRIC = Source("DIN 7997", Confidence.MEMORY, table="countersunk head 90 degrees")
HEAD_METRIC = Source("DIN 7997", Confidence.MEMORY, table="head 1.85 to 2 times the diameter")

_DIN7998 = Source("DIN 7998", Confidence.SECONDARY, table="wood screw thread", page="Thread type wood screw thread")
_DIN7998_MEMORY = Source("DIN 7998", Confidence.MEMORY, table="wood screw thread")
_ISO273 = Source(
    "ISO 273", Confidence.SECONDARY, edition="1979", table="clearance holes", page="three reference pages that agree"
)
_ISO273_MEMORY = Source("ISO 273", Confidence.MEMORY, edition="1979", table="clearance holes")
_B18_2_8 = Source("ASME B18.2.8", Confidence.MEMORY, edition="1999", table="Table 1")
CLEARANCE_STEPS = Source("", Confidence.PRACTICE)


class WoodScrewRow(Struct, frozen=True):
    """Inch wood screw: largest flat head and thread root, inches; `root` None where no table value is known."""

    gauge: int
    head: Fraction
    head_source: Source
    root: Fraction | None = None


def _screw(gauge: int, head: str, head_source: Source, root: str | None = None) -> WoodScrewRow:
    return WoodScrewRow(gauge, Fraction(head), head_source, None if root is None else Fraction(root))


# Roots are remembered from NDS Table L3; charts on the web differ from it and from each other by 0.01 in.
WOOD_SCREWS = (
    _screw(0, "0.119", HEAD_MEMORY),
    _screw(1, "0.146", HEAD_CHART),
    _screw(2, "0.172", HEAD_CHART),
    _screw(3, "0.199", HEAD_CHART),
    _screw(4, "0.225", HEAD_CHART),
    _screw(5, "0.252", HEAD_CHART),
    _screw(6, "0.279", HEAD_CHART, "0.113"),
    _screw(7, "0.305", HEAD_CHART, "0.122"),
    _screw(8, "0.332", HEAD_PRODUCTION, "0.131"),
    _screw(9, "0.358", HEAD_MEMORY, "0.142"),
    _screw(10, "0.385", HEAD_PRODUCTION, "0.152"),
    _screw(11, "0.412", HEAD_MEMORY),
    _screw(12, "0.438", HEAD_PRODUCTION, "0.171"),
    _screw(14, "0.507", HEAD_PRODUCTION, "0.196"),  # 0.491 in the older table, from memory: the larger one clears both
    _screw(16, "0.544", HEAD_MEMORY, "0.209"),
    _screw(18, "0.597", HEAD_MEMORY, "0.232"),
    _screw(20, "0.650", HEAD_MEMORY, "0.255"),
)


class CoreRow(Struct, frozen=True):
    """Metric wood screw: nominal diameter and core of its thread, mm."""

    diameter: Fraction
    core: Fraction
    source: Source


DIN_7998 = (
    CoreRow(Fraction("1.6"), Fraction("1.1"), _DIN7998),
    CoreRow(Fraction("2.0"), Fraction("1.4"), _DIN7998),
    CoreRow(Fraction("3.0"), Fraction("2.1"), _DIN7998_MEMORY),
    CoreRow(Fraction("3.5"), Fraction("2.4"), _DIN7998_MEMORY),
    CoreRow(Fraction("4.0"), Fraction("2.8"), _DIN7998_MEMORY),
    CoreRow(Fraction("4.5"), Fraction("3.1"), _DIN7998_MEMORY),
    CoreRow(Fraction("5.0"), Fraction("3.5"), _DIN7998_MEMORY),
    CoreRow(Fraction("6.0"), Fraction("4.2"), _DIN7998_MEMORY),
)


class ClearanceRow(Struct, frozen=True):
    """Clearance holes for one thread: ISO 273 calls them fine, medium, coarse; ASME B18.2.8 close, normal, loose."""

    size: str
    diameter: Fraction
    close: Fraction
    normal: Fraction
    loose: Fraction
    source: Source

    def hole(self, fit: str) -> Fraction:
        """Diameter for a fit (close, normal or loose), in the unit of the row; KeyError for any other word."""
        return {"close": self.close, "normal": self.normal, "loose": self.loose}[fit]


def _clearance(size: str, diameter: str, holes: tuple[str, str, str], source: Source) -> ClearanceRow:
    close, normal, loose = (Fraction(hole) for hole in holes)
    return ClearanceRow(size, Fraction(diameter), close, normal, loose, source)


ISO_273 = (
    _clearance("M1", "1", ("1.1", "1.2", "1.3"), _ISO273_MEMORY),
    _clearance("M1.2", "1.2", ("1.3", "1.4", "1.5"), _ISO273_MEMORY),
    _clearance("M1.4", "1.4", ("1.5", "1.6", "1.8"), _ISO273_MEMORY),
    _clearance("M1.6", "1.6", ("1.7", "1.8", "2.0"), _ISO273_MEMORY),
    _clearance("M1.8", "1.8", ("2.0", "2.1", "2.2"), _ISO273_MEMORY),
    _clearance("M2", "2", ("2.2", "2.4", "2.6"), _ISO273_MEMORY),
    _clearance("M2.5", "2.5", ("2.7", "2.9", "3.1"), _ISO273_MEMORY),
    _clearance("M3", "3", ("3.2", "3.4", "3.6"), _ISO273),
    _clearance("M3.5", "3.5", ("3.7", "3.9", "4.2"), _ISO273_MEMORY),
    _clearance("M4", "4", ("4.3", "4.5", "4.8"), _ISO273),
    _clearance("M4.5", "4.5", ("4.8", "5.0", "5.3"), _ISO273_MEMORY),
    _clearance("M5", "5", ("5.3", "5.5", "5.8"), _ISO273),
    _clearance("M6", "6", ("6.4", "6.6", "7.0"), _ISO273),
    _clearance("M7", "7", ("7.4", "7.6", "8.0"), _ISO273_MEMORY),
    _clearance("M8", "8", ("8.4", "9.0", "10.0"), _ISO273),
    _clearance("M10", "10", ("10.5", "11.0", "12.0"), _ISO273_MEMORY),
    _clearance("M12", "12", ("13.0", "13.5", "14.5"), _ISO273_MEMORY),
    _clearance("M14", "14", ("15.0", "15.5", "16.5"), _ISO273_MEMORY),
    _clearance("M16", "16", ("17.0", "17.5", "18.5"), _ISO273_MEMORY),
    _clearance("M18", "18", ("19.0", "20.0", "21.0"), _ISO273_MEMORY),
    _clearance("M20", "20", ("21.0", "22.0", "24.0"), _ISO273_MEMORY),
    _clearance("M22", "22", ("23.0", "24.0", "26.0"), _ISO273_MEMORY),
    _clearance("M24", "24", ("25.0", "26.0", "28.0"), _ISO273_MEMORY),
    _clearance("M27", "27", ("28.0", "30.0", "32.0"), _ISO273_MEMORY),
    _clearance("M30", "30", ("31.0", "33.0", "35.0"), _ISO273_MEMORY),
    _clearance("M33", "33", ("34.0", "36.0", "38.0"), _ISO273_MEMORY),
    _clearance("M36", "36", ("37.0", "39.0", "42.0"), _ISO273_MEMORY),
    _clearance("M39", "39", ("40.0", "42.0", "45.0"), _ISO273_MEMORY),
)
B18_2_8 = (
    _clearance("#4", "0.112", ("0.120", "0.128", "0.144"), _B18_2_8),
    _clearance("#5", "0.125", ("0.141", "0.156", "0.172"), _B18_2_8),
    _clearance("#6", "0.138", ("0.154", "0.170", "0.185"), _B18_2_8),
    _clearance("#8", "0.164", ("0.180", "0.196", "0.213"), _B18_2_8),
    _clearance("#10", "0.190", ("0.206", "0.221", "0.238"), _B18_2_8),
    _clearance("1/4", "0.250", ("0.266", "0.281", "0.295"), _B18_2_8),
    _clearance("5/16", "0.3125", ("0.328", "0.344", "0.359"), _B18_2_8),
    _clearance("3/8", "0.375", ("0.391", "0.406", "0.422"), _B18_2_8),
    _clearance("7/16", "0.4375", ("0.453", "0.469", "0.484"), _B18_2_8),
    _clearance("1/2", "0.500", ("0.531", "0.562", "0.609"), _B18_2_8),
    _clearance("5/8", "0.625", ("0.656", "0.688", "0.734"), _B18_2_8),
    _clearance("3/4", "0.750", ("0.781", "0.812", "0.906"), _B18_2_8),
    _clearance("7/8", "0.875", ("0.906", "0.938", "1.031"), _B18_2_8),
    _clearance("1", "1.000", ("1.031", "1.094", "1.156"), _B18_2_8),
)
# What the rows above add to the thread, for sizes they skip: largest thread, then close, normal, loose, in inches.
INCH_STEPS = (
    (Fraction("0.112"), Fraction(1, 128), Fraction(1, 64), Fraction(1, 32)),
    (Fraction("0.372"), Fraction(1, 64), Fraction(1, 32), Fraction(3, 64)),
)
