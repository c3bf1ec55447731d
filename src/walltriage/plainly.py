"""Entries of which every value is plainly right, made without pydantic.

Most answers are a word and how sure it is.  Whatever is anything else is left to pydantic, which
alone tells what is wrong.
"""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from functools import partial
from typing import Annotated, Any, Literal, NamedTuple, get_args, get_origin

from walltriage.entries import AnyEntry, BeforeValidator, Entry, Limits, fields_of, made_of

Test = Callable[[Any], bool]
_TESTED = {"default", "default_factory", "alias", "description", "ge", "le"}


class _Plan(NamedTuple):
    """Of a kind of entries: the defaults, and by key the field's name and when a value is right."""

    defaults: dict[str, Any]
    keys: dict[str, tuple[str, Test]]
    needed: frozenset[str]


_PLANS: dict[type[Entry], _Plan] = {}


def plainly(kind: type[AnyEntry], data: Any) -> AnyEntry | None:
    """Data as an entry, as :func:`~walltriage.entries.checked` would give it; None where a value is
    not plainly right, or may be right in another way."""
    plan = _PLANS.get(kind)
    if plan is None:
        plan = _PLANS[kind] = _plan(kind)
    if type(data) is not dict or not plan.needed <= data.keys():
        return None
    values = {name: copy(value) for name, value in plan.defaults.items()}
    for key, value in data.items():
        field = plan.keys.get(key) if type(key) is str else None
        if field is None or not field[1](value):
            return None
        values[field[0]] = value
    return made_of(kind, values)


def _plan(kind: type[Entry]) -> _Plan:
    defaults, keys, needed = {}, {}, set()
    for name, (annotation, default) in fields_of(kind).items():
        given = default.given if isinstance(default, Limits) else {}
        key = given.get("alias", name)
        limits = given if isinstance(default, Limits) else {"default": default}
        keys[key] = (name, _test(annotation, limits))
        if "default_factory" in limits:
            defaults[name] = limits["default_factory"]()
        elif limits.get("default", ...) is not ...:
            defaults[name] = limits["default"]
        else:
            defaults[name] = None  # in its place among the others; the key is needed
            needed.add(key)
    return _Plan(defaults, keys, frozenset(needed))


def _test(annotation: Any, limits: dict[str, Any]) -> Test:
    """When a value is plainly right; never, for what is not simple."""
    origin, of = get_origin(annotation), get_args(annotation)
    if limits.keys() - _TESTED:
        return _never
    if annotation is Any:
        return _always
    if origin is Annotated and all(isinstance(more, BeforeValidator) for more in of[1:]):
        return _test(of[0], limits)
    if annotation is str:
        return _is_text
    if annotation is int:
        return partial(_is_within, limits.get("ge"), limits.get("le"))
    if origin is Literal:
        return partial(_is_one_of, of)
    if origin is list and of == (Any,):
        return _is_list
    if origin is dict and of[0] is str:
        return partial(_is_mapping, _test(of[1], {}))
    return _never


def _never(value: Any) -> bool:
    return False


def _always(value: Any) -> bool:
    return True


def _is_text(value: Any) -> bool:
    return type(value) is str


def _is_within(least: int | None, most: int | None, value: Any) -> bool:
    if type(value) is not int:
        return False
    return (least is None or value >= least) and (most is None or value <= most)


def _is_one_of(words: tuple[str, ...], value: Any) -> bool:
    return type(value) is str and value in words


def _is_list(value: Any) -> bool:
    return type(value) is list


def _is_mapping(of: Test, value: Any) -> bool:
    return type(value) is dict and all(type(key) is str and of(one) for key, one in value.items())
