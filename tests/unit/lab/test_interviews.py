"""Simulated people and interviews: reproducible, honest about reach, told as cases."""

from __future__ import annotations

import numpy as np
import pytest

from walltriage.case.model import NO_ANSWER
from walltriage.case.read import read_case
from walltriage.case.write import write_case
from walltriage.inference.columns.evaluator import VERDICTS
from walltriage.inference.looks.column_planner import PLACES, STOPS
from walltriage.lab.findings import Scene, found
from walltriage.lab.house.build import build_house, generator
from walltriage.lab.house.truth import PATHS
from walltriage.lab.interviews import Interviewer, as_case
from walltriage.lab.outcomes import NAMES, joined
from walltriage.lab.reporter import TOPICS, Person
from walltriage.lab.tally import by_archetype, chances, counts, plain, threshold, under_bound


@pytest.fixture(scope="module")
def interviewer(full) -> Interviewer:
    return Interviewer(full.base)


@pytest.fixture(scope="module")
def held(interviewer):
    return interviewer.hold(9, range(98), "usual")


def test_planner_knows_where_people_have_been(interviewer, monkeypatch):
    """At each question the places of all earlier ones are known, and no others.

    A page of several things leaves no answer where somebody can tell nothing of any of them: then
    its place alone tells of it.  And the list of trouble names posts below the house to somebody
    who may know of them without going there.
    """
    questions = list(interviewer.base.questions.values())
    places = [PLACES.index(q.place) for q in questions]
    put_to_people = np.array(
        [q.entry.kind != "computed" and q.id != "middle_posts_move" for q in questions]
    )
    plan, been = interviewer.planner.next_questions, []
    base = interviewer.base
    of_pages = {
        PLACES.index(base.questions[name].place)
        for page in base.glances for item in page.items for name in item.told
    }  # fmt: skip

    def watched(batch, progress):
        for codes, known in zip(batch.codes, progress.been, strict=True):
            asked = {places[column] for column in np.flatnonzero(codes * put_to_people)}
            went = set(np.flatnonzero(known).tolist())
            been.append(asked <= went <= asked | of_pages)
        return plan(batch, progress)

    monkeypatch.setattr(interviewer.planner, "next_questions", watched)
    interviewer.hold(9, range(40), "usual")
    assert len(been) > 400
    assert all(been)


def people(kind: str, count: int, questions: int):
    for index in range(count):
        name = NAMES[index % len(NAMES)]
        house = build_house(name, 21, index)
        wall = house.wall(house.subject)
        scene = Scene(house, wall, generator(21, index, f"person {kind}"))
        yield Person(kind, house, wall, generator(21, index, f"person {kind}"), questions), scene


def test_topics_are_questions(full):
    """Our sorting names only questions there are, each once."""
    names = [name for group in TOPICS.values() for name in group]
    assert set(names) <= set(full.base.questions)
    assert len(names) == len(set(names))


def test_careful_people_err_less_than_poor_ones(full):
    """Share of wrong answers among real ones to what is plain to see."""
    wrong = {}
    chosen = [q for q in full.base.questions.values() if q.entry.kind == "seen"]
    for kind in ("careful", "usual", "poor"):
        right = bad = 0
        for person, _ in people(kind, 150, len(full.base.questions)):
            for column, question in enumerate(chosen):
                saw = person.sees(question)
                answer = person.answer(question, column)
                if isinstance(saw, str) and saw not in NO_ANSWER and answer.is_real:
                    right += answer.value == saw
                    bad += answer.value != saw
        wrong[kind] = bad / (bad + right)
    assert wrong["careful"] < wrong["usual"] < wrong["poor"]
    assert 0.005 < wrong["careful"] < 0.05
    assert 0.05 < wrong["poor"] < 0.25


def test_errors_of_one_person_hang_together(full):
    """Somebody who looks at the wrong place errs on much of it, others on little."""
    columns = list(full.base.questions)
    attic = [full.base.questions[n] for n in columns if full.base.questions[n].place == "attic"]
    attic = [q for q in attic if q.id != "attic_spot"]  # tells of the person, not of the wall
    slips = []
    for person, scene in people("poor", 1000, len(columns)):
        if not (scene.attic_over and scene.house.attic_reachable):
            continue
        told = [(person.answer(q, columns.index(q.id)).value, found(scene, q)) for q in attic]
        real = [(a, t) for a, t in told if isinstance(t, str) and t not in NO_ANSWER
                and a not in NO_ANSWER]  # fmt: skip
        if len(real) >= 6:
            slips.append((sum(a != t for a, t in real), len(real)))
    shares = np.array([bad / of for bad, of in slips])
    pooled = sum(bad for bad, _ in slips) / sum(of for _, of in slips)
    alone = np.mean([pooled * (1 - pooled) / of for _, of in slips])
    assert shares.var() > 1.3 * alone  # more spread than independent slips would give


def test_being_sure_tells_little(full):
    """The certain are wrong less often than guessers, but wrong all the same."""
    table = {"certain": [0, 0], "guess": [0, 0]}
    for person, _ in people("poor", 100, len(full.base.questions)):
        for column, question in enumerate(full.base.questions.values()):
            if question.entry.answer != "choice" or question.entry.kind == "computed":
                continue
            saw = person.sees(question)
            answer = person.answer(question, column)
            if isinstance(saw, str) and saw not in NO_ANSWER and answer.is_real:
                row = table.get(answer.sure)
                if row is not None:
                    row[answer.value != saw] += 1
    wrong = {sure: bad / (bad + good) for sure, (good, bad) in table.items()}
    assert 0 < wrong["certain"] < wrong["guess"] < 4 * wrong["certain"]


def test_same_seed_same_interviews(interviewer, held):
    """Every array the same, whatever else was run between; another seed differs."""
    again = interviewer.hold(9, range(98), "usual")[0]
    for name in ("verdict", "upper", "questions", "effort", "paths", "stop"):
        assert np.array_equal(getattr(held[0], name), getattr(again, name)), name
    other = interviewer.hold(10, range(20), "usual")[0]
    assert not np.array_equal(held[0].upper[:20], other.upper)


def test_interviews_come_out_alike_in_any_company(interviewer, held):
    """A wall's interview does not depend on the others held in step with it."""
    part = interviewer.hold(9, range(40, 55), "usual")[0]
    whole = held[0].rows(np.arange(40, 55))
    assert np.allclose(part.upper, whole.upper, rtol=1e-12, atol=0)
    assert np.array_equal(part.questions, whole.questions)


def test_every_interview_stops_for_a_reason(held):
    """Verdict, scope, length, futility or nothing left."""
    outcomes = held[0]
    assert (outcomes.stop > 0).all()
    verdict = outcomes.stop == STOPS.index("verdict")
    assert (outcomes.verdict[verdict] != 0).all()
    assert (outcomes.questions > 0).all()


@pytest.mark.parametrize("order", ["fixed", "random"])
def test_other_orders_ask_too(interviewer, order):
    """They run to a verdict, the bound on length, or the end of the questions."""
    outcomes, _ = interviewer.hold(9, range(20), "careful", order)
    assert set(outcomes.stop) <= {STOPS.index(s) for s in ("verdict", "length", "exhausted")}


def test_a_case_of_it_replays(full, interviewer, tmp_path):
    """The answers written as a case file give the same verdict through the engine."""
    outcomes, _ = interviewer.hold(9, range(6), "careful")
    kept = {}
    ask = interviewer._ask

    def noting(batch, row, column, person, given):
        ask(batch, row, column, person, given)
        kept[row] = (given, person)

    interviewer._ask = noting
    try:
        interviewer.hold(9, range(6), "careful")
    finally:
        interviewer._ask = ask
    for row, (given, person) in kept.items():
        case = as_case(full.base, given, NAMES[row], row, outcomes.paths[row], person)
        path = tmp_path / f"{row}.yaml"
        write_case(path, case)
        finding = full.finding(read_case(path, full.base.questions)).walls[0]
        assert finding.verdict == VERDICTS[outcomes.verdict[row]]
        assert finding.probability[1] == pytest.approx(outcomes.upper[row], abs=1e-9)


def test_counts_add_up(held):
    """Nothing is dropped: truth by verdict holds every wall, kinds of house all of them."""
    outcomes = held[0]
    whole = counts(outcomes)
    table = whole["truth_by_verdict"]
    assert sum(table["bears"].values()) == whole["bearing"]
    assert sum(sum(row.values()) for row in table.values()) == len(outcomes) == 98
    assert sum(row["walls"] for row in by_archetype(outcomes).values()) == 98
    assert sum(whole["stops"].values()) == 98
    assert whole["miss"] <= sum(whole["missed_by_path"].values()) or whole["miss"] == 0
    assert sum(b["walls"] for b in plain(chances(outcomes))["curve"]) == 98


def test_counts_of_made_up_outcomes(held):
    """Figures by hand: four walls, two bear; one of those was called non-bearing."""
    four = held[0].rows(np.arange(4))
    four.paths[:] = False
    four.paths[0, PATHS.index("point_load")] = True
    four.paths[1, PATHS.index("perimeter")] = True
    four.paths[2, PATHS.index("bracing")] = True
    four.verdict[:] = [VERDICTS.index(v) for v in (
        "likely_non_bearing", "likely_bearing", "likely_non_bearing", "cannot_tell")]  # fmt: skip
    four.seen[:] = [True, True, True, False]
    found = counts(four)
    assert found["bearing"] == 2
    assert found["miss"] == 1
    assert found["miss_upper95"] == pytest.approx(0.9746794344808963)
    assert found["nonbearing_said"] == 2
    assert found["wrong_among_nonbearing"] == 0.5
    assert found["nonbearing_recognised"] == 0.5
    assert found["nonbearing_recognised_when_seen"] == 1.0
    assert found["bearing_recognised"] == 0.5
    assert found["cannot_tell"] == 0.25
    assert found["bracing_walls_called_nonbearing"] == 1
    assert found["missed_by_path"]["point_load"] == 1
    assert found["missed_by_path"]["perimeter"] == 0


def test_walls_under_the_bound_are_counted(held):
    """More of them under a higher mark, and those that bore among them."""
    rows = under_bound(held[0])
    walls = [row["walls"] for row in rows]
    assert walls == sorted(walls)
    last = held[0].upper <= rows[-1]["upper_at_most"]
    assert rows[-1]["bore"] == int((last & held[0].bears).sum())


def test_threshold_by_the_order_statistic(held):
    """The k-th smallest bound of bearing walls, or what the costs allow if that is less."""
    many = joined([held[0]] * 60)
    bears = np.sort(many.upper[many.bears])
    found = threshold(many, 0.01, by_cost=0.5)
    assert found["k"] >= 1
    assert found["order_statistic"] == bears[found["k"] - 1]
    assert threshold(many, 0.01, by_cost=0.0)["non_bearing_at_most"] == 0.0
    few = threshold(held[0], 0.001, by_cost=0.5)
    assert few["k"] == 0
    assert few["non_bearing_at_most"] == 0.0
