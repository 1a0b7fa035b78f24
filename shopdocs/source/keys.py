"""What stands under the keys of every file: leaves, which stay `Scalar` nodes with their text and place, and lists.

Each leaf tells the JSON Schema what may stand there (`x-meaning` is said in words on the reference page).
"""

from __future__ import annotations

from typing import Annotated, Any

from shopdocs.model.cutting import CutKind
from shopdocs.model.joining import COUNTED_FROM, FACE_NAMES, Face
from shopdocs.model.joint_names import JointKind
from shopdocs.model.parts import Cut
from shopdocs.source.groups import Leaf, OrAlone
from shopdocs.source.nodes import Scalar


def _leaf(meaning: str, *kinds: str, **more: Any) -> Leaf:
    return Leaf({"type": list(kinds) or ["string", "number"], "x-meaning": meaning, **more})


def _or_list(meaning: str) -> OrAlone:
    one = {"type": ["string", "number"]}
    return OrAlone({"anyOf": [one, {"items": one, "type": "array"}], "x-meaning": f"{meaning}, or a list"})


def _choice(*words: str) -> Leaf:
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
TextList = Annotated[list[Words], _or_list("text")]
CornerText = Annotated[Scalar, _leaf("corner: two lengths, such as 8, 2", "string")]
CornerList = list[CornerText]
LengthList = Annotated[list[LengthText], _or_list("length")]

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
