"""The form of a plain case in a line of JSON, for whatever its answers are decoded to; msgspec.

A case with steps, an outcome or a plan is not plain: it wants a closer look.
"""

from __future__ import annotations

import re
from typing import Any, Generic, Literal, TypeVar

from walltriage.case.model import CASE_SCHEMA, HOUSE, ROLES
from walltriage.units import LENGTH_UNITS

try:
    import msgspec
    from msgspec import UNSET, Raw, Struct, UnsetType
except ImportError:  # then every line goes the careful way
    msgspec = None  # type: ignore[assignment]

there = msgspec is not None
WALL_ID = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,39}")
AnswersT = TypeVar("AnswersT")

if msgspec is not None:
    _Words = str | UnsetType
    _Plain = str | int | float

    class Answered(Struct, frozen=True, forbid_unknown_fields=True, gc=False):
        """An answer with more to it than its value."""

        value: _Plain
        sure: _Words = UNSET
        by: _Words = UNSET
        seen_on: _Words = UNSET
        note: _Words = UNSET

    class JsonWall(Struct, Generic[AnswersT], forbid_unknown_fields=True, gc=False):
        """A wall with its answers."""

        id: str
        name: _Words = UNSET
        answers: AnswersT | UnsetType = UNSET

    class JsonCase(Struct, Generic[AnswersT], forbid_unknown_fields=True, gc=False):
        """A case with its answers."""

        schema: Literal[CASE_SCHEMA]  # type: ignore[valid-type]
        walls: list[JsonWall[AnswersT]]
        name: _Words = UNSET
        story: _Words = UNSET
        role: Literal[ROLES] | UnsetType = msgspec.field(  # type: ignore[valid-type]
            name="for", default=UNSET
        )
        reach: Literal[0, 1, 2, 3, 4] | UnsetType = UNSET
        units: Literal[LENGTH_UNITS] | UnsetType = UNSET  # type: ignore[valid-type]
        house: AnswersT | UnsetType = UNSET

    Said = dict[str, _Plain | Answered]
    WHOLE = msgspec.json.Decoder(JsonCase[Said])
    FRAME = msgspec.json.Decoder(JsonCase[Raw])  # its answers are still text
    ANSWERS = msgspec.json.Decoder(Said)
    NOT_PLAIN = (msgspec.MsgspecError, UnicodeDecodeError, RecursionError)


def in_order(case: Any) -> bool:
    """Whether the walls of a decoded case are plainly in order, their answers aside."""
    ids = [wall.id for wall in case.walls]
    if len(ids) == 1:
        return ids[0] != HOUSE and WALL_ID.fullmatch(ids[0]) is not None
    distinct = len(set(ids)) == len(ids) > 0
    return distinct and HOUSE not in ids and all(map(WALL_ID.fullmatch, ids))


def frame_keys(case: Any) -> int:
    """How many keys a case has around its answers: those that all have, and those given."""
    told = (case.name, case.story, case.role, case.reach, case.units, case.house)
    given = 2 + len(told) - told.count(UNSET)
    for wall in case.walls:
        given += 1 + (wall.name is not UNSET) + (wall.answers is not UNSET)
    return given
