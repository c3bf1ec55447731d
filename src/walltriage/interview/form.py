"""Pages asked one after another, with a way back through them."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar

from walltriage.case.model import Drawing
from walltriage.interview.pages import Page
from walltriage.interview.plan_form import Accept, PlanForm, Pointed, fits
from walltriage.interview.terminal import Interview

Built = TypeVar("Built")


class Back(Exception):  # noqa: N818 - a wish, not an error
    """The person wants the page before."""


class Form(PlanForm):
    """Asks pages at a terminal; ``b`` goes one back, and each page remembers its answer.

    ``of`` says what is drawn: replies are kept under that name from page to page, and an
    interview that stopped in between goes on from there.
    """

    def __init__(self, interview: Interview, of: str) -> None:
        self.interview, self.session, self._of = interview, interview.session, of
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

    def fill_again(self, build: Callable[[Form], Built]) -> list[Built]:
        """The same from its last page, everything before it kept."""
        if self._given:
            self._given.pop()
        return self.fill(build)

    def points(self, what: Pointed) -> None:
        """Nothing: at a terminal there is nothing to point on."""

    def _keep(self, drawing: Drawing) -> None:
        if drawing != self.interview.session.case.drawing:
            self.interview.session.set_drawing(drawing)
            self.interview.save()

    def put(self, page: Page, accept: Accept) -> str | None:
        if self._at < len(self._given):
            value = self._given[self._at]
            self._at += 1
            return value
        if self._kept and fits(page, accept, self._kept[0]):
            self._given.append(self._kept.pop(0))
            return self.put(page, accept)
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
