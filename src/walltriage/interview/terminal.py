"""The interview on a terminal, from the first page to the saved record."""

from __future__ import annotations

import contextlib
import shlex
import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path

from walltriage.case.answers import AnswerError
from walltriage.case.model import HOUSE, SURENESS, Role, Step, Sureness, Wall
from walltriage.errors import InputError, Problem
from walltriage.inference.record import outcome
from walltriage.inference.triage import Triager
from walltriage.interview import setup, words
from walltriage.interview.autosave import Keeper, free_name, state_folder
from walltriage.interview.loading import Loading
from walltriage.interview.pages import Choice, Page, in_other_order, page_for, question_page, said
from walltriage.interview.planner import Planner
from walltriage.interview.replies import Reply, ReplyError, understand
from walltriage.interview.screen import Screen
from walltriage.interview.session import Given, Session
from walltriage.plaintext import printable
from walltriage.report.terminal import print_finding

INTERRUPTED = 130
_REVIEWED_AT_ONCE = 14


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

    ``load`` reads the knowledge base, in the background while the first pages are read;
    what it raises comes out where the knowledge base is first needed.
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

    def __init__(self, loading: Loading, options: Options) -> None:
        self._loading, self.options = loading, options
        self.screen = Screen(options.ascii_only)
        self.keeper: Keeper | None = None
        self._clashes: set[str] = set()

    @property
    def triager(self) -> Triager:
        """The compiled knowledge base."""
        return self._loading.result()

    def hold(self) -> None:
        """From the first page to the record."""
        begun = setup.begin(self, self.options)
        self.keeper, case = begun.keeper, begun.case
        if begun.fresh:
            self.screen.say(words.INTRO)
            case = setup.introduce(self, case, ask_role=self.options.role is None)
        self.session = Session(Planner(self.triager), case)
        if self.keeper is None:
            self.keeper = setup.new_keeper(self.options, case.name)
        self.save()
        while True:
            self._questions()
            if self._conclude():
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

    def save(self) -> None:
        """Keep the case as it stands; trouble is told, and the interview goes on."""
        if self.keeper is None:
            return
        try:
            self.keeper.save(self.session.case)
        except InputError as error:
            self.screen.trouble(f"This could not be saved. {error}")

    def ask(self, page: Page) -> Reply:
        """Put a page and return a reply that answers it, or says back or list."""
        sure = None
        self.screen.page(page)
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

    def _questions(self) -> None:
        """Ask until nothing is left to ask."""
        while self.session.step is not None:
            wall = self.session.case.wall(self.session.wall_id)
            if self.session.step.subject != HOUSE and not wall.name:
                self._name_wall(wall)
                continue
            reply = self.ask(page_for(self.session))
            if reply.command == "list":
                self.review("Number to change an answer; Enter to go back to the question.")
            elif reply.command == "back":
                self._back()
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
            self.screen.trouble(_plainly(error, step))
            return
        self.save()
        self._tell(step)
        for place in sorted(self.session.blocked - blocked):
            name = words.PLACE_NAMES[place]
            self.screen.say(f"Then I ask nothing more about {name}.")

    def _tell(self, step: Step) -> None:
        """Repeat an answer, and say at once when answers clash."""
        given = {item.step: item.answer for item in self.session.given}
        if step in given:
            self.screen.say(f"Noted: {said(self.session.question(step), given[step])}.")
        clashes = set(self.session.clashes())
        texts = {rule.id: rule.says for rule in self.triager.base.guards.contradictions}
        for rule in sorted(clashes - self._clashes):
            self.screen.trouble(
                f"Some answers do not fit together. {texts[rule]} "
                "Look again if you can; l lists your answers to change one."
            )
        self._clashes = clashes

    def _back(self) -> None:
        if self.session.back():
            self.save()
            self._clashes = set(self.session.clashes())
        else:
            self.screen.say("That was the first question about the house.")
            self._ask_person(first=1)

    def _ask_person(self, first: int = 0) -> None:
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
            self.review("Number to change an answer; Enter to go on.")
        elif reply.command == "back":
            self._back()
        else:
            self.session.name_wall(wall.id, reply.value)
            self.save()

    def review(self, hint: str) -> None:
        """List the answers, change those picked, until Enter."""
        start = 0
        while True:
            given = self.session.given
            shown = given[start : start + _REVIEWED_AT_ONCE]
            last = start + len(shown) >= len(given)
            reply = self.ask(self._review_page(given, start, last, hint))
            if reply.keep:
                if last:
                    return
                start += _REVIEWED_AT_ONCE
            elif reply.value == "person":
                self._ask_person()
            else:
                self._change(given[int(reply.value)])
                start = 0

    def _review_page(self, given: tuple[Given, ...], start: int, last: bool, hint: str) -> Page:
        self.screen.say()
        self.screen.say("Your answers", "bold")
        rows = [
            (str(i), self._with_wall(item), said(self.session.question(item.step), item.answer))
            for i, item in enumerate(given, 1)
        ][start : start + _REVIEWED_AT_ONCE]
        if last:
            reach = words.REACH[self.session.case.reach]
            rows.append((str(len(given) + 1), "Who asks, how far, the name", reach))
        self.screen.answers(rows)
        return Page(
            ask=hint if last else "Number to change an answer; Enter for the rest of the list.",
            listed=False,
            choices=(*(Choice(str(i), "") for i in range(len(given))), Choice("person", "")),
            commands=("leave",),
            keep="",
        )

    def _with_wall(self, item: Given) -> str:
        ask = self.session.question(item.step).entry.ask
        if item.step.subject == HOUSE or len(self.session.walls) == 1:
            return ask
        return f"{self.session.case.wall(item.step.subject).title}: {ask}"

    def _change(self, item: Given) -> None:
        """Ask one earlier question again; Enter keeps what was said."""
        question = self.session.question(item.step)
        page = question_page(
            question,
            flipped=in_other_order(self.session.case.name),
            heading="Changing an answer",
            earlier=item.answer,
        )
        page = replace(page, commands=tuple(c for c in page.commands if c != "list"))
        while True:
            reply = self.ask(page)
            if reply.keep or reply.command == "back":
                return
            value = reply.command if reply.command in ("unknown", "out_of_reach") else reply.value
            before = self.session.set_aside
            try:
                self.session.change(item.step, value, reply.sure or "certain")
            except AnswerError as error:
                self.screen.trouble(_plainly(error, item.step))
                continue
            self.save()
            self._tell(item.step)
            for aside in self.session.set_aside:
                if aside not in before:
                    ask = self.session.question(aside.step).entry.ask
                    self.screen.say(f"Does not apply any more, set aside: {ask}")
            return

    def _conclude(self) -> bool:
        """Check the answers, show the result, offer what is next; whether all is done."""
        stop = self.session.plan.stop
        self.screen.say()
        self.screen.say(words.STOPPED[stop] if stop else "")
        self.review("Number to change an answer; Enter for the result.")
        if self.session.step is not None:
            return False
        self._show_result(1)
        while True:
            reply = self.ask(self._menu())
            if reply.command == "back":
                self._back()
                return False
            if reply.value == "reasons":
                self._show_result(2)
            elif reply.value == "change":
                return False
            elif reply.value == "wall":
                self.session.add_wall()
                self.save()
                return False
            elif reply.value == "save":
                if self._save_record():
                    return True
            else:
                self.screen.say(f"The record is in {self.keeper.path}.")
                return True

    def _menu(self) -> Page:
        choices = [
            Choice("save", "Save the record in a file and finish"),
            Choice("reasons", "Show every reason and every rule used"),
            Choice("change", "Change an answer"),
            Choice("wall", "Judge another wall of this house"),
            Choice("done", "Finish"),
        ]
        if self.keeper.path.parent != state_folder():
            del choices[0]  # the record is where the person wanted it already
        return Page("What next?", choices=tuple(choices), commands=("back", "leave"))

    def _show_result(self, depth: int) -> None:
        finding = self.triager.finding(self.session.case)
        self.keeper.save(replace(self.session.case, outcome=outcome(finding)))
        wall = next(w for w in finding.walls if w.id == self.session.wall_id)
        one = replace(finding, walls=(wall,))
        self.screen.paged(lambda console: print_finding(console, self.triager, one, depth))

    def _save_record(self) -> bool:
        """Write the finished record where the person says; whether it was written."""
        page = Page(
            ask="Where shall the record go?",
            kind="text",
            commands=("back", "leave"),
            hint=f"A file name. Enter alone for: {free_name(Path(), self.session.case.name)}",
            keep=str(free_name(Path(), self.session.case.name)),
        )
        while True:
            reply = self.ask(page)
            if reply.command == "back":
                return False
            path = Path(reply.value).expanduser()
            try:
                record = Keeper.new(path)
                record.save(replace(self.session.case, outcome=outcome(self.session.finding())))
            except InputError as error:
                self.screen.trouble(str(error))
                continue
            self.keeper.discard()
            self.keeper = record
            self.screen.say(f"Saved in {path}. Show it again with: walltriage triage {path}")
            return True


def _plainly(error: AnswerError, step: Step) -> str:
    """The mistake without the question's id, which the person has never seen."""
    what = error.what.removeprefix(f"'{step.question}': ")
    return f"{what[:1].upper()}{what[1:]}; {error.expected}."


def refuse_without_terminal() -> None:
    """:class:`InputError` unless a person can read and type."""
    if not (sys.stdin.isatty() and sys.stdout.isatty()):
        raise InputError(
            Problem(
                "interview", 0, 0, "needs a terminal to ask and to be answered",
                "answers in a file go to: walltriage triage FILE",
            )
        )  # fmt: skip
