"""The form of ``rules/relations.yaml``: what a plan of the house answers, and by what rule."""

from collections.abc import Iterable
from typing import Literal

from walltriage.entries import Entry, Field
from walltriage.knowledge.schema import Id, Sources, Text


class RelationBand(Entry):
    """What a relation's number answers, up to ``under``; without ``gives`` the next entry looks."""

    gives: Id | None = None
    under: str | float | None = None


class RelationAnswer(Entry):
    """How a relation on the plan answers a question.

    One of ``measured`` (its number is the answer), ``bands`` or ``words``.  ``only_with`` names
    answers without which it does not count.  The first entry of a question that answers is
    taken; a number whose stretch crosses a band's end answers nothing.
    """

    relation: Id
    question: Id
    measured: bool = False
    bands: list[RelationBand] = Field(default_factory=list)
    words: dict[Id, Id] = Field(default_factory=dict)
    only_with: dict[Id, Id] = Field(default_factory=dict)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class NeighbourAnswer(Entry):
    """How an answer about a related wall answers a computed question about this one.

    ``words`` turn that wall's answer to ``reads`` into an option here; of several walls the
    option that stands last in ``words`` is taken.  ``relies`` are options by which that wall is
    held up by this one.
    """

    relation: Id
    question: Id
    reads: Id
    words: dict[Id, Id] = Field(min_length=1)
    relies: list[Id] = Field(default_factory=list)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class VerdictAnswer(Entry):
    """How the verdict on a wall of a higher level answers a computed question about this one."""

    relation: Id
    question: Id
    words: dict[Literal["likely_non_bearing", "cannot_tell", "likely_bearing"], Id]
    source: Sources
    limits: list[Text] = Field(min_length=1)


class LineAnswer(Entry):
    """The question answered by which lines of a story its joists cannot do without."""

    question: Id
    words: dict[Literal["in_no_smallest", "depends", "needed"], Id]
    source: Sources
    limits: list[Text] = Field(min_length=1)


class Side(Entry):
    """A question and those of its answers that clash."""

    question: Id
    answers: list[Id] = Field(alias="in", min_length=1)


class WallClash(Entry):
    """Answers about two related walls that cannot both be true."""

    id: Id
    relation: Id
    here: Side
    there: Side
    says: Text
    source: Sources
    limits: list[Text] = Field(min_length=1)


class PlanClashes(Entry):
    """The computed questions under which clashes reach the contradictions of the guards."""

    with_plan: Id
    between_walls: Id
    differs: Id
    agrees: Id


class PlanSure(Entry):
    """How sure an answer from the plan is, for tolerances up to ``under``."""

    sure: Literal["certain", "fairly", "guess"]
    under: str | None = None


class RelationsFile(Entry):
    """``rules/relations.yaml``: what the plan of the house and its other walls tell of a wall."""

    settings: dict[Id, str | float]
    sureness: list[PlanSure]
    answers: list[RelationAnswer]
    neighbours: list[NeighbourAnswer] = Field(default_factory=list)
    lines: LineAnswer | None = None
    verdicts: list[VerdictAnswer] = Field(default_factory=list)
    clash: PlanClashes | None = None
    clashes: list[WallClash] = Field(default_factory=list)

    @property
    def works_out(self) -> set[str]:
        """The questions that the plan or other walls can answer."""
        entries: Iterable[RelationAnswer | NeighbourAnswer | VerdictAnswer]
        entries = (*self.answers, *self.neighbours, *self.verdicts)
        found = {entry.question for entry in entries}
        if self.lines is not None:
            found.add(self.lines.question)
        if self.clash is not None:
            found |= {self.clash.with_plan, self.clash.between_walls}
        return found
