"""The JSON result against its published schema."""

from __future__ import annotations

import json
from copy import deepcopy

import jsonschema
import pytest

from tests.conftest import HERE
from tests.unit.report.conftest import MADE_ON
from tests.unit.report.hostile import ALL, with_text
from walltriage.case.read import read_case
from walltriage.report.files import make_request, rendered
from walltriage.report.finding_json import finding_schema

SCHEMA = json.loads((HERE.parent / "docs" / "finding.schema.json").read_text(encoding="utf-8"))


def test_schema_is_a_schema():
    """The file itself is sound, and the one that the types make."""
    assert finding_schema() == SCHEMA, "python -m tests.golden.remake writes it anew"
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


def untyped(part, where=""):
    """Where a schema lets through anything at all."""
    if isinstance(part, dict):
        held = part.get("additionalProperties", "properties" not in part)
        if not part or (part.get("type") == "object" and held is True):
            yield where
        for key, value in part.items():
            yield from untyped(value, f"{where}/{key}")
    elif isinstance(part, list):
        for value in part:
            yield from untyped(value, where)


def test_typed_all_the_way_down():
    """Nothing is free-form but the case as it was given, which has the form of case files."""
    assert set(untyped(SCHEMA)) == {"/properties/given"}


@pytest.mark.parametrize("name", ["bungalow", "truss_house", "two_walls"])
@pytest.mark.parametrize("numbers", [False, True])
def test_results_hold_to_it(make, name, numbers):
    """Every report's JSON does."""
    line = rendered(make(name, numbers=numbers), "json")
    jsonschema.validate(json.loads(line), SCHEMA, jsonschema.Draft202012Validator)
    assert line.endswith(b"}\n")
    assert line.count(b"\n") == 1


@pytest.mark.parametrize("text", ALL)
def test_hostile_text_is_ascii(make, text):
    """Whatever was typed, the line is ASCII and reads back."""
    line = rendered(make(change=with_text(text)), "json")
    assert line.isascii()
    assert json.loads(line)["case"] == text


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("schema",), "walltriage/finding/1"),
        (("rules", "sha256"), "xyz"),
        (("walls", 0, "verdict"), "safe"),
        (("walls", 0, "probability"), [0.5]),
        (("walls", 0, "probability"), [0.2, 1.5]),
        (("walls", 0, "load_paths", 0, "status"), "maybe"),
        (("walls", 0, "referral", "level"), "mild"),
        (("walls", 0, "numbers"), 7),
        (("walls", 0, "surprise"), 1),
        (("walls", 0, "load_paths", 0, "evidence", 0, "decibans"), "much"),
    ],
)
def test_schema_refuses(make, where, value):
    """A result that is not of the form is refused."""
    data = deepcopy(json.loads(rendered(make(), "json")))
    part = data
    for key in where[:-1]:
        part = part[key]
    part[where[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)


MANY_WALLS = sorted((HERE / "demo_houses").glob("plan_*.yaml"))


@pytest.mark.parametrize("path", MANY_WALLS, ids=lambda path: path.stem)
def test_houses_of_several_walls_hold_to_it(full, path):
    """As they stand, and with two of their walls gone."""
    case = read_case(path, full.base.questions)
    removed = tuple(wall.id for wall in case.walls[:2])
    for gone in ((), removed):
        data = json.loads(rendered(make_request(full, case, MADE_ON, removed=gone), "json"))
        jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
        assert data["house"]["collects"]
        assert (data["removal"] is not None) is bool(gone)


@pytest.mark.parametrize(
    ("where", "value"),
    [
        (("house", "surprise"), 1),
        (("house", "support_lines", 0, "line_class"), "maybe"),
        (("house", "collects", 0, "load", "governing_plf"), [1]),
        (("removal", "together"), "safe"),
        (("removal", "alone", "w1"), "safe"),
        (("removal", "numbers", "ends", 0, "on_ground"), "surely"),
        (("removal", "walls"), "w1"),
    ],
)
def test_schema_refuses_of_a_house(full, where, value):
    """The keys of several walls are described as closely as those of one."""
    case = read_case(MANY_WALLS[0], full.base.questions)
    data = json.loads(rendered(make_request(full, case, MADE_ON, removed=("w1", "w2")), "json"))
    part = data
    for key in where[:-1]:
        part = part[key]
    part[where[-1]] = value
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(data, SCHEMA, jsonschema.Draft202012Validator)
