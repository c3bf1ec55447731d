"""A case in memory: frozen answers for the house and for each wall."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Literal

from walltriage.case.looks import WallLooks
from walltriage.case.plan import Plan
from walltriage.case.sureness import CHECKED as CHECKED
from walltriage.case.sureness import CONFIRMED as CONFIRMED
from walltriage.case.sureness import DEGREES as DEGREES
from walltriage.case.sureness import LESS_SURE as LESS_SURE
from walltriage.case.sureness import SURENESS as SURENESS
from walltriage.case.sureness import SURENESS_IN_FILES as SURENESS_IN_FILES
from walltriage.case.sureness import SUREST_FIRST as SUREST_FIRST
from walltriage.case.sureness import Sureness as Sureness
from walltriage.case.sureness import as_said as as_said
from walltriage.case.sureness import found_again as found_again
from walltriage.case.sureness import least_sure as least_sure
from walltriage.case.sureness import told_again as told_again

CASE_SCHEMA = "walltriage/case/1"
UNKNOWN, OUT_OF_REACH = "unknown", "out_of_reach"
NO_ANSWER = (UNKNOWN, OUT_OF_REACH)
HOUSE = "house"

Role = Literal["buyer", "trade", "firm"]
ROLES: tuple[Role, ...] = ("buyer", "trade", "firm")


@dataclass(frozen=True, slots=True)
class Answer:
    """What was answered to one question.

    ``value`` is the option id, the band id of a measured value (empty when the
    question has no bands), the text given, or one of :data:`NO_ANSWER`.  ``number``
    is the measured value (inches for lengths), ``given`` how the person wrote it.
    """

    value: str
    number: float | None = None
    given: str = ""
    sure: Sureness = "certain"
    by: str = ""
    seen_on: str = ""
    note: str = ""

    @property
    def is_real(self) -> bool:
        """Whether something was seen or known."""
        return self.value not in NO_ANSWER


Answers = Mapping[str, Answer]


@dataclass(frozen=True, slots=True)
class Wall:
    """One wall asked about; ``looks`` tells what was seen from where to where along it."""

    id: str
    name: str = ""
    answers: Answers = field(default_factory=dict)
    looks: WallLooks | None = None

    @property
    def title(self) -> str:
        return self.name or self.id


@dataclass(frozen=True, slots=True)
class Step:
    """One question as it was asked: for the house (``subject`` is HOUSE) or a wall id.

    ``glance``: the page of several things on which it was answered, if it was; the same question
    is the same step on whatever page.
    """

    subject: str
    question: str
    glance: str = field(default="", compare=False)


@dataclass(frozen=True, slots=True)
class Drawing:
    """Pages of the plan answered when an interview stopped before the last of them.

    ``of`` says what was being drawn; a reply is what was picked or typed, None for unknown.
    """

    of: str
    replies: tuple[str | None, ...] = ()


@dataclass(frozen=True, slots=True)
class Case:
    """A house, its walls, who asks, and how far they could go that day.

    ``reach`` is the highest effort the person can make (0 the rooms, 1 a tape or
    the next floor, 2 attic and basement, 3 take off a cover, 4 a small hole).
    ``asked`` is the order of the interview, if there was one, and ``drawing`` what it had
    of the plan when it stopped.  ``to_name``: questions about things that were said to be there,
    and not yet which.  ``client``: what a firm has noted of its client, by the ids of the fields
    for it in ``report_texts.yaml``.
    """

    name: str = ""
    house: Answers = field(default_factory=dict)
    walls: tuple[Wall, ...] = ()
    units: str = "ft"
    role: Role = "buyer"
    reach: int = 4
    asked: tuple[Step, ...] = ()
    to_name: tuple[Step, ...] = ()
    story: str = ""
    outcome: Mapping[str, object] | None = field(default=None, repr=False)
    plan: Plan | None = None
    drawing: Drawing | None = None
    client: Mapping[str, str] = field(default_factory=dict)

    def wall(self, wall_id: str) -> Wall:
        """The wall with this id; :class:`KeyError` when there is none."""
        for wall in self.walls:
            if wall.id == wall_id:
                return wall
        raise KeyError(wall_id)

    def called(self) -> dict[str, str]:
        """What each wall is called, by id: its name, with the id behind it where two walls share
        one."""
        often = Counter(wall.title for wall in self.walls)
        return {
            wall.id: wall.title if often[wall.title] == 1 else f"{wall.title} ({wall.id})"
            for wall in self.walls
        }

    def answers_for(self, wall_id: str) -> dict[str, Answer]:
        """House answers and the wall's own, together."""
        return {**self.house, **self.wall(wall_id).answers}

    def answers_of(self, subject: str) -> Answers:
        """The answers of the house, or of one wall alone."""
        return self.house if subject == HOUSE else self.wall(subject).answers

    def with_answer(self, subject: str, question: str, answer: Answer | None) -> Case:
        """A copy in which one answer is set, or taken away when ``answer`` is None."""
        if subject == HOUSE:
            return replace(self, house=_changed(self.house, question, answer))
        walls = tuple(
            replace(wall, answers=_changed(wall.answers, question, answer))
            if wall.id == subject
            else wall
            for wall in self.walls
        )
        return replace(self, walls=walls)


def _changed(answers: Answers, question: str, answer: Answer | None) -> Answers:
    kept = {key: value for key, value in answers.items() if key != question}
    if answer is not None:
        kept[question] = answer
    return kept
