"""Walls described on public pages: what the tool makes of the facts told there.

``python -m tests.published.test_cases`` prints the table.

Opinions on a page are not the truth of a wall, so only this is held: where they found that it
bears, the tool never says "likely non-bearing", nor where a part of the wall had to stay; a load
path they named is never ruled out; where an engineer's visit or the opened wall confirmed the
outcome, the tool does not say the opposite; and where the tool cannot tell either, one of its next
checks is what they asked for.  The last is read loosely: a question asked at the place they named
(the attic, say) counts, and so do the questions that lead there ("what is right above the wall?")
or tell the same thing by another way (building papers).  The pages' entries list them.
"""

from __future__ import annotations

import pytest

from tests.conftest import RULES
from tests.published.pages import (
    BY_COLLECTION,
    CASES,
    PAGES,
    Judged,
    carries,
    judge,
    names_what_they_asked_for,
    walls,
)
from tests.published.scores import OPPOSITE, VERDICT, point_estimate, score
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

CONFIRMED = [name for name, page in PAGES.items() if page["certainty"] == "outcome_confirmed"]


def outcome(judged: Judged) -> str:
    """Rightly, wrongly or not decided, as far as the page is right."""
    page, verdict = judged.page, judged.wall.verdict
    if verdict == "cannot_tell":
        return "agrees" if page["answer"] == "cannot_tell" else "not decided"
    if page["answer"] == "cannot_tell":
        return "decided, page did not"
    if "stays" in page:
        return "wrong" if verdict == "likely_non_bearing" else "right for the part that stays"
    return "right" if VERDICT[page["answer"]] == verdict else "wrong"


def test_every_case_has_its_page():
    """Source and provenance beside each, none left over or told twice."""
    assert sorted(PAGES) == sorted(path.stem for path in CASES.glob("*.yaml"))
    assert sum(len(pages) for pages in BY_COLLECTION.values()) == len(PAGES)
    for page in PAGES.values():
        assert page["site"]
        assert page["title"]
        assert page["provenance"] == "seen"
        assert ("asked_for" in page) == (page["answer"] == "cannot_tell")
        assert "stays" not in page or page["answer"] == "does_not_bear"


@pytest.mark.parametrize("name", [name for name, page in PAGES.items() if carries(page)])
def test_never_non_bearing_where_it_carries(full, name):
    """The one mistake that drops a roof."""
    assert {wall.verdict for wall in walls(full, name)} <= {"likely_bearing", "cannot_tell"}


@pytest.mark.parametrize("name", [name for name in PAGES if PAGES[name]["paths"]])
def test_path_named_is_not_ruled_out(full, name):
    """Established where it bears or open, on at least one wall of the case."""
    for path in PAGES[name]["paths"]:
        assert any(wall.path(path).status != "ruled_out" for wall in walls(full, name)), path


@pytest.mark.parametrize("name", [name for name in CONFIRMED if "stays" not in PAGES[name]])
def test_confirmed_outcome_is_not_contradicted(full, name):
    """Opened up, or an engineer was there."""
    verdicts = {wall.verdict for wall in walls(full, name)}
    assert OPPOSITE[PAGES[name]["answer"]] not in verdicts


@pytest.mark.parametrize("name", [name for name in PAGES if "asked_for" in PAGES[name]])
def test_next_check_is_what_they_asked_for(full, name):
    """Where neither they nor the tool can tell, both want to see the same."""
    questions = full.base.questions
    assert set(PAGES[name]["asked_for"]["questions"]) <= set(questions)
    for judged in judge(full, [name]):
        if judged.wall.verdict == "cannot_tell":
            assert names_what_they_asked_for(judged, questions), judged.wall.next_checks


def totals(triager: Triager, judged: list[Judged]) -> list[str]:
    """The lines that sum up these walls."""
    known = [one for one in judged if one.page["answer"] in VERDICT and "stays" not in one.page]
    found = score((one.page["answer"], one.wall) for one in known)
    asked = [one for one in judged if "asked_for" in one.page and one.wall.verdict == "cannot_tell"]
    named = sum(names_what_they_asked_for(one, triager.base.questions) for one in asked)
    return [
        f"verdict right {found.verdict_right} of {found.walls}, wrong {found.verdict_wrong}",
        f"verdict or leaning right {found.with_leaning_right} of {found.walls}",
        f"area under curve of the middle chance {found.area:.3f}",
        f"next checks name what was asked for {named} of {len(asked)}",
    ]


def main() -> None:
    """Print what came out beside what was answered."""
    triager = Triager(load_knowledge(RULES))
    judged = judge(triager)
    for one in judged:
        low, high = one.wall.probability
        print(
            f"{one.case:8} {one.wall.id:9} {one.page['answer']:13} {one.page['certainty']:17} "
            f"{','.join(one.page['paths']) or '-':27} {one.wall.verdict:18} {low:6.3f} {high:6.3f} "
            f"{point_estimate(one.wall):6.3f}  {outcome(one)}"
        )
    outcomes = [outcome(one) for one in judged]
    print("; ".join(f"{result}: {outcomes.count(result)}" for result in sorted(set(outcomes))))
    groups = {
        name: [one for one in judged if one.case in pages] for name, pages in BY_COLLECTION.items()
    }
    confirmed = [one for one in judged if one.case in CONFIRMED]
    for name, group in {**groups, "outcome confirmed": confirmed, "all": judged}.items():
        print(f"{name}: {'; '.join(totals(triager, group))}")


if __name__ == "__main__":
    main()
