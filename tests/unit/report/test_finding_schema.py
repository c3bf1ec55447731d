"""The JSON result against its published schema."""

from __future__ import annotations

import json
from copy import deepcopy

import jsonschema
import pytest

from tests.conftest import HERE
from tests.unit.report.hostile import ALL, with_text
from walltriage.report.files import rendered

SCHEMA = json.loads((HERE.parent / "docs" / "finding.schema.json").read_text(encoding="utf-8"))


def test_schema_is_a_schema():
    """The file itself is sound."""
    jsonschema.Draft202012Validator.check_schema(SCHEMA)


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
        (("schema",), "walltriage/finding/2"),
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
