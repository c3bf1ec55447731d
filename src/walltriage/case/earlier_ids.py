"""Answers under ids of earlier editions: ids are a contract, and old case files go on being read.

A question says under which ids it was asked before (``was:`` in its entry), and which of its
options had other ids.  One that was split is named by several questions, ones that were merged
stand in one question's list.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from walltriage.case.answers import AnswerableQuestion, AnswerError
from walltriage.case.model import NO_ANSWER

Questions = Mapping[str, AnswerableQuestion]


def asked_now(questions: Questions, name: str) -> list[str]:
    """The questions that an id stands for: itself, or those that say they were asked under it."""
    if name in questions:
        return [name]
    return [now for now, _ in _taking(questions, name)]


def answers_now(questions: Questions, name: str, value: Any) -> list[tuple[str, Any]]:
    """(question, value) as they are called now, for a value given under any id.

    Empty for an id that nothing knows.  Raises :class:`AnswerError` for a value that no question
    takes over.  Whether a value fits its question is not checked here.
    """
    if name in questions:
        own = (was.options for was in questions[name].entry.was if was.question == name)
        renamed: Mapping[str, str] = next(own, {})
        return [(name, renamed.get(value, value) if isinstance(value, str) else value)]
    found, taking = [], _taking(questions, name)
    for now, renamed in taking:
        question = questions[now]
        if value in NO_ANSWER or question.entry.answer != "choice":
            found.append((now, value))
        elif isinstance(value, str) and (value in renamed or value in question.values):
            found.append((now, renamed.get(value, value)))
    if taking and not found:
        what = f"'{value}' is not an answer to '{name}'"
        raise AnswerError(what, "it is asked now as " + ", ".join(now for now, _ in taking))
    return found


def was_of_house(question: AnswerableQuestion) -> bool:
    """Whether a question about a wall was asked once for the house in an earlier edition."""
    return any(was.of_house for was in question.entry.was)


_Taken = list[tuple[str, Mapping[str, str]]]


def _taking(questions: Questions, name: str) -> _Taken:
    """The questions that take answers under this id, each with the options that were renamed."""
    global _indexed
    if _indexed is None or _indexed[0] is not questions:
        _indexed = questions, _by_earlier_id(questions)
    return _indexed[1].get(name, [])


_indexed: tuple[Questions, dict[str, _Taken]] | None = None
"""The questions last asked of, by earlier id: a file can name thousands of ids nobody knows."""


def _by_earlier_id(questions: Questions) -> dict[str, _Taken]:
    found: dict[str, _Taken] = {}
    for now, question in questions.items():
        for earlier in question.entry.was:
            found.setdefault(earlier.question, []).append((now, earlier.options))
    return found
