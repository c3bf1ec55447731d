"""The forms of a plan and of looks along a wall, before anything is checked against a house.

Lengths are read in the units of the file, which the validation context holds.
"""

import re
from typing import Annotated, Any, Literal

from pydantic import (
    AfterValidator,
    BaseModel,
    Field,
    PlainValidator,
    ValidationInfo,
)

from walltriage.case.case_forms import Given, Sure, Words
from walltriage.case.looks import Place, Saw, Thing
from walltriage.case.model import NO_ANSWER
from walltriage.case.plan import Length, Side
from walltriage.entries import closed, told
from walltriage.errors import QuantityError
from walltriage.units import parse_length

MOST_ITEMS = 200  # of each kind on a plan or along a wall; a house has fewer
LONGEST_IN = 1200.0  # 100 ft


def _length(value: Any, info: ValidationInfo[str]) -> Length | None:
    """A length of the plan with the words it was given in; None where nobody took it."""
    if value is None or value in NO_ANSWER:
        return None
    try:
        if isinstance(value, str):
            return Length.of(value, info.context)
        return Length(parse_length(value, info.context), f"{value:g} {info.context}")
    except QuantityError as error:
        raise told(*str(error).split("; ", 1)) from None


def _measured(value: Any, info: ValidationInfo[str]) -> Length | None:
    """A length that somebody took with a tape: arithmetic rests on it."""
    length = _length(value, info)
    if length is not None and length.out_in:
        raise told(f"'{value}' is not measured", "expected a length off a tape, or leave it out")
    return length


def _inches(value: Any, info: ValidationInfo[str]) -> float:
    """A distance along a wall."""
    try:
        inches = parse_length(value, info.context)
    except QuantityError as error:
        raise told(str(error), "from 0 to 100 ft") from None
    if inches > LONGEST_IN:
        raise told(f"'{value}' is out of range", "expected 0 to 100 ft")
    return inches


def _stretch(value: Any, info: ValidationInfo[str]) -> tuple[Length, Length] | None:
    if value is None:
        return None
    if not isinstance(value, list) or len(value) != 2:
        raise told(f"'{value}' is not a stretch", "expected [2 ft, 12 ft]")
    first, last = (_length(end, info) for end in value)
    return None if first is None or last is None else (first, last)


def _beam_size(value: str) -> str:
    if value and re.fullmatch(r"[1-6]-2x(6|8|10|12)", value) is None:
        raise told(f"'{value}' is no size of a beam", "expected plies and size: 3-2x10")
    return value


def _post_size(value: str) -> str:
    if value and re.fullmatch(r"4x4|4x6|4x8|6x6|[2-5]-2x[46]", value) is None:
        raise told(
            f"'{value}' is no size of a wood post",
            "expected 4x4, 4x6, 6x6 or plies such as 3-2x6; a steel post is left without",
        )
    return value


PlanLength = Annotated[Length | None, PlainValidator(_length)]
MeasuredLength = Annotated[Length | None, PlainValidator(_measured)]
Inches = Annotated[float | None, PlainValidator(_inches)]
Stretch = Annotated[tuple[Length, Length] | None, PlainValidator(_stretch)]
Names = Annotated[list[Annotated[str, Field(min_length=1)]], Field(
    description="expected names, such as [ground, upstairs]"
)]  # fmt: skip


class FormEntry(BaseModel):
    """Base of all forms: closed, frozen, strict about types."""

    model_config = closed()


class MarkForm(FormEntry):
    """A distance from an outside wall to this one, measured below and above."""

    from_wall: Words = Field("", alias="from")
    below: Inches = None
    above: Inches = None


class FoundForm(FormEntry):
    """A thing at a spot."""

    what: Thing
    at: Inches = None


class LookForm(FormEntry):
    """One look along a wall."""

    place: Place
    start: Inches = Field(None, alias="from")
    end: Inches = Field(None, alias="to")
    at: Inches = None
    whole: Any = None
    saw: Annotated[Saw | None, Given] = None
    found: list[FoundForm] = Field([], max_length=MOST_ITEMS)
    length: Inches = None
    sure: Sure = "certain"
    by: Words = ""
    seen_on: Words = ""


class LooksForm(FormEntry):
    """All looks along one wall."""

    zero_end: Words = ""
    other_end: Words = ""
    length: Inches = None
    marked: list[MarkForm] = Field([], max_length=MOST_ITEMS)
    seen: list[LookForm] = Field([], max_length=MOST_ITEMS)


class PartForm(FormEntry):
    """One rectangle of the outline."""

    id: Words = Field(description="expected a name of its own for each part")
    side: Annotated[Side | None, Given] = None
    of: Words = ""
    start: PlanLength = None
    width: PlanLength = None
    depth: PlanLength = None
    levels: Annotated[Names | None, Given] = None
    year: int | None = Field(None, ge=1600, le=2100)


class RidgeForm(FormEntry):
    """A ridge; walls and beams lie in the same way."""

    part: Words = ""
    along: Side
    off: PlanLength = None
    start: PlanLength = Field(None, alias="from")
    end: PlanLength = Field(None, alias="to")


class WallLineForm(RidgeForm):
    """A wall on the plan, or one that is only drawn."""

    wall: Words = ""
    name: Words = ""
    kind: Literal["wall", "knee_wall"] = "wall"
    level: Words
    openings: list[Stretch] = Field([], description="expected [[2 ft, 5 ft]]")


class BeamForm(RidgeForm):
    """A beam, with its size where somebody measured it."""

    name: Words = ""
    level: Words
    size: Annotated[Words, AfterValidator(_beam_size)] = ""


class PostForm(FormEntry):
    """A post on a level, with its sizes where somebody measured them."""

    level: Words
    part: Words = ""
    left: PlanLength = None
    front: PlanLength = None
    size: Annotated[Words, AfterValidator(_post_size)] = ""
    height: MeasuredLength = None
    footing: MeasuredLength = None


class AreaForm(FormEntry):
    """A stair opening."""

    level: Words
    part: Words = ""
    left: Stretch = None
    front: Stretch = None


class JoistsForm(AreaForm):
    """A bay of joists."""

    run: Side
    seen_from: Literal["attic", "below", "fixture", "opened"]


class PlanFields(FormEntry):
    """The plan of a house."""

    tolerance: MeasuredLength = None
    levels: Names = []
    whole: Names = []
    parts: list[PartForm] = Field([], max_length=MOST_ITEMS)
    ridges: list[RidgeForm] = Field([], max_length=MOST_ITEMS)
    walls: list[WallLineForm] = Field([], max_length=MOST_ITEMS)
    beams: list[BeamForm] = Field([], max_length=MOST_ITEMS)
    posts: list[PostForm] = Field([], max_length=MOST_ITEMS)
    stairs: list[AreaForm] = Field([], max_length=MOST_ITEMS)
    joists: list[JoistsForm] = Field([], max_length=MOST_ITEMS)
