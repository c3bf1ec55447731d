"""Forms of files: closed pydantic models, and what is wrong told at its place in the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal, TypeVar, get_args, get_origin

from pydantic import BaseModel, ValidationError
from pydantic.fields import FieldInfo
from pydantic_core import ErrorDetails

from walltriage.entries import Entry, checked, form_of
from walltriage.errors import Problem, did_you_mean
from walltriage.yamltree import KeyPath, Tree

AnyForm = TypeVar("AnyForm", bound=BaseModel | Entry)
Form = type[Any]  # one of those two
_MOST_SHOWN = 60  # letters of a value that is repeated in a message
_VALUES = {
    "string_type": "expected text (put numbers in quotes)",
    "float_type": "expected a number",
    "int_type": "expected a whole number",
    "bool_type": "expected true or false",
    "dict_type": "expected key: value pairs",
}


def in_form(model: type[AnyForm], data: Any, units: str | None = None) -> AnyForm:
    """Data in its form; pydantic's ``ValidationError`` with everything that is wrong.

    ``units`` are those of lengths that are plain numbers.
    """
    if issubclass(model, Entry):
        return checked(model, data)
    return model.model_validate(data, context=units)


def problems_from(
    error: ValidationError, tree: Tree, model: Form, around: KeyPath = ()
) -> list[Problem]:
    """One :class:`Problem` for each violation, at its place in the file.

    ``around``: where in the file the data of the model stands.
    """
    found = []
    for detail in error.errors(include_url=False):
        where = tuple(part for part in detail["loc"] if _is_key(part))
        what, expected = _phrase(detail, where or around, _field(model, where), model)
        found.append(tree.problem((*around, *where), what, expected))
    return list(dict.fromkeys(found))


def _is_key(part: int | str) -> bool:
    # pydantic names the branch of a union and "[key]" inside its location
    return isinstance(part, int) or part not in ("str", "float", "list[str]", "[key]")


def _phrase(
    detail: ErrorDetails, where: KeyPath, field: FieldInfo | None, model: Form
) -> tuple[str, str]:
    kind, given, context = detail["type"], detail.get("input"), detail.get("ctx", {})
    key = where[-1] if where else ""
    if kind == "told":
        return context["what"], context["expected"]
    if kind == "words":
        return f"'{key}' is not text", "expected some words"
    if kind in ("extra_forbidden", "invalid_key"):
        known = _keys(_model_at(model, detail["loc"][:-1]))
        return f"unknown key '{key}'{did_you_mean(str(key), known)}", f"expected {', '.join(known)}"
    if kind == "missing":
        expected = _expected(field) or "expected it beside the others here"
        return f"missing key '{key}'", expected
    if kind == "literal_error":
        near = did_you_mean(given, _choices(field)) if isinstance(given, str) else ""
        allowed = ", ".join(_choices(field)) or context["expected"]
        return f"{_shown(given)} is not allowed for '{key}'{near}", f"expected {allowed}"
    if kind == "string_pattern_mismatch":
        return f"'{given}' is not an id", "expected lower-case words joined by _, such as joist_run"
    if kind in ("too_short", "string_too_short"):
        return f"'{key}' is empty or too short", f"expected at least {context['min_length']}"
    if kind == "too_long":
        return f"'{key}' has too many entries", f"expected at most {context['max_length']}"
    if kind in ("greater_than_equal", "less_than_equal", "greater_than", "less_than"):
        expected = (field and field.description) or detail["msg"].removeprefix("Input ")
        return f"{given} is out of range for '{key}'", expected
    if kind == "model_type":
        known = _keys(_model_at(model, detail["loc"]))
        return f"{_shown(given)} is not a set of keys", f"expected {', '.join(known)}"
    if kind == "list_type":
        return f"'{key}' is not a list", _expected(field) or "expected '- ...' for each"
    expected = _expected(field) or _VALUES.get(kind, "expected another kind of value")
    if isinstance(given, str | int | float) or given is None:
        return f"{_shown(given)} is the wrong kind of value for '{key}'", expected
    return f"the wrong kind of value for '{key}'", expected


def _shown(given: Any) -> str:
    text = str(given)
    return f"'{text}'" if len(text) <= _MOST_SHOWN else f"'{text[:_MOST_SHOWN]}...'"


def _expected(field: FieldInfo | None) -> str:
    if field is None:
        return ""
    choices = _choices(field)
    return field.description or (f"expected {', '.join(choices)}" if choices else "")


def _choices(field: FieldInfo | None) -> tuple[str, ...]:
    """The words a field may have, where they are listed."""
    kind = None if field is None else field.annotation
    return tuple(map(str, get_args(kind))) if get_origin(kind) is Literal else ()


def _model_at(model: Any, where: tuple[str | int, ...]) -> Any:
    """The model at a key path, for messages only; None where there is none."""
    for part in where:
        if isinstance(part, str) and _is_form(model):
            found = _field_of(model, part)
            model = found.annotation if found else None
        if isinstance(part, int) or not isinstance(model, type):
            arguments = [a for a in get_args(model) if a is not type(None)]
            model = arguments[-1] if arguments else model
    return model if _is_form(model) else None


def _is_form(model: Any) -> bool:
    return isinstance(model, type) and issubclass(model, BaseModel | Entry)


def _fields(model: Form) -> Mapping[str, FieldInfo]:
    return (form_of(model) if issubclass(model, Entry) else model).model_fields


def _field(model: Form, where: KeyPath) -> FieldInfo | None:
    outer = _model_at(model, where[:-1])
    return _field_of(outer, where[-1]) if outer is not None and where else None


def _field_of(model: Form, key: str | int) -> FieldInfo | None:
    found = (field for name, field in _fields(model).items() if (field.alias or name) == key)
    return next(found, None)


def _keys(model: Form | None) -> list[str]:
    """The keys a model accepts, as files write them."""
    return [] if model is None else [f.alias or name for name, f in _fields(model).items()]
