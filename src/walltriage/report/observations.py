"""Every answer as a row: what was asked, what was seen, how surely, by whom, when, from where."""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.model import Answer
from walltriage.knowledge.base import AskedQuestion
from walltriage.report.blocks import Table

SURE_WORDS = {"certain": "certain", "fairly": "fairly sure", "guess": "a guess"}
PLACE_WORDS = {
    "desk": "desk or outside",
    "rooms": "the rooms",
    "upstairs": "the story above",
    "attic": "the attic",
    "below": "below",
    "opened": "opened up",
    "none": "worked out",
    "outside": "outside",
}
WALKING_ORDER = ("outside", "desk", "rooms", "upstairs", "attic", "below", "opened", "none")


def observation_table(
    title: str, answers: Mapping[str, Answer], questions: Mapping[str, AskedQuestion]
) -> Table:
    """The answers in walking order."""
    names = sorted(
        (name for name in answers if name in questions),
        key=lambda name: WALKING_ORDER.index(questions[name].place),
    )
    return Table(
        title,
        ("Asked", "Answer", "How sure", "By, when", "Seen from", "Note"),
        tuple(_row(questions[name], answers[name]) for name in names),
        (29, 21, 9, 13, 15, 13),
    )


def said(question: AskedQuestion, answer: Answer) -> str:
    """The answer in the words of reports; a measured value as the person wrote it."""
    if answer.number is not None:
        return answer.given
    return question.means(answer.value)


def _row(question: AskedQuestion, answer: Answer) -> tuple[str, ...]:
    computed = question.entry.kind == "computed"
    by = ", ".join(part for part in (answer.by, answer.seen_on) if part)
    sure = SURE_WORDS[answer.sure] if answer.is_real and not computed else "—"
    return (
        question.entry.ask,
        said(question, answer),
        sure,
        "the program" if computed else by or "not noted",
        PLACE_WORDS["none" if computed else question.place],
        answer.note or "—",
    )
