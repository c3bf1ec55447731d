"""Answers that cannot all be true are asked about at once, while somebody can still look."""

from __future__ import annotations

from collections.abc import Collection

from walltriage.case.model import HOUSE
from walltriage.interview.pages import Choice, Page, said
from walltriage.interview.review import change
from walltriage.interview.terminal import Interview

LEAVE = "leave"


def look_again(interview: Interview, before: Collection[str]) -> None:
    """Offer a second look for what clashes beside the contradictions known ``before``.

    Each answer can be given anew; it ends when nothing new clashes, or the person leaves it.
    """
    session, asked = interview.session, set(before)
    while True:
        fresh = [name for name in session.clashes() if name not in asked]
        if not fresh:
            return
        rules = {rule.id: rule for rule in interview.triager.base.contradictions}
        told = [
            item for item in session.given
            if item.step.question in rules[fresh[0]].questions
            and item.step.subject in (session.wall_id, HOUSE)
        ]  # fmt: skip
        if not told:
            asked.add(fresh[0])
            continue
        reply = interview.ask(
            Page(
                ask="Which of these do you look at once more?",
                choices=(
                    *(
                        Choice(str(at), said(session.question(item.step), item.answer))
                        for at, item in enumerate(told)
                    ),
                    Choice(LEAVE, "None of them now"),
                ),
                commands=("why", "back", "leave"),
                why="They cannot all be true. As long as they clash, the wall is not called "
                "non-bearing.",
            )
        )
        if reply.command == "back" or reply.value == LEAVE:
            asked.add(fresh[0])
            continue
        change(interview, told[int(reply.value)])
