"""The build language: every key a maker may write, with its meaning.

These groups do three jobs: they check the shape of what was read (unknown, missing and misplaced keys), they export
themselves as JSON Schema for editors, and the reference page is printed from them. They do not convert values: a leaf
stays the `Scalar` node with its text and place, and `decode` reads it where its meaning is known.
"""

from __future__ import annotations

from typing import Annotated, Any

from shopdocs.source.cut_schema import CutKeys, GapKeys
from shopdocs.source.groups import AsWritten, Keys
from shopdocs.source.groups import key as _key
from shopdocs.source.keys import (
    CutWord,
    DirectionWord,
    FaceWord,
    FinenessWord,
    FitWord,
    JointWord,
    KindWord,
    LengthList,
    LengthText,
    NumberText,
    PercentText,
    PriceText,
    SideWord,
    SizeText,
    TemperatureText,
    TextList,
    TimeText,
    UnitsWord,
    UseWord,
    WholeText,
    Words,
    YesNo,
)


class BuildKeys(Keys):
    """What is built, and how its sheets look."""

    title: Words = _key("name of the piece of furniture", needed=True, example="Hall bench")
    mark: Words = _key("one to four letters printed before every piece mark", needed=True, example="HB")
    units: UnitsWord = _key("what a number without a unit means", needed=True, example="in")
    revision: Words | None = _key("letter or number of this version of the description", example="A")
    fineness: FinenessWord | None = _key(
        "the step to which lengths are rounded on paper; by default 1/32 in or 0.5 mm", example="1/32 in"
    )
    both_systems: YesNo | None = _key("show inches and millimetres side by side", "both systems", example="no")
    maker: Words | None = _key("who makes it", example="Juniper Vale Workshop")
    date: Words | None = _key("date of this revision, as it is to be printed", example="12 May 2031")
    intro: Words | None = _key("a few sentences for the title sheet", example="A bench for pulling on boots.")
    licence: Words | None = _key(
        "a line about what a plan's owner may do with it", example="Build one bench for yourself."
    )
    records: Words | None = _key(
        "web address under which the record pages will stand; it is coded on the labels",
        example="https://example.org/hb/",
    )
    overall: SizeText | None = _key("finished size: width x depth x height", example="44 x 15 x 18")
    chamfer: LengthText | None = _key("how wide free edges are chamfered; 1/16 in or 1.5 mm by default", example="1/16")
    copies: WholeText | None = _key(
        "how many are built at once, all alike: wood, labels and shopping count all of them; 1 by default", example="6"
    )
    free_standing: YesNo | None = _key(
        "no for furniture that hangs on or is built into a wall; governs the cautions on tipping and on hanging",
        "free standing",
        example="no",
    )
    encloses: Words | None = _key(
        "how much its drawers and doors enclose, in ft3 or litres, or none; governs the caution on tipping: "
        "published rules begin at 3.2 ft3",
        example="2.5 ft3",
    )


class MaterialKeys(Keys):
    """What the yard sells."""

    kind: KindWord = _key("how it is sold and measured", needed=True, example="hardwood")
    species: Words | None = _key("species of wood, or what the sheet is made of", example="white ash")
    rough: LengthText | None = _key(
        "sawn thickness in quarters of an inch or as a length; may stand at the end of the name instead", example="8/4"
    )
    nominal: Words | None = _key("softwood: trade size, thickness x width in nominal inches", example="2x4")
    thickness: LengthText | None = _key(
        "thickness as delivered; needed for sheets, optional for planed hardwood", example="18 mm"
    )
    sheet: SizeText | None = _key("sheets: width x length, the second along the face grain", example="1220 x 2440")
    price: PriceText | None = _key("price per bf (board foot), m3, m2, ft, m, sheet or piece", example="9.20 per bf")
    cut: CutWord | None = _key(
        "flat (growth rings along the width) or quarter (across the thickness); unknown counts as what moves more",
        example="quarter",
    )
    moves: PercentText | None = _key(
        "your own figure: by how much of its width it changes for every 1 % of moisture; wins over the table",
        example="0.27 %",
    )
    note: Words | None = _key("printed on the lumber sheet and the shopping list", example="plain-sawn, no sap")


class RunsKeys(Keys):
    """How the part lies in the assembled build: x left to right, y front to rear, z floor to top."""

    length: DirectionWord = _key("direction the length follows", needed=True, example="z")
    width: DirectionWord = _key("direction the width follows", needed=True, example="x")


class LeanKeys(Keys):
    """How far a piece leans from plumb, in degrees or as a slope of 1 in so many. It turns about the middle of its top
    end, which is where x and y place it; foot and top are sawn level, at the heights that z gives. The foot goes
    outward, away from the middle of all that leans, or the way that is written: 8 left. Front and back faces stay
    parallel to the left-right line. The length, long point to long point, follows."""

    splay: Words | None = _key(
        "lean in the front view, from plumb: degrees or a slope; then, if it is not outward, left or right",
        example="1 in 7",
    )
    rake: Words | None = _key(
        "lean in the side view, from plumb: degrees or a slope; then, if it is not outward, front or rear", example="5"
    )


class PieceKeys(Keys):
    """One copy of a part, and where it lies: x left to right, y front to rear, z floor to top.

    A coordinate is a length (the low side), `A to B` (both sides: the size follows), `to B` (the high side), `centred
    on A`, or for a run of pieces `evenly from A to B` (equal gaps, also at the ends) and `spread from A to B` (the
    outer ones touch). Faces of other pieces may stand in it: `FL.left`, `.right`, `.front`, `.back`, `.bottom`, `.top`,
    and `FL.centre`, halfway between the two along the direction that it is written for; those of a piece that leans are
    taken where they stand at the middle height of the piece that names them, those of one that is tipped where they
    reach to. A board is placed as if it lay level or stood plumb, and `tilt` tips it about the middle line of its
    length: `15 front` lets a shelf fall to the front, and the top of a back come forward. What is tipped `with` it is
    placed beside it as if neither was tipped.
    """

    x: LengthText | None = _key("left to right", example="FL.right to FR.left")
    y: LengthText | None = _key("front to rear", example="FL.front + 1/4")
    z: LengthText | None = _key("floor to top", example="to FL.top")
    mirror: Words | None = _key(
        "mirrored copy of another piece (for a run, of a run as long), instead of x, y, z",
        example="RL across x at width / 2",
    )
    lean: LeanKeys | None = _key("of an upright piece: how far it leans, and which way", example="{splay: 8, rake: 5}")
    tilt: Words | None = _key(
        "of a board that is level along its length: how far it is tipped, and which way, or with what",
        example="15 front",
    )
    end_a: SideWord | None = _key("side that end A lies on; left, front or bottom by default", "end A", example="right")
    face_edge: SideWord | None = _key(
        "side the face edge looks to; top where it can, else left or front", "face edge", example="top"
    )
    face_side: SideWord | None = _key(
        "side the face side looks to; top where it can, else left or front", "face side", example="front"
    )
    note: Words | None = _key("printed on the cut list and its record page", example="hinge side")


def _pieces_schema() -> dict[str, Any]:
    """What pieces look like; to read a build nobody asks for it."""
    from shopdocs.source.json_schema import group_schema

    groups: dict[str, dict[str, Any]] = {}
    piece = group_schema(PieceKeys, groups)
    lean = piece["properties"]["lean"]
    lean["anyOf"] = [groups.get(one.get("$ref", "").rpartition("/")[2], one) for one in lean["anyOf"]]
    return {
        "anyOf": [
            {"type": "string"},
            {"items": {"type": ["string", "number"]}, "type": "array"},
            {"additionalProperties": {"anyOf": [{"type": "string"}, {"type": "null"}, piece]}, "type": "object"},
        ],
        "x-meaning": "marks: a list, a run such as S1..S9, or marks with notes or places",
    }


PiecesText = Annotated[Any, AsWritten(_pieces_schema)]


class PartKeys(Keys):
    """A kind of member. Write the size that shows; joints add their tenons themselves."""

    material: Words = _key("name of a material", needed=True, example="ash 8/4")
    size: SizeText | None = _key(
        "thickness x width x length, instead of the three keys below", example="7/8 x 3-1/2 x 40-1/2"
    )
    thickness: LengthText | None = _key("finished thickness", example="7/8")
    width: LengthText | None = _key("finished width, across the grain", example="3-1/2")
    length: LengthText | None = _key(
        "finished length along the grain, from shoulder to shoulder", example="width - 2 * leg"
    )
    count: WholeText | None = _key("how many; their marks are made from `mark` or the name", example="4")
    mark: Words | None = _key("letters that begin the marks of counted pieces", example="L")
    pieces: PiecesText | None = _key("the marks of the pieces, instead of `count`", example="[FL, FR, BL, BR]")
    runs: RunsKeys | None = _key(
        "how the part lies in the build; gives the up arrow on labels", example="{length: z, width: x}"
    )
    turns: YesNo | None = _key("yes if the grain may run either way (sheets without grain)", example="yes")
    strips: WholeText | None = _key(
        "how many strips of equal width are glued edge to edge to make each piece; piece T has strips Ta, Tb, Tc, and "
        "a stage with nothing but such pieces glues them up",
        example="3",
    )
    one_board: Words | None = _key(
        "yes if all its pieces must come from one board, each if the strips of each piece must, or a name that parts "
        "share whose pieces must come from one board together",
        "one board",
        example="drawer fronts",
    )
    chamfer: TextList | None = _key(
        "edges to chamfer anyway, each by the two faces that meet there", example="[face and edge, face and A]"
    )
    leave_square: TextList | None = _key("edges to leave square, or all", "leave square", example="[back and far edge]")
    cut: CutWord | None = _key("how the rings of these pieces lie, where it differs from the material", example="flat")
    note: Words | None = _key("printed on the cut list and the record pages", example="Round the upper corners.")
    private: Words | None = _key(
        "a note for the maker alone, printed on the record page only", example="from the old elm"
    )


class JointKeys(Keys):
    """One line of joinery, for every place where its pieces meet: `pieces` names them, or `from` and `into` do.

    Which sizes a kind takes is printed by `shopdocs list`; where pieces have places, a size that is left out follows
    from common practice.
    """

    kind: JointWord = _key("kind of joint", needed=True, example="mortise and tenon")
    pieces: TextList | None = _key(
        "the meetings, each 'PIECE into PIECE', with ' at A' or ' at B' for the end that goes in",
        example="[RF into FL at A, RF into FR at B]",
    )
    from_: TextList | None = _key(
        "parts or pieces that enter, wherever they touch where pieces have places; without places one of `from` and "
        "`into` must be a single piece",
        "from",
        example="[long rail, short rail]",
    )
    into: TextList | None = _key("parts or pieces that receive", example="leg")
    thickness: LengthText | None = _key(
        "thickness of the tenon, tongue or end that goes in; diameter of a dowel, or of a screw's clearance hole",
        example="3/8",
    )
    width: LengthText | None = _key(
        "width of the tenon, of the end in a stopped housing, of a tail at its wide end; of a groove, where its tongue "
        "is thinner; diameter of a screw's pilot",
        example="2-1/2",
    )
    length: LengthText | None = _key(
        "length of the tenon, tongue, lap or tail beyond the shoulder; whole length of a dowel, loose tenon or screw",
        example="1-1/4",
    )
    depth: LengthText | None = _key(
        "depth of the housing, groove, rabbet or lap, or of each hole for a dowel or loose tenon; where a joint has "
        "length and depth, one is enough and the other follows from the room",
        example="3/8",
    )
    proud: LengthText | None = _key(
        "how far a tenon, lap or tail stands out past the far face until it is trimmed", example="1/8"
    )
    shoulder: LengthText | None = _key("shoulder above and below the tenon, instead of its width", example="3/8")
    haunch: LengthText | None = _key("length of a haunch beside the tenon", example="3/8")
    room: LengthText | None = _key(
        "how much deeper a stopped mortise, a groove or a dowel's hole is than what goes in, so that the joint closes "
        "and glue has somewhere to go; 1/16 in or 1.5 mm by default (common practice); a housing has none unless it is "
        "written",
        example="1/16",
    )
    slope: WholeText | None = _key("slope of a dovetail, 1 in so many; 8 by default", example="8")
    count: WholeText | None = _key("dowels, loose tenons, tails or screws at each meeting; 1 by default", example="2")
    glued: YesNo | None = _key("no for a joint that gets no glue; yes by default", example="no")
    flat: YesNo | None = _key(
        "yes for a rail that is tenoned into the side of a round: a flat is planed there for its square shoulder, as "
        "high as the rail and as wide as it is thick",
        example="yes",
    )
    note: Words | None = _key(
        "printed with the piece drawings, the mate marks and the glue-up", example="The panel floats."
    )


class HoleKeys(Keys):
    """One hole of a pattern, its centre measured from the pattern's origin. It has a screw, or a bit, or both.

    Holes of one piece must not run into each other or into its joints; holes on one axis, a pin or a screw right
    through a tenon, a bolt with its cross nut, and whatever the hardware `crosses`, may.
    """

    along: LengthText | None = _key("offset along the face; 0 by default", example="3/4")
    across: LengthText | None = _key("offset across the face; 0 by default", example="3/8")
    screw: Words | None = _key(
        "the screw that goes in, with its length where it has one (in quotes): '#8 x 1-1/4', '4 x 40 mm', 'M6 bolt'",
        example="'#8 x 1-1/4'",
    )
    as_: UseWord | None = _key(
        "clearance lets the screw's shank through, pilot holds its thread, plain is a hole of the given bit, recess is "
        "flat-bottomed; plain by default where there is only a bit",
        "as",
        example="pilot",
    )
    bit: LengthText | None = _key("diameter of the bit, instead of the one that follows from `screw`", example="5/8")
    depth: Words | None = _key(
        "depth from the face, or the word through; by default a pilot is as deep as its screw, others go through",
        example="through",
    )
    countersunk: YesNo | None = _key("yes for a countersink that takes the screw's head", example="yes")
    slot: LengthText | None = _key(
        "whole length of a slotted hole along the face, so that the wood can move", example="5/8"
    )
    open: YesNo | None = _key(
        "yes for a recess that is bored partly over an edge, as those of table-top plates are", example="yes"
    )
    fit: FitWord | None = _key("how freely a clearance hole fits; normal by default", example="normal")


class OnKeys(Keys):
    """Where a pattern sits. `length`, `width` and `thickness` of the piece may be used in its lengths."""

    piece: TextList = _key("marks of the pieces, or the name of a part for all its pieces", needed=True, example="RF")
    face: FaceWord = _key(
        "where the holes are drilled from and a screw has its head: face side, back, face edge, far edge, or an end",
        needed=True,
        example="back",
    )
    along: LengthList = _key(
        "from end A (on an end: from the face edge), or by the faces of placed pieces (FL.right) and the centre lines "
        "of pieces and joints (FL.centre, the joint's name and .centre); a list for several",
        needed=True,
        example="[2, length - 2]",
    )
    across: LengthText = _key(
        "from the face edge (on an edge or an end: from the face side)", needed=True, example="width / 2"
    )
    meets: Words | None = _key(
        "the piece that it fastens to as well: its holes are worked out, those of the pattern or the pilots and dowel "
        "holes that follow from these",
        example="T",
    )
    turned: YesNo | None = _key("yes to swap the pattern's along and across", example="yes")


class HardwareKeys(Keys):
    """Screws, plates, hinges: what is bought, and the holes it needs."""

    pattern: Words | None = _key("name of a hole pattern that comes with the program", example="three-hole hinge leaf")
    with_: dict[str, Words] | None = _key(
        "the measures that a pattern asks for, of what you have in hand (`shopdocs list` names them)",
        "with",
        example="{spacing: 96 mm}",
    )
    holes: list[HoleKeys] | None = _key("the hole pattern", example="[{bit: 1/4, depth: 3/8}]")
    on: list[OnKeys] | None = _key(
        "where the pattern sits", example="[{piece: RF, face: back, along: 2, across: width / 2}]"
    )
    count: WholeText | None = _key(
        "how many to buy; one for each place by default, 0 for holes of something bought already", example="8"
    )
    buy: Words | None = _key("words for the shopping list", example="steel tabletop clip with screw")
    stage: Words | None = _key("title of the glue-up stage before which it goes on", example="Frame")
    holds: TextList | None = _key(
        "pieces or parts that it keeps in place though no hole of theirs leads into a neighbour, as buttons, hinges "
        "and pins do; without it `check` says that nothing holds them",
        example="[top, door stile]",
    )
    play: LengthText | None = _key(
        "how far what it holds can move either way: the room between a button's shoulder and its rail, or half "
        "of what a slot leaves; held against how far the wood moves",
        example="1/8",
    )
    crosses: TextList | None = _key(
        "hardware or joints, by name, that its holes are meant to cross, as a drawbore pin or a peg crosses a tenon or "
        "a dowel, and a cross dowel or a barrel nut its bolt; `check` sees that they do, and finds no fault there",
        example="[rails into legs]",
    )
    offset: LengthText | None = _key(
        "of a drawbore pin: how much nearer to the shoulder the hole in the tenon is bored than the one in the "
        "mortised piece, so that the pin draws the joint tight; 1/32 to 1/16 in or 1 to 1.5 mm is common practice",
        example="1/16",
    )
    note: Words | None = _key(
        "printed on the shopping list and at its stage of the glue-up", example="The buttons ride in a groove."
    )


class StageKeys(Keys):
    """One glue-up."""

    title: Words = _key("short name of the stage", needed=True, example="Left side frame")
    pieces: TextList | None = _key(
        "marks or part names that come together in it; may be left out where it joins earlier stages alone",
        example="[FL, BL, RL]",
    )
    uses: TextList | None = _key(
        "titles of earlier stages whose work goes into this one", example="[Left end, Right end]"
    )
    first: TextList | None = _key("what must be done before the glue is opened", example="[Wax the clamp jaws]")
    dry_fit: TextList | None = _key(
        "what to try or to look at once it is together dry", "dry fit", example="[Stand it on a flat floor]"
    )
    after: TextList | None = _key("what to do once the clamps are on", example="[Compare the diagonals]")
    when_set: TextList | None = _key(
        "what to do once the glue has set", "when set", example="[Bore the seat from below]"
    )
    tools: TextList | None = _key("what must lie ready", example="[two brushes, mixing tray]")
    clamps: dict[str, WholeText] | None = _key("kinds and counts of clamps", example="{bar clamp 24 in: 4}")
    hardware: TextList | None = _key(
        "hardware that must go on in this stage, while one can still reach", example="[keyhole plate]"
    )
    minutes: TimeText | None = _key("the maker's own estimate of the work with wet glue", example="12")
    wait: TimeText | None = _key("time in the clamps", example="8 h")
    note: Words | None = _key("printed at the stage", example="No glue in the groove.")


class GluingKeys(Keys):
    """The adhesive and the stages of the glue-up."""

    adhesive: Words = _key("generic kind of adhesive", needed=True, example="epoxy, slow hardener")
    open_time: TimeText | None = _key(
        "open time from the label, counted until the clamps are tight; wins over the table",
        "open time",
        example="60 min",
    )
    pot_life: TimeText | None = _key(
        "time in the cup from the label, for 100 g, of a glue that is mixed", "pot life", example="25 min"
    )
    label_at: TemperatureText | None = _key(
        "temperature the label's times are given for; the usual one of its kind by default", "label at", example="77 F"
    )
    ratio: Words | None = _key(
        "how a glue of two parts is mixed, as its label says: resin to hardener", example="2:1 by volume"
    )
    clamp_time: TimeText | None = _key("time in clamps from the label", "clamp time", example="8 h")
    shop: TemperatureText | None = _key("temperature of the shop at the glue-up", example="66 F")
    stages: list[StageKeys] | None = _key("the stages in order")
    note: Words | None = _key("printed at the head of the checklist", example="Work from the middle out.")


class FinishKeys(Keys):
    """The finish."""

    kind: Words = _key("generic kind of finish", needed=True, example="penetrating hardwax oil")
    coats: WholeText | None = _key("number of coats; 2 by default", example="2")
    coverage: NumberText | None = _key("square metres a litre covers, from the label of the can", example="20")
    steps: TextList | None = _key("the maker's own steps before the first coat, in order", example="[Break all edges]")
    grits: TextList | None = _key("abrasive grits in order", example="[120, 150, 180]")
    note: Words | None = _key("printed on the shopping list and the finish sheet", example="a new can")


class Source(Keys):
    """A build file."""

    build: BuildKeys = _key("what is built", needed=True)
    dimensions: dict[str, LengthText] | None = _key(
        "named lengths; arithmetic with + - * / ( ) may stand wherever a length does"
    )
    materials: dict[str, MaterialKeys] = _key("what the parts are made of", needed=True)
    parts: dict[str, PartKeys] = _key("the members", needed=True)
    joints: dict[str, JointKeys] | None = _key("the joinery")
    hardware: dict[str, HardwareKeys] | None = _key("screws, plates, hinges and their holes")
    cuts: dict[str, CutKeys] | None = _key("cuts that no joint makes: grooves, recesses, notches, bevels")
    gaps: dict[str, GapKeys] | None = _key("gaps and clearances left on purpose, such as the play of a drawer")
    gluing: GluingKeys | None = _key("adhesive and glue-up stages")
    finish: FinishKeys | None = _key("the finish")
    buy: TextList | None = _key("anything else for the shopping list", example="[felt, cabinet scraper]")
    meant: TextList | None = _key(
        "warnings that you have seen and do not want again, as `check` names them",
        example="[near-miss DB S2]",
    )


def build_schema() -> dict[str, Any]:
    """The build file as JSON Schema (draft 2020-12)."""
    from shopdocs.source.json_schema import schema_of

    return schema_of(Source, "shopdocs build")
