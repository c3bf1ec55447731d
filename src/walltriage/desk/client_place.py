"""The page a client is at: what of an intake comes next, as things stand now."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass
from typing import Literal

from walltriage.case.model import HOUSE, Step
from walltriage.desk import once_more
from walltriage.desk.tables import EngineerQuestion, HouseRecord
from walltriage.interview.session import Session
from walltriage.interview.stands_alone import to_offer

Stage = Literal["begin", "plan", "name", "look", "once-more", "more", "second-look", "end"]


@dataclass(frozen=True, slots=True)
class Where:
    """The page a client is at: a step for looks, a wall for names, an id for one more thing, a
    wall and the stop before it for a second look."""

    stage: Stage
    step: Step | None = None
    wall: str = ""
    asked: int = 0
    stop: str = ""


def where(
    house: HouseRecord, session: Session, drawing: bool, asked: Sequence[EngineerQuestion],
    offered: Collection[tuple[str, str]],
) -> Where:  # fmt: skip
    """The next page; ``drawing`` says that the plan is being drawn or has to be offered,
    ``offered`` to which stops before which walls the client has replied."""
    if not house.begun:
        return Where("begin")
    if drawing:
        return Where("plan")
    once = once_more.waiting(house.place)
    if once is not None and once_more.given_to(session, once.steps[0]) is not None:
        return Where("once-more")
    step = session.step
    if step is not None:
        if step.subject != HOUSE and not session.case.wall(step.subject).name:
            return Where("name", wall=step.subject)
        return Where("look", step)
    left = next((item for item in asked if not item.replied_at), None)
    if left is not None:
        return Where("more", asked=left.id)
    alone = to_offer(session, offered)
    return Where("end") if alone is None else Where(
        "second-look", wall=alone.wall_id, stop=alone.rule
    )  # fmt: skip
