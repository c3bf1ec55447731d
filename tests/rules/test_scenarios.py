"""Every whole-wall scenario comes out as its author expects, near misses included."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.conftest import HERE
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import failures

FOLDERS = {"small": HERE / "small_scenarios", "full": Path(__file__).resolve().parent}


@pytest.mark.parametrize("rules", ["small", "full"])
def test_scenarios_come_out_as_expected(rules, request):
    """No scenario differs; a failure prints what came out, rule by rule."""
    triager = request.getfixturevalue(rules)
    scenarios = read_scenarios(FOLDERS[rules], triager.base)
    wrong = [str(p) for scenario in scenarios for p in failures(triager, scenario)]
    assert not wrong, "\n".join(wrong)
