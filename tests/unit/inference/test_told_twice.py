"""A sign that was found the same at a second look: it settles its load path, unless all else that
was told makes that far from likely."""

from __future__ import annotations

import pytest

from walltriage.case.model import (
    CHECKED,
    CONFIRMED,
    SUREST_FIRST,
    Answer,
    as_said,
    found_again,
    least_sure,
    told_again,
)
from walltriage.case.read import read_case
from walltriage.inference.belief.signs import settled_paths, sign_looks
from walltriage.inference.engine.strata import stratify

ATTIC = {
    "above_wall": "only_attic", "wall_place": "inside", "wall_against_ridge": "across_ridge",
    "attic_frame": "trusses", "truss_plates": "plates", "year_built": "since_1985",
}  # fmt: skip
SPEAKS_AGAINST = {
    "wall_top": "clear_all_along", "wall_traced": "whole", "attic_spot": "marked",
    "attic_round": "none_of_these", "stud_cluster_found": "no_cluster", "post_below": "none",
    "beam_meets_wall": "none", "round_the_wall": "none_of_these",
}  # fmt: skip


def judged(full, sign: dict[str, str], sure: str, beside: dict[str, str]):
    """What the engine finds for a wall with a sign told so surely."""
    given = {q: Answer(value) for q, value in {**ATTIC, **beside}.items()}
    given |= {q: Answer(value, sure=sure) for q, value in sign.items()}
    return full.evaluator.evaluate(given)


@pytest.mark.parametrize(
    "sign",
    [{"wall_top": "beam_end"}, {"attic_beam": "ends_on_wall"}, {"truss_carrier": "ends_on_wall"}],
)
def test_told_once_it_is_evidence_and_told_twice_it_settles(full, sign):
    """The same word twice, with nothing against it."""
    assert judged(full, sign, "certain", {}).verdict == "cannot_tell"
    twice = judged(full, sign, CONFIRMED, {})
    assert twice.verdict == "likely_bearing"
    assert twice.decided_by == "verdict_bearing_by_sign"


def test_where_the_rest_speaks_against_it_it_stays_evidence(full):
    """Whoever stands at another wall sees the same thing there twice."""
    sign = {"attic_beam": "ends_on_wall"}
    assert judged(full, sign, CONFIRMED, {}).verdict == "likely_bearing"
    assert judged(full, sign, CONFIRMED, SPEAKS_AGAINST).verdict == "cannot_tell"


@pytest.mark.parametrize(
    ("first", "now", "counts"),
    [
        ("certain", "certain", CONFIRMED), (CONFIRMED, "certain", CONFIRMED),
        (CHECKED, "certain", CONFIRMED), ("fairly", "certain", "certain"),
        ("guess", "certain", "certain"), ("guess", "fairly", "fairly"), ("guess", "guess", "guess"),
        ("certain", "guess", "guess"), (CONFIRMED, "fairly", "fairly"),
    ],
)  # fmt: skip
def test_the_same_twice_is_as_sure_as_the_second_look(first, now, counts):
    """A guess that was borne out is none any longer, and confirmed takes two certain looks."""
    assert told_again(first, now) == counts


def test_fairly_sure_at_two_looks_is_not_certain():
    """A second look raises a certain answer only."""
    assert [found_again(sure) for sure in ("certain", "fairly", "guess")] == [
        CONFIRMED, "fairly", "guess",
    ]  # fmt: skip
    assert as_said(CONFIRMED) == "certain"
    assert least_sure((CHECKED, CONFIRMED)) == CONFIRMED
    assert SUREST_FIRST.index(CHECKED) < SUREST_FIRST.index(CONFIRMED)


def test_a_sign_of_several_answers_needs_each_of_them_twice(full):
    """One of two looked at again confirms nothing."""
    sign = {"beam_meets_wall": "along_line", "post_at_wall": "post_or_bump"}
    given = {q: Answer(v) for q, v in ATTIC.items()} | {q: Answer(v) for q, v in sign.items()}
    once = given | {"post_at_wall": Answer("post_or_bump", sure=CONFIRMED)}
    both = once | {"beam_meets_wall": Answer("along_line", sure=CONFIRMED)}
    assert "post_and_beam_in_line" in [f.rule for f in full.evaluator.evaluate(both).fired("sign")]
    assert full.evaluator.evaluate(once).beliefs.measures["lower"][0] < 0.9
    assert full.evaluator.evaluate(both).beliefs.measures["lower"][0] > 0.9


def test_a_sign_looked_at_twice_is_no_second_place(full):
    """Two places settle whatever else was told; two looks from one place do not."""
    looks = sign_looks(full.base, stratify(full.base))
    told = {"wall_top": Answer("beam_end", sure=CONFIRMED)}
    assert settled_paths(looks, ["beam_end_on_wall_top"], told) == set()


def test_it_is_read_from_a_file_and_written_back(full, tmp_path):
    """Unlike what only the desk may say."""
    file = tmp_path / "case.yaml"
    file.write_text(
        "schema: walltriage/case/1\nwalls:\n  - id: w1\n    answers:\n"
        "      wall_top: {value: beam_end, sure: confirmed}\n"
    )
    assert read_case(file, full.base.questions).walls[0].answers["wall_top"].sure == CONFIRMED
