"""Turn schema violations into problems that a builder can act on."""

from __future__ import annotations

from typing import Any

from pydantic import BaseModel, ValidationError
from pydantic_core import ErrorDetails

from walltriage.errors import Problem, did_you_mean
from walltriage.yamltree import Tree


def problems_from(error: ValidationError, tree: Tree, model: type[BaseModel]) -> list[Problem]:
    """One :class:`Problem` for each violation, at its place in the file."""
    found = []
    for detail in error.errors(include_url=False):
        where = tuple(part for part in detail["loc"] if _is_key(part))
        what, expected = _phrase(detail, where, model)
        found.append(tree.problem(where, what, expected))
    return list(dict.fromkeys(found))


def _is_key(part: int | str) -> bool:
    # pydantic names the branch of a union and "[key]" inside its location
    return isinstance(part, int) or part not in ("str", "float", "list[str]", "[key]")


def _phrase(
    detail: ErrorDetails, where: tuple[str | int, ...], model: type[BaseModel]
) -> tuple[str, str]:
    kind, given, context = detail["type"], detail.get("input"), detail.get("ctx", {})
    key = where[-1] if where else ""
    if kind == "extra_forbidden":
        known = _fields(model, where[:-1])
        return f"unknown key '{key}'{did_you_mean(str(key), known)}", f"expected {', '.join(known)}"
    if kind == "missing":
        return f"missing key '{key}'", "expected it beside the others here"
    if kind == "literal_error":
        return f"'{given}' is not allowed for '{key}'", f"expected {context['expected']}"
    if kind == "string_pattern_mismatch":
        return f"'{given}' is not an id", "expected lower-case words joined by _, such as joist_run"
    if kind in ("too_short", "string_too_short"):
        return f"'{key}' is empty or too short", f"expected at least {context['min_length']}"
    if kind == "too_long":
        return f"'{key}' has too many entries", f"expected at most {context['max_length']}"
    if kind in ("greater_than_equal", "less_than_equal", "greater_than", "less_than"):
        return f"{given} is out of range for '{key}'", detail["msg"].removeprefix("Input ")
    if isinstance(given, str | int | float) or given is None:
        return f"'{given}' is the wrong kind of value for '{key}'", _kind_of_value(kind)
    return f"the wrong kind of value for '{key}'", _kind_of_value(kind)


def _kind_of_value(kind: str) -> str:
    words = {
        "string_type": "expected text (put numbers in quotes)",
        "float_type": "expected a number",
        "int_type": "expected a whole number",
        "bool_type": "expected true or false",
        "list_type": "expected a list",
        "dict_type": "expected key: value pairs",
        "model_type": "expected key: value pairs",
    }
    return words.get(kind, "expected another kind of value")


def _fields(model: Any, where: tuple[str | int, ...]) -> list[str]:
    """The keys the schema accepts at a key path, for the message only."""
    for part in where:
        if isinstance(part, str) and isinstance(model, type) and issubclass(model, BaseModel):
            field = model.model_fields.get(part)
            model = field.annotation if field else None
        if isinstance(part, int) or not isinstance(model, type):
            arguments = [a for a in getattr(model, "__args__", ()) if a is not type(None)]
            model = arguments[-1] if arguments else model
    if isinstance(model, type) and issubclass(model, BaseModel):
        return list(model.model_fields)
    return []
