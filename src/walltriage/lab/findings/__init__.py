"""What a perfect observer would find at a wall, question by question, from geometry alone."""

from collections.abc import Mapping

from walltriage.knowledge.base import AskedQuestion
from walltriage.lab.findings.of_above import ABOVE_FINDINGS
from walltriage.lab.findings.of_below import BELOW_FINDINGS
from walltriage.lab.findings.of_cleared import CLEARED_FINDINGS
from walltriage.lab.findings.of_details import DETAIL_FINDINGS
from walltriage.lab.findings.of_house import HIDDEN, HOUSE_FINDINGS, Finding, Found
from walltriage.lab.findings.of_lists import LIST_FINDINGS
from walltriage.lab.findings.of_more import MORE_FINDINGS
from walltriage.lab.findings.of_opened import OPENED_FINDINGS
from walltriage.lab.findings.of_rare import RARE_FINDINGS
from walltriage.lab.findings.of_supports import SUPPORT_FINDINGS
from walltriage.lab.findings.of_told import TOLD_FINDINGS
from walltriage.lab.findings.of_wall import WALL_FINDINGS
from walltriage.lab.findings.scene import Scene

FINDINGS: dict[str, Finding] = {
    **HOUSE_FINDINGS, **WALL_FINDINGS, **ABOVE_FINDINGS, **BELOW_FINDINGS, **OPENED_FINDINGS,
    **LIST_FINDINGS, **DETAIL_FINDINGS, **MORE_FINDINGS, **SUPPORT_FINDINGS,
    **TOLD_FINDINGS, **RARE_FINDINGS, **CLEARED_FINDINGS,
}  # fmt: skip


def found(scene: Scene, question: AskedQuestion) -> Found:
    """The true answer: an option id, a number (inches for lengths), ``out_of_reach``, or None.

    None stands for "nothing to say": it does not apply or does not show, or another knowledge
    base gives the question other options.  A question without a finding is drawn by the shares
    it declares itself, or never known (:func:`unmodelled` names those).
    """
    finding = FINDINGS.get(question.id)
    value = finding(scene) if finding else _drawn(scene, question)
    if question.entry.answer == "choice":
        return value if value in (*question.values, HIDDEN) else None
    return value if isinstance(value, float) or value == HIDDEN else None


def _drawn(scene: Scene, question: AskedQuestion) -> str | None:
    """An answer by the shares that the question declares for walls that bear or do not."""
    shares = question.entry.simulated
    if shares is None:
        return None
    left = 100 * scene.draw(f"simulated {question.id}")
    for option, share in (shares.bearing if scene.bears else shares.not_bearing).items():
        left -= share
        if left < 0:
            return option
    return None


def unmodelled(questions: Mapping[str, AskedQuestion]) -> dict[str, list[str]]:
    """Questions without a finding, in order: ``drawn`` by their own shares, or ``never_known``."""
    left = [
        question for name, question in questions.items()
        if name not in FINDINGS and question.entry.kind != "computed"
    ]  # fmt: skip
    return {
        "drawn": [question.id for question in left if question.entry.simulated],
        "never_known": [question.id for question in left if not question.entry.simulated],
    }


__all__ = ["FINDINGS", "Found", "Scene", "found", "unmodelled"]
