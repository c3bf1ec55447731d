"""The questions from which something on a plan is made, whoever asks them.

What is drawn is built by functions that ask a :class:`PlanForm` one page after another, so that a
terminal and a browser ask the same pages in the same words.
"""

from __future__ import annotations

from abc import ABC, abstractmethod
from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Literal

from walltriage.case.plan import DrawnLine, Length, Part
from walltriage.case.plan_check import SIZE_EXPECTED, is_size
from walltriage.errors import QuantityError
from walltriage.interview.pages import Choice, Page
from walltriage.language import say
from walltriage.units import LENGTH_HELP

if TYPE_CHECKING:
    from walltriage.interview.session import Session

HEADING = "The plan"
WHY = "With a few sizes I can work out many answers, ask you less, and see whether things fit."
Accept = Callable[[str], str | None]


@dataclass(frozen=True, slots=True)
class Pointed:
    """What the next pages ask, for a form that has a drawing on which to point at it.

    A ``line`` is asked by its way and three lengths, one ``beside`` a side by that side instead of
    its way; an ``opening`` of a ``wall`` by two lengths, a ``spot`` by two, an ``area`` by four.
    """

    shape: Literal["line", "beside", "opening", "spot", "area"]
    part: Part
    level: str
    wall: DrawnLine | None = None


class PlanForm(ABC):
    """Asks pages one after another about one thing that is drawn."""

    session: Session

    @abstractmethod
    def points(self, what: Pointed) -> None:
        """Told before pages whose answers can be pointed at."""

    @abstractmethod
    def put(self, page: Page, accept: Accept) -> str | None:
        """The reply to a page; None for "don't know".

        ``accept`` tells what is wrong with a reply, or None.
        """

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
        return self.put(page, lambda _: None) or choices[0][0]

    def size(self, ask: str, look: str) -> Length | None:
        """How wide or deep a part of the house is, or None for "don't know"."""
        return self.length(ask, look, _trouble_with_size)

    def length(
        self, ask: str, look: str, trouble: Callable[[Length], str | None] = lambda length: None
    ) -> Length | None:
        """A length, or None for "don't know"; a rough one ("about 12 ft") is one too.

        ``trouble`` tells what is wrong with one that can be read.
        """
        units = self.session.case.units
        page = Page(
            ask=ask,
            heading=HEADING,
            kind="length",
            commands=("unknown", "why", "how", "back", "leave"),
            hint=say("Type {length}. A pace is about 2 ft 6 in.", length=say(LENGTH_HELP)),
            why=WHY,
            look=look,
        )

        def accept(text: str) -> str | None:
            try:
                return trouble(Length.of(text, units))
            except QuantityError as error:
                return f"{error}."

        text = self.put(page, accept)
        return None if text is None else Length.of(text, units)

    def stretch(self, what: str, end: str) -> tuple[Length, Length] | None:
        """Where something begins and ends, counted from one end; None when either is open."""
        first = self.length(
            say("Where {what} begin, counted from the {end}?", what=what, end=say(end)),
            "Type 0 if it begins at the outside wall.",
        )
        last = self.length(
            say("And where {what} end, counted from the {end}?", what=what, end=say(end)),
            "Its far end.",
        )
        return None if first is None or last is None else (first, last)


def _trouble_with_size(length: Length) -> str | None:
    if is_size(length):
        return None
    return f"{length.given}: {say(SIZE_EXPECTED)}."


def fits(page: Page, accept: Accept, value: str | None) -> bool:
    """Whether a reply kept from before is one to this page."""
    if value is None:
        return "unknown" in page.commands
    if page.choices:
        return any(choice.value == value for choice in page.choices)
    return accept(value) is None
