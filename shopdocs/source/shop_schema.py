"""Every key of the shop file, what belongs to the bench and not to a design, with its meaning; see `schema`."""

from __future__ import annotations

from typing import Any

from shopdocs.source.groups import Keys
from shopdocs.source.groups import key as _key
from shopdocs.source.keys import (
    LengthList,
    LengthText,
    PaperWord,
    PercentRange,
    PercentText,
    PriceText,
    SizeText,
    TallyWord,
    TemperatureRange,
    TextList,
    TimeText,
    UnitsWord,
    WholeText,
    Words,
)


class MillingKeys(Keys):
    """What is added to the finished size before rough sawing."""

    thickness: LengthText | None = _key("to the thickness; 1/4 in by default", example="1/4")
    width: LengthText | None = _key("to the width, both edges together; 1/4 in by default", example="1/4")
    length: LengthText | None = _key("to the length, both ends together; 1 in by default", example="1")


class PrinterKeys(Keys):
    """What the bars of the templates measure on this printer: the 4 in side in inches, or the 100 mm side in mm."""

    across: LengthText | None = _key("measured length of the bar across the sheet", example="99.6 mm")
    up: LengthText | None = _key("measured length of the bar up the sheet", example="100.2 mm")


class PaceKeys(Keys):
    """The maker's own pace at a glue-up, from a timed dry run; the defaults are common practice."""

    spread: TimeText | None = _key("to spread the glue of one small joint; 1 min by default", example="1 min")
    joint: TimeText | None = _key("to spread and close one small joint; 1.5 min by default", example="1.5 min")
    area: TimeText | None = _key(
        "to spread the glue on each square foot, or 0.1 m2, of a large joint; 2 min by default", example="2 min"
    )
    mix: TimeText | None = _key("to mix a batch while the last is on the wood; 2 min by default", example="2 min")
    clamp: TimeText | None = _key("to set one clamp; 0.75 min by default", example="1 min")
    square: TimeText | None = _key("to check a stage for square and wind; 3 min by default", example="4 min")


class ClimateKeys(Keys):
    """The air round the finished piece over a year; without it an ordinary heated house, 30 % to 65 % at 70 F."""

    humidity: PercentRange | None = _key(
        "relative humidity of the air from the driest to the dampest weeks", example="30 % to 65 %"
    )
    temperature: TemperatureRange | None = _key("temperature of the air; 70 F by default", example="64 F to 75 F")
    moisture: PercentRange | None = _key(
        "moisture of the wood itself over the year, as a meter shows it; wins over the air", example="6 % to 11 %"
    )


class YardKeys(Keys):
    """A size of board or sheet that the yard sells."""

    material: Words = _key("name of the material in the builds", needed=True, example="ash 5/4")
    width: LengthText | None = _key("width; dressed softwood and sheets have their own", example="6")
    length: LengthText | None = _key("length along the grain; sheets have their own", example="8 ft")
    price: PriceText | None = _key("its price, where it is not the material's", example="52 per piece")
    count: WholeText | None = _key("how many there are; as many as needed by default", example="3")


class RackKeys(Keys):
    """A board or a sheet that is at hand."""

    mark: Words = _key("what is chalked on it; not the mark of a piece", needed=True, example="R1")
    material: Words = _key("name of the material in the builds", needed=True, example="ash 5/4")
    thickness: LengthText | None = _key("thickness as measured; the material's by default", example="1-3/16")
    width: LengthText | None = _key("width; dressed softwood and sheets have their own", example="7-1/4")
    length: LengthText = _key("length along the grain", needed=True, example="5 ft 2 in")
    defects: TextList | None = _key(
        "stretches to avoid, from the left end, and from the lower edge where they do not cross the whole width",
        example="[0 to 3, 40 to 43 across 0 to 2-1/2]",
    )


class ShopKeys(Keys):
    """The bench's own file: what belongs to the shop and not to the design."""

    name: Words | None = _key("name of the shop", example="Juniper Vale Workshop")
    units: UnitsWord | None = _key("what a number without a unit means in this file", example="in")
    currency: Words | None = _key("sign or letters printed with prices", example="$")
    prices: dict[str, PriceText] | None = _key(
        "what the yard asks, by the name of the material in the builds", example="{ash 8/4: 9.20 per bf}"
    )
    kerf: LengthText | None = _key("width of the saw cut; 1/8 in by default", example="1/16")
    milling: MillingKeys | None = _key("allowances for planing and trimming")
    end_trim: LengthText | None = _key(
        "lost at each end of a board before the first piece; 1 in by default", "end trim", example="1"
    )
    sheet_trim: LengthText | None = _key(
        "lost at each edge of a sheet; nothing by default", "sheet trim", example="1/4"
    )
    keep_offcuts: SizeText | None = _key(
        "width x length of the smallest offcut worth keeping; 2 x 12 in by default", "keep offcuts", example="2 x 12"
    )
    yard: list[YardKeys] | None = _key("boards and sheets that the yard sells")
    rack: list[RackKeys] | None = _key("boards and sheets at hand; they are used first")
    waste: PercentText | None = _key("waste added to the lumber that is bought; 20 % by default", example="20 %")
    tally: TallyWord | None = _key("rule by which the yard counts board feet", example="exact")
    paper: PaperWord | None = _key("paper in the printer", example="letter")
    labels: Words | None = _key("label sheet, by the id printed by `shopdocs list`", example="letter-30")
    labels_used: WholeText | None = _key("labels already used on the first sheet", "labels used", example="0")
    records: Words | None = _key(
        "web address of the record pages, if the build names none", example="https://example.org/hb/"
    )
    clamps: dict[str, WholeText] | None = _key("clamps on the wall, by kind", example="{bar clamp 24 in: 6}")
    pace: PaceKeys | None = _key("how long each step of a glue-up takes this maker")
    climate: ClimateKeys | None = _key(
        "the air round the finished piece over a year; how far wood moves follows from it"
    )
    worked_at: PercentText | None = _key(
        "moisture of the wood when it is cut to size, from a meter; without it every gap is worked out for wood "
        "worked at its driest and at its dampest",
        "worked at",
        example="8 %",
    )
    bits: LengthList | None = _key("drill bits in the shop", example="[1/8, 9/64, 3/16]")
    printer: PrinterKeys | None = _key("printer correction")
    batch: Words | None = _key("largest batch of mixed epoxy at once; 100 g by default", example="100 g")


class ShopSource(Keys):
    """A shop file."""

    shop: ShopKeys = _key("the shop", needed=True)


def shop_schema() -> dict[str, Any]:
    """The shop file as JSON Schema (draft 2020-12)."""
    from shopdocs.source.json_schema import schema_of

    return schema_of(ShopSource, "shopdocs shop")
