"""What a kind of joint is made of: words for every sheet, sizes, and the rules that need no places."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from enum import Enum
from fractions import Fraction

from msgspec import Struct

from shopdocs.core.length import ZERO, Length
from shopdocs.core.problems import Position, Problem
from shopdocs.model.joining import Face, Joint, Meeting
from shopdocs.model.parts import Part


class Meets(Struct, frozen=True):
    """How the trade says that two pieces meet (common practice, no source). `joins` stands between the two marks ("RF
    into FL"); `own` before the other's mark on the entering piece's own page, `others` on that of the receiving one.

    Only a tenon, a tongue, a tail or a housed end goes *into* the other piece; where two faces are glued or screwed
    flat to each other, one piece lies *against* the other.
    """

    joins: str
    own: str
    others: str


AGAINST = Meets("against", "against", "against")
INTO = Meets("into", "goes into", "takes")


class Room(Struct, frozen=True):
    """A joint that is cut a little deeper than what goes in is long: `inner` goes into `outer`; `halved` where half of
    it goes into either piece."""

    inner: str
    outer: str
    halved: bool = False


class Barred(Enum):
    """The ways in which the joint lets nothing slide, though the cuboids of its pieces do not show it: `ALONG` the way
    in which one piece meets the other (tails, laid in through the thickness of their piece), `SLID` the same for what
    is slid in across that thickness, or `ACROSS` it (dowels)."""

    NOT = "not"
    ALONG = "along"
    SLID = "slid"
    ACROSS = "across"


def own_thickness(entering: Part, receiving: Part) -> tuple[Length, str]:
    """How thick the entering part is, and its name."""
    return entering.thickness, entering.name


def other_thickness(entering: Part, receiving: Part) -> tuple[Length, str]:
    """How thick the receiving part is, and its name."""
    return receiving.thickness, receiving.name


def other_depth(entering: Part, receiving: Part) -> tuple[Length, str]:
    """How far one can go into the receiving part, and its name."""
    return max(receiving.thickness, receiving.width), receiving.name


class Usual(Struct, frozen=True):
    """What a size usually is, common practice without a source: the one that stands under `key` from `low` to `high` of
    another size, and never under `least`. `what` is measured and in which `way` ("tenon", "thick"), `of` whose size."""

    key: str
    what: str
    way: str
    low: Fraction
    high: Fraction
    least: Length
    of: Callable[[Part, Part], tuple[Length, str]]


class Pegs(Struct, frozen=True):
    """Round pegs that a joint takes at each of its meetings, to be bought or made: what they are called, how many,
    their diameter and their length, None where the build does not say it."""

    word: str
    count: int
    diameter: Length | None
    length: Length | None


class Stated(Struct, frozen=True):
    """A joint as it is written. `length` is the whole length of what goes in, `depth` the depth of the hole for it:
    what is stated wins, what is not follows from the other and the `room`; None where neither is known."""

    joint: Joint
    length: Length | None
    depth: Length | None
    room: Length

    def place(self, key: str) -> Position:
        """Where a size is written, else where the joint is."""
        return self.joint.places.get(key, self.joint.at)


def adds_nothing(stated: Stated, meeting: Meeting) -> tuple[Length, Length]:
    """Of a kind that makes the entering piece neither longer nor wider."""
    return ZERO, ZERO


class Slips(Struct, frozen=True):
    """Thin slips of wood that a joint takes at each of its meetings, made in the shop: what they are called, how many,
    thickness, width and length, and how their grain runs."""

    word: str
    count: int
    size: tuple[Length, Length, Length]
    grain: str


def no_slips(stated: Stated, entering: Part, receiving: Part) -> Slips | None:
    """Of a kind that has no loose pieces in it."""
    return None


def no_pegs(stated: Stated) -> Pegs | None:
    """Of a kind that has no pegs in it."""
    return None


def end_face(stated: Stated, entering: Part, receiving: Part) -> Fraction:
    """The whole end of the entering piece."""
    return entering.thickness.mm * entering.width.mm


def nothing_wrong(stated: Stated, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Of a kind whose sizes cannot contradict each other."""
    yield from ()


def nothing_doubted(joint: Joint, entering: Part, receiving: Part) -> Iterator[Problem]:
    """Of a kind whose sizes are doubted nowhere but by the shares that all kinds have in common."""
    yield from ()


def at_a_shoulder(joint: Joint, part: Part, face: Face) -> Length:
    """Of a kind whose joint stands out behind a shoulder, not flush with the face."""
    return ZERO


class Kind(Struct, frozen=True):
    """One kind of joint.

    Words: `joins` in one line for the list of kinds; `called` with its article ("a bridle", "dowels"); `meets`;
    `hidden` is what cannot be seen of the entering and of the receiving piece, where a number is pencilled; `aliases`
    are other names of the trade; `counted` what is counted where several lie side by side ("tails and sockets"); `how`
    is said at the step of the glue-up that closes it; `measured` on the cut list, where a length may be taken
    wrongly; `let_in` is what goes in whole.

    Sizes: `sizes` are the keys that mean something for it, in the order in which a maker thinks of them; `needed` those
    without which it cannot be counted unless its pieces have places; `size_names` what thickness, width, length and
    depth are called on a record page; `room` where it leaves some; `least_count` of what it has several of.

    Rules: `at_end` an end of the entering piece meets the other; `asks_end` whether an end goes in changes what is
    sawn, and the maker is asked; `alone` it joins an end by itself; `tenoned` a drawbore pin can cross it; `flat`
    nothing stands out into the other piece; `said` `meets` says what it is already; `barred`; `screwed` it takes
    screws; `clamped` it is drawn together by clamps; `slides` the wood of one piece moves in it across the grain, held
    by pins that end where they come out, and what it moves on is called so; `sloped` what its tails are marked out by;
    `rides` an edge left without glue can move in it; `shouldered` the entering end has a shoulder to knife; `chopped`
    its mortises are chopped or routed as wide as its thickness; `ploughed` the sizes of which the first that is written
    is how wide its groove is; `trenched` the other is trenched as wide as it is thick; `rabbeted` the other has a
    rabbet; `askew` it can join a piece that leans; `lapped` one piece runs on over the other; `tips` a tipped board
    with the side beside its end; `bored` its tenon is round, its mortise a bore; `on_flat` a round can be planed flat
    for its shoulder; `clash_hint` what may be meant where it shares its place with another.

    Reckoned from a joint as it is written, without places: `added` to the length and to the width of the entering
    piece; `glue_area` in square millimetres, the faces that hold (cheeks, laps, long-grain edges) without end grain;
    `wrong` with its sizes for these parts; `usual` sizes as shares of others, `doubts` what else can be cut but is
    unusual; `flush` how far wood level with a face goes on past the body at the end that
    goes in; `pegs` and `slips` what is bought or made for it.
    """

    joins: str
    called: str
    meets: Meets
    hidden: tuple[str, str]
    aliases: tuple[str, ...]
    sizes: tuple[str, ...]
    needed: tuple[str, ...] = ()
    size_names: tuple[str, str, str, str] = ("thick", "wide", "long", "deep")
    room: Room | None = None
    least_count: int = 1
    at_end: bool = False
    asks_end: bool = False
    alone: bool = False
    tenoned: bool = False
    flat: bool = False
    said: bool = False
    barred: Barred = Barred.NOT
    screwed: bool = False
    clamped: bool = True
    slides: str = ""
    sloped: str = ""
    counted: str = ""
    how: str = ""
    measured: str = ""
    let_in: str = "let-in end"
    rides: bool = False
    shouldered: bool = False
    chopped: bool = False
    ploughed: tuple[str, ...] = ()
    trenched: bool = False
    rabbeted: bool = False
    askew: bool = False
    lapped: bool = False
    tips: bool = False
    bored: bool = False
    on_flat: bool = False
    clash_hint: str = ""
    added: Callable[[Stated, Meeting], tuple[Length, Length]] = adds_nothing
    glue_area: Callable[[Stated, Part, Part], Fraction] = end_face
    wrong: Callable[[Stated, Part, Part], Iterator[Problem]] = nothing_wrong
    usual: tuple[Usual, ...] = ()
    doubts: Callable[[Joint, Part, Part], Iterator[Problem]] = nothing_doubted
    flush: Callable[[Joint, Part, Face], Length] = at_a_shoulder
    pegs: Callable[[Stated], Pegs | None] = no_pegs
    slips: Callable[[Stated, Part, Part], Slips | None] = no_slips
