"""The same rules on the same walls by other means, to measure bulk evaluation against.

One engine case by case; and a C Rete engine given the compiled rules, which calls the
belief arithmetic when its turn comes.  The arithmetic is the plain Python one: for a
single wall it is quicker than the same in numpy.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from tests.inference.clips_oracle import ClipsOracle, _fact
from tests.inference.naive import belief_data
from walltriage.case.model import Answer
from walltriage.inference.engine.compile import answer_data, stage
from walltriage.inference.engine.evaluate import Evaluator
from walltriage.inference.engine.strata import BELIEF, plan

_FEEDS = ("clue", "base_rate", "sign")


class ClipsPeer(ClipsOracle):
    """The compiled rules in CLIPS, belief included: a whole verdict for one wall at a time."""

    def __init__(self, evaluator: Evaluator) -> None:
        super().__init__(evaluator)
        self._evaluator = evaluator
        self._feeding = [item for item in plan(evaluator.base) if item.kind in _FEEDS]
        self._answers: Mapping[str, Answer] = {}
        self._fired: Any = _Fired(self)

    def verdict(self, answers: Mapping[str, Answer], with_belief: bool = True) -> str:
        """The verdict of one wall, or "" when belief is left out."""
        self._answers = answers if with_belief else {}
        self._fired.clear()
        self._env.reset()
        for known in (
            stage(),
            *answer_data(answers),
        ):
            self._env.assert_string(_fact(known))
        self._fired.with_belief = with_belief
        self._env.run()
        for rule in self._evaluator.base.guards.verdicts:
            if rule.id in self._fired:
                return rule.concludes
        return "cannot_tell" if with_belief else ""

    def believe(self) -> None:
        """The belief step, called by the engine: what it finds is asserted as facts."""
        fired = [item for item in self._feeding if item.id in self._fired]
        result = self._evaluator.believe(self._answers, fired)
        for known in belief_data(self._evaluator, result):
            self._env.assert_string(_fact(known))


class _Fired(set[str]):
    """Rules as they fire; the belief rule sets off the belief step."""

    def __init__(self, peer: ClipsPeer) -> None:
        super().__init__()
        self.peer, self.with_belief = peer, True

    def add(self, name: str) -> None:
        super().add(name)
        if name == BELIEF and self.with_belief:
            self.peer.believe()
