"""``rules/seen_along.yaml``: what looks along a wall answer, and how to open a wall; its checks."""

from collections.abc import Iterator, Mapping
from typing import Any, Literal

from walltriage.entries import Entry, Field, checked
from walltriage.errors import Problem, QuantityError
from walltriage.knowledge.schema import Id, Sources, Text
from walltriage.knowledge.unknown import answers_at, unknown_at
from walltriage.units import parse_length
from walltriage.yamltree import KeyPath, Tree

FILE_NAME = "seen_along.yaml"
SeenFrom = Literal["attic", "below", "upstairs", "strip", "hole"]
Framing = Literal["nothing_rests", "along", "one_piece"]
Spot = Literal["joist_end_or_lap", "strut_foot", "beam_end", "wood_post", "steel_post", "stud_pack"]


class SeenReach(Entry):
    """How closely a wall has to be seen, and from where, to speak for load paths."""

    id: Id
    says: Text
    places: list[SeenFrom] = Field(min_length=1)
    gap: str
    ends: str
    paths: list[Id] = Field(min_length=1)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class SeenMarking(Entry):
    """The question that distances measured below and above answer; ``least`` of them are needed."""

    question: Id
    agrees: Id
    differs: Id
    least: int = Field(ge=1)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class SeenClash(Entry):
    """The computed question under which looks that contradict each other reach the guards."""

    question: Id
    agrees: Id
    differs: Id


class SeenAnswer(Entry):
    """How looks from some places answer a question: by a find, or by a wall seen closely."""

    question: Id
    seen_from: list[SeenFrom] = Field(alias="from", min_length=1)
    reach: Id
    found: dict[Spot, Id] = Field(default_factory=dict)
    clear: dict[Framing, Id] = Field(default_factory=dict)
    part: Id | None = None
    only_with: dict[Id, list[Id]] = Field(default_factory=dict)
    unless: dict[Id, list[Id]] = Field(default_factory=dict)
    source: Sources
    limits: list[Text] = Field(min_length=1)


class FirstCaution(Entry):
    """What comes before anything is opened."""

    says: Text
    source: Sources


class WhatIsSeen(Entry):
    """What may be seen in a step, and what it means for going on."""

    sees: Text
    means: Text


class OneSpot(Entry):
    """One spot to open: ``says`` where; needed ``after`` one of these answers was given, with all
    of ``only_with`` told too, until ``asks`` is answered, or answered by one of ``until``."""

    says: Text
    after: dict[Id, list[Id]] = Field(min_length=1)
    only_with: dict[Id, list[Id]] = Field(default_factory=dict)
    asks: Id
    until: list[Id] = Field(default_factory=list)


class OpeningStep(Entry):
    """One step of opening a wall: at covers, at one spot, at places along it, or over all of it."""

    id: Id
    title: Text
    where: Literal["covers", "along", "whole"] | OneSpot
    size: Text
    tool: Text
    paths: list[Id] = Field(min_length=1)
    shows: Text
    outcomes: list[WhatIsSeen] = Field(min_length=2)
    cannot_show: Text
    source: Sources
    limits: list[Text] = Field(min_length=1)


class OpeningSteps(Entry):
    """Cautions, then steps from no damage to most; none after one of the answers ``not_where``."""

    first: list[FirstCaution] = Field(min_length=1)
    not_where: dict[Id, list[Id]] = Field(default_factory=dict)
    steps: list[OpeningStep] = Field(min_length=1)


class SeenAlongFile(Entry):
    """``rules/seen_along.yaml``."""

    length: Id
    lengths_differ: str
    marks_agree: str
    reaches: list[SeenReach] = Field(min_length=1)
    marking: SeenMarking
    clash: SeenClash
    answers: list[SeenAnswer]
    opening: OpeningSteps

    def reach(self, name: str) -> SeenReach:
        """The reach with this id; :class:`KeyError` when there is none."""
        for reach in self.reaches:
            if reach.id == name:
                return reach
        raise KeyError(name)


def check(tree: Tree, questions: Mapping[str, Any], paths: Mapping[str, Any]) -> list[Problem]:
    """Every length that cannot be read, and every question, option, path or reach not there."""
    file = checked(SeenAlongFile, tree.data)
    return [*_length_problems(file, tree), *_reference_problems(file, tree, questions, paths)]


def _length_problems(file: SeenAlongFile, tree: Tree) -> Iterator[Problem]:
    lengths: list[tuple[KeyPath, str]] = [
        (("lengths_differ",), file.lengths_differ),
        (("marks_agree",), file.marks_agree),
    ]
    for index, reach in enumerate(file.reaches):
        lengths += [
            (("reaches", index, "gap"), reach.gap),
            (("reaches", index, "ends"), reach.ends),
        ]
    for place, text in lengths:
        try:
            parse_length(text)
        except QuantityError as error:
            yield tree.problem(place, str(error))


def _reference_problems(
    file: SeenAlongFile, tree: Tree, questions: Mapping[str, Any], paths: Mapping[str, Any]
) -> Iterator[Problem]:
    named: list[tuple[KeyPath, str, list[str]]] = [
        (("length",), file.length, []),
        (("marking",), file.marking.question, [file.marking.agrees, file.marking.differs]),
        (("clash",), file.clash.question, [file.clash.agrees, file.clash.differs]),
    ]
    reaches = [reach.id for reach in file.reaches]
    for index, answer in enumerate(file.answers):
        where: KeyPath = ("answers", index)
        gives = [*answer.found.values(), *answer.clear.values()]
        named.append((where, answer.question, gives + ([answer.part] if answer.part else [])))
        for given in (answer.only_with, answer.unless):
            named += [(where, question, options) for question, options in given.items()]
        yield from unknown_at(tree, (*where, "reach"), "reach", answer.reach, reaches)
    for question, options in file.opening.not_where.items():
        named.append((("opening", "not_where", question), question, options))
    for index, step in enumerate(file.opening.steps):
        if isinstance(step.where, OneSpot):
            spot: KeyPath = ("opening", "steps", index, "where")
            named += [(spot, step.where.asks, step.where.until)]
            told = [*step.where.after.items(), *step.where.only_with.items()]
            named += [(spot, question, options) for question, options in told]
    for where, question, options in named:
        yield from answers_at(tree, where, questions, question, options)
    places: list[tuple[KeyPath, list[str]]] = [
        (("reaches", i), reach.paths) for i, reach in enumerate(file.reaches)
    ]
    places += [(("opening", "steps", i), s.paths) for i, s in enumerate(file.opening.steps)]
    for where, names in places:
        for name in names:
            yield from unknown_at(tree, (*where, "paths"), "load path", name, paths)
