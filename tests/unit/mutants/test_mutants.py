"""Faults put into the rules are what they say, and the checks notice them."""

from __future__ import annotations

import json
import shutil

import pytest

from tests.conftest import RULES, SMALL_RULES
from walltriage.errors import InputError
from walltriage.inference.engine.closure import RuleClosures
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import parsed_files
from walltriage.rule_testing.rule_cases import run_cases
from walltriage.rule_testing.scenario_files import read_scenarios
from walltriage.rule_testing.scenarios import failures

pytest.importorskip("z3")

from tests.mutants.killer import SAME, STAGES, Killer
from tests.mutants.mutant import Mutant, mutants, sample
from tests.mutants.operators import OPERATORS
from tests.mutants.run import Fate, MutationPlan, run, table
from tests.mutants.same import same

pytestmark = pytest.mark.extras
SCENARIOS = SMALL_RULES.parent / "small_scenarios"


@pytest.fixture(scope="module")
def files():
    return parsed_files(RULES)


@pytest.fixture(scope="module")
def killer():
    return Killer(SMALL_RULES, SCENARIOS)


def one(killer: Killer, operator: str, entry: str) -> Mutant:
    """The first mutant of an operator at an entry."""
    return next(m for m in mutants(killer.files) if m.operator == operator and m.entry == entry)


def test_every_operator_finds_something_in_the_rules(files):
    """More than twelve operators, more than a thousand mutants, each with a name of its own."""
    every = list(mutants(files))
    assert len(OPERATORS) >= 12
    assert {mutant.operator for mutant in every} == set(OPERATORS)
    assert len(every) >= 1_000
    assert len({mutant.key for mutant in every}) == len(every)


def test_mutants_change_one_file_and_leave_the_rules_alone(files):
    """Each differs from the rules in its own file only, and in one entry of it."""
    before = {name: json.dumps(tree.data) for name, tree in files.items()}
    for mutant in mutants(files):
        changed = mutant.of(files)
        assert changed[mutant.path].data != files[mutant.path].data
        assert all(changed[name] is files[name] for name in files if name != mutant.path)
    assert {name: json.dumps(tree.data) for name, tree in files.items()} == before


def test_samples_are_the_same_for_a_seed_and_spread(files):
    """Every operator has its share."""
    one, two = sample(files, 69, 4), sample(files, 69, 4)
    assert [mutant.key for mutant in one] == [mutant.key for mutant in two]
    assert {m.operator for m in one} == set(OPERATORS)
    assert len(sample(files, 10**6, 1)) == len(list(mutants(files)))


def test_what_guards_against_misses_is_of_the_safety_class(files):
    """Any change of a gate or a sign, whatever the operator."""
    classes = {(m.operator, m.where[0]): m.safety for m in mutants(files)}
    assert classes["negate a test", "gates"]
    assert classes["drop a part of a condition", "signs"]
    assert not classes["negate a test", "cautions"]


def test_columns_notice_what_the_engine_notices(killer):
    """Cases and scenarios fail in the columns exactly where they fail in the engine."""
    seen = set()
    for mutant in sample(killer.files, 90, 3):
        stage = killer.stage(mutant)
        if stage == "load":
            continue
        base = killer.knowledge(mutant)
        wrong_cases = bool(run_cases(RuleClosures(Evaluator(base))))
        assert wrong_cases == (stage == "cases"), mutant.key
        if not wrong_cases:
            assert _fails_scenarios(base) == (stage == "scenarios"), mutant.key
        seen.add(stage)
    assert {"cases", "scenarios"} <= seen


def _fails_scenarios(base) -> bool:
    try:
        scenarios = read_scenarios(SCENARIOS, base)
    except InputError:  # a scenario names a rule that is gone
        return True
    triager = Triager(base)
    return any(failures(triager, scenario) for scenario in scenarios)


def test_each_stage_notices_something(killer):
    """Every stage in its turn, and some that nothing notices."""
    fates = {killer.fate(mutant) for mutant in mutants(killer.files)}
    assert fates >= {"load", "cases", "scenarios", "lints"}
    assert fates <= {*STAGES, SAME, None}


def test_a_gate_that_withholds_the_other_verdict_breaks_a_proof():
    """Without scenarios only the proof notices."""
    killer = Killer(SMALL_RULES)
    assert killer.stage(one(killer, "turn a gate or verdict", "gate_scope")) == "proofs"


def test_a_changed_condition_that_holds_alike_is_the_same(killer):
    """Same is shown, not supposed: one equal change, one that is not."""
    scope = one(killer, "negate a condition", "scope_masonry")
    twice = {"all": [{"answer": "built_of", "is": "brick"}, {"answered": "built_of"}]}
    wider = {"answer": "built_of", "in": ["brick", "wood"]}
    for condition, alike in ((twice, True), (wider, False)):
        mutant = Mutant("by hand", scope.entry, True, scope.path, scope.where, condition)
        assert same(killer.base, killer.knowledge(mutant)) is alike


def test_a_direct_flag_that_nothing_reads_is_the_same(killer):
    """What counts as seen is compared, not the flag."""
    turned = [m for m in mutants(killer.files) if m.operator == "turn direct and indirect"]
    assert turned
    for mutant in turned:
        if mutant.new is False:
            assert not same(killer.base, killer.knowledge(mutant))


def test_a_run_is_kept_and_taken_up_again(tmp_path):
    """An interrupted run goes on where it stopped; both cores give what one gives."""
    log = tmp_path / "log.jsonl"
    plan = MutationPlan(SMALL_RULES, SCENARIOS, 12, 5, log)

    def stop(seen=[]):  # noqa: B006
        seen.append(1)
        if len(seen) == 5:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        run(plan, False, stop)
    assert len(log.read_text().splitlines()) == 1 + 5
    steps = []
    fates = run(plan, True, lambda: steps.append(1))
    assert len(steps) == len(fates) == 12
    assert len(log.read_text().splitlines()) == 1 + 12
    both = run(MutationPlan(SMALL_RULES, SCENARIOS, 12, 5, tmp_path / "both.jsonl", cores=2), False)
    assert both == fates


def test_a_log_of_other_rules_is_refused(tmp_path):
    """Another rules folder, damage, and a folder in place of a file: told, not guessed."""
    log = tmp_path / "log.jsonl"
    run(MutationPlan(SMALL_RULES, SCENARIOS, 2, 5, log), False)
    other = tmp_path / "rules"
    shutil.copytree(SMALL_RULES, other)
    (other / "guards.yaml").write_text((other / "guards.yaml").read_text() + "\n# more\n")
    with pytest.raises(InputError, match="other rules"):
        run(MutationPlan(other, SCENARIOS, 2, 5, log), True)
    log.write_text("{not json\n")
    with pytest.raises(InputError, match="log of mutants"):
        run(MutationPlan(SMALL_RULES, SCENARIOS, 2, 5, log), True)
    with pytest.raises(InputError, match="cannot be used"):
        run(MutationPlan(SMALL_RULES, SCENARIOS, 2, 5, tmp_path), False)


def test_the_table_counts_every_mutant_and_leaves_the_same_out_of_the_share():
    """Shares are of mutants that differ."""
    mutant = Mutant("drop a gate", "gate", True, "guards.yaml", ("gates", 0), None)
    told = table([Fate(mutant, "cases"), Fate(mutant, None), Fate(mutant, SAME)])
    assert "| drop a gate | 3 |" in told
    assert "safety class: 1 of 2 killed, 50.0%" in told
