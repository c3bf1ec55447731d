"""What a perfect observer would find at a wall, question by question, from geometry alone."""

from walltriage.study.findings.of_above import ABOVE_FINDINGS
from walltriage.study.findings.of_below import BELOW_FINDINGS
from walltriage.study.findings.of_house import HOUSE_FINDINGS, Finding, Found
from walltriage.study.findings.of_opened import OPENED_FINDINGS
from walltriage.study.findings.of_wall import WALL_FINDINGS
from walltriage.study.findings.scene import Scene

FINDINGS: dict[str, Finding] = {
    **HOUSE_FINDINGS, **WALL_FINDINGS, **ABOVE_FINDINGS, **BELOW_FINDINGS, **OPENED_FINDINGS,
}  # fmt: skip


def found(scene: Scene, question: str) -> Found:
    """The true answer: an option id, a number (inches for lengths), ``out_of_reach``, or None.

    None stands for "nothing to say": it does not apply or does not show.  A question the
    simulator has never heard of is None too; :func:`missing` lists those.
    """
    finding = FINDINGS.get(question)
    return finding(scene) if finding else None


def missing(questions: set[str]) -> set[str]:
    """Questions of a knowledge base that the simulator cannot answer."""
    return questions - set(FINDINGS)


__all__ = ["FINDINGS", "Found", "Scene", "found", "missing"]
