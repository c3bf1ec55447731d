"""The list of answers: look through it, pick one, change it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from walltriage.case.answers import AnswerError
from walltriage.case.measure import is_metric
from walltriage.case.model import HOUSE
from walltriage.interview import setup, words
from walltriage.interview.pages import Choice, Page, in_other_order, question_page, said
from walltriage.interview.stands_alone import answer_anew
from walltriage.interview.terminal import Interview
from walltriage.interview.wall_names import edit_walls
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.interview.given import GivenAnswer

AT_ONCE = 14


def review(interview: Interview, hint: str) -> None:
    """List the answers, change those picked, until Enter."""
    start = 0
    while True:
        given = interview.session.given
        shown = given[start : start + AT_ONCE]
        last = start + len(shown) >= len(given)
        reply = interview.ask(_review_page(interview, given, start, last, hint))
        if reply.command == "back":
            return
        if reply.keep:
            if last:
                return
            start += AT_ONCE
        elif reply.value == "person":
            setup.ask_person(interview)
        elif reply.value == "walls":
            edit_walls(interview)
            start = 0
        else:
            change(interview, given[int(reply.value)])
            start = 0


def _review_page(
    interview: Interview, given: tuple[GivenAnswer, ...], start: int, last: bool, hint: str
) -> Page:
    """Print a stretch of the answers; the page that asks which to change."""
    interview.screen.say()
    interview.screen.say("Your answers", "bold")
    rows = [
        (
            str(i),
            _with_wall(interview, item),
            said(interview.session.question(item.step), item.answer),
        )
        for i, item in enumerate(given, 1)
    ][start : start + AT_ONCE]
    if last:
        reach = words.REACH[interview.session.case.reach]
        rows.append((str(len(given) + 1), "Who is asking, how far, the name", reach))
        names = ", ".join(wall.title for wall in interview.session.walls)
        several = len(interview.session.walls) > 1
        edit = "Rename or drop a wall" if several else "Rename the wall"
        rows.append((str(len(given) + 2), edit, names))
    interview.screen.answers(rows)
    return Page(
        ask=hint if last else "Number to change an answer; Enter for the rest of the list.",
        listed=False,
        choices=(
            *(Choice(str(i), "") for i in range(len(given))),
            Choice("person", ""),
            Choice("walls", ""),
        ),
        commands=("back", "leave"),
        keep="",
    )


def _with_wall(interview: Interview, item: GivenAnswer) -> str:
    ask = interview.session.question(item.step).entry.ask
    if item.step.subject == HOUSE or len(interview.session.walls) == 1:
        return ask
    return f"{interview.session.case.wall(item.step.subject).title}: {ask}"


def change(interview: Interview, item: GivenAnswer, *, again: bool = False) -> None:
    """Ask one earlier question again; Enter keeps what was said.

    ``again``: somebody has looked once more, so that the same answer is told twice.
    """
    question = interview.session.question(item.step)
    page = question_page(
        question,
        interview.triager.base.glossary,
        flipped=in_other_order(interview.session.case.name),
        metric=is_metric(interview.session.case),
        heading="Changing an answer",
        earlier=item.answer,
    )
    page = replace(page, commands=tuple(c for c in page.commands if c != "list"))
    while True:
        reply = interview.ask(page)
        if reply.keep or reply.command == "back":
            return
        value = reply.command if reply.command in ("unknown", "out_of_reach") else reply.value
        before = interview.session.set_aside
        try:
            sure = reply.sure or "certain"
            if again:
                answer_anew(interview.session, item, value, sure, reply.note)
            else:
                interview.session.change(item.step, value, sure, reply.note)
        except AnswerError as error:
            interview.screen.trouble(words.plainly(error, item.step.question))
            continue
        interview.save()
        interview.tell(item.step)
        for aside in interview.session.set_aside:
            if aside not in before:
                ask = interview.session.question(aside.step).entry.ask
                interview.screen.say(say("No longer applies, set aside: {ask}", ask=ask))
        return
