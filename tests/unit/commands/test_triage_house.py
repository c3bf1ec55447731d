"""``triage`` of a house with a plan, and ``--remove``."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from tests.unit.plans import LARCH_ROAD
from walltriage.cli import main

CASE = str(LARCH_ROAD)


def run(*options):
    return CliRunner().invoke(main, ["triage", CASE, *options])


def test_plan_walls_house_and_set_are_told():
    done = run("--remove", "w1, w2", "-vv")
    assert done.exit_code == 0
    order = ["Upstairs, seen", "Larch Road: kitchen to living", "The house as a whole",
             "If these came out together: kitchen to living",
             "AT LEAST ONE OF THEM PROBABLY CARRIES",
             "Under the end of kitchen to living"]  # fmt: skip
    places = [done.output.index(words) for words in order]
    assert places == sorted(places)
    assert "safe" not in run("--remove", "w1, w2", "-v").output.lower()


def test_json_carries_the_house_and_the_set():
    data = json.loads(run("--remove", "w1", "--json").output)
    assert data["removal"]["walls"] == ["w1"]
    assert data["house"]["collects"]
    assert {row["line_class"] for row in data["house"]["support_lines"]} <= {
        "needed", "depends", "in_no_smallest", "nothing_holds"
    }  # fmt: skip
    assert run("--json").output == run("--json").output


@pytest.mark.parametrize(
    ("options", "message"),
    [
        (("--remove", "w9"),
         "--remove: no wall 'w9' to take out; walls of this case: w1, w2, w3\n"),
        (("--remove", ","), "--remove: no wall to take out; expected wall ids, such as w2,w4\n"),
        ((CASE, "--remove", "w1"),
         "--remove: is about the walls of one house; give one case file\n"),
    ],
)  # fmt: skip
def test_refused(options, message):
    done = run(*options)
    assert done.exit_code == 2
    assert done.stderr == message
