"""Charts of studies: runs are added up rightly, and every chart tells what it should."""

from __future__ import annotations

import copy
import xml.etree.ElementTree as ElementTree

import pytest

from walltriage.errors import InputError
from walltriage.lab.charts import CHARTS, draw
from walltriage.lab.charts.pool import pooled
from walltriage.lab.exact import upper
from walltriage.lab.reporter import REPORTERS


def result(reporter: str, seed: int, missed: int = 1) -> dict:
    """What a run of 1,000 walls might print."""
    return {
        "reporter": reporter, "seed": seed, "generator": "abc", "walls": 1000,
        "rules": {"version": "1.0", "sha256": "f" * 64},
        "truth_by_verdict": {
            "bears": {"likely_non_bearing": missed, "cannot_tell": 299, "likely_bearing": 100},
            "does_not": {"likely_non_bearing": 60, "cannot_tell": 530, "likely_bearing": 10},
        },
        "archetypes": {
            "hip_stick": {"bearing": 300, "miss": missed},
            "truss_plain": {"bearing": 0, "miss": 0},
            "addition": {"bearing": 99, "miss": 0},
        },
        "calibration": {"curve": [
            {"from_db": -20, "to_db": -10, "walls": 600, "stated": 0.02, "bore": 0.01},
            {"from_db": 0, "to_db": 5, "walls": 400, "stated": 0.6, "bore": 0.5},
        ]},
        "orders": {
            "planner": {"walls": 1000, "cannot_tell": 0.8, "questions_per_decided": 50.0},
            "fixed": {"walls": 1000, "cannot_tell": 0.9, "questions_per_decided": 200.0},
            "random": {"walls": 1000, "cannot_tell": 1.0, "questions_per_decided": None},
        },
    }  # fmt: skip


def words(picture: str) -> str:
    """All text of a picture; it must be well-formed."""
    root = ElementTree.fromstring(picture)
    assert root.tag.endswith("svg")
    return "\n".join("".join(node.itertext()) for node in root.iter())


def test_runs_of_one_reporter_are_added_up():
    """Counts add up, means are weighted, the careful come first."""
    second = result("usual", 2, missed=3)
    second["orders"]["planner"] |= {"cannot_tell": 0.4, "questions_per_decided": 10.0}
    careful, usual = pooled([result("usual", 1), second, result("careful", 7)])
    assert careful.reporter == "careful"
    assert usual.seeds == (1, 2)
    assert usual.walls == 2000
    assert usual.verdicts["bears"]["likely_non_bearing"] == 4
    assert usual.kinds["hip_stick"] == (4, 600)
    assert [(b.walls, b.bore) for b in usual.curve] == [(1200, 12), (800, 400)]
    assert usual.questions == {
        "planner": pytest.approx((200 * 50 + 600 * 10) / 800), "fixed": pytest.approx(200),
        "random": None,
    }  # fmt: skip


def test_other_rules_or_a_seed_twice_are_refused():
    """Such figures must not be added up."""
    other = copy.deepcopy(result("usual", 2))
    other["rules"]["sha256"] = "e" * 64
    for runs in ([result("usual", 1), other], [result("usual", 1), result("usual", 1)]):
        with pytest.raises(InputError, match="different rules"):
            draw(runs)


def test_every_chart_tells_its_sources_and_that_no_field_rate_is_known():
    """Seeds, generator, rules, and the caveat stand in each picture."""
    pictures = draw([result("usual", 11), result("poor", 12)])
    assert set(pictures) == {f"{name}.svg" for name in CHARTS}
    for picture in pictures.values():
        told = words(picture)
        assert "usual: 1,000 walls, seed 11, generator abc, rules ffffffffffff" in told
        assert "No field rate is known." in told


def test_misses_are_told_with_their_bounds():
    """In numbers where all are told together; kinds without a bearing wall are left out."""
    pictures = draw([result("usual", 11)])
    bound = upper(1, 400) * 100
    assert f"1 of 400 called likely non-bearing (0.25 %; 95 % bound {bound:.3g} %)" in words(
        pictures["verdicts.svg"]
    )
    told = words(pictures["misses.svg"])
    assert told.index("hip stick") < told.index("addition")
    assert "truss plain" not in told


def test_an_order_that_decided_nothing_is_told_in_words():
    """No bar without a number."""
    told = words(draw([result("usual", 11)])["questions.svg"])
    assert "no wall decided" in told
    assert "200" in told


def test_every_reporter_is_drawn():
    """Nobody is left out of the charts, whoever was asked."""
    for name in REPORTERS:
        for picture in draw([result(name, 1)]).values():
            assert name in words(picture)
