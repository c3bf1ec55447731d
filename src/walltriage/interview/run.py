"""The interview on a terminal, from the first page to the saved record.

What only later pages need is imported after the first one is shown.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from typing import TYPE_CHECKING

from walltriage.case.answers import AnswerError
from walltriage.case.model import HOUSE, OUT_OF_REACH, UNKNOWN, Step, Wall
from walltriage.errors import InputError, Problem
from walltriage.interview import (
    along,
    confirming,
    plan_outline,
    plan_pages,
    setup,
    signs_told,
    words,
)
from walltriage.interview.going_back import back
from walltriage.interview.loading import Loading
from walltriage.interview.looking_again import look_again
from walltriage.interview.pages import Page, page_for
from walltriage.interview.replies import Reply
from walltriage.interview.review import review
from walltriage.interview.setup import Options
from walltriage.interview.terminal import Interview, Leave
from walltriage.language import say

if TYPE_CHECKING:
    from walltriage.inference.triage import Triager

INTERRUPTED = 130


def run(load: Callable[[], Triager], options: Options) -> int:
    """Hold one interview; the exit status.

    ``load`` reads the knowledge base, in the background once there is a page to be read
    meanwhile; what it raises comes out where the knowledge base is first needed.
    """
    interview = Interview(Loading(load), ascii_only=options.ascii_only)
    try:
        hold(interview, options)
    except Leave:
        if interview.begun:
            interview.tell_so_far()
        interview.farewell("Stopped.")
    except (KeyboardInterrupt, EOFError):
        interview.farewell("Interrupted.")
        return INTERRUPTED
    return 0


def hold(interview: Interview, options: Options) -> None:
    """From the first page to the record."""
    begun = setup.begin(interview, options)
    interview.keeper, case = begun.keeper, begun.case
    if begun.fresh:
        interview.screen.say(words.INTRO)
        case = setup.introduce(interview, case, ask_role=options.role is None)
    from walltriage.interview.client import ask_client
    from walltriage.interview.ending import conclude
    from walltriage.interview.planner import Planner
    from walltriage.interview.session import Session

    interview.session = Session(Planner(interview.triager), case)
    if interview.keeper is None:
        interview.keeper = setup.new_keeper(options, case.name)
    interview.save()
    if begun.fresh and case.role == "firm":
        ask_client(interview)
    undecided = case.plan is None and not interview.session.given
    if interview.triager.base.relations.answers and (undecided or plan_outline.is_begun(interview)):
        plan_outline.offer(interview)
    if not begun.fresh:
        plan_pages.draw_left_open(interview)
    while True:
        _questions(interview)
        if conclude(interview):
            return


def _questions(interview: Interview) -> None:
    """Ask until nothing is left to ask."""
    while interview.session.step is not None:
        wall = interview.session.case.wall(interview.session.wall_id)
        if interview.session.step.subject != HOUSE and not wall.name:
            _name_wall(interview, wall)
            continue
        question = interview.session.question(interview.session.step)
        if question.entry.effort >= setup.OPENING:
            interview.warn_once(wall)
        if interview.session.back_to:
            interview.screen.say()
            interview.screen.say(
                words.back_to(interview.session.back_to, interview.session.next.reason)
            )
        interview.take_care(question.place)
        if interview.session.step.subject != HOUSE:
            _tell_how_to_mark(interview, wall, question.place)
        reply = interview.ask(page_for(interview.session))
        if reply.command == "list":
            review(interview, "Number to change an answer; Enter to go back to the question.")
        elif reply.command == "back":
            back(interview)
        else:
            _take(interview, interview.session.step, reply)


def _take(interview: Interview, step: Step, reply: Reply) -> None:
    """Give a reply to the session and tell what came of it."""
    blocked, page = interview.session.blocked, interview.session.page
    wall_id, clashes = interview.session.wall_id, interview.session.clashes()
    signs = signs_told.signs(interview.session, wall_id)
    kept = page_for(interview.session).keep_says if reply.keep and page is not None else ""
    try:
        if interview.session.page is not None:
            if not _take_page(interview, reply):
                return
        elif reply.command == "unknown":
            interview.session.unknown(reply.note)
        elif reply.command == "out_of_reach":
            interview.session.out_of_reach(reply.note)
        elif reply.keep:
            interview.session.keep()
        elif _to_be_marked(interview, step, reply.value):
            # a bare word for it counts for less than distances that agree
            how = along.mark_place(interview, step.subject)
            if not how:
                return
            sure = reply.sure or ("fairly" if how == along.BARE else "certain")
            interview.session.answer(reply.value, sure, reply.note, step)
        else:
            interview.session.answer(reply.value, reply.sure or "certain", reply.note)
    except AnswerError as error:
        interview.screen.trouble(words.plainly(error, step.question))
        return
    if not confirming.confirm(interview, wall_id, signs):
        interview.note_clashes()
        return
    interview.save()
    if page is None or (reply.picked is None and not kept):
        interview.tell(step)
    elif reply.picked is None:
        interview.tell_kept(kept)
    else:
        interview.tell_page(page, reply.picked)
    look_again(interview, clashes)
    interview.tell_out_of_scope()
    for place in sorted(interview.session.blocked - blocked):
        name = say(words.PLACE_NAMES[place])
        interview.screen.say(
            say(
                "OK, I won't ask anything more about {name}. To open it again, type l and change "
                "one of those answers.",
                name=name,
            )
        )


def _take_page(interview: Interview, reply: Reply) -> bool:
    """Give the session what was said on a page of several things; False where the person went back
    to the page from what it asks further."""
    session, page = interview.session, interview.session.page
    assert page is not None
    if reply.command == "unknown":
        session.nothing_known(UNKNOWN, reply.note)
    elif reply.command == "out_of_reach":
        session.nothing_known(OUT_OF_REACH, reply.note)
    elif reply.keep:
        session.keep_page()
    elif reply.picked is not None:
        sure = reply.sure or "certain"
        for question, value in page.answers(reply.picked).items():
            step = Step(session.wall_id, question)
            if _to_be_marked(interview, step, value):
                how = along.mark_place(interview, step.subject)
                if not how:
                    return False
                sure = reply.sure or ("fairly" if how == along.BARE else "certain")
        session.answer_page(reply.picked, sure, reply.note, page)
    return True


def _to_be_marked(interview: Interview, step: Step, value: str) -> bool:
    """Whether this says that the wall's place was marked, so that it is asked how."""
    rules = interview.triager.base.seen_along
    return rules is not None and (step.question, value) == (
        rules.marking.question, rules.marking.agrees
    )  # fmt: skip


def _tell_how_to_mark(interview: Interview, wall: Wall, place: str) -> None:
    """Before the first look from the attic: how the wall's place is found up there."""
    rules = interview.triager.base.seen_along
    if rules is None or wall.id in interview.told_to_mark:
        return
    question = interview.triager.base.questions.get(rules.marking.question)
    if question is not None and question.place == place:
        interview.told_to_mark.add(wall.id)
        interview.heed("First mark the wall's place:", [question.entry.look])


def _name_wall(interview: Interview, wall: Wall) -> None:
    """Ask what a wall is called, and where it stands on the plan; from there one goes back here."""
    number = interview.session.walls.index(wall) + 1
    usual = say("wall {number}", number=number)
    while not _named(interview, wall, usual):
        usual = interview.session.case.wall(wall.id).name


def _named(interview: Interview, wall: Wall, usual: str) -> bool:
    """Ask it once, ``usual`` by Enter alone; False when it is to be asked again."""
    page = Page(
        ask="Now the wall. What do you call it?",
        kind="text",
        commands=("why", "back", "list", "leave"),
        hint=say(
            "For example: between kitchen and dining room. Press Enter for: {name}.", name=usual
        ),
        why="The result and the record use this name, so that nobody takes it for another wall.",
        keep=usual,
    )
    reply = interview.ask(page)
    if reply.command == "list":
        review(interview, "Number to change an answer; Enter to go on.")
    elif reply.command == "back":
        interview.session.name_wall(wall.id, "")
        if not interview.session.drop_wall(wall.id):
            back(interview)
    else:
        interview.session.name_wall(wall.id, reply.value)
        interview.save()
        return plan_pages.draw_wall(interview, wall.id)
    return True


def refuse_without_terminal() -> None:
    """:class:`InputError` unless a person can read and type."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise InputError(
            Problem(
                "interview", 0, 0, "needs a terminal to ask its questions",
                "for answers in a file, use: walltriage triage FILE",
            )
        )  # fmt: skip
