"""The build language as it is shown to others: its JSON Schema and its reference page."""

from __future__ import annotations

import copy
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from jsonschema import Draft202012Validator

from shopdocs.cli import main
from shopdocs.core.assets import layouts_folder
from shopdocs.core.display import FINENESS
from shopdocs.model.joining import Face, Fit, HoleUse, JointKind
from shopdocs.model.parts import Direction, MaterialKind
from shopdocs.pipeline import check_build, reference_text, schema_text
from shopdocs.source import keys as language

SAMPLES = Path(__file__).parents[2] / "sample_builds"
BUILDS = [*sorted(SAMPLES.glob("*/build.yaml")), layouts_folder() / "starter" / "build.yaml"]
SHOPS = [*sorted(SAMPLES.glob("*/shop.yaml")), layouts_folder() / "starter" / "shop.yaml"]


class EditorLoader(yaml.SafeLoader):
    """What an editor makes of a file: the core schema of YAML 1.2.2, section 10.3.2 (`on` is a word, 12 a number)."""


EditorLoader.yaml_implicit_resolvers = {}
for _tag, _pattern, _first in (
    ("null", r"null|Null|NULL|~|", [*"nN~", ""]),
    ("bool", r"true|True|TRUE|false|False|FALSE", [*"tTfF"]),
    ("int", r"[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", [*"-+0123456789"]),
    ("float", r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]+)?", [*"-+.0123456789"]),
):
    EditorLoader.add_implicit_resolver(f"tag:yaml.org,2002:{_tag}", re.compile(rf"^(?:{_pattern})$"), _first)


def load(path: Path) -> Any:
    return yaml.load(path.read_text("utf-8"), Loader=EditorLoader)


def validator(shop: bool = False) -> Draft202012Validator:
    return Draft202012Validator(json.loads(schema_text(shop)))


@pytest.mark.parametrize("shop", [False, True])
def test_the_schema_is_valid_draft_2020_12(shop: bool) -> None:
    schema = json.loads(schema_text(shop))
    assert schema["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    Draft202012Validator.check_schema(schema)


@pytest.mark.parametrize("path", BUILDS + SHOPS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_the_schema_accepts_every_sample(path: Path) -> None:
    faults = [f"{fault.json_path}: {fault.message}" for fault in validator(path.stem == "shop").iter_errors(load(path))]
    assert faults == []


def groups(value: Any, way: tuple[Any, ...] = ()) -> Iterator[tuple[Any, ...]]:
    """The way to every group of keys in a plain YAML value."""
    if isinstance(value, dict):
        yield way
        for key, inner in value.items():
            yield from groups(inner, (*way, key))
    elif isinstance(value, list):
        for index, inner in enumerate(value):
            yield from groups(inner, (*way, index))


NAMED = ("dimensions", "materials", "parts", "joints", "hardware", "clamps", "pieces", "prices", "cuts", "with", "gaps")


@pytest.mark.parametrize("path", BUILDS + SHOPS, ids=lambda path: f"{path.parent.name}-{path.stem}")
def test_the_schema_refuses_an_unknown_key_in_every_group(path: Path) -> None:
    whole = load(path)
    checker = validator(path.stem == "shop")
    for way in groups(whole):
        if way and way[-1] in NAMED:
            continue  # here the maker gives the names
        broken = copy.deepcopy(whole)
        inner = broken
        for step in way:
            inner = inner[step]
        inner["bogus"] = "x"
        assert not checker.is_valid(broken), way


def test_schema_and_reader_agree_on_what_is_needed(tmp_path: Path) -> None:
    """Each key of the schema's `required` in turn is left out of a sample: both must refuse."""
    whole = load(BUILDS[-1])
    checker = validator()
    for way, key in (
        ((), "build"),
        ((), "materials"),
        ((), "parts"),
        (("build",), "title"),
        (("build",), "mark"),
        (("build",), "units"),
        (("parts", "side"), "material"),
        (("finish",), "kind"),
        (("joints", "rail into sides"), "kind"),
        (("gluing",), "adhesive"),
    ):
        broken = copy.deepcopy(whole)
        inner = broken
        for step in way:
            inner = inner[step]
        del inner[key]
        assert not checker.is_valid(broken), key
        path = tmp_path / "build.yaml"
        path.write_text(yaml.safe_dump(broken, sort_keys=False, allow_unicode=True), "utf-8")
        found = [problem.wrong for problem in check_build(str(path))[2] if problem.code == "missing-key"]
        assert any(f"'{key}'" in wrong for wrong in found), key


def keys(schema: dict[str, Any]) -> Iterator[tuple[str, dict[str, Any]]]:
    for model in (schema, *schema.get("$defs", {}).values()):
        yield from model.get("properties", {}).items()


ALL_KEYS = [pair for shop in (False, True) for pair in keys(json.loads(schema_text(shop)))]


def test_every_key_has_a_meaning() -> None:
    assert len(ALL_KEYS) > 100
    for name, shape in ALL_KEYS:
        assert shape.get("description"), name
        assert not name.startswith(("\0", "_")), name


@pytest.mark.parametrize("shop", [False, True])
def test_every_key_that_takes_a_value_has_an_example_that_may_stand_there(shop: bool) -> None:
    """Groups of keys are shown by their own keys."""
    whole = json.loads(schema_text(shop))
    for model in whole["$defs"].values():
        for name, shape in model["properties"].items():
            examples = [yaml.load(example, EditorLoader) for example in shape.get("examples", ())]
            if "$defs" in json.dumps(shape) and not examples:
                continue
            assert examples, f"{model['title']}: {name}"
            checker = Draft202012Validator({**shape, "$defs": whole["$defs"]})
            for example in examples:
                checker.validate(example)


def test_every_key_stands_in_the_reference() -> None:
    text = reference_text()
    assert "## `shop: (shop file)`" in text
    for name, shape in ALL_KEYS:
        if name == "shop" and "$ref" in shape:
            continue  # the heading above
        shown = f"{shape['description']}." + "".join(f" Example: `{one}`." for one in shape.get("examples", ())[:1])
        assert re.search(rf"^- `{re.escape(name)}`\*?( \([^)]+\))?: {re.escape(shown)}$", text, re.M), name


def test_needed_keys_are_marked_in_the_reference() -> None:
    text = reference_text()
    for model in (*json.loads(schema_text(False))["$defs"].values(), *json.loads(schema_text(True))["$defs"].values()):
        for name in model.get("required", ()):
            assert f"- `{name}`*" in text


def test_no_description_leads_to_what_is_not_there(capsys: pytest.CaptureFixture[str]) -> None:
    """A command that a text names exists."""
    import shopdocs.cli as cli

    commands = {"render", "check", "start", "schema", "reference", "list"}
    for text in (reference_text(), schema_text(False), schema_text(True)):
        named = set(re.findall(r"`shopdocs (\w+)", text))
        for command in sorted(named - commands):
            with pytest.raises(SystemExit) as stopped:
                cli.main([command, "--help"])
            assert stopped.value.code == 0, command
            capsys.readouterr()


@pytest.mark.parametrize(
    ("words", "enum"),
    [
        (language.JOINT_WORDS, JointKind),
        (language.KIND_WORDS, MaterialKind),
        (language.FACE_WORDS, Face),
        (language.USE_WORDS, HoleUse),
        (language.FIT_WORDS, Fit),
        (("x", "y", "z"), Direction),
        (language.FINENESS_WORDS, FINENESS),
    ],
)
def test_the_words_of_the_schema_are_those_of_the_model(words: tuple[str, ...], enum: Any) -> None:
    assert tuple(words) == tuple(str(getattr(each, "value", each)) for each in enum)


@pytest.mark.parametrize("shop", [False, True])
def test_every_example_is_accepted_where_it_stands(shop: bool) -> None:
    schema = json.loads(schema_text(shop))
    for name, shape in keys(schema):
        for example in shape.get("examples", ()):
            value = yaml.load(example, Loader=EditorLoader) if isinstance(example, str) else example
            checker = Draft202012Validator({"$defs": schema["$defs"], **shape})
            assert checker.is_valid(value), (name, example)


def test_schema_and_reference_are_printed(capsys: pytest.CaptureFixture[str]) -> None:
    for words, expected in (
        (["schema"], schema_text(False)),
        (["schema", "--shop"], schema_text(True)),
        (["reference"], reference_text()),
    ):
        assert main(words) == 0
        assert capsys.readouterr().out == expected + "\n"
