"""A sign that would settle a wall is looked at once more before it counts, in a browser too.

Until the client has said so it counts as a guess, whatever becomes of the browser meanwhile.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass, replace

from walltriage.case.model import SURENESS, Step, Sureness, found_again
from walltriage.case.pages import page_around
from walltriage.interview.given import GivenAnswer, TakenBack, to_name_of
from walltriage.interview.session import Session
from walltriage.interview.signs_told import told_now

_MARK = "once-more"


@dataclass(frozen=True, slots=True)
class OnceMore:
    """Looks to be confirmed, the next one first, and how sure the client was of them."""

    steps: tuple[Step, ...]
    sure: Sureness

    @property
    def place(self) -> str:
        """As the register keeps it with the house."""
        looks = " ".join(f"{step.subject}/{step.question}" for step in self.steps)
        return f"{_MARK} {self.sure} {looks}"

    @property
    def rest(self) -> OnceMore | None:
        """What is left once the first look is confirmed."""
        return replace(self, steps=self.steps[1:]) if self.steps[1:] else None


def waiting(place: str) -> OnceMore | None:
    """What is to be confirmed, from what the register keeps; None for any other place."""
    mark, _, rest = place.partition(" ")
    said, *looks = rest.split() if mark == _MARK else ("",)
    sure = next((s for s in SURENESS if s == said), SURENESS[-1])
    parts = [look.split("/", 1) for look in looks if "/" in look]
    steps = tuple(Step(subject, question) for subject, question in parts)
    return OnceMore(steps, sure) if steps else None


def set_waiting(
    session: Session, wall_id: str, before: Collection[str], last: Step
) -> OnceMore | None:
    """Let what has just told of a new sign count as a guess, and say what is to be confirmed."""
    told = [i for i in told_now(session, wall_id, before, last) if i.answer.sure != "guess"]
    for item in told:
        _be_sure(session, item, "guess")
    if not told:
        return None
    steps = tuple(Step(item.step.subject, item.step.question) for item in told)
    return OnceMore(steps, told[0].answer.sure)


def given_to(session: Session, step: Step) -> GivenAnswer | None:
    """The answer that counts to a question, whatever page it was given on."""
    return next((item for item in session.given if item.step == step), None)


def of_page(session: Session, step: Step) -> list[GivenAnswer]:
    """What was said on the page on which a step was answered."""
    page = page_around((item.step for item in session.given), step)
    return [item for item in session.given if item.step in page]


def taken_back(session: Session, once: OnceMore) -> TakenBack:
    """What was said on the page of the first look, as sure as it was said."""
    told = of_page(session, once.steps[0])
    given = tuple(
        replace(item, answer=replace(item.answer, sure=once.sure)) if item.step in once.steps
        else item for item in told
    )  # fmt: skip
    return TakenBack(given, tuple(to_name_of([i.step for i in told], session.case.to_name)))


def confirmed(session: Session, once: OnceMore) -> Sequence[GivenAnswer]:
    """The first look was seen just so: its answer counts as told twice."""
    item = given_to(session, once.steps[0])
    if item is None:
        return ()
    _be_sure(session, item, found_again(once.sure))
    changed = given_to(session, once.steps[0])
    return (changed,) if changed else ()


def _be_sure(session: Session, item: GivenAnswer, sure: Sureness) -> None:
    answer = item.answer
    session.change(item.step, answer.given or answer.value, sure, answer.note)
