"""Entries of files: plain frozen objects, whose form pydantic checks when a file is read.

They are declared as pydantic's own models are, with its ``Field``, ``StringConstraints`` and
``model_validator`` by the same names.  Nothing is made of that until something has to be checked,
and pydantic, which takes a good part of the time of a start, is not imported before.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from inspect import get_annotations
from typing import TYPE_CHECKING, Any, ClassVar, Literal, TypeVar, get_origin
from typing import dataclass_transform as declares_fields

if TYPE_CHECKING:
    from pydantic import BaseModel, ConfigDict, GetCoreSchemaHandler, TypeAdapter
    from pydantic_core import CoreSchema, PydanticCustomError

Method = TypeVar("Method")
_WHEN = "_checked_when"
_NONE: Any = object()


class Limits:
    """What pydantic is to hold a value to, kept until a form is made."""

    __is_annotated_types_grouped_metadata__: Literal[True] = True

    def __init__(self, kind: str, given: dict[str, Any]) -> None:
        self._kind, self.given = kind, given

    def made(self) -> Any:
        """The same as pydantic has it."""
        import pydantic

        return getattr(pydantic, self._kind)(**self.given)

    def __iter__(self) -> Iterator[object]:
        """As part of an annotation, each limit by itself."""
        made = self.made()
        return iter(made.metadata if self._kind == "Field" else made)


class BeforeValidator:
    """``pydantic.BeforeValidator``, made when it is needed.

    The function leaves a value of the kind that it stands beside as it is.
    """

    def __init__(self, function: Callable[[Any], Any]) -> None:
        self._function = function

    def __get_pydantic_core_schema__(
        self, source: Any, handler: GetCoreSchemaHandler
    ) -> CoreSchema:
        import pydantic

        made = pydantic.BeforeValidator(self._function)
        return made.__get_pydantic_core_schema__(source, handler)


def Field(default: Any = _NONE, **given: Any) -> Any:  # noqa: N802 - named as in pydantic
    """``pydantic.Field``, made when it is needed."""
    return Limits("Field", given if default is _NONE else {"default": default, **given})


def StringConstraints(**given: Any) -> Any:  # noqa: N802 - named as in pydantic
    """``pydantic.StringConstraints``, made when it is needed."""
    return Limits("StringConstraints", given)


def model_validator(*, mode: Literal["before", "after"]) -> Callable[[Method], Method]:
    """``pydantic.model_validator``: a class method given the data, or a method of the entry."""

    def marked(method: Method) -> Method:
        setattr(getattr(method, "__func__", method), _WHEN, mode)
        return method

    return marked


def told(what: str, expected: str) -> PydanticCustomError:
    """For validators to raise: what is wrong with a value, and what was expected."""
    from pydantic_core import PydanticCustomError

    return PydanticCustomError("told", "{what}; {expected}", {"what": what, "expected": expected})


def closed() -> ConfigDict:
    """For every entry of a file: no other keys, no other kinds of values, nothing changed later.

    A field's description is what a message says was expected, where that is not plain.
    """
    return {"extra": "forbid", "frozen": True, "strict": True, "defer_build": True}


@declares_fields(kw_only_default=True, frozen_default=True, field_specifiers=(Field,))
class Entry:
    """Base of all entries: closed, frozen, strict about types."""

    def __init__(self, **given: Any) -> None:
        self.__dict__.update(vars(checked(type(self), given)))

    def __setattr__(self, name: str, value: Any) -> None:
        raise AttributeError(f"'{type(self).__name__}' is frozen")

    def __delattr__(self, name: str) -> None:
        raise AttributeError(f"'{type(self).__name__}' is frozen")

    def __eq__(self, other: object) -> bool:
        return type(self) is type(other) and vars(self) == vars(other)

    def __hash__(self) -> int:
        return hash((type(self), *vars(self).values()))

    def __repr__(self) -> str:
        values = ", ".join(f"{name}={value!r}" for name, value in vars(self).items())
        return f"{type(self).__name__}({values})"

    @classmethod
    def __get_pydantic_core_schema__(cls, source: Any, handler: GetCoreSchemaHandler) -> CoreSchema:
        """The check of its form, and the entry made of what passed it; pydantic asks for this."""
        from pydantic_core import core_schema

        after = [getattr(cls, name) for name in _marked(cls, "after")]

        def entry(made: BaseModel) -> Entry:
            found = made_of(cls, vars(made))
            for check in after:
                check(found)
            return found

        return core_schema.no_info_after_validator_function(
            entry, handler.generate_schema(form_of(cls))
        )


AnyEntry = TypeVar("AnyEntry", bound=Entry)
_FORMS: dict[type[Entry], type[BaseModel]] = {}
_CHECKS: dict[type[Entry], TypeAdapter[Any]] = {}


def checked(kind: type[AnyEntry], data: Any) -> AnyEntry:
    """Data as an entry; pydantic's ``ValidationError`` with everything that is wrong."""
    check = _CHECKS.get(kind)
    if check is None:
        from pydantic import TypeAdapter

        check = _CHECKS[kind] = TypeAdapter(kind)
    entry: AnyEntry = check.validate_python(data)
    return entry


def changed(entry: AnyEntry, **values: Any) -> AnyEntry:
    """A copy with other values, which are not checked."""
    return made_of(type(entry), {**vars(entry), **values})


def made_of(kind: type[AnyEntry], values: dict[str, Any]) -> AnyEntry:
    """An entry of values that were checked before, one for each of its fields."""
    entry = object.__new__(kind)
    entry.__dict__.update(values)
    return entry


def form_of(entry: type[Entry]) -> type[BaseModel]:
    """The pydantic model of an entry's form."""
    if entry not in _FORMS:
        _FORMS[entry] = _form_of(entry)
    return _FORMS[entry]


def _form_of(entry: type[Entry]) -> type[BaseModel]:
    from pydantic import create_model
    from pydantic import model_validator as check

    fields: dict[str, Any] = {
        name: (kind, default.made() if isinstance(default, Limits) else default)
        for name, (kind, default) in fields_of(entry).items()
    }
    before: dict[str, Any] = {
        name: check(mode="before")(_given_to(getattr(entry, name)))
        for name in _marked(entry, "before")
    }
    made: type[BaseModel] = create_model(
        entry.__name__, __config__=closed(), __doc__=entry.__doc__, __module__=entry.__module__,
        __validators__=before, **fields,
    )  # fmt: skip
    return made


def fields_of(entry: type[Entry]) -> dict[str, tuple[Any, Any]]:
    """Each field's annotation, and its default as it was declared; ``...`` without one."""
    fields = {}
    for base in reversed(entry.__mro__):
        if not issubclass(base, Entry):
            continue
        for name, kind in get_annotations(base, eval_str=True).items():
            if not _is_of_class(kind):
                fields[name] = (kind, vars(base).get(name, ...))
    return fields


def _is_of_class(kind: Any) -> bool:
    return get_origin(kind) is ClassVar


def _given_to(method: Callable[[Any], Any]) -> Any:
    """For a form: what the entry's own class method makes of the data."""

    def given(form: type[BaseModel], data: Any) -> Any:
        return method(data)

    return classmethod(given)


def _marked(entry: type[Entry], mode: str) -> list[str]:
    """The names of an entry's validators, its own last."""
    names = (name for base in reversed(entry.__mro__) for name in vars(base))
    return [n for n in dict.fromkeys(names) if getattr(getattr(entry, n), _WHEN, None) == mode]
