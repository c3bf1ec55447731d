"""What a perfect observer would find at a wall, question by question, from geometry alone."""

from walltriage.knowledge.base import AskedQuestion
from walltriage.lab.findings.of_above import ABOVE_FINDINGS
from walltriage.lab.findings.of_below import BELOW_FINDINGS
from walltriage.lab.findings.of_details import DETAIL_FINDINGS
from walltriage.lab.findings.of_house import HIDDEN, HOUSE_FINDINGS, Finding, Found
from walltriage.lab.findings.of_lists import LIST_FINDINGS
from walltriage.lab.findings.of_more import MORE_FINDINGS
from walltriage.lab.findings.of_opened import OPENED_FINDINGS
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene

FINDINGS: dict[str, Finding] = {
    **HOUSE_FINDINGS, **WALL_FINDINGS, **ABOVE_FINDINGS, **BELOW_FINDINGS, **OPENED_FINDINGS,
    **LIST_FINDINGS, **DETAIL_FINDINGS, **MORE_FINDINGS,
}  # fmt: skip


def found(scene: Scene, question: AskedQuestion) -> Found:
    """The true answer: an option id, a number (inches for lengths), ``out_of_reach``, or None.

    None stands for "nothing to say": it does not apply or does not show.  So is a question
    the simulator has never heard of (:func:`missing` lists those), and one that another
    knowledge base gives other options.
    """
    finding = FINDINGS.get(question.id)
    value = finding(scene) if finding else None
    if question.entry.answer == "choice":
        return value if value in (*question.values, HIDDEN) else None
    return value if isinstance(value, float) or value == HIDDEN else None


def missing(questions: set[str]) -> set[str]:
    """Questions of a knowledge base that the simulator cannot answer."""
    return questions - set(FINDINGS)


__all__ = ["FINDINGS", "Found", "Scene", "found", "missing"]
