"""Pages asked one after another, with a way back through them."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TypeVar

from walltriage.case.model import Drawing
from walltriage.case.plan import Length
from walltriage.errors import QuantityError
from walltriage.interview.pages import Choice, Page
from walltriage.interview.terminal import Interview
from walltriage.units import LENGTH_HELP

Built = TypeVar("Built")
HEADING = "The plan"
WHY = "With a few sizes I can work out many answers, so that I ask less and see what fits."
_ROUGHLY = re.compile(r"(?:about|around|roughly|approximately|approx\.?|ca\.?|~)\s*", re.IGNORECASE)


class Back(Exception):  # noqa: N818 - a wish, not an error
    """The person wants the page before."""


class Form:
    """Asks pages one after another; ``b`` goes one back, and each page remembers its answer.

    ``of`` says what is drawn: replies are kept under that name from page to page, and an
    interview that stopped in between goes on from there.
    """

    def __init__(self, interview: Interview, of: str) -> None:
        self.interview, self._of = interview, of
        kept = interview.session.case.drawing
        self._given: list[str | None] = []
        self._kept = list(kept.replies) if kept is not None and kept.of == of else []
        self._at = 0

    def fill(self, build: Callable[[Form], Built]) -> list[Built]:
        """What ``build`` makes by asking, alone in a list; empty when the person left backward."""
        while True:
            self._at = 0
            self._keep(Drawing(self._of, (*self._given, *self._kept)))
            try:
                built = [build(self)]
            except Back:
                if self._given:
                    self._given.pop()
                    continue
                built = []
            self.interview.session.set_drawing(None)
            return built

    def _keep(self, drawing: Drawing) -> None:
        if drawing != self.interview.session.case.drawing:
            self.interview.session.set_drawing(drawing)
            self.interview.save()

    def _put(self, page: Page, accept: Callable[[str], str | None]) -> str | None:
        if self._at < len(self._given):
            value = self._given[self._at]
            self._at += 1
            return value
        if self._kept and self._fits(page, accept, self._kept[0]):
            self._given.append(self._kept.pop(0))
            return self._put(page, accept)
        self._kept.clear()  # whatever else was kept belongs to other pages
        while True:
            reply = self.interview.ask(page)
            if reply.command == "back":
                raise Back
            if reply.command == "unknown":
                value = None
            else:
                trouble = accept(reply.value)
                if trouble is not None:
                    self.interview.screen.trouble(trouble)
                    continue
                value = reply.value
            self._given.append(value)
            self._at += 1
            self._keep(Drawing(self._of, tuple(self._given)))
            return value

    @staticmethod
    def _fits(page: Page, accept: Callable[[str], str | None], value: str | None) -> bool:
        """Whether a reply kept from before is one to this page."""
        if value is None:
            return "unknown" in page.commands
        if page.choices:
            return any(choice.value == value for choice in page.choices)
        return accept(value) is None

    def choose(self, ask: str, choices: tuple[tuple[str, str], ...], look: str = "") -> str:
        """One of several, each as (value, words); where there is only one, it is not asked."""
        if len(choices) == 1:
            return choices[0][0]
        page = Page(
            ask=ask,
            heading=HEADING,
            choices=tuple(Choice(value, says) for value, says in choices),
            commands=("why", "how", "back", "leave") if look else ("why", "back", "leave"),
            why=WHY,
            look=look,
        )
        return self._put(page, lambda _: None) or choices[0][0]

    def length(self, ask: str, look: str) -> Length | None:
        """A length, or None for "don't know"; a rough one ("about 12 ft") is one too."""
        units = self.interview.session.case.units
        page = Page(
            ask=ask,
            heading=HEADING,
            kind="length",
            commands=("unknown", "why", "how", "back", "leave"),
            hint=f"Type {LENGTH_HELP}. A pace is about 2 ft 6 in.",
            why=WHY,
            look=look,
        )

        def accept(text: str) -> str | None:
            try:
                Length.of(_exactly(text), units)
            except QuantityError as error:
                return f"{error}."
            return None

        text = self._put(page, accept)
        return None if text is None else Length.of(_exactly(text), units)

    def stretch(self, what: str, end: str) -> tuple[Length, Length] | None:
        """Where something begins and ends, counted from one end; None when either is open."""
        first = self.length(
            f"Where {what} begin, counted from the {end}?", "0 at the outside wall."
        )
        last = self.length(
            f"And where {what} end, counted from the {end}?", "The end that is farther away."
        )
        return None if first is None or last is None else (first, last)


def _exactly(text: str) -> str:
    """A length without the words that call it rough: the plan's tolerance says that."""
    found = _ROUGHLY.match(text.strip())
    return text.strip()[found.end() :] if found else text
