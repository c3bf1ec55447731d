"""The interview on a terminal, from the first page to the saved record.

What only later pages need is imported after the first one is shown.
"""

from __future__ import annotations

import contextlib
import shlex
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from walltriage.case.answers import AnswerError
from walltriage.case.model import HOUSE, SURENESS, Case, Role, Step, Sureness, Wall
from walltriage.errors import InputError, Problem
from walltriage.interview import plan_outline, plan_pages, setup, words
from walltriage.interview.autosave import ChangedElsewhere, Keeper
from walltriage.interview.loading import Loading
from walltriage.interview.pages import Choice, Page, page_for, said
from walltriage.interview.replies import Reply, ReplyError, understand
from walltriage.interview.review import review
from walltriage.interview.screen import Screen
from walltriage.plaintext import printable

if TYPE_CHECKING:
    from walltriage.inference.triage import Triager
    from walltriage.interview.session import Session

INTERRUPTED = 130


class Leave(Exception):  # noqa: N818 - a wish, not an error
    """The person wants to stop here and go on another day."""


@dataclass(frozen=True, slots=True)
class Options:
    """What the command line said."""

    role: Role | None = None
    save: Path | None = None
    resume: Path | None = None
    ascii_only: bool = False


def run(load: Callable[[], Triager], options: Options) -> int:
    """Hold one interview; the exit status.

    ``load`` reads the knowledge base, in the background once there is a page to be read
    meanwhile; what it raises comes out where the knowledge base is first needed.
    """
    interview = Interview(Loading(load), options)
    try:
        interview.hold()
    except Leave:
        interview.farewell("Stopped.")
    except (KeyboardInterrupt, EOFError):
        interview.farewell("Interrupted.")
        return INTERRUPTED
    return 0


class Interview:
    """One person at one terminal."""

    session: Session

    def __init__(self, loading: Loading[Triager], options: Options) -> None:
        self._loading, self.options = loading, options
        self.screen = Screen(options.ascii_only)
        self.keeper: Keeper | None = None
        self._clashes: set[str] = set()
        self._warned: set[str] = set()  # walls for which the cautions were shown
        self._cared: set[str] = set()  # cautions told before somebody went to look
        self.levels_done: set[str] = set()  # levels on which all is drawn that will be

    @property
    def triager(self) -> Triager:
        """The compiled knowledge base."""
        return self._loading.result()

    @property
    def record(self) -> Keeper:
        """Where the answers are kept; there is one as soon as a question has been asked."""
        assert self.keeper is not None
        return self.keeper

    def hold(self) -> None:
        """From the first page to the record."""
        begun = setup.begin(self, self.options)
        self.keeper, case = begun.keeper, begun.case
        if begun.fresh:
            self.screen.say(words.INTRO)
            case = setup.introduce(self, case, ask_role=self.options.role is None)
        from walltriage.interview.ending import conclude
        from walltriage.interview.planner import Planner
        from walltriage.interview.session import Session

        self.session = Session(Planner(self.triager), case)
        if self.keeper is None:
            self.keeper = setup.new_keeper(self.options, case.name)
        self.save()
        undecided = case.plan is None and not self.session.given
        if self.triager.base.relations.answers and (undecided or plan_outline.is_begun(self)):
            plan_outline.offer(self)
        if not begun.fresh:
            plan_pages.draw_left_open(self)
        while True:
            self._questions()
            if conclude(self):
                return

    def farewell(self, why: str) -> None:
        """Say on stderr what is kept and how to go on."""
        lines = [why + " Nothing was answered yet, so nothing is kept."]
        if self.keeper is not None:
            path = printable(str(self.keeper.path))
            command = f"walltriage interview --resume {shlex.quote(str(self.keeper.path))}"
            lines = [f"{why} Saved in {path}.", f"Go on with: {printable(command)}"]
        with contextlib.suppress(OSError):  # the terminal may be gone
            print("\n" + "\n".join(lines), file=sys.stderr)

    def save(self, came_out: dict[str, Any] | None = None) -> None:
        """Keep the case, with what came out; trouble is told, and the interview goes on."""
        try:
            if self.keeper is not None:
                self.keeper.save(replace(self.session.case, outcome=came_out))
        except ChangedElsewhere as error:
            self._keep_beside(error.path, came_out)
        except InputError as error:
            self.screen.trouble(f"This could not be saved. {error}")

    def _keep_beside(self, old: Path, came_out: dict[str, Any] | None) -> None:
        """Go on in a file of our own: another program has written the one we had."""
        try:
            self.keeper = Keeper.beside(old)
            self.keeper.save(replace(self.session.case, outcome=came_out))
        except InputError as error:
            self.screen.trouble(f"This could not be saved. {error}")
            return
        self.screen.trouble(
            f"{printable(str(old))} was changed by another program and stays as it is now. "
            f"This interview is kept in {printable(str(self.keeper.path))} from here on."
        )

    def ask(self, page: Page) -> Reply:
        """Put a page and return a reply that answers it, or says back or list."""
        sure = None
        self.screen.page(page)
        self._loading.start()
        while True:
            try:
                reply = understand(self.screen.read(), page)
            except ReplyError as error:
                self.screen.trouble(str(error))
                continue
            if reply.command == "leave":
                raise Leave
            if reply.command == "why":
                self.screen.say()
                self.screen.say(f"Why I ask: {page.why}")
            elif reply.command == "how":
                self.screen.help(page)
            elif reply.command == "sure":
                sure = self._sureness()
            else:
                return replace(reply, sure=reply.sure or sure)
            self.screen.page(page, "" if sure is None else words.SURE_SHORT[sure], again=True)

    def _sureness(self) -> Sureness:
        page = Page(
            "How sure are you of the answer you are about to give?",
            choices=tuple(Choice(level, words.SURENESS[level]) for level in SURENESS),
            commands=("leave",),
        )
        value = self.ask(page).value
        return next(level for level in SURENESS if level == value)

    def warn(self, case: Case, wall: Wall) -> None:
        """What must be heeded before a hole is made, as far as is known by now."""
        finding = self.triager.wall(replace(case, walls=(wall,)), wall)
        cautions = [("-", c.text) for c in finding.cautions if c.before_opening]
        self.screen.say()
        self.screen.say("Before any hole is made:", "bold")
        self.screen.paged(lambda _: self.screen.rows(cautions))

    def _take_care(self, place: str) -> None:
        """What to mind at a place, before the first look there and when more becomes known."""
        told = self.session.cautions_before(place)
        new = [caution for caution in told if caution.id not in self._cared]
        if new:
            self._cared |= {caution.id for caution in new}
            self.screen.say()
            self.screen.say("Before you look, mind this:", "bold")
            self.screen.rows([("-", caution.says) for caution in new])

    def _questions(self) -> None:
        """Ask until nothing is left to ask."""
        while self.session.step is not None:
            wall = self.session.case.wall(self.session.wall_id)
            if self.session.step.subject != HOUSE and not wall.name:
                self._name_wall(wall)
                continue
            question = self.session.question(self.session.step)
            if question.entry.effort >= setup.OPENING and wall.id not in self._warned:
                self._warned.add(wall.id)
                self.warn(self.session.case, wall)
            self._take_care(question.place)
            reply = self.ask(page_for(self.session))
            if reply.command == "list":
                review(self, "Number to change an answer; Enter to go back to the question.")
            elif reply.command == "back":
                self.back()
            else:
                self._take(self.session.step, reply)

    def _take(self, step: Step, reply: Reply) -> None:
        """Give a reply to the session and tell what came of it."""
        blocked = self.session.blocked
        try:
            if reply.command == "unknown":
                self.session.unknown()
            elif reply.command == "out_of_reach":
                self.session.out_of_reach()
            elif reply.keep:
                self.session.keep()
            else:
                self.session.answer(reply.value, reply.sure or "certain")
        except AnswerError as error:
            self.screen.trouble(words.plainly(error, step.question))
            return
        self.save()
        self.tell(step)
        for place in sorted(self.session.blocked - blocked):
            name = words.PLACE_NAMES[place]
            self.screen.say(f"Then I ask nothing more about {name}.")

    def tell(self, step: Step) -> None:
        """Repeat an answer, and say at once when answers clash."""
        given = {item.step: item.answer for item in self.session.given}
        if step in given:
            self.screen.say(f"Noted: {said(self.session.question(step), given[step])}.")
        clashes = set(self.session.clashes())
        texts = {rule.id: rule.says for rule in self.triager.base.contradictions}
        for rule in sorted(clashes - self._clashes):
            self.screen.trouble(
                f"Some answers do not fit together. {texts[rule]} "
                "Look again if you can; l lists your answers to change one."
            )
        self._clashes = clashes

    def back(self) -> None:
        """Go back one question, or from the first one to the pages before it."""
        if self.session.back():
            self.save()
            self._clashes = set(self.session.clashes())
        else:
            self.screen.say("That was the first question about the house.")
            self.ask_person(first=1)

    def ask_person(self, first: int = 0) -> None:
        """Ask once more who, how far, and the name."""
        case = setup.introduce(self, self.session.case, ask_role=True, first=first)
        self.session.set_person(case.role, case.reach, case.name)
        self.save()

    def _name_wall(self, wall: Wall) -> None:
        number = self.session.walls.index(wall) + 1
        page = Page(
            ask="Now the wall. What do you call it?",
            kind="text",
            commands=("why", "back", "list", "leave"),
            hint=f"For example: kitchen to dining room. Enter alone for: wall {number}.",
            why="The result and the record name the wall, so that nobody takes it for another.",
            keep=f"wall {number}",
        )
        reply = self.ask(page)
        if reply.command == "list":
            review(self, "Number to change an answer; Enter to go on.")
        elif reply.command == "back":
            if not self.session.drop_wall(wall.id):
                self.back()
        else:
            self.session.name_wall(wall.id, reply.value)
            self.save()
            plan_pages.draw_wall(self, wall.id)


def refuse_without_terminal() -> None:
    """:class:`InputError` unless a person can read and type."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise InputError(
            Problem(
                "interview", 0, 0, "needs a terminal to ask and to be answered",
                "answers in a file go to: walltriage triage FILE",
            )
        )  # fmt: skip
