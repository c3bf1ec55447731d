"""The form of case files: keys and kinds of values, before anything is checked against a house.

What is inside a plan, or among the looks along a wall, has forms of its own.
"""

from typing import Annotated, Any, Literal

from walltriage.case.model import CHECKED, SURENESS, Role
from walltriage.entries import BeforeValidator, Entry, Field, told


def _words(value: Any) -> str:
    if isinstance(value, dict | list) or value is None:
        from pydantic_core import PydanticCustomError

        raise PydanticCustomError("words", "not text")
    return str(value)


def _not_empty(value: Any) -> Any:
    if value is None:
        raise told("nothing is given here", "expected a value, or leave the key out")
    return value


def _sureness(value: Any) -> Any:
    return SURENESS[0] if value == CHECKED else value


Words = Annotated[str, BeforeValidator(_words)]
Given = BeforeValidator(_not_empty)
Sure = Annotated[Literal["certain", "fairly", "guess", "confirmed"], BeforeValidator(_sureness)]


class AnswerForm(Entry):
    """One answer with more to it than its value."""

    value: Any = Field(description="expected 'value: ...'")
    sure: Sure = "certain"
    by: Words = ""
    seen_on: Words = ""
    note: Words = ""


class WallForm(Entry):
    """One wall of a case."""

    id: Words = Field(description="expected 'id: w1' and 'answers:'")
    name: Words = ""
    answers: Any = Field(default_factory=dict)
    looks: Any = None


class DrawingForm(Entry):
    """Replies about a plan that was being drawn when an interview stopped."""

    of: str
    replies: list[str | None]


class CaseForm(Entry):
    """A case file.  What is inside plan, answers, walls and steps is read piece by piece."""

    schema_: str = Field(alias="schema")
    name: Words = ""
    story: Words = ""
    role: Role = Field("buyer", alias="for")
    reach: int = Field(4, ge=0, le=4, description="expected 0, 1, 2, 3, 4")
    units: Literal["ft", "in", "m", "cm", "mm"] = "ft"
    client: dict[str, Words] = Field(
        default_factory=dict, description="expected 'client_name: ...'"
    )
    plan: Any = None
    house: Any = Field(default_factory=dict)
    walls: list[Any] = Field(default_factory=list, description="expected '- id: ...' for each wall")
    asked: list[Any] = Field(default_factory=list, description="expected '- house/QUESTION'")
    to_name: list[Any] = Field(default_factory=list, description="expected '- house/QUESTION'")
    drawing: Annotated[DrawingForm | None, Given] = None
    outcome: Any = None
