"""Whole-wall scenarios: answers with what must come out, and near misses.

``scenario_files.py`` tells their form and reads them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field

from walltriage.case.model import Case
from walltriage.errors import Problem
from walltriage.inference.triage import Triager

WALL = "wall"


@dataclass(frozen=True, slots=True)
class Expectation:
    """What must come out of one set of answers."""

    verdict: str | None = None
    fires: tuple[str, ...] = ()
    not_fires: tuple[str, ...] = ()
    paths: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class NearMiss:
    """One changed answer that must change the outcome."""

    because: str
    case: Case
    expect: Expectation
    place: tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class Scenario:
    """One wall with its expected outcome."""

    name: str
    case: Case
    expect: Expectation
    near_misses: tuple[NearMiss, ...]
    place: tuple[str, int, int]


@dataclass(frozen=True, slots=True)
class ScenarioOutcome:
    """What came out of one case, as far as scenarios speak of it."""

    verdict: str
    paths: Mapping[str, str]
    fired: Collection[str]

    def trace(self) -> str:
        """Verdict, paths and firings, for a failed scenario."""
        paths = ", ".join(f"{name} {status}" for name, status in self.paths.items())
        return f"verdict {self.verdict}; {paths}; fired: {', '.join(self.fired)}"


def outcome(triager: Triager, case: Case) -> ScenarioOutcome:
    """Run one case of a scenario."""
    result = triager.evaluate(case, WALL)
    return ScenarioOutcome(
        result.verdict,
        {name: state.status for name, state in result.paths.items()},
        tuple(firing.rule for firing in result.firings),
    )


def failures(triager: Triager, scenario: Scenario) -> list[Problem]:
    """How a scenario and its near misses differ from what they expect."""
    return failures_by(lambda case: outcome(triager, case), scenario)


def failures_by(come_out: Callable[[Case], ScenarioOutcome], scenario: Scenario) -> list[Problem]:
    """The same with another way to work out what comes out of a case."""
    before = come_out(scenario.case)
    found = list(_differences(before, scenario.expect, scenario.place, scenario.name))
    for miss in scenario.near_misses:
        after = come_out(miss.case)
        found += _differences(after, miss.expect, miss.place, miss.case.name)
        if not list(_differences(before, miss.expect, miss.place, miss.case.name)):
            what = f"'{miss.case.name}': all it expects holds without the change too"
            found.append(Problem(*miss.place, what, "expect what the change brings about"))
    return found


def _differences(
    got: ScenarioOutcome, expect: Expectation, place: tuple[str, int, int], name: str
) -> Iterator[Problem]:
    wrong = []
    if expect.verdict not in (None, got.verdict):
        wrong.append(f"verdict {got.verdict}, not {expect.verdict}")
    wrong += [f"{rule} does not fire" for rule in expect.fires if rule not in got.fired]
    wrong += [f"{rule} fires" for rule in expect.not_fires if rule in got.fired]
    wrong += [
        f"{path} is {got.paths[path]}, not {status}"
        for path, status in expect.paths.items()
        if got.paths[path] != status
    ]
    if wrong:
        yield Problem(*place, f"'{name}': {'; '.join(wrong)}", f"it gave: {got.trace()}")
