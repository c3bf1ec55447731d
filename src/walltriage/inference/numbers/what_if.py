"""What if several walls went together: each judged as it stands, and with the others gone.

The set gets no clearer an answer than its least clear wall, and none where the walls that stay
cannot hold what all of them held, though each alone could be missed.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from walltriage.case.model import Case
from walltriage.errors import InputError
from walltriage.inference.finding import Finding, Verdict
from walltriage.inference.numbers.removal import Removal, Together
from walltriage.inference.numbers.removed_frame import RemovedFrame
from walltriage.inference.numbers.results import RemovalNumbers
from walltriage.inference.triage import Triager
from walltriage.language import say


def remove(triager: Triager, case: Case, finding: Finding, walls: tuple[str, ...]) -> Removal:
    """Judge taking out ``walls`` together; ``finding`` is the case's as it stands."""
    verdicts = {wall.id: wall.verdict for wall in finding.walls}
    alone = {wall: verdicts[wall] for wall in walls}
    gone = {wall: _with_others_gone(triager, case, wall, walls) for wall in walls}
    names = case.called()
    reasons: list[str] = []
    numbers = RemovalNumbers(drawn=False)
    drawn = case.plan is not None and all(case.plan.line_of(wall) for wall in walls)
    for wall in walls:
        if alone[wall] != gone[wall] and gone[wall] != "likely_non_bearing":
            reasons.append(
                say(
                    "{names} was judged {alone} as it stands, but {gone} with the others gone.",
                    names=names[wall],
                    alone=_said(alone[wall]),
                    gone=_said(gone[wall]),
                )
            )
    if drawn:
        try:
            numbers_of = {wall.id: wall.numbers for wall in finding.walls}
            work = RemovedFrame(triager, case, verdicts, walls, numbers_of)
            reasons += work.reasons()
            numbers = work.numbers()
        except InputError as error:  # a size beyond what the arithmetic accepts
            problems = tuple(f"{problem.path}: {problem.what}" for problem in error.problems)
            numbers = RemovalNumbers(problems=problems)
    elif len(walls) > 1:
        missing = [names[w] for w in walls if case.plan is None or case.plan.line_of(w) is None]
        reasons.append(
            say("What they do together cannot be worked out: not on the plan: ")
            + ", ".join(missing)
            + "."
        )
    called = {wall: names[wall] for wall in walls}
    return Removal(walls, called, _together(alone, reasons), alone, gone, tuple(reasons), numbers)


def _together(alone: Mapping[str, Verdict], reasons: list[str]) -> Together:
    if "likely_bearing" in alone.values():
        return "carries"
    if "cannot_tell" in alone.values():
        return "open"
    return "not_together" if reasons else "non_bearing_together"


def _said(verdict: Verdict) -> str:
    return verdict.replace("_", " ")


def _with_others_gone(triager: Triager, case: Case, wall: str, walls: tuple[str, ...]) -> Verdict:
    """The verdict on one wall in a house that has lost the others.

    Where the plan without them answers a question otherwise, that counts: a distance once
    measured to a wall that is gone is no distance any more.
    """
    plan = case.plan
    if plan is None or len(walls) < 2:
        return triager.evaluate(case, wall).verdict
    left = tuple(line for line in plan.walls if not line.wall or line.wall not in walls)
    mine = tuple(line for line in plan.walls if line.wall == wall)
    emptied = replace(plan, walls=(*left, *mine))
    given = case.answers_for(wall)
    before = triager.reader(plan).answers(wall, given)
    after = triager.reader(emptied).answers(wall, given)
    changed = {q for q in (*before, *after) if before.get(q) != after.get(q)}
    kept = {q: a for q, a in case.wall(wall).answers.items() if q not in changed}
    others = tuple(w for w in case.walls if w.id not in walls)
    reduced = replace(case, plan=emptied, walls=(*others, replace(case.wall(wall), answers=kept)))
    return triager.evaluate(reduced, wall).verdict
