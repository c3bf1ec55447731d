"""Proofs: the logic agrees with the engine, bad rules are caught, counter-examples replay."""

from __future__ import annotations

import json
import math
import random
import re
from pathlib import Path

import pytest
from click.testing import CliRunner

from tests.conftest import SMALL_RULES
from tests.pseudo import Pseudo, left
from walltriage.case.model import Answer
from walltriage.case.read import read_case
from walltriage.inference.belief.tree import Reported
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.knowledge.load import load_knowledge
from walltriage.language import say, use_catalog
from walltriage.rule_testing.scenario_files import read_scenarios

z3 = pytest.importorskip("z3")
pytestmark = pytest.mark.extras

from tests.unit.prove.logic import (  # noqa: E402
    nearest,
    random_sets,
    rules_that_differ,
    through_columns,
)
from walltriage.inference.columns.evaluator import VERDICTS  # noqa: E402
from walltriage.prove.anomalies import (  # noqa: E402
    ANOMALIES,
    nothing_conflicting,
    nothing_subsumed,
    reachable,
)
from walltriage.prove.bounds import least_weight  # noqa: E402
from walltriage.prove.fewest import fewest_answers  # noqa: E402
from walltriage.prove.misled import Misled, _Picks, misled, misled_from  # noqa: E402
from walltriage.prove.prover import NON_BEARING, Proof, Prover, run  # noqa: E402
from walltriage.prove.report import as_case, prove, write_cases  # noqa: E402
from walltriage.prove.safety import BY_CONDITION, SAFETY  # noqa: E402
from walltriage.prove.truthful import truthful  # noqa: E402

SCENARIOS = Path(__file__).resolve().parents[2] / "rules"


@pytest.fixture(scope="module")
def prover(full) -> Prover:
    return Prover(full.base)


def test_logic_agrees_with_the_program(prover):
    """On random answer sets every rule fires in the logic exactly when it fires in the program."""
    sets = random_sets(prover, 120, seed=1)
    result = through_columns(prover, sets)
    for row, given in enumerate(sets):
        assert rules_that_differ(prover, prover.solver, given, result, row) == set(), row


def test_logic_agrees_with_the_engine(prover, full):
    """And so it does with the engine that the columns stand in for."""
    sets = random_sets(prover, 12, seed=2)
    result = through_columns(prover, sets)
    for row, given in enumerate(sets):
        fired = {firing.rule for firing in full.evaluator.evaluate(given.answers).firings}
        assert fired == set(result.fired_rules(row))


def test_logic_allows_what_scenarios_reach(prover):
    """Every wall of a scenario that is called non-bearing may be so in the logic, rule by rule."""
    walls = [
        nearest(prover, case.answers_for("wall"))
        for scenario in read_scenarios(SCENARIOS, prover.base)
        for case in (scenario.case, *(miss.case for miss in scenario.near_misses))
    ]
    result = through_columns(prover, walls)
    rows = [row for row in range(len(walls)) if VERDICTS[result.verdict[row]] == NON_BEARING]
    assert len(rows) > 30
    for row in rows[::3]:
        assert rules_that_differ(prover, prover.solver, walls[row], result, row) == set(), row


def test_a_bound_of_a_weight_is_one(prover):
    """For random answers to random conditions the logic's weight is never over the program's."""
    draw = random.Random(5)
    tables = [t for tables in prover.encoding.belief.tables.values() for t in tables.values()]
    for table in draw.choices(tables, k=400):
        reports, total = [], 0
        for clue, by_value in table.rows.items():
            if draw.random() < 0.5:
                report = Reported(clue, "", draw.choice(list(by_value)), draw.uniform(0.5, 1.0))
                cells = table.likelihood(report)
                reports.append(report)
                ratio = cells[-1] / cells[0] if table.ordered else min(cells) / max(cells)
                total += math.floor(1000 * math.log10(ratio))
        bound = z3.simplify(least_weight(table, z3.IntVal(total))).as_long()
        assert bound <= 100 * table.weight(reports) + 1e-6


def test_proofs_hold_for_the_rules_shipped(prover):
    """Safety, quick."""
    broken = [proof for proof in run(prover, SAFETY) if not proof.holds]
    assert broken == []


def test_nothing_conflicts_and_each_verdict_is_met(prover):
    """Two of the anomalies; the slow ones are in the command's own run."""
    assert nothing_conflicting(prover).holds
    assert reachable(prover).holds


@pytest.mark.slow
def test_no_rule_shipped_is_covered_by_another(prover):
    """A sign that settles its path may lie within one that has to be borne out."""
    assert nothing_subsumed(prover).holds


def test_fewest_answers(prover):
    """So many are needed, and the example found does reach the verdict."""
    found = fewest_answers(prover, effort=4_000_000)
    assert found.at_least >= 4
    assert found.example is not None
    assert len(found.example) >= found.at_least
    assert prover.evaluator.evaluate(found.example).verdict == NON_BEARING


@pytest.mark.parametrize("kind", ["stick_centre_line", "addition", "platform_stacked"])
def test_three_wrong_answers_in_different_conditions(prover, kind):
    """No two picks of wrong answers turn these truthful interviews."""
    assert misled(prover, kind) == Misled(kind, proved=True)


def test_a_kind_that_never_bears_has_no_such_interview(prover):
    """Nothing to mislead."""
    assert truthful(prover, "truss_plain") is None
    assert misled(prover, "truss_plain") is None


def test_what_one_wrong_answer_does_is_found(small):
    """With the small rules, one changed answer turns a truthful set, and the case tells which."""
    answers = {
        "above_wall": Answer("attic"), "joists_run": Answer("along"),
        "joists_end": Answer("some_end"), "wall_below": Answer("nothing"),
    }  # fmt: skip
    found = misled_from(Prover(small.base), "drawn", answers)
    assert not found.proved
    assert ("joists_end", "none_end") in found.changed
    assert small.evaluator.evaluate(dict(found.answers)).verdict == NON_BEARING


def test_wrong_answers_about_one_thing_count_once(small):
    """However many answers tell of a condition alone, it is one pick; of two, it takes both."""
    prover = Prover(small.base)
    picks = _Picks(prover, {})
    alone = picks.covered([("about", "joist_break"), ("answer", "built_of")])
    by_clue = {clue.question: set() for clue in small.base.clues()}
    for clue in small.base.clues():
        by_clue[clue.question].add(clue.condition)
    expected = {name for name, about in by_clue.items() if about == {"joist_break"}}
    assert expected
    assert set(alone) == expected | {"built_of"}


# Twenty ways to spoil a rules folder: file, passage, what stands there instead.  The first twelve
# spoil what the proofs of safety look at, the rest make rules that contradict or repeat others.
NB_WHEN = "when: {all: [{measure: upper, at_most: non_bearing_at_most}, {not: {block: any}}]}"


def gate(name: str, when: str) -> str:
    return f"""  - id: {name}
    says: "Withheld."
    when: {when}
    withholds: likely_non_bearing
    source: common practice
    limits: ["none known"]
    status: reviewed
    cases: {{fires: [{{}}], quiet: [{{joists_end: none_end}}]}}
"""


def fact(name: str, when: str, value: str = '"no"') -> str:
    return f"""  - id: {name}
    says: "A fact."
    when: {when}
    concludes: {{attic_above: {value}}}
    source: common practice
    limits: ["none known"]
    status: reviewed
    cases: {{fires: [{{above_wall: attic}}], quiet: [{{}}]}}
"""


def sign(name: str, when: str) -> str:
    return f"""  - id: {name}
    says: "A sign."
    when: {when}
    source: common practice
    limits: ["none known"]
    status: reviewed
    cases: {{fires: [{{joists_end: some_end}}], quiet: [{{}}]}}
"""


CONTRADICTIONS = "contradictions.yaml"
GUARDS, FACTS, PATH = "guards.yaml", "situation.yaml", "load_paths/framing_above.yaml"
RAISED = "when: {all: [{answered: wall_below}, {not: {block: gate_scope}}]}"
BY_GATES = "when: {all: [{answered: built_of}, {not: {block: any}}]}"
CLEAR = "when: {any: [{scope: any}, {contradiction: any}]}"
CLASH = "when: {all: [{answer: joists_run, is: along}, {answer: joists_end, is: some_end}]}"
SOME, NONE = "{answer: joists_end, is: some_end}", "{answer: joists_end, is: none_end}"
LONG, SHORT = "{answer: wall_length, above: 20 ft}", "{answer: wall_length, below: 2 ft}"
LONE = "when: {answered: built_of}"
SPOILED: list[tuple[str, list[tuple[str, str, str]]]] = [
    ("verdict without gates", [
        (GUARDS, NB_WHEN, "when: {measure: upper, at_most: non_bearing_at_most}")]),
    ("verdict heeds one gate only", [(GUARDS, NB_WHEN, RAISED)]),
    ("verdict by one answer", [(GUARDS, NB_WHEN, LONE)]),
    ("verdict unless the sign is another", [
        (GUARDS, NB_WHEN, "when: {all: [{answered: wall_below}, {not: {block: gate_sign}}]}")]),
    ("verdict by nothing", [(GUARDS, NB_WHEN, "when: {not: {block: any}}"),
                            (GUARDS, "when: {not: {seen_against: framing_above}}",
                             "when: {answer: built_of, is: wood}")]),
    ("verdict by don't know", [
        (GUARDS, NB_WHEN, "when: {not: {answered: joists_end}}")]),
    ("gate for a sign is turned", [
        (GUARDS, "when: {sign: any}\n    withholds", "when: {not: {sign: any}}\n    withholds"),
        (GUARDS, NB_WHEN, BY_GATES)]),
    ("gate for nothing seen reads the wrong answer", [
        (GUARDS, "when: {not: {seen_against: framing_above}}",
         "when: {answer: wall_below, is: wall}"),
        (GUARDS, NB_WHEN, BY_GATES)]),
    ("gate for scope forgets contradictions", [
        (GUARDS, CLEAR, "when: {scope: any}"),
        (CONTRADICTIONS, CLASH,
         "when: {all: [{answer: above_wall, is: attic}, {answer: joists_end, is: none_end}]}")]),
    ("gate for scope forgets scope", [
        (GUARDS, CLEAR,
         "when: {contradiction: any}")]),
    ("a gate withholds the other verdict", [
        (GUARDS, CLEAR + "\n    withholds: likely_non_bearing",
         CLEAR + "\n    withholds: likely_bearing"),
        (GUARDS, NB_WHEN, NB_WHEN.replace("{block: any}", "{block: gate_framing_unseen}"))]),
    ("verdict on a fact", [(GUARDS, NB_WHEN, "when: {fact: attic_above, is: 'yes'}")]),
    ("two values of one fact", [(FACTS, "facts:\n",
        "facts:\n" + fact("fact_low", "{answer: above_wall, in: [attic, room]}"))]),
    ("a fact said twice", [(FACTS, "facts:\n",
        "facts:\n" + fact("fact_again", "{answer: above_wall, is: attic}", '"yes"'))]),
    ("a fact covered by another", [(FACTS, "facts:\n", "facts:\n" + fact(
        "fact_both", "{all: [{answer: above_wall, is: attic}, {answer: built_of, is: wood}]}",
        '"yes"'))]),
    ("a sign covered by another", [(PATH, "signs:\n", "signs:\n" + sign(
        "sign_both", f"{{all: [{SOME}, {{answer: joists_run, is: across}}]}}"))]),
    ("a sign that cannot be", [(PATH, "signs:\n", "signs:\n" + sign(
        "sign_never", f"{{all: [{SOME}, {NONE}]}}"))]),
    ("a fact that cannot be", [(FACTS, "facts:\n", "facts:\n" + fact(
        "fact_never", "{all: [{answer: above_wall, is: room}, {answer: above_wall, is: attic}]}",
        '"yes"'))]),
    ("a gate that cannot be", [(GUARDS, "gates:\n", "gates:\n" + gate(
        "gate_never", f"{{all: [{LONG}, {SHORT}]}}"))]),
    ("non-bearing out of reach", [(GUARDS, "gates:\n", "gates:\n" + gate(
        "gate_always", "{any: [{answered: built_of}, {not: {answered: built_of}}]}"))]),
]  # fmt: skip


def test_there_are_twenty():
    """As many as were meant."""
    assert len({name for name, _ in SPOILED}) == 20


@pytest.mark.parametrize(("name", "changes"), SPOILED, ids=[name for name, _ in SPOILED])
def test_bad_rules_are_caught(name, changes, tmp_path):
    """Each spoiled folder breaks a proof; a counter-example, where there is one, replays."""
    base = load_knowledge(spoil(tmp_path / "rules", changes))
    broken = [proof for proof in run(Prover(base), (*SAFETY, *ANOMALIES)) if not proof.holds]
    assert broken, name
    for proof in broken:
        if proof.counter:
            replay(base, proof, tmp_path)


def spoil(folder: Path, changes: list[tuple[str, str, str]]) -> Path:
    for path in SMALL_RULES.rglob("*"):
        target = folder / path.relative_to(SMALL_RULES)
        if path.is_file():
            target.parent.mkdir(parents=True, exist_ok=True)
            target.write_bytes(path.read_bytes())
    for file, was, now in changes:
        text = (folder / file).read_text(encoding="utf-8")
        assert was in text, was
        (folder / file).write_text(text.replace(was, now), encoding="utf-8")
    return folder


def replay(base, proof: Proof, folder: Path) -> None:
    """The engine says "non-bearing" too, or fires the two rules that the proof names."""
    evaluator = Evaluator(base)
    [path] = write_cases(folder, [("found", as_case(base, proof.counter, proof.told))])
    case = read_case(path, base.questions)
    result = evaluator.evaluate(case.answers_for("wall"))
    fired = {firing.rule for firing in result.firings}
    named = {word for word in proof.told.split() if word in {r.id for _, r in base.rules()}}
    assert result.verdict == NON_BEARING or (named and named <= fired)


def test_the_command_tells_and_fails(tmp_path):
    """Exit 1, one line a proof, counter-examples written."""
    from walltriage.commands.prove import command

    folder = spoil(tmp_path / "rules", SPOILED[0][1])
    done = CliRunner().invoke(
        command, ["--rules", str(folder), "--json", "--cases", str(tmp_path / "found")]
    )
    assert done.exit_code == 1, done.output
    found = json.loads(done.stdout)
    assert not found["holds"]
    assert any(not proof["holds"] for proof in found["proofs"])
    assert list((tmp_path / "found").glob("*.yaml"))


def test_a_folder_of_good_rules_passes_in_words(monkeypatch):
    """Every line says that it holds."""
    from walltriage.commands.prove import command

    monkeypatch.setattr("walltriage.prove.report.all_archetypes", lambda: ())
    done = CliRunner().invoke(command, ["--rules", str(SMALL_RULES)])
    assert done.exit_code == 0, done.output
    assert "BROKEN" not in done.output
    assert "fewest answers to non-bearing: at least" in done.output


def test_proofs_are_told_in_the_language_in_use(monkeypatch):
    """All but the ids of rules and questions, in the pseudo-language."""
    from walltriage.commands.prove import command

    monkeypatch.setattr("walltriage.prove.report.all_archetypes", lambda: ())
    undo = use_catalog(Pseudo())
    try:
        said = CliRunner().invoke(command, ["--rules", str(SMALL_RULES)]).output
        names = [say(name) for name, _ in (*SAFETY, *BY_CONDITION, *ANOMALIES)]
    finally:
        undo()
    assert [name for name in names if left(name)] == []
    lines = [left(line).strip(" :") for line in said.splitlines()]
    assert [line for line in lines if re.search("[A-Za-z]", line.replace(" s", ""))] == []


def test_prove_tells_steps(small, monkeypatch):
    """The progress bar's steps are as many as promised."""
    from walltriage.prove import report

    monkeypatch.setattr(report, "all_archetypes", lambda: ())
    seen = []
    prove(small.base, lambda: seen.append(1))
    assert len(seen) == report.steps()
