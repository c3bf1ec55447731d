"""Usual situations: what the tool says beside what an engineer would say of the same facts.

``situations/`` holds one case file for each, ``situations.yaml`` the truth of the wall, the
judgment and how much doubt it leaves.  The judgments are trade practice, not a published source.
``python -m tests.published.test_situations`` prints the table.

Held is that nothing is decided against the judgment, and never "likely non-bearing" where the wall
bears.  ``agreement`` counts how many of the judgments that leave little doubt the tool reaches.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from tests.conftest import RULES, read_yaml
from tests.published.scores import OPPOSITE, VERDICT, leaning
from walltriage.case.read import read_case
from walltriage.inference.finding import WallFinding
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
CASES = HERE / "situations"
SITUATIONS = {entry["case"]: entry for entry in read_yaml(HERE / "situations.yaml")}

#: Below this doubt a judgment "does not bear" is one that the tool should reach too.
LITTLE_DOUBT_PERCENT = 3


def wall_of(triager: Triager, case: str) -> WallFinding:
    """The finding for the one wall of this situation."""
    (wall,) = triager.finding(read_case(CASES / f"{case}.yaml", triager.base.questions)).walls
    return wall


@dataclass(frozen=True, slots=True)
class Agreement:
    """How many judgments of one kind the tool reaches."""

    reached: int
    judged: int


def agreement(triager: Triager) -> dict[str, Agreement]:
    """For ``bears``, and for ``does_not_bear`` with little doubt: verdicts the same as judged."""
    counted = {}
    for judgment, most in (("bears", 100), ("does_not_bear", LITTLE_DOUBT_PERCENT)):
        cases = [
            case
            for case, entry in SITUATIONS.items()
            if entry["judgment"] == judgment and entry["doubt_percent"] < most
        ]
        reached = sum(wall_of(triager, case).verdict == VERDICT[judgment] for case in cases)
        counted[judgment] = Agreement(reached, len(cases))
    return counted


def test_every_situation_is_entered(full):
    """A case file for each entry and no other, told in a story."""
    assert sorted(SITUATIONS) == sorted(path.stem for path in CASES.glob("*.yaml"))
    for case, entry in SITUATIONS.items():
        assert read_case(CASES / f"{case}.yaml", full.base.questions).story
        assert entry["truth"] in {"bears", "does_not_bear", "unknown"}
        assert 0 < entry["doubt_percent"] < 50
        assert ("leans" in entry) == (entry["judgment"] == "cannot_tell")


def test_as_many_as_are_meant(full):
    """Sixteen of each kind are counted, so that a goal of so many means what it says."""
    assert {kind: found.judged for kind, found in agreement(full).items()} == {
        "bears": 16,
        "does_not_bear": 16,
    }


@pytest.mark.parametrize("case", SITUATIONS)
def test_nothing_is_decided_against_the_judgment(full, case):
    """Undecided is allowed; the opposite is not."""
    entry, verdict = SITUATIONS[case], wall_of(full, case).verdict
    for said in (entry["judgment"], entry["truth"]):
        if said in OPPOSITE:
            assert verdict != OPPOSITE[said]


def main() -> None:
    """Print the tool's verdict beside the judgment."""
    triager = Triager(load_knowledge(RULES))
    for case, entry in SITUATIONS.items():
        wall = wall_of(triager, case)
        low, high = wall.probability
        judged = entry["judgment"] + (f", leans {entry['leans']}" if "leans" in entry else "")
        undecided = f"  leans {leaning(wall)}" if wall.verdict == "cannot_tell" else ""
        print(
            f"{case:15} {entry['truth']:13} {judged:32} {entry['doubt_percent']:4} % "
            f"{wall.verdict:18} {low:7.4f} {high:7.4f}{undecided}"
        )
    for kind, found in agreement(triager).items():
        doubt = f" (doubt under {LITTLE_DOUBT_PERCENT} %)" if kind == "does_not_bear" else ""
        print(f"decided as judged, {kind}{doubt}: {found.reached} of {found.judged}")


if __name__ == "__main__":
    main()
