"""One question as it is put to a person: text, options in order, and what else can be typed."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal
from zlib import crc32

from walltriage.case.measure import is_metric
from walltriage.case.model import UNKNOWN, Answer
from walltriage.inference.looks.policy import FAR
from walltriage.interview import words
from walltriage.interview.page_again import said_again
from walltriage.knowledge.trade_words import explained_in, glosses, glosses_in
from walltriage.language import say
from walltriage.units import format_length

if TYPE_CHECKING:
    from walltriage.inference.looks.glance import Asked
    from walltriage.interview.session import Session
    from walltriage.knowledge.base import AskedQuestion

SMALL_IN = 48  # inches; what is never longer is measured in inches
Kind = Literal["choice", "several", "length", "number", "text"]
Command = Literal[
    "why",
    "how",
    "back",
    "unknown",
    "out_of_reach",
    "sure",
    "note",
    "list",
    "so_far",
    "leave",
    "help",
    "nowhere",
]


@dataclass(frozen=True, slots=True)
class Choice:
    """One option: the value it stands for, and how it reads."""

    value: str
    says: str


@dataclass(frozen=True, slots=True)
class Page:
    """Everything shown for one question.

    ``words`` explains the trade words of question and options; ``keep`` is what Enter alone
    answers; with ``listed`` off, the choices are numbers of something shown already.  Of several
    choices any may be picked, or ``none``.
    """

    ask: str
    heading: str = ""
    progress: str = ""
    kind: Kind = "choice"
    choices: tuple[Choice, ...] = ()
    words: str = ""
    none: str = ""
    listed: bool = True
    commands: tuple[Command, ...] = ()
    hint: str = ""
    why: str = ""
    look: str = ""
    sketch: str = ""
    keep: str | None = None
    keep_says: str = ""


def page_for(session: Session) -> Page:
    """The page of the session's current question."""
    step = session.step
    assert step is not None
    if session.page is not None:
        return _several(session, session.page)
    question = session.question(step)
    wall = session.case.wall(session.wall_id)
    place = say(words.PLACES[question.place])
    earlier = session.earlier
    return question_page(
        question,
        session.triager.base.glossary,
        flipped=in_other_order(session.case.name),
        metric=is_metric(session.case),
        heading=say("The house: {place}", place=place.lower()) if question.scope == "house" else (
            f"{place}: {wall.title}"
        ),
        progress=_progress(session),
        earlier=earlier,
    )  # fmt: skip


def _progress(session: Session) -> str:
    plan = session.next
    return words.FOR_NUMBERS if plan.for_numbers else words.left(session.left, plan.reason)


def _several(session: Session, asked: Asked) -> Page:
    """The page of several things of which any may be seen."""
    glance, glossary = asked.glance, session.triager.base.glossary
    step = session.step
    assert step is not None
    question, wall = session.question(step), session.case.wall(session.wall_id)
    place = say(words.PLACES[question.place])
    says = [item.says for item in asked.items]
    explained = _sentences(glosses_in([glance.ask, *says, glance.look], glossary))
    back = session.earlier_page
    every = [session.triager.base.questions[name] for name in asked.questions]
    of_house = all(one.scope == "house" for one in every)  # else one thing is at the wall named
    return Page(
        ask=glance.ask,
        heading=say("The house: {place}", place=place.lower()) if of_house else (
            f"{place}: {wall.title}"
        ),
        progress=_progress(session),
        kind="several",
        choices=tuple(Choice(str(at), text) for at, text in enumerate(says)),
        none=glance.none,
        commands=(
            "unknown",
            *(("out_of_reach",) if any(_may_be_out_of_reach(q) for q in every) else ()),
            *("why", "how", "sure", "note", "back", "list", "so_far", "leave"),
        ),
        hint=words.SEVERAL,
        why=glance.why,
        look=f"{glance.look} {explained}".rstrip(),
        sketch=glance.sketch or "",
        keep=None if back is None else "",
        keep_says="" if back is None else said_again(asked, back),
    )  # fmt: skip


def _sentences(plain: Mapping[str, str]) -> str:
    return " ".join(f"{word[0].upper()}{word[1:]}: {gloss}." for word, gloss in plain.items())


def question_page(
    question: AskedQuestion,
    glossary: Mapping[str, str],
    *,
    flipped: bool,
    heading: str,
    metric: bool = False,
    progress: str = "",
    earlier: Answer | None = None,
) -> Page:
    """A question of the knowledge base as a page; ``metric`` for a house told in metric."""
    entry = question.entry
    choices = [Choice(option.id, option.says) for option in entry.options]
    if flipped and entry.turns:
        choices.reverse()
    if entry.unknown is not None:
        choices.append(Choice(UNKNOWN, entry.unknown.says))
    explained = _explained(question, glossary)
    return Page(
        ask=entry.ask,
        heading=heading,
        progress=progress,
        kind=entry.answer,
        choices=tuple(choices),
        words=explained["ask"],
        commands=(
            "unknown",
            *(("out_of_reach",) if _may_be_out_of_reach(question) else ()),
            *("why", "how", "sure", "note", "back", "list", "so_far", "leave"),
        ),
        hint=_hint(question, metric),
        why=f"{entry.why} {explained['why']}".rstrip(),
        look=f"{entry.look} {explained['look']}".rstrip(),
        sketch=entry.sketch or "",
        keep=None if earlier is None else "",
        keep_says="" if earlier is None else said(question, earlier),
    )


def _may_be_out_of_reach(question: AskedQuestion) -> bool:
    """Whether "I can't get there" makes sense: not from a chair, nor of the room one stands in."""
    return question.place in FAR or question.entry.effort > 0


def _explained(question: AskedQuestion, glossary: Mapping[str, str]) -> dict[str, str]:
    """Trade words explained once each: beside the question, else with the help that has them."""
    told = explained_in(question.entry, glossary)
    found = {}
    for key, parts in (("ask", ("ask", "options")), ("look", ("look",)), ("why", ("why",))):
        plain = glosses(question.entry, glossary, parts)
        found[key] = _sentences({w: gloss for w, gloss in plain.items() if w not in told})
        told |= set(plain)
    return found


def in_other_order(case_name: str) -> bool:
    """Whether this person gets turning options the other way round: every second one does.

    Which option is read first sways people a little; over many cases that evens out.
    """
    return crc32(case_name.encode("utf-8", "surrogatepass")) % 2 == 1


def said(question: AskedQuestion, answer: Answer) -> str:
    """An answer in the words in which it was given, with how sure it was."""
    own = question.entry.unknown
    if answer.value == UNKNOWN:
        text = say(words.DONT_KNOW if own is None else own.says)
    elif answer.value == "out_of_reach":
        text = say(words.CANT_REACH)
    else:
        says = {option.id: option.says for option in question.entry.options}
        text = says.get(answer.value, answer.given)
    if answer.sure != "certain" and answer.is_real:
        text += f" ({say(words.SURE_SHORT[answer.sure])})"
    return text


def _hint(question: AskedQuestion, metric: bool) -> str:
    entry = question.entry
    if entry.answer == "length":
        ends = (entry.least or 0.0, entry.most or 0.0)  # both are there, the form sees to it
        least, most = (format_length(question.number(mark), metric) for mark in ends)
        small = question.number(ends[1]) <= SMALL_IN
        example = "4 1/2 in or 11 cm" if small else "12 ft 6 in or 3.8 m"
        return say(
            "Type a length, such as {example} ({least} to {most}).",
            example=example,
            least=least,
            most=most,
        )
    if entry.years:
        return "Type a year, or what you know of it: 1955, about 1955, 1950s, mid fifties."
    if entry.answer == "number":
        return say("Type a number from {least:g} to {most:g}.", least=entry.least, most=entry.most)
    if entry.answer == "text":
        return "Type it in your own words."
    return ""
