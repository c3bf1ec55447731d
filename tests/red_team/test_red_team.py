"""Bearing walls, answered by somebody honest and hasty who misses what they carry.

Each case file tells the truth of the wall in its story, and holds the answers that a willing person
in a hurry would give.  ``truth.yaml`` says what carries and which look would show it.  Whatever
such answers lead to, the number of walls called "likely non-bearing" must not rise.

The person did every look that truly shows nothing and says so; left undone the one that would show
the load, where it is covered or far off; and tells truly what a plain question asks of things in
sight (squares of plywood, a plain clip, a wide opening close to a joining wall).
``python -m tests.red_team.test_red_team`` prints the table.
"""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from tests.conftest import RULES, read_yaml
from walltriage.case.read import read_case
from walltriage.cli import main as cli
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge

HERE = Path(__file__).resolve().parent
METHOD = RULES.parent / "docs" / "method.md"
TRUTH = read_yaml(HERE / "truth.yaml")
STORIES = {entry["story"]: entry for entry in TRUTH["stories"]}

#: What the page of each wall called non-bearing says.
CAUTIONS = (
    "This is a screening result, not permission: have it confirmed on site before any cut",
    "Have a licensed engineer or an experienced framer look before the wall comes down.",
    "Even a likely non-bearing wall can hide a post, a beam end or a brace.",
)

#: How many of these bearing walls the rules call non-bearing.  Lower it when they get better.
CALLED_NON_BEARING = 3


def wall_of(triager: Triager, story: str):
    """The finding for the one wall of this story."""
    (wall,) = triager.finding(read_case(HERE / f"{story}.yaml", triager.base.questions)).walls
    return wall


def called_non_bearing(triager: Triager) -> list[str]:
    """The stories in which a bearing wall is called non-bearing."""
    return [story for story in STORIES if wall_of(triager, story).verdict == "likely_non_bearing"]


def test_every_story_has_its_truth(full):
    """A case file with a story for each entry; what carries and the look are known ids."""
    assert sorted(STORIES) == sorted(path.stem for path in HERE.glob("[0-9]*.yaml"))
    for story, entry in STORIES.items():
        assert read_case(HERE / f"{story}.yaml", full.base.questions).story
        assert entry["carries"]
        assert set(entry["carries"]) <= set(full.base.paths)
        assert entry["look"] is None or entry["look"] in TRUTH["looks"]
    assert {entry["look"] for entry in STORIES.values()} - {None} == set(TRUTH["looks"])


def test_no_more_of_them_called_non_bearing(full):
    """Fewer is better: then write the smaller number above."""
    assert len(called_non_bearing(full)) <= CALLED_NON_BEARING, called_non_bearing(full)


def test_what_is_left_is_told_as_the_limit(full):
    """Each with the look that would show it, and with what its page says all the same."""
    told = " ".join(METHOD.read_text().replace("\n>", "").split())
    section = told.partition("## Bearing walls told in haste")[2].partition("## ")[0]
    called = called_non_bearing(full)
    assert [story for story in STORIES if f"`{story}`" in section] == called
    assert f"now {len(called)} " in section
    for story in called:
        case = str(HERE / f"{story}.yaml")
        page = " ".join(CliRunner().invoke(cli, ["triage", case]).output.split())
        for quoted in CAUTIONS:
            assert quoted in section
            assert quoted in page, story


def main() -> None:
    """Print what each story leads to."""
    triager = Triager(load_knowledge(RULES))
    for story, entry in STORIES.items():
        wall = wall_of(triager, story)
        low, high = wall.probability
        shown_by = entry["look"] or "no look without a cut"
        print(
            f"{story:38} {','.join(entry['carries']):25} {shown_by:22} "
            f"{wall.verdict:18} {low:7.4f} {high:7.4f}"
        )
    called = called_non_bearing(triager)
    blind = sum(STORIES[story]["look"] is None for story in called)
    print(
        f"called non-bearing: {len(called)} of {len(STORIES)}; {blind} of them no look would show"
    )


if __name__ == "__main__":
    main()
