"""Rules that cite a code: each is named with its section, edition and provenance, and obeyed."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

import pytest

from tests.published.knowledge import evaluate, evaluator, fired, read

DATA = read("code_facts.yaml")
FACTS: list[dict[str, Any]] = DATA["facts"]
PRACTICE: list[dict[str, Any]] = DATA["common_practice"]
SCENARIOS = [
    pytest.param(scenario, id=f"{fact['cites'].partition(',')[0]}-{index}")
    for fact in FACTS
    for index, scenario in enumerate(fact["scenarios"])
]
CODES = {fact["cites"].partition(":")[0] for fact in FACTS}
# Sources with "code" in what they are must be among them; books and pages are not.
CODE_WORDS = ("International Residential Code", "IRC ", " CFR ", "Codified Ordinances",
              "Building Code section", ", Code section")  # fmt: skip


def citing() -> Iterator[tuple[str, str]]:
    """(id, source as cited) of every rule and condition."""
    base = evaluator().base
    entries = [(rule.id, rule.source) for _, rule in base.rules()]
    for path in base.paths.values():
        entries += [(condition.id, condition.source) for condition in path.entry.conditions]
    for name, source in entries:
        for cited in [source] if isinstance(source, str) else source:
            yield name, cited


@pytest.mark.parametrize("scenario", SCENARIOS)
def test_a_code_section_is_obeyed(scenario: dict[str, Any]) -> None:
    assert set(scenario["fires"]) <= fired(scenario["answers"])
    assert evaluate(scenario["answers"]).verdict == scenario["verdict"]


@pytest.mark.parametrize("fact", FACTS, ids=lambda fact: fact["cites"])
def test_edition_and_provenance_are_those_of_the_source(fact: dict[str, Any]) -> None:
    source = evaluator().base.sources[fact["cites"].partition(":")[0]]
    assert (fact["code"], fact["edition"], fact["provenance"]) == (
        source.title,
        source.edition,
        source.provenance,
    )
    assert fact["fact"]


@pytest.mark.parametrize("fact", FACTS, ids=lambda fact: fact["cites"])
def test_a_fact_names_exactly_the_rules_that_cite_it(fact: dict[str, Any]) -> None:
    assert set(fact["rules"]) == {name for name, cited in citing() if cited == fact["cites"]}


def test_no_rule_that_cites_a_code_lacks_a_test() -> None:
    tested = {fact["cites"] for fact in FACTS}
    assert not [(name, cited) for name, cited in citing()
                if cited.partition(":")[0] in CODES and cited not in tested]  # fmt: skip


def test_no_code_among_the_sources_is_left_out() -> None:
    base = evaluator().base
    cited = {source.partition(":")[0] for _, source in citing()}
    codes = {
        key
        for key, source in base.sources.items()
        if key in cited and any(word in f"{source.title} " for word in CODE_WORDS)
    }
    assert codes <= CODES


@pytest.mark.parametrize("one", PRACTICE, ids=lambda one: one["fact"][:40])
def test_common_practice_is_in_the_rules_and_never_clears_a_wall(one: dict[str, Any]) -> None:
    assert set(one["fires"]) <= fired(one["answers"])
    assert evaluate(one["answers"]).verdict != "likely_non_bearing"


def test_all_of_common_practice_together_does_not_clear_a_wall() -> None:
    together: dict[str, Any] = {}
    for one in PRACTICE:
        if not {"room_side", "steel_in_wall", "thick_board_level"} & set(one["answers"]):
            together |= one["answers"]
    assert evaluate(together).verdict == "cannot_tell"
