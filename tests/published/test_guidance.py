"""What published sources say about single observations, and how the rules carry it.

``data/guidance.yaml`` holds 230 statements from codes, government pages, textbooks, engineers,
trade magazines and general pages: an observation, what the source lets one conclude from it,
and its word for how sure that is.  Each is entered through our own questions (``shown_by``)
with the rules that carry it (``carried_by``), or is left out with a reason.

Weights are in decibans (10 dB = 10 to 1), of the observation alone, said for certain, all else
unknown.  How far a rule may go on a source's word:

=============  =================================  ==============================================
source's word  for bearing, at most               against bearing, at most
=============  =================================  ==============================================
always         a decisive sign                    12 dB
usually        10 dB                              12 dB
often          7 dB                               7 dB
may            4 dB                               4 dB
=============  =================================  ==============================================

* A source that names two findings at once (which way the joists run, and that none rests) allows
  4 dB more against than it does for one of them.
* A decisive sign needs a source that says it always bears, or the text of a code.  Three answers
  go further by statics alone, which no source that was read states: an end seen on the wall
  (``stands_on``).  They are named below, and their signs cite common practice.
* Where several sources speak of one answer, the strongest that is not weak sets the limit; an
  answer that only weak sources speak of is held to its direction alone.
* "No information" leaves 1 dB at most, unless another source gives a hint on the same answer;
  and where the source says that the answer shows something else (``stands_for``: ducts show
  which way the joists run), it may weigh no more than that other answer.
* "Dangerous to conclude" must leave the verdict open and its path not ruled out; a single answer
  may weigh 7 dB either way where no other source gives it more.
* Where the situation carries the observation (``than``: a wall without it), the path must be the
  likelier, or less likely, of the two; the limit then counts from even odds.
* No observation alone, and no set of them that one source names, makes a wall likely
  non-bearing; what always bears keeps its path open even beside answers all against it.
* Where sources disagree, the rule that carries the answer says so in its ``limits``.

``python -m tests.published.test_guidance`` prints how many statements are mapped and left out.
"""

from __future__ import annotations

import math
import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from tests.conftest import RULES, read_yaml
from walltriage.inference.belief.tree import logit_db
from walltriage.inference.engine.evaluate import Evaluation
from walltriage.inference.triage import Triager
from walltriage.knowledge.load import load_knowledge
from walltriage.rule_testing.rule_cases import case_answers

DATA = Path(__file__).parent / "data" / "guidance.yaml"
STATEMENTS: dict[str, dict[str, Any]] = {
    entry["id"]: entry for entry in read_yaml(DATA)["statements"]
}
FOR, AGAINST = ("bears", "hint_bears"), ("does_not_bear", "hint_does_not_bear")
FOR_DB = {"always": math.inf, "usually": 10.0, "often": 7.0, "may": 4.0}
AGAINST_DB = {"always": 12.0, "usually": 12.0, "often": 7.0, "may": 4.0}
TWO_LOOKS_DB = 4.0  # what a source that names two findings together allows beyond one
SILENT_DB, DANGEROUS_DB, LEAST_DB, ROUNDING_DB = 1.0, 7.0, 0.05, 0.05
CODE_KEYS = re.compile(r"^(irc|ibc|ubc|cfr|osha|norton|stjohns|cleveland|lowerchi)")
DISAGREEMENT = re.compile(r"disagree|differ\b", re.IGNORECASE)
REASONS = (
    "a definition, nothing observed",
    "about every wall, not this one",
    "about looking safely",
    "about paid demolition",
    "about permits",
    "about shoring",
    "about what happens afterwards",
    "about who decides",
    "factory-built homes are referred",
    "how an engineer looks, nothing observed",
    "no question asks for it",
    "not asked, since it tells nothing",
    "weak source, contradicted",
)
# A wall with every answer against it: the program calls it likely non-bearing.
CLEAR_WALL: dict[str, Any] = {
    "house_kind": "detached",
    "walls_made_of": "wood_frame",
    "year_built": 1995,
    "levels_in_house": "one",
    "house_history": "none_of_these",
    "house_exposure": "none_of_these",
    "house_movement": "none_of_these",
    "wall_place": "inside",
    "above_wall": "only_attic",
    "wall_against_ridge": "across_ridge",
    "place_in_depth": "outer_third",
    "attic_frame": "trusses",
    "truss_plates": "plates",
    "attic_spot": "marked",
    "wall_thickness": "4 1/2 in",
    "wall_traced": "whole",
    "wall_top": "clear_all_along",
    "attic_round": "none_of_these",
    "truss_run": "along",
    "round_the_wall": "none_of_these",
    "wall_line": "stands_alone",
    "floor_under_wall": "runs_under",
    "board_over_plate": "runs_over",
}


class Shown(NamedTuple):
    """One set of answers that expresses a statement, as it is looked up on one path."""

    statement: str
    index: int
    path: str
    answers: Mapping[str, Any]
    than: Mapping[str, Any] | None
    stands_for: Mapping[str, Any] | None
    stands_on: str

    @property
    def key(self) -> tuple[str, str]:
        """Statements of one key speak of the same answers on the same path."""
        return self.path, repr(sorted(self.answers.items()))

    def __str__(self) -> str:
        return f"{self.statement}-{self.index}-{self.path}"


def shown() -> Iterator[Shown]:
    for name, entry in STATEMENTS.items():
        for index, way in enumerate(entry.get("shown_by", ())):
            own = entry["load_path"] if entry["load_path"] != "none" else "framing_above"
            for path in way.get("on", [own]):
                answers, than = way["answers"], way.get("than")
                stands_on = way.get("stands_on", "")
                yield Shown(name, index, path, answers, than, way.get("stands_for"), stands_on)


SHOWN = tuple(shown())
NAMES: dict[tuple[str, str], set[str]] = defaultdict(set)
for _case in SHOWN:
    NAMES[_case.key].add(_case.statement)
TRIED = tuple({repr(s.answers): s for s in SHOWN}.values())
MAPPED = tuple(name for name, entry in STATEMENTS.items() if "shown_by" in entry)
LEFT_OUT = tuple(name for name, entry in STATEMENTS.items() if "left_out" in entry)
DISAGREEING = tuple(name for name, entry in STATEMENTS.items() if "disagrees_with" in entry)


class Reader:
    """The shipped rules, each set of answers evaluated once."""

    def __init__(self, triager: Triager) -> None:
        self.triager = triager
        self.base = triager.base
        self.rules = {rule.id: (kind, rule) for kind, rule in self.base.rules()}
        self._evaluated = cache(self._evaluate)

    def _evaluate(self, key: tuple[tuple[str, Any], ...]) -> Evaluation:
        return self.triager.evaluator.evaluate(case_answers(self.base, dict(key)))

    def alone(self, answers: Mapping[str, Any]) -> Evaluation:
        return self._evaluated(tuple(sorted(answers.items())))

    def fired(self, answers: Mapping[str, Any]) -> set[str]:
        return {firing.rule for firing in self.alone(answers).firings}

    def weight(self, path: str, answers: Mapping[str, Any]) -> float:
        return self.alone(answers).paths[path].weight_db

    def signs(self, path: str, answers: Mapping[str, Any]) -> list[str]:
        return self.alone(answers).paths[path].signs

    def odds(self, path: str, answers: Mapping[str, Any]) -> tuple[float, float]:
        state = self.alone(answers).paths[path]
        return logit_db(state.low), logit_db(state.high)


@pytest.fixture(scope="session")
def reader(full: Triager) -> Reader:
    return Reader(full)


def speaking(case: Shown) -> list[dict[str, Any]]:
    """The statements on the same answers that set limits: those that are not weak."""
    return [STATEMENTS[n] for n in sorted(NAMES[case.key]) if not STATEMENTS[n].get("weak")]


def limit(case: Shown, says: tuple[str, ...], table: Mapping[str, float]) -> float:
    """How far the strongest source on these answers lets a rule go; none: nothing."""
    words = [entry["strength"] for entry in speaking(case) if entry["says"] in says]
    more = TWO_LOOKS_DB if table is AGAINST_DB and len(case.answers) > 1 and not case.than else 0.0
    return max((table[word] + more for word in words), default=0.0)


def shown_as(*says: str) -> list[Shown]:
    return [case for case in SHOWN if STATEMENTS[case.statement]["says"] in says]


# The file itself


def test_each_statement_is_mapped_or_left_out_with_a_reason():
    assert len(STATEMENTS) == 230
    assert not set(MAPPED) & set(LEFT_OUT)
    assert len(MAPPED) + len(LEFT_OUT) == len(STATEMENTS)
    reasons = {STATEMENTS[name]["left_out"] for name in LEFT_OUT}
    assert reasons <= set(REASONS), reasons - set(REASONS)


def test_each_statement_names_its_source_and_how_it_was_read():
    for name, entry in STATEMENTS.items():
        assert entry["observed"], name
        assert entry["source"]["title"], name
        assert entry["source"]["publisher"], name
        assert entry["source"]["year"] is None or 1700 < entry["source"]["year"] < 2100, name
        assert entry["provenance"].startswith(("seen", "memory")), name
        assert entry["says"] in (*FOR, *AGAINST, "no_information", "dangerous_to_conclude"), name
        assert entry["strength"] in (*FOR_DB, "never conclude"), name
        assert set(entry.get("disagrees_with", ())) <= set(STATEMENTS) - {name}, name
    assert "http" not in DATA.read_text(encoding="utf-8")


@pytest.mark.parametrize("name", LEFT_OUT)
def test_what_is_left_out_is_told_by_rules_or_contradicted_by_stronger_sources(name, reader):
    entry = STATEMENTS[name]
    missing = [rule for rule in entry.get("told_by", ()) if rule not in reader.rules]
    assert not missing
    against = entry.get("contradicted_by", ())
    assert bool(against) == (entry["left_out"] == "weak source, contradicted")
    if against:
        assert entry["weak"]
        assert set(against) <= set(entry["disagrees_with"])
        assert not any(STATEMENTS[other].get("weak") for other in against)


def test_every_path_weight_and_reason_is_exercised():
    """The tests below have something to test: each kind of statement and path occurs."""
    assert {STATEMENTS[case.statement]["says"] for case in SHOWN} == {
        *FOR,
        *AGAINST,
        "no_information",
        "dangerous_to_conclude",
    }
    assert {STATEMENTS[name]["left_out"] for name in LEFT_OUT} == set(REASONS)


# What carries a statement


@pytest.mark.parametrize("name", MAPPED)
def test_questions_answers_and_rules_exist(name, reader):
    """``case_answers`` refuses an unknown option; rules and paths are looked up."""
    for way in STATEMENTS[name]["shown_by"]:
        for answers in filter(None, (way["answers"], way.get("than"), way.get("stands_for"))):
            assert set(answers) <= set(reader.base.questions)
            case_answers(reader.base, answers)
        assert set(way.get("on", ())) <= set(reader.base.paths)
    missing = [rule for rule in STATEMENTS[name]["carried_by"] if rule not in reader.rules]
    assert not missing


@pytest.mark.parametrize("name", MAPPED)
def test_every_way_to_show_it_is_carried_and_every_rule_carries_it(name, reader):
    """Each set of answers fires a named rule, and each named rule fires on one of them."""
    named = set(STATEMENTS[name]["carried_by"])
    fired_by_way = []
    for way in STATEMENTS[name]["shown_by"]:
        fired = reader.fired(way["answers"]) | reader.fired(way.get("than") or way["answers"])
        fired_by_way.append(named & fired)
    if not named:  # asked for safety, and weighed by no rule
        assert STATEMENTS[name]["says"] == "no_information"
        return
    assert all(fired_by_way), "an answer that no named rule reads"
    idle = named - set().union(*fired_by_way)
    assert not idle, f"never fires on these answers: {sorted(idle)}"


@pytest.mark.parametrize("name", [name for name in DISAGREEING if name in MAPPED])
def test_where_sources_disagree_the_rule_says_so(name, reader):
    """For each set of answers, a rule that reads it names the disagreement in its limits."""
    silent = []
    for way in STATEMENTS[name]["shown_by"]:
        fired = reader.fired(way["answers"]) | reader.fired(way.get("than") or way["answers"])
        rules = [rule for rule in STATEMENTS[name]["carried_by"] if rule in fired]
        limits = " ".join(text for rule in rules for text in reader.rules[rule][1].limits)
        if not DISAGREEMENT.search(limits):
            silent += rules
    assert not silent, f"limits do not tell that sources disagree: {silent}"


@pytest.mark.parametrize(
    "name", [n for n in DISAGREEING if STATEMENTS[n].get("left_out", "").startswith("about ")]
)
def test_where_advice_disagrees_the_caution_says_so(name, reader):
    rules = STATEMENTS[name]["told_by"]
    limits = " ".join(text for rule in rules for text in reader.rules[rule][1].limits)
    assert DISAGREEMENT.search(limits), f"limits do not tell that sources disagree: {rules}"


# Which way an answer counts, and how far


@pytest.mark.parametrize("case", shown_as(*FOR), ids=str)
def test_what_speaks_for_bearing_counts_for_it(case, reader):
    if case.than is None:
        assert reader.weight(case.path, case.answers) > LEAST_DB
        return
    low, high = reader.odds(case.path, case.answers)
    than_low, than_high = reader.odds(case.path, case.than)
    assert low > than_low + LEAST_DB
    assert high > than_high - ROUNDING_DB


@pytest.mark.parametrize("case", shown_as(*AGAINST), ids=str)
def test_what_speaks_against_bearing_counts_against_it(case, reader):
    if case.than is None:
        assert reader.weight(case.path, case.answers) < -LEAST_DB
        return
    low, high = reader.odds(case.path, case.answers)
    than_low, than_high = reader.odds(case.path, case.than)
    assert high < than_high - LEAST_DB
    assert low < than_low + ROUNDING_DB


@pytest.mark.parametrize("case", [c for c in SHOWN if speaking(c)], ids=str)
def test_no_rule_goes_further_than_the_strongest_source(case, reader):
    """A limit is set where some source gives a direction; silence and danger come below."""
    says = {entry["says"] for entry in speaking(case)}
    if case.than is None:
        low = high = reader.weight(case.path, case.answers)
    else:
        low, high = reader.odds(case.path, case.answers)
    if says & set(AGAINST):
        most = limit(case, AGAINST, AGAINST_DB)
        down = low if case.than is None else high
        assert down >= -most - ROUNDING_DB, f"{down:+.1f} dB, and sources allow -{most:g} dB"
    if says & set(FOR):
        most = limit(case, FOR, FOR_DB)
        signs = reader.signs(case.path, case.answers)
        if signs:
            # Not on the sources' word: an end that stands on the wall, named in BY_STATICS.
            by_statics = case.stands_on != ""
            assert math.isinf(most) or by_statics or any(cites_code(reader, s) for s in signs), (
                f"decisive sign {signs}, and sources allow {most:g} dB"
            )
        else:
            assert high <= most + ROUNDING_DB, f"{high:+.1f} dB, and sources allow {most:g} dB"


# What ends on a support rests on it: common practice, no source.  A truss that stops on the wall
# and touches it, the end of an attic beam, studs that come down through the floor.  Whatever
# else is to be decisive needs a source or a code.
BY_STATICS = {
    ("truss_ends_inside", 1): "trusses_end_on_wall",
    ("brace_on_attic_beam", 0): "attic_beam_ends_on_wall",
    ("old_studs_pass_floor", 0): "upper_studs_on_wall",
}


def test_only_ends_seen_on_the_wall_are_decisive_by_statics_alone(reader):
    """Each fires that one sign only, which owns up to common practice; no clue is let further."""
    cases = {(case.statement, case.index): case for case in SHOWN if case.stands_on}
    assert cases.keys() == BY_STATICS.keys()
    for key, sign in BY_STATICS.items():
        assert cases[key].stands_on.startswith("statics: ")
        assert reader.signs(cases[key].path, cases[key].answers) == [sign]
        assert "common practice" in reader.rules[sign][1].source


def cites_code(reader: Reader, rule: str) -> bool:
    sources = reader.rules[rule][1].source
    listed = [sources] if isinstance(sources, str) else sources
    return any(CODE_KEYS.match(source) for source in listed)


@pytest.mark.parametrize("case", shown_as("no_information"), ids=str)
def test_what_tells_nothing_weighs_next_to_nothing(case, reader):
    weight = reader.weight(case.path, case.answers)
    assert reader.alone(case.answers).verdict == "cannot_tell"
    if case.stands_for:
        other = reader.weight(case.path, case.stands_for)
        assert weight * other > 0
        assert abs(weight) <= abs(other) + ROUNDING_DB
        return
    up = max(SILENT_DB, limit(case, FOR, FOR_DB))
    down = max(SILENT_DB, limit(case, AGAINST, AGAINST_DB))
    assert -down - ROUNDING_DB <= weight <= up + ROUNDING_DB, f"{weight:+.1f} dB"


@pytest.mark.parametrize("case", shown_as("dangerous_to_conclude"), ids=str)
def test_what_is_dangerous_to_conclude_from_decides_nothing(case, reader):
    result = reader.alone(case.answers)
    assert result.paths[case.path].status != "ruled_out"
    may_decide = STATEMENTS[case.statement].get("may_decide", "")
    if may_decide:
        assert may_decide.startswith("bears: ")
        assert result.verdict != "likely_non_bearing"
    else:
        assert result.verdict == "cannot_tell"
        if len(case.answers) > 1:
            return
        weight = reader.weight(case.path, case.answers)
        up = max(DANGEROUS_DB, limit(case, FOR, FOR_DB))
        down = max(DANGEROUS_DB, limit(case, AGAINST, AGAINST_DB))
        assert -down - ROUNDING_DB <= weight <= up + ROUNDING_DB, f"{weight:+.1f} dB"


# What may never happen


@pytest.mark.parametrize("case", TRIED, ids=str)
def test_no_observation_alone_makes_a_wall_non_bearing(case, reader):
    assert reader.alone(case.answers).verdict != "likely_non_bearing"


def test_the_clear_wall_is_likely_non_bearing(reader):
    """So that the test after this one has something to overturn."""
    assert reader.alone(CLEAR_WALL).verdict == "likely_non_bearing"


ALWAYS = [
    case
    for case in shown_as("bears")
    if STATEMENTS[case.statement]["strength"] == "always"
    and not STATEMENTS[case.statement].get("weak")
]


@pytest.mark.parametrize("case", ALWAYS, ids=str)
def test_what_always_bears_is_never_ruled_out(case, reader):
    """Neither by itself nor beside answers that are all against it."""
    assert reader.alone(case.answers).paths[case.path].status != "ruled_out"
    beside = reader.alone({**CLEAR_WALL, **case.answers})
    assert beside.verdict != "likely_non_bearing"
    assert beside.paths[case.path].status != "ruled_out"


# What there is


def summary() -> str:
    """How many statements are mapped, by what they say, and left out, by reason."""
    said = Counter(STATEMENTS[name]["says"] for name in MAPPED)
    reasons: dict[str, list[str]] = defaultdict(list)
    for name in LEFT_OUT:
        reasons[STATEMENTS[name]["left_out"]].append(name)
    lines = [f"{len(STATEMENTS)} statements: {len(MAPPED)} mapped, {len(LEFT_OUT)} left out"]
    lines += [f"  {count:3} {word}" for word, count in said.most_common()]
    lines += ["left out:"]
    for reason, names in sorted(reasons.items()):
        lines.append(f"  {len(names):3} {reason}: {', '.join(names)}")
    return "\n".join(lines)


def test_the_summary_counts_every_statement_once():
    counts = [int(n) for n in re.findall(r"^ +(\d+) ", summary(), re.MULTILINE)]
    assert sum(counts) == len(STATEMENTS)


if __name__ == "__main__":
    print(summary())
    print(f"rules: {len(list(load_knowledge(RULES).rules()))}")
