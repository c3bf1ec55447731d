"""What reported signs of weight settle: seen in an opening, or told twice over.

A single sign is often misread (another wall's joists, a box that hides a duct), so it is
evidence like any clue, and only bars "non-bearing".  It settles its path where it was told
as certain and seen in an opening, or where signs were reported from two places: whoever looks
at the wrong wall in the attic sees all of that wall's signs together.  Where whoever told of it
has looked at it once more and found the same, it settles its path unless all else that was told
makes that far from likely.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass

from walltriage.case.model import CHECKED, CONFIRMED, Answer, Sureness
from walltriage.inference.engine.strata import StratifiedRule, written
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import Sign

OPENED = "opened"  # the place of looks into an opening
FAR = ("opened", "attic", "below", "upstairs")  # whoever answers was there
PLACES_THAT_AGREE = 2
SURE: tuple[Sureness, ...] = ("certain", CONFIRMED, CHECKED)
TWICE: tuple[Sureness, ...] = (CONFIRMED, CHECKED)


@dataclass(frozen=True, slots=True)
class SignLook:
    """One decisive sign: its load path, the place it is seen from, and the answers it reads.

    Signs seen from one ``place`` confirm nothing of each other.  ``opened``: some of its answers
    are seen in an opening.  ``settles``: a fact of the plan, or two looks that bear each other
    out, which need no second look.
    """

    id: str
    load_path: str
    place: str
    questions: tuple[str, ...]
    opened: bool
    settles: bool


def sign_looks(base: KnowledgeBase, stratified: Iterable[StratifiedRule]) -> dict[str, SignLook]:
    """The signs of weight by id, in firing order."""
    found: dict[str, SignLook] = {}
    for item in stratified:
        if item.kind != "sign" or not base.paths[item.load_path].entry.bears:
            continue
        read = tuple(
            dict.fromkeys(
                leaf.name
                for branch in written(item)
                for leaf in branch
                if leaf.family == "answer" and not leaf.negated
            )
        )
        settles = isinstance(item.rule, Sign) and item.rule.settles
        places = [base.questions[name].place for name in read]
        place = max(places, key=lambda p: (p in FAR, p), default="")
        found[item.id] = SignLook(item.id, item.load_path, place, read, OPENED in places, settles)
    return found


def settled_paths(
    looks: Mapping[str, SignLook], fired: Sequence[str], answers: Mapping[str, Answer]
) -> set[str]:
    """The load paths that the signs that fired settle."""
    reported = [looks[name] for name in fired if name in looks]
    if len({sign.place for sign in reported}) >= PLACES_THAT_AGREE:
        return {sign.load_path for sign in reported}
    return {
        sign.load_path
        for sign in reported
        if sign.settles or (sign.opened and _all_told(sign, answers, SURE))
    }


def confirmed_paths(
    looks: Mapping[str, SignLook], fired: Sequence[str], answers: Mapping[str, Answer]
) -> set[str]:
    """The load paths of the signs that fired and were found the same at a second look."""
    reported = (looks[name] for name in fired if name in looks)
    return {sign.load_path for sign in reported if _all_told(sign, answers, TWICE)}


def _all_told(sign: SignLook, answers: Mapping[str, Answer], degrees: Collection[Sureness]) -> bool:
    read = (answers[name] for name in sign.questions if name in answers)
    return all(answer.sure in degrees for answer in read if answer.is_real)
