"""The one to three checks that would decide a wall that cannot be told yet."""

from __future__ import annotations

from collections.abc import Mapping

from walltriage.case.model import Answer
from walltriage.inference.evaluate import Evaluation
from walltriage.inference.finding import NextCheck
from walltriage.inference.worth import Worth

MOST_CHECKS = 3


def deciding_checks(
    worth: Worth, result: Evaluation, answers: Mapping[str, Answer]
) -> tuple[NextCheck, ...]:
    """Open questions in order of worth per effort; none once a verdict is reached.

    Questions answered "don't know" or "can't get there" count as open: the list says
    what somebody would have to go and see.
    """
    if result.verdict != "cannot_tell":
        return ()
    evaluator = worth.evaluator
    scored = []
    for name in evaluator.applicable(result):
        question = evaluator.base.questions[name]
        if question.entry.kind == "computed" or (name in answers and answers[name].is_real):
            continue
        uses = worth.uses[name]
        if uses.paths:
            scored.append((-worth.score(name, result), name))
    checks = []
    for _, name in sorted(scored)[:MOST_CHECKS]:
        entry = evaluator.base.questions[name].entry
        paths = sorted(worth.uses[name].paths)
        checks.append(NextCheck(name, entry.effort, entry.why, entry.ask, entry.look, tuple(paths)))
    return tuple(checks)
