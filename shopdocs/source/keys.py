"""What the keys of every file are made of: leaves, which stay `Scalar` nodes with their text and place, and groups.

Each leaf tells the JSON Schema what may stand there (`x-meaning` is said in words on the reference page).
"""

from __future__ import annotations

from typing import Annotated, Any, Final

from msgspec import Struct
from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    GetCoreSchemaHandler,
    GetJsonSchemaHandler,
    WithJsonSchema,
)
from pydantic.json_schema import SkipJsonSchema
from pydantic_core import CoreSchema, core_schema

from shopdocs.core.problems import NOWHERE, Position
from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES, Face
from shopdocs.model.joint_names import JointKind
from shopdocs.model.parts import Cut
from shopdocs.source.nodes import Scalar

AT: Final = "\0at"
PLACES: Final = "\0places"
KEYS: Final = "\0keys"
HIDDEN = (AT, PLACES, KEYS)  # what a group carries beside what the maker wrote


def _one_or_more(value: Any) -> Any:
    return [value] if isinstance(value, Scalar) else value


def without_places(value: Any) -> Any:
    """A mapping without the entries that only tell where its keys are written."""
    return {k: v for k, v in value.items() if k not in HIDDEN} if isinstance(value, dict) else value


class _Leaf(Struct, frozen=True, eq=False):
    """Marks a leaf, which stays the node it is, with its JSON Schema. `InstanceOf` and `WithJsonSchema` say the same,
    but each of some hundred leaves is then worked out three times over: 5 % of the time of a small check."""

    json: dict[str, Any]

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.is_instance_schema(source)

    def __get_pydantic_json_schema__(self, schema: CoreSchema, handler: GetJsonSchemaHandler) -> dict[str, Any]:
        return dict(self.json)


class _AsItIs:
    """Marks what `shape` has put there, not the maker, so that it is not looked through again."""

    def __get_pydantic_core_schema__(self, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        return core_schema.any_schema()


def _leaf(meaning: str, *kinds: str, **more: Any) -> _Leaf:
    return _Leaf({"type": list(kinds) or ["string", "number"], "x-meaning": meaning, **more})


def _or_list(meaning: str) -> WithJsonSchema:
    one = {"type": ["string", "number"]}
    return WithJsonSchema({"anyOf": [one, {"type": "array", "items": one}], "x-meaning": f"{meaning}, or a list"})


def _choice(*words: str) -> _Leaf:
    return _leaf("one of: " + ", ".join(words), "string", enum=list(words))


Words = Annotated[Scalar, _leaf("text", "string", "number")]
LengthText = Annotated[Scalar, _leaf("length")]
SizeText = Annotated[Scalar, _leaf("lengths joined by x", "string")]
WholeText = Annotated[Scalar, _leaf("whole number", "integer")]
NumberText = Annotated[Scalar, _leaf("number", "number")]
TimeText = Annotated[Scalar, _leaf("time, such as 90 min or 8 h", "string", "number")]
YesNo = Annotated[Scalar, _leaf("yes or no", "boolean", "string")]
PercentText = Annotated[Scalar, _leaf("percentage, such as 20 %", "string")]
PercentRange = Annotated[Scalar, _leaf("percentage, or two: 30 % to 65 %", "string")]
TemperatureRange = Annotated[Scalar, _leaf("temperature, or two: 64 F to 75 F", "string")]
TemperatureText = Annotated[Scalar, _leaf("temperature, such as 66 F or 19 C", "string")]
PriceText = Annotated[Scalar, _leaf("price, such as 9.20 per bf", "string")]
TextList = Annotated[list[Words], BeforeValidator(_one_or_more), _or_list("text")]
CornerText = Annotated[Scalar, _leaf("corner: two lengths, such as 8, 2", "string")]
CornerList = list[CornerText]
LengthList = Annotated[list[LengthText], BeforeValidator(_one_or_more), _or_list("length")]

KIND_WORDS = ("hardwood", "softwood", "sheet")
JOINT_WORDS = tuple(kind.value for kind in JointKind)
REFERENCE_NAMES = tuple(FACE_NAMES[face] for face in COUNTED_FROM)
FACE_WORDS = tuple(face.value for face in Face)
BENCH_FACES = {name: face.value for face, name in FACE_NAMES.items() if name != face.value}  # as the sheets call them
USE_WORDS = ("clearance", "pilot", "plain", "recess")
FIT_WORDS = ("close", "normal", "loose")
SIDE_WORDS = ("left", "right", "front", "back", "bottom", "top")
OWN_CUT_WORDS = tuple(kind.value for kind in CutKind)
CUT_WORDS = (*(cut.value for cut in Cut), "unknown")
FINENESS_WORDS = ("1/16 in", "1/32 in", "1/64 in", "1 mm", "0.5 mm", "0.1 mm")

SideWord = Annotated[Scalar, _choice(*SIDE_WORDS)]
UnitsWord = Annotated[Scalar, _choice("in", "mm")]
FinenessWord = Annotated[Scalar, _choice(*FINENESS_WORDS)]
KindWord = Annotated[Scalar, _choice(*KIND_WORDS)]
DirectionWord = Annotated[Scalar, _choice("x", "y", "z")]
JointWord = Annotated[Scalar, _choice(*JOINT_WORDS)]
UseWord = Annotated[Scalar, _choice(*USE_WORDS)]
FitWord = Annotated[Scalar, _choice(*FIT_WORDS)]
FaceWord = Annotated[Scalar, _choice(*FACE_WORDS, *BENCH_FACES)]
TallyWord = Annotated[Scalar, _choice("exact", "surface measure")]
CutWord = Annotated[Scalar, _choice(*CUT_WORDS)]
OwnCutWord = Annotated[Scalar, _choice(*OWN_CUT_WORDS)]
PaperWord = Annotated[Scalar, _choice("letter", "a4")]


_Places = Annotated[dict[str, Position], _AsItIs()]


class Keys(BaseModel):
    """A group of keys. `at` is its place, `places` that of each key's value, `key_places` that of each key."""

    model_config = ConfigDict(extra="forbid", populate_by_name=True, arbitrary_types_allowed=True, defer_build=True)
    at: SkipJsonSchema[Annotated[Position, _AsItIs()]] = Field(default=NOWHERE, alias=AT)
    places: SkipJsonSchema[_Places] = Field(default_factory=dict, alias=PLACES)
    key_places: SkipJsonSchema[_Places] = Field(default_factory=dict, alias=KEYS)

    def place(self, key: str) -> Position:
        """Where a key is written; where the mapping begins if the key is not."""
        return self.places.get(key, self.at)


def key(meaning: str, name: str | None = None, needed: bool = False, example: str = "") -> Any:
    """A key of the language: `meaning` stands in the reference and the JSON Schema, `name` is how it is written
    where Python could not spell it."""
    extra: dict[str, Any] = {"examples": [example]} if example else {}
    return Field(default=... if needed else None, alias=name, description=meaning, **extra)


def schema_of(model: type[Keys], title: str) -> dict[str, Any]:
    """The JSON Schema (2020-12) of a model, by the names that makers write."""
    schema = model.model_json_schema(by_alias=True)
    return {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema, "title": title}
