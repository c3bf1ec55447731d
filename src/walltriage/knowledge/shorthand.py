"""What rules may leave out: cases that say only "answered or not", houses told once by name, and
what a clue says of an answer where it is only told from which place it comes."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.entries import Entry, Field, changed
from walltriage.knowledge.base import AskedQuestion
from walltriage.knowledge.schema import Cases, Clue, LoadPathFile, Text

HOUSE = "house"  # in an answer set of a case: the name of a house in case_houses.yaml
FILE_NAME = "case_houses.yaml"


class Wording(Entry):
    """``rules/wording.yaml``: words that many entries share, told once.

    ``why`` a question is asked, by name; what a clue ``says`` of its answer when it says nothing
    of its own, by the place or else the kind of its question.
    """

    why: dict[str, Text] = Field(default_factory=dict)
    says: dict[str, Text] = Field(default_factory=dict)


def with_houses(data: Any, houses: Mapping[str, Mapping[str, Any]]) -> Any:
    """Rules data with every named house of a case written out; answers beside it come on top.

    A name that is not known stays as it is, for the check of references to tell.
    """
    if isinstance(data, list):
        return [with_houses(item, houses) for item in data]
    if not isinstance(data, dict):
        return data
    return {
        key: _sets(value, houses) if key in ("fires", "quiet") else with_houses(value, houses)
        for key, value in data.items()
    }


def _sets(sets: Any, houses: Mapping[str, Mapping[str, Any]]) -> Any:
    if not isinstance(sets, list):
        return sets
    return [
        {**houses[given[HOUSE]], **{q: a for q, a in given.items() if q != HOUSE}}
        if isinstance(given, dict) and given.get(HOUSE) in houses
        else given
        for given in sets
    ]


def filled_in(
    file: LoadPathFile, questions: Mapping[str, AskedQuestion], wording: Wording
) -> LoadPathFile:
    """A load path whose clues all have cases and words: cases left out fire on every answer."""
    clues = []
    for clue in file.clues:
        asked = questions.get(clue.question)
        left_out: dict[str, Any] = {}
        if asked and clue.cases is None and clue.when is None:
            left_out["cases"] = _made(clue, asked)
        if asked and clue.says is None:
            left_out["says"] = wording.says.get(asked.place, wording.says.get(asked.entry.kind))
        clues.append(changed(clue, **left_out) if left_out else clue)
    return changed(file, clues=clues)


def _made(clue: Clue, question: AskedQuestion) -> Cases:
    answers = [_answer(question, value) for value in next(iter(clue.shows.values()), {})]
    return Cases(
        fires=[{question.id: answer} for answer in answers],
        quiet=[{question.id: "unknown"}, {}],
    )


def _answer(question: AskedQuestion, value: str) -> str | float:
    """An answer of this value: the option itself, or a number within the band."""
    if question.entry.answer == "choice":
        return value
    low = question.number(question.entry.least or 0)
    for band in question.entry.bands:
        last = question.entry.most or 0
        high = question.number(last if band.under is None else band.under)
        if band.id == value:
            number = (low + high) / 2
            return f"{number:g} in" if question.entry.answer == "length" else number
        low = high
    return value
