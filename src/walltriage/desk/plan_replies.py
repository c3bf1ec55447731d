"""Replies of a browser to the pages of a plan, put in anew with every page.

What is drawn is asked by the functions that ask at a terminal (``interview/plan_*``).  A browser
cannot be waited for: the replies so far are kept, the function runs through them, and stops at the
first page without one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from walltriage.case.model import HOUSE
from walltriage.case.plan import Plan
from walltriage.interview.pages import Page
from walltriage.interview.plan_choices import THINGS, build, choices
from walltriage.interview.plan_form import Accept, PlanForm, Pointed, fits
from walltriage.interview.plan_house import outline
from walltriage.interview.plan_things import wall_line
from walltriage.interview.session import Session

OUTLINE = "outline"
Replies = Sequence[str | None]


class NoSuchThing(Exception):  # noqa: N818 - told as what happened
    """Nothing of that name can be drawn as things stand."""


@dataclass(frozen=True, slots=True)
class Asking:
    """A page without a reply yet; ``pointed`` where a place on the drawing would answer it."""

    page: Page
    used: tuple[str | None, ...]
    pointed: Pointed | None
    trouble: str
    """What is wrong with the last reply; empty when there was none to this page."""


class _Unanswered(Exception):  # noqa: N818 - the way out of a function that asks
    def __init__(self, asking: Asking) -> None:
        self.asking = asking


class _Form(PlanForm):
    def __init__(self, session: Session, replies: Replies) -> None:
        self.session, self._left = session, list(replies)
        self.used: list[str | None] = []
        self._pointed: tuple[Pointed, int] | None = None

    def points(self, what: Pointed) -> None:
        self._pointed = what, len(self.used)

    def put(self, page: Page, accept: Accept) -> str | None:
        if self._left and fits(page, accept, self._left[0]):
            self.used.append(self._left.pop(0))
            return self.used[-1]
        pointed = self._pointed
        raise _Unanswered(
            Asking(
                page, tuple(self.used),
                pointed[0] if pointed is not None and pointed[1] == len(self.used) else None,
                _trouble(page, accept, self._left[0]) if self._left else "",
            )
        )  # fmt: skip


def _trouble(page: Page, accept: Accept, value: str | None) -> str:
    if not value or page.choices:
        return "Nothing is picked or typed yet."
    return accept(value) or ""


def run(session: Session, of: str, replies: Replies) -> Asking | Plan:
    """The plan with the thing ``of`` on it, or the page to ask next.

    The plan that comes back has not been looked at for what cannot be right.  Raises
    :class:`NoSuchThing`.
    """
    try:
        return _made(_Form(session, replies), session, of)
    except _Unanswered as stop:
        return stop.asking


def _made(form: _Form, session: Session, of: str) -> Plan:
    plan = session.case.plan
    if of == OUTLINE:
        return _over(plan, outline(form))
    kind, _, rest = of.partition(" ")
    if plan is None:
        raise NoSuchThing
    if kind == "wall" and rest != HOUSE and rest in {wall.id for wall in session.walls}:
        line = wall_line(form, plan, rest)
        return plan if line is None else plan.with_wall(line)
    level, _, picked = rest.rpartition(" ")
    if kind != "more" or level not in plan.levels or picked not in ("wall", *THINGS):
        raise NoSuchThing
    if picked not in {choice.value for choice in choices(plan, level, session.case.reach)}:
        raise NoSuchThing
    return build(form, plan, level, picked)


def _over(before: Plan | None, new: Plan) -> Plan:
    """A new outline with all that was drawn on the old one."""
    if before is None:
        return new
    whole = tuple(level for level in before.whole if level in new.levels)
    return replace(
        before, tolerance=new.tolerance, levels=new.levels, parts=new.parts, ridges=new.ridges,
        whole=whole,
    )  # fmt: skip
