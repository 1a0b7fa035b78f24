"""Reads a shop file: what belongs to the bench and not to the design."""

from __future__ import annotations

import re
from fractions import Fraction

from msgspec.structs import replace

from shopdocs.core.check_word import fingerprint
from shopdocs.core.display import Units
from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem, error, warning
from shopdocs.model.build import KEEP, Allowances, Climate, Pace, PrinterCorrection, Shop
from shopdocs.model.parts import FlatSize, Price
from shopdocs.source.given import Given
from shopdocs.source.nodes import Mapping, Scalar, shorten
from shopdocs.source.root_node import read_root, web_address
from shopdocs.source.shape import shape
from shopdocs.source.shop_schema import ShopKeys, ShopSource
from shopdocs.source.values import Values
from shopdocs.source.yard_rack import read_rack, read_yard

# Problems that say what is wrong with a file and repeat nothing that stands in it.
_WITHOUT_WORDS = {"no-file", "link", "size", "encoding", "empty", "yaml", "character", "nesting", "documents"}
_INCH_DEFAULTS = {"kerf": "1/8", "thickness": "1/4", "width": "1/4", "length": "1", "end trim": "1"}


def default_shop() -> Shop:
    """Cautious defaults for a maker without a shop file; each is named so that the sheets can say so."""
    return _shop(ShopKeys(), Values("in"), "")[0]  # nothing is written, so there is nothing to check


def read_shop(given: Given) -> tuple[Shop | None, list[Problem]]:
    """The shop in a file and all problems met."""
    node, problems = read_root(given)
    if not isinstance(node, Mapping) or "shop" not in node.entries:
        return None, _without_its_words(given, problems)
    source, shape_problems, left_out = shape(node, ShopSource)
    problems += shape_problems
    if source is None:
        return None, problems
    keys = source.shop
    units: Units = "mm" if keys.units and keys.units.text.strip().lower() == "mm" else "in"
    values = Values(units, nameless=True)
    values.forgiven |= left_out
    values.word(keys.units, ("in", "mm"), "unit")
    shop, more = _shop(keys, values, given.name)
    return replace(shop, content=fingerprint(given.data)), problems + more


def _without_its_words(given: Given, problems: list[Problem]) -> list[Problem]:
    """What is wrong with a file that is no shop file. It may be any file of the maker's, and who sees the messages may
    be somebody else, so none of its text is repeated."""
    told = [problem for problem in problems if problem.code in _WITHOUT_WORDS]
    wrong, right = "this is not a shop file", "a shop file begins with 'shop:'; see `shopdocs reference`"
    return told or [error(Position(given.name, 1, 1), "shape", wrong, right)]


def _shop(keys: ShopKeys, values: Values, path: str) -> tuple[Shop, list[Problem]]:
    defaults: list[str] = []

    def length(node: Scalar | None, name: str, words: str) -> Length:
        value = values.length(node, least=0)
        if node is None:
            defaults.append(words)
        return value if value is not None else Length.inches(_INCH_DEFAULTS[name])

    milling = keys.milling
    allowances = Allowances(
        thickness=length(milling.thickness if milling else None, "thickness", "milling allowance on thickness"),
        width=length(milling.width if milling else None, "width", "milling allowance on width"),
        length=length(milling.length if milling else None, "length", "milling allowance on length"),
        waste=values.percent(keys.waste, Fraction(1, 5)),
    )
    kerf = length(keys.kerf, "kerf", "kerf")
    if keys.waste is None:
        defaults.append("waste")
    end_trim = length(keys.end_trim, "end trim", "end trim")
    if keys.end_trim is None and values.units == "mm":
        end_trim = Length(25)
    keep = values.size(keys.keep_offcuts, 2, "width x length")
    tally = values.word(keys.tally, ("exact", "surface measure"), "rule")
    if keys.tally is None:
        defaults.append("board-foot rule")
    bits = tuple(sorted({bit for node in keys.bits or () if (bit := values.length(node, least=1))}))
    batch = values.number(keys.batch, "g")
    if keys.batch is None:
        defaults.append("epoxy batch")
    printer = _printer(keys, values)
    shop = Shop(
        name=values.brief(keys.name),
        allowances=allowances,
        kerf=kerf,
        end_trim=end_trim,
        sheet_trim=values.length(keys.sheet_trim, least=0) or ZERO,
        keep=FlatSize(*keep) if keep else KEEP,
        yard=read_yard(keys.yard, values),
        rack=read_rack(keys.rack, values),
        tally=tally or "exact",
        currency=values.brief(keys.currency, 8),
        prices=_prices(keys, values),
        paper=values.word(keys.paper, ("letter", "a4"), "paper") or "",
        labels=values.line(keys.labels),
        labels_used=values.whole(keys.labels_used, 0, least=0) or 0,
        records=web_address(keys.records, values),
        clamps=_clamps(keys, values),
        bits=bits,
        printer=printer,
        batch_grams=batch or Fraction(100),
        pace=_pace(keys, values),
        climate=_climate(keys, values, defaults),
        defaults=tuple(defaults),
        file=path,
        at=keys.at,
        places=keys.places,
    )
    return shop, values.problems


def _clamps(keys: ShopKeys, values: Values) -> dict[str, int]:
    return {
        values.name(kind, node.at): count
        for kind, node in (keys.clamps or {}).items()
        if (count := values.whole(node, least=0)) is not None
    }


def _prices(keys: ShopKeys, values: Values) -> dict[str, tuple[Price, Position]]:
    return {
        values.name(material, node.at): (price, node.at)
        for material, node in (keys.prices or {}).items()
        if (price := values.price(node)) is not None
    }


def _climate(keys: ShopKeys, values: Values, defaults: list[str]) -> Climate:
    """What the piece lives in; what is not written is named among the defaults."""
    own = keys.climate
    damp = "wood in a heated room dries to 3 % at the very least, and above 30 % it does not move"
    worked = values.percents(keys.worked_at, 30, "moisture of the wood when made", damp)
    if own is None:
        defaults.append("climate")
    if keys.worked_at is None:
        defaults.append("worked at")
    usual = Climate()
    if own is None:
        return replace(usual, worked=worked[0] if worked else None, at=keys.place("worked at"))
    return Climate(
        humidity=values.percents(own.humidity, 100, "relative humidity", "that is all air can hold") or usual.humidity,
        celsius=values.climate(own.temperature) or usual.celsius,
        moisture=values.percents(own.moisture, 30, "moisture of the wood over the year", damp),
        worked=worked[0] if worked else None,
        at=own.at,
    )


_INCHES, _METRIC = re.compile('in|["\u2033]'), re.compile("[cm]m")  # units in the words of a length


def _pace(keys: ShopKeys, values: Values) -> Pace:
    usual = Pace()
    own = keys.pace
    if own is None:
        return usual
    return Pace(
        spread=values.minutes(own.spread, most=2) or usual.spread,
        joint=values.minutes(own.joint, most=2) or usual.joint,
        area=values.minutes(own.area, most=2) or usual.area,
        mix=values.minutes(own.mix, most=2) or usual.mix,
        clamp=values.minutes(own.clamp, most=2) or usual.clamp,
        square=values.minutes(own.square, most=2) or usual.square,
    )


def _printer(keys: ShopKeys, values: Values) -> PrinterCorrection:
    """Measured over nominal of the bars: of 4 in where the measure is in inches, else of 100 mm. More than 5 % off is
    no printer's error but a scaled print."""

    def ratio(node: Scalar | None) -> Fraction:
        measured = values.length(node, least=1)
        if measured is None or node is None:
            return Fraction(1)
        in_inches = not _METRIC.search(node.text) and (values.units == "in" or _INCHES.search(node.text) is not None)
        bar, told = (Length.inches(4), "4 in") if in_inches else (Length(100), "100 mm")
        share = measured / bar
        if abs(share - 1) > Fraction(5, 100):
            wrong = f"the {told} bar measures '{shorten(node.text)}'"
            right = "print at 100 % (actual size) and measure again; it is not corrected"
            if in_inches and abs(measured / Length.inches(100) - 1) <= Fraction(5, 100):
                right = f"if that is the 100 mm side, write '{shorten(node.text)} mm'; it is not corrected"
            values.problems.append(warning(node.at, "printer", wrong, right))
            return Fraction(1)
        return share

    if keys.printer is None:
        return PrinterCorrection()
    return PrinterCorrection(ratio(keys.printer.across), ratio(keys.printer.up))
