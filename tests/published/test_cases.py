"""Walls described on public pages: what the tool makes of the facts told there.

``cases/`` holds one case file for each wall, ``cases.yaml`` its page, what those who answered
concluded, and what they asked for.  ``python -m tests.published.test_cases`` prints the table.

Opinions on a page are not the truth of a wall, so only this is held: where they found that it
bears, the tool never says "likely non-bearing"; a load path they named is never ruled out; where
an engineer's visit or the opened wall confirmed the outcome, the tool does not say the opposite;
and where the tool cannot tell either, one of its next checks is what they asked for.  The last is
read loosely: a question asked at the place they named (the attic, say) counts, and so do the
questions that lead there ("what is right above the wall?") or tell the same thing by another way
(building papers).  ``cases.yaml`` lists them.
"""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml

from tests.conftest import RULES
from walltriage.case.read import read_case
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
PAGES = {page["case"]: page for page in yaml.safe_load((HERE / "cases.yaml").read_text())}
VERDICT = {"bears": "likely_bearing", "does_not_bear": "likely_non_bearing"}
OPPOSITE = {"bears": "likely_non_bearing", "does_not_bear": "likely_bearing"}


def walls(triager, name):
    """The findings for the walls of one case."""
    return triager.finding(read_case(HERE / "cases" / f"{name}.yaml", triager.base.questions)).walls


def of(*, answer=None, certainty=None):
    """The names of the cases with this answer, this certainty."""
    return [
        name
        for name, page in PAGES.items()
        if answer in (None, page["answer"]) and certainty in (None, page["certainty"])
    ]


def outcome(page, verdict):
    """Rightly, wrongly or not decided, as far as the page is right."""
    if verdict == "cannot_tell":
        return "agrees" if page["answer"] == "cannot_tell" else "not decided"
    if page["answer"] == "cannot_tell":
        return "decided, page did not"
    return "right" if VERDICT[page["answer"]] == verdict else "wrong"


def test_every_case_has_its_page():
    """Source and provenance beside each, none left over."""
    assert sorted(PAGES) == sorted(path.stem for path in (HERE / "cases").glob("*.yaml"))
    for page in PAGES.values():
        assert page["site"]
        assert page["title"]
        assert page["provenance"] == "seen"
        assert ("asked_for" in page) == (page["answer"] == "cannot_tell")


@pytest.mark.parametrize("name", of(answer="bears"))
def test_never_non_bearing_where_it_bears(full, name):
    """The one mistake that drops a roof."""
    assert {wall.verdict for wall in walls(full, name)} <= {"likely_bearing", "cannot_tell"}


@pytest.mark.parametrize("name", [name for name in PAGES if PAGES[name]["paths"]])
def test_path_named_is_not_ruled_out(full, name):
    """Established where it bears or open, on at least one wall of the case."""
    for path in PAGES[name]["paths"]:
        assert any(wall.path(path).status != "ruled_out" for wall in walls(full, name)), path


@pytest.mark.parametrize("name", of(certainty="outcome_confirmed"))
def test_confirmed_outcome_is_not_contradicted(full, name):
    """Opened up, or an engineer was there."""
    verdicts = {wall.verdict for wall in walls(full, name)}
    assert OPPOSITE[PAGES[name]["answer"]] not in verdicts


@pytest.mark.parametrize("name", [name for name in PAGES if "asked_for" in PAGES[name]])
def test_next_check_is_what_they_asked_for(full, name):
    """Where neither they nor the tool can tell, both want to see the same."""
    wanted = PAGES[name]["asked_for"]
    questions = full.base.questions
    assert set(wanted["questions"]) <= set(questions)
    for wall in walls(full, name):
        checks = {check.question for check in wall.next_checks}
        places = {questions[check].place for check in checks}
        assert (
            wall.verdict != "cannot_tell"
            or checks & set(wanted["questions"])
            or places & set(wanted["places"])
        ), checks


def main() -> None:
    """Print what came out beside what was answered."""
    triager = Triager(load_knowledge(RULES))
    counts: dict[str, int] = {}
    for name, page in PAGES.items():
        for wall in walls(triager, name):
            result = outcome(page, wall.verdict)
            counts[result] = counts.get(result, 0) + 1
            paths = ",".join(page["paths"]) or "-"
            low, high = wall.probability
            print(
                f"{name:8} {wall.id:9} {page['answer']:13} {page['certainty']:17} "
                f"{paths:27} {wall.verdict:18} {low:6.3f} {high:6.3f}  {result}"
            )
    print("; ".join(f"{result}: {count}" for result, count in sorted(counts.items())))


if __name__ == "__main__":
    main()
