"""One person at one terminal: what every page of an interview asks, tells and keeps by."""

from __future__ import annotations

import contextlib
import shlex
import sys
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from walltriage.case.measure import is_metric
from walltriage.case.model import SURENESS, Case, Step, Sureness, Wall
from walltriage.errors import InputError
from walltriage.interview import words
from walltriage.interview.autosave import ChangedElsewhere, Keeper
from walltriage.interview.loading import Loading
from walltriage.interview.pages import Choice, Page, said
from walltriage.interview.replies import Reply, ReplyError, understand
from walltriage.interview.screen import Screen
from walltriage.language import say
from walltriage.plaintext import printable

if TYPE_CHECKING:
    from walltriage.inference.looks.glance import Asked, Picked
    from walltriage.inference.triage import Triager
    from walltriage.interview.session import Session


class Leave(Exception):  # noqa: N818 - a wish, not an error
    """The person wants to stop here and go on another day."""


class Interview:
    """The session, the screen and the record of one interview."""

    session: Session

    def __init__(self, loading: Loading[Triager], *, ascii_only: bool = False) -> None:
        self._loading = loading
        self.screen = Screen(ascii_only)
        self.keeper: Keeper | None = None
        self._clashes: set[str] = set()
        self._outside: set[tuple[str, str]] = set()  # what was told to be out of scope
        self._warned: set[str] = set()  # walls for which the cautions were shown
        self._cared: set[str] = set()  # cautions told before somebody went to look
        self.told_to_mark: set[str] = set()  # walls for which it was told how to find them above
        self.offered: set[tuple[str, str]] = set()  # walls, and the stops alone before them
        self.levels_done: set[str] = set()  # levels on which all is drawn that will be

    @property
    def begun(self) -> bool:
        """Whether something was answered, so that there is something to tell."""
        return hasattr(self, "session") and bool(self.session.given)

    @property
    def triager(self) -> Triager:
        """The compiled knowledge base."""
        return self._loading.result()

    @property
    def record(self) -> Keeper:
        """Where the answers are kept; there is one as soon as a question has been asked."""
        assert self.keeper is not None
        return self.keeper

    def farewell(self, why: str) -> None:
        """Say on stderr what is kept and how to go on."""
        lines = [why + " Nothing was answered yet, so nothing is saved."]
        if self.keeper is not None:
            path = printable(str(self.keeper.path))
            command = f"walltriage interview --resume {shlex.quote(str(self.keeper.path))}"
            lines = [
                say("{why} Saved in {path}.", why=why, path=path),
                say("Go on with: {command}", command=printable(command)),
            ]
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
            self.screen.trouble(say("This could not be saved. {error}", error=error))

    def _keep_beside(self, old: Path, came_out: dict[str, Any] | None) -> None:
        """Go on in a file of our own: another program has written the one we had."""
        try:
            self.keeper = Keeper.beside(old)
            self.keeper.save(replace(self.session.case, outcome=came_out))
        except InputError as error:
            self.screen.trouble(say("This could not be saved. {error}", error=error))
            return
        self.screen.trouble(
            say(
                "{path} was changed by another program and stays as it is now. "
                "This interview is saved in {other} from here on.",
                path=printable(str(old)),
                other=printable(str(self.keeper.path)),
            )
        )

    def ask(self, page: Page) -> Reply:
        """Put a page and return a reply that answers it, or says back or list."""
        sure, note = None, ""
        self._tell_in_its_measure()
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
                self.screen.say(say("Why I ask: {why}", why=page.why))
            elif reply.command == "how":
                self.screen.help(page)
            elif reply.command == "help":
                self.screen.say()
                self.screen.say(words.HELP)
            elif reply.command == "nowhere":
                self.screen.say()
                self.screen.say("This is the first page; there is nothing to go back to.")
            elif reply.command == "sure":
                sure = self._sureness()
            elif reply.command == "note":
                note = self._note()
            elif reply.command == "so_far":
                self.tell_so_far()
            else:
                return replace(reply, sure=reply.sure or sure, note=note)
            self.screen.page(page, "" if sure is None else words.SURE_SHORT[sure], again=True)

    def _tell_in_its_measure(self) -> None:
        """Metric beside feet and inches from the first length in meters on."""
        if hasattr(self, "session") and is_metric(self.session.case):
            from walltriage.report.metric import where_missing

            self.screen.measured = where_missing

    def _sureness(self) -> Sureness | None:
        page = Page(
            "How sure are you of your next answer?",
            choices=tuple(Choice(level, words.SURENESS[level]) for level in SURENESS),
            commands=("back", "leave"),
        )
        value = self.ask(page).value  # nothing when the person goes back
        return next((level for level in SURENESS if level == value), None)

    def _note(self) -> str:
        """A few words, or a photo's file name, to stand beside the answer to come."""
        page = Page(
            ask="What should stand beside your answer?",
            kind="text",
            commands=("back", "leave"),
            hint="A few words, the name of a photo's file, or both. A photo changes no result "
            "until somebody who knows has looked at it.",
        )
        reply = self.ask(page)
        return "" if reply.command == "back" else reply.value

    def tell_so_far(self) -> None:
        """The result as things stand, in a few lines, for every wall asked about."""
        from walltriage.interview.so_far import so_far

        asked = {step.subject for step in self.session.case.asked}
        finding = self.session.finding()
        for wall in finding.walls:
            if len(finding.walls) == 1 or wall.id in asked:
                self.screen.say()
                for text, style in so_far(wall, self.session.case):
                    self.screen.say(text, style)

    def warn(self, case: Case, wall: Wall) -> None:
        """What must be heeded before a hole is made, as far as is known by now."""
        finding = self.triager.wall(replace(case, walls=(wall,)), wall)
        cautions = [c.text for c in finding.cautions if c.before_opening]
        self.heed("Before you make a hole:", cautions)

    def warn_once(self, wall: Wall) -> None:
        """The warning before the first opening of each wall."""
        if wall.id not in self._warned:
            self._warned.add(wall.id)
            self.warn(self.session.case, wall)

    def take_care(self, place: str) -> None:
        """What to mind at a place, before the first look there and when more becomes known."""
        told = self.session.cautions_before(place)
        new = [caution for caution in told if caution.id not in self._cared]
        if new:
            self._cared |= {caution.id for caution in new}
            self.heed("Before you look, be careful:", [caution.says for caution in new])

    def heed(self, title: str, texts: Sequence[str], key: str = "-") -> None:
        """Tell what has to be read before the next page."""

        def show() -> None:
            self.screen.say()
            self.screen.say(title, "bold")
            self.screen.rows([(key, text) for text in texts])

        self.screen.heed(show)

    def tell(self, step: Step) -> None:
        """Repeat an answer, and say at once when answers clash."""
        given = {item.step: item.answer for item in self.session.given}
        if step in given:
            self.screen.say(
                say("Noted: {answer}.", answer=said(self.session.question(step), given[step]))
            )
        self._tell_clashes()

    def tell_kept(self, said_before: str) -> None:
        """Repeat what was kept of a page, in its words."""
        self.screen.say(say("Noted: {answer}.", answer=said_before))
        self._tell_clashes()

    def tell_page(self, page: Asked, picked: Picked) -> None:
        """Repeat what was said on a page of several things, and say at once when answers clash."""
        seen = [page.items[at].says for at in sorted(picked.seen)]
        unsure = [page.items[at].says for at in sorted(picked.unsure)]
        told = [say("Seen: {things}.", things="; ".join(map(say, seen)))] if seen else []
        if unsure:
            told.append(say("Not known: {things}.", things="; ".join(map(say, unsure))))
        self.screen.say(" ".join(told) or say("Noted: {answer}.", answer=say(page.glance.none)))
        self._tell_clashes()

    def _tell_clashes(self) -> None:
        clashes = set(self.session.clashes())
        texts = {rule.id: rule.says for rule in self.triager.base.contradictions}
        for rule in sorted(clashes - self._clashes):
            self.screen.trouble(
                say(
                    "Some answers contradict each other. {clash} Look again if you can; "
                    "l lists your answers to change one.",
                    clash=texts[rule],
                )
            )
        self._clashes = clashes

    def tell_out_of_scope(self) -> None:
        """Say at once, while there are questions left, that answers cannot clear such a wall."""
        new = [one for one in self.session.out_of_scope if one not in self._outside]
        if new and self.session.step is not None:
            self._outside |= set(new)
            rules = {rule.id: rule for rule in self.triager.base.scope}
            texts = [f"{say(rules[name].says)} {say(rules[name].refer)}" for _, name in new]
            self.heed(words.OUT_OF_SCOPE, [*texts, words.WHY_ON_OUT_OF_SCOPE])

    def note_clashes(self) -> None:
        """Take what clashes now as told."""
        self._clashes = set(self.session.clashes())
