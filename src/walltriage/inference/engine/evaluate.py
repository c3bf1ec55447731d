"""One wall through the engine: what each kind of rule concludes when it fires.

The belief step is a rule like any other: it fires once all clues, base rates and
decisive signs have had their turn, works out each path's posterior, and declares path
status and measures, on which gates, verdict, cautions and referral chain further.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from walltriage.case.model import Answer
from walltriage.inference.belief.signs import settled_paths, sign_looks
from walltriage.inference.belief.tree import (
    Belief,
    Reported,
    from_db,
    interval,
    logit_db,
    middle,
)
from walltriage.inference.engine.compile import Engine, Firing, Known, answer_data, check_size
from walltriage.inference.engine.strata import Planned, plan
from walltriage.inference.finding import PathStatus, Verdict
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.schema import BaseRate, Clue, DerivedFact, VerdictRule


@dataclass(slots=True)
class PathState:
    """Working result for one path: prior and posterior intervals, weights by condition."""

    base_rate: BaseRate
    reports: list[Reported]
    weights: dict[str, float]
    low: float
    high: float
    signs: list[str]
    seen_against: bool
    status: PathStatus = "open"


@dataclass(slots=True)
class Evaluation:
    """Working result for one wall."""

    firings: list[Firing] = field(default_factory=list)
    paths: dict[str, PathState] = field(default_factory=dict)
    measures: dict[str, float] = field(default_factory=dict)
    verdict: Verdict = "cannot_tell"
    decided_by: str | None = None

    def fired(self, kind: str) -> list[Firing]:
        """The firings of one kind of rule, in order."""
        return [firing for firing in self.firings if firing.kind == kind]


class Evaluator:
    """A knowledge base ready to evaluate walls; build once, use for many."""

    def __init__(self, base: KnowledgeBase) -> None:
        self.base = base
        self.belief = Belief(base)
        planned = plan(base)
        check_size(planned)
        self._looks = sign_looks(base, planned)
        self._clues: dict[str, Clue] = {clue.id: clue for clue in base.clues()}
        self._readers = {
            clue.id: [p.id for p in base.paths.values() if clue.condition in p.conditions]
            for clue in self._clues.values()
        }
        self._engine = Engine(planned, dict(base.guards.thresholds), self._conclude)
        self._reset({})

    def _reset(self, answers: Mapping[str, Answer]) -> None:
        self._answers = answers
        self._reports: dict[str, list[Reported]] = {path: [] for path in self.base.paths}
        self._rates: dict[str, BaseRate] = {}
        self._signs: dict[str, list[str]] = {path: [] for path in self.base.paths}
        self._result = Evaluation()

    def evaluate(self, answers: Mapping[str, Answer]) -> Evaluation:
        """Run the engine on one wall's answers (house answers and computed ones included)."""
        self._reset(answers)
        result = self._result
        result.firings = self._engine.run(answer_data(answers))
        return result

    def believe(self, answers: Mapping[str, Answer], fired: Iterable[Planned]) -> Evaluation:
        """The belief step alone, for clues, base rates and signs known to have fired, in order."""
        self._reset(answers)
        for item in fired:
            self._conclude(item, ())
        list(self._believe())
        return self._result

    def applicable(self, evaluation: Evaluation) -> set[str]:
        """Ids of the questions that apply, asked or not."""
        fired = {firing.rule for firing in evaluation.fired("question")}
        return {
            name
            for name, question in self.base.questions.items()
            if question.entry.applies is None or name in fired
        }

    def reliability(self, question: str, answer: Answer) -> float:
        """Share of such reports that say what is there."""
        table = self.base.guards.reliability
        return table.kinds[self.base.questions[question].entry.kind] * table.sureness[answer.sure]

    def is_direct(self, clue: Clue) -> bool:
        """Whether the clue is a direct look at the path itself, with one's own eyes."""
        kind = self.base.questions[clue.question].entry.kind
        return clue.direct and kind in self.base.guards.seen_kinds

    def reported(self, clue: Clue, answer: Answer) -> Reported:
        """An answer as evidence on the clue's condition."""
        trust = self.reliability(clue.question, answer)
        return Reported(clue.id, clue.condition, answer.value, trust)

    def _conclude(self, item: Planned, matched: tuple[Known, ...]) -> Iterable[Known]:
        if item.kind == "belief":
            return self._believe()
        if item.kind == "clue":
            self._read_clue(self._clues[item.id])
            return ()
        if item.kind == "base_rate":
            assert isinstance(item.rule, BaseRate)
            self._rates[item.load_path] = item.rule
            return (Known("rate", item.load_path),)
        if item.kind == "sign":
            self._signs[item.load_path].append(item.id)
            return tuple(Known(family, name, item.load_path) for family, name in item.heads)
        if item.kind == "fact":
            assert isinstance(item.rule, DerivedFact)
            return tuple(Known("fact", n, v) for n, v in item.rule.concludes.items())
        if item.kind == "verdict":
            assert isinstance(item.rule, VerdictRule)
            if self._result.decided_by is None:
                self._result.verdict, self._result.decided_by = item.rule.concludes, item.id
            return (Known("verdict", item.rule.concludes),)
        return tuple(Known(family, name) for family, name in item.heads)

    def _read_clue(self, clue: Clue) -> None:
        answer = self._answers[clue.question]
        if answer.value:  # a measured value without bands carries no evidence
            for path in self._readers[clue.id]:
                self._reports[path].append(self.reported(clue, answer))

    def _believe(self) -> Iterable[Known]:
        thresholds = self.base.guards.thresholds
        fired = [sign for signs in self._signs.values() for sign in signs]
        settled = settled_paths(self._looks, fired, self._answers)
        states = {path: self._path_state(path, path in settled) for path in self.base.paths}
        self._result.paths = states
        for name, state in states.items():
            own = state.signs and not self.base.paths[name].entry.bears
            if own or state.low >= thresholds["path_established_at_least"]:
                state.status = "established"
            elif not state.signs and state.high <= thresholds["path_ruled_out_at_most"]:
                state.status = "ruled_out"
            yield Known("path", name, state.status)
            if state.seen_against:
                yield Known("seen_against", name)
        bearing = [s for n, s in states.items() if self.base.paths[n].entry.bears]
        low, high = interval((s.low for s in bearing), (s.high for s in bearing))
        self._result.measures = {
            "lower": low,
            "upper": high,
            "middle": middle((s.low, s.high) for s in bearing),
        }
        for name, number in self._result.measures.items():
            yield Known("measure", name, "", number)

    def _path_state(self, path: str, settled: bool) -> PathState:
        rate = self._rates[path]
        reports = self._reports[path]
        weights = self.belief.weights(path, reports)
        low, high = posterior(rate, sum(weights.values()))
        if settled or (self._signs[path] and not self.base.paths[path].entry.bears):
            least = self.base.guards.thresholds["decisive_sign_at_least"]
            low, high = max(low, least), max(high, least)
        seen_against = any(
            self.is_direct(self._clues[r.clue])
            and self.belief.tables[path][r.condition].weight([r]) < 0
            for r in reports
        )
        return PathState(rate, reports, weights, low, high, self._signs[path], seen_against)


def posterior(rate: BaseRate, weight_db: float) -> tuple[float, float]:
    """Lowest and highest posterior from a base rate's interval and a weight of evidence."""
    low, high = (min(max(share / 100, 1e-6), 1 - 1e-6) for share in rate.in_100)
    return from_db(logit_db(low) + weight_db), from_db(logit_db(high) + weight_db)
