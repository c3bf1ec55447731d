"""The one to three checks that would decide a wall that cannot be told yet."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from walltriage.case.model import Answer
from walltriage.inference.belief.signs import OPENED
from walltriage.inference.belief.speaking import is_direct
from walltriage.inference.engine.evaluate import Evaluation, Evaluator
from walltriage.inference.engine.strata import GUESSED_SIGN
from walltriage.inference.finding import NextCheck
from walltriage.inference.looks.opening_plan import forbidden_places
from walltriage.inference.looks.policy import looking_costs
from walltriage.inference.looks.trial import Change, Trial, Tried
from walltriage.inference.looks.worth import Worth
from walltriage.knowledge.terms import placed_leaves

MOST_CHECKS = 3
MOST_AGAIN = 2  # looks at what clashes or hangs on a last gate, lest they crowd out the rest
NEARLY_AS_GOOD = 0.75  # of the best for its effort: enough for what other looks hang on


def deciding_checks(
    evaluator: Evaluator,
    trial: Trial,
    walls: Sequence[tuple[Evaluation, Mapping[str, Answer]]],
) -> list[tuple[NextCheck, ...]]:
    """What to go and see of each wall, most useful first, by its evaluation and all answers that
    count; nothing once a verdict is reached.  Answers are tried on all walls together.

    First looks that tell only together, where an answer calls for them.  Then what was only
    guessed and would show weight on the wall, or stands where a look is asked for, answers that
    cannot all be true, and what would lift the last gates, where only they are left; then a close
    look at the way in which the wall is likeliest to bear, the best for its effort and its walk;
    always among them the look that is expected to change most; then the opening that could show
    that way.
    Questions answered "don't know" or "can't get there" count as open: the list says what
    somebody would have to go and see.  Nobody is sent where a caution forbids it.
    """
    found: list[tuple[NextCheck, ...]] = [()] * len(walls)
    untold = [at for at, (result, _) in enumerate(walls) if result.verdict == "cannot_tell"]
    tried = []
    for result, answers in (walls[at] for at in untold):
        questions = open_checks(evaluator, trial.worth, result, answers)
        tried.append(Tried(answers, result.beliefs, questions))
    for at, wall, changes in zip(untold, tried, trial.changes(tried), strict=True):
        found[at] = _checks(evaluator, trial.worth, walls[at][0], wall, changes)
    return found


def _checks(
    evaluator: Evaluator, worth: Worth, result: Evaluation, wall: Tried,
    changes: Mapping[str, Change],
) -> tuple[NextCheck, ...]:  # fmt: skip
    """The checks that would decide one wall."""
    answers, open_questions = wall.answers, wall.questions
    applicable = evaluator.applicable(result)
    told = sorted(open_questions, key=lambda name: -changes[name].decibans)
    cost = {name: looking_costs(worth.base.questions[name]) for name in open_questions}
    per_effort = {name: changes[name].decibans / cost[name] for name in told}
    for_effort = sorted(told, key=lambda name: -per_effort[name])
    kept_from = _kept_from(worth, result)
    again = [
        name
        for name in _look_again(worth, result, answers)
        if name in applicable and worth.base.questions[name].place not in kept_from
    ]
    first = dict.fromkeys([*again, *_lifting(worth, result, answers, for_effort)])
    together = [name for name in _together(worth, answers) if name in open_questions]
    names = dict.fromkeys(
        [
            *together[: MOST_CHECKS - 1],
            *(told[:1] if together else ()),
            *list(first)[:MOST_AGAIN],
            *(told[:1] if len(first) >= MOST_AGAIN else ()),  # there is room for one more
            *_close_look(worth, result, for_effort)[:1],
            *told[:1],
            *_close_look(worth, result, told),
            *_asked_first(worth, per_effort, for_effort),
            *first,
            *(name for name in told if worth.uses[name].paths),
        ]
    )
    checks = []
    for name in list(names)[:MOST_CHECKS]:
        entry = evaluator.base.questions[name].entry
        paths = sorted(worth.uses[name].paths)
        checks.append(NextCheck(name, entry.effort, entry.why, entry.ask, entry.look, tuple(paths)))
    return tuple(checks)


def open_checks(
    evaluator: Evaluator, worth: Worth, result: Evaluation, answers: Mapping[str, Answer]
) -> list[str]:
    """The questions that somebody could go and answer, where no caution forbids it, and to which
    nothing was seen or known."""
    kept_from = _kept_from(worth, result)
    return [
        name
        for name in sorted(evaluator.applicable(result))
        if _is_check(worth, name)
        and worth.base.questions[name].place not in kept_from
        and not (name in answers and answers[name].is_real)
    ]


def _asked_first(
    worth: Worth, per_effort: Mapping[str, float], for_effort: Sequence[str]
) -> list[str]:
    """The best question for its effort, or one nearly as good that is asked of every wall first:
    what else there is to look at hangs on it."""
    enough = NEARLY_AS_GOOD * per_effort[for_effort[0]] if for_effort else 0.0
    basic = (q for q in for_effort if worth.base.questions[q].entry.first)
    return [*(q for q in basic if per_effort[q] >= enough), *for_effort][:1]


def _kept_from(worth: Worth, result: Evaluation) -> frozenset[str]:
    """The places where a caution forbids to look."""
    return forbidden_places(worth.base, (told.rule for told in result.fired("caution")))


def _is_check(worth: Worth, name: str) -> bool:
    """Whether somebody can go and find it out; hearsay about the wall is no check."""
    question = worth.base.questions[name]
    hearsay = question.scope == "wall" and question.entry.kind == "recalled"
    return question.entry.kind != "computed" and not hearsay


def _together(worth: Worth, answers: Mapping[str, Answer]) -> Iterator[str]:
    """Looks that tell only together, each by itself of little weight, where they can still tell."""
    for rule in worth.base.guards.told_together:
        called_for = any(_told(answers, name, words) for name, words in rule.after.items())
        taken = [name for name in rule.looks if name in answers and answers[name].is_real]
        if called_for and all(_told(answers, name, rule.looks[name]) for name in taken):
            yield from rule.looks


def _told(answers: Mapping[str, Answer], name: str, words: Iterable[str]) -> bool:
    return name in answers and answers[name].value in words


def _look_again(worth: Worth, result: Evaluation, answers: Mapping[str, Answer]) -> Iterator[str]:
    """The guesses that keep a decisive sign from counting, those that stand where a look is asked
    for, and the answers that clash."""
    for firing in result.fired(GUESSED_SIGN):
        for known in firing.matched:
            if known.family == "answer" and answers[known.name].sure == "guess":
                yield known.name
    looks = _looks_wanted(worth, result)
    yield from (name for name, told in answers.items() if name in looks and told.sure == "guess")
    met = {firing.rule for firing in result.fired("contradiction")}
    for rule in worth.base.contradictions:
        if rule.id in met:
            yield from (q for q in rule.questions if q in answers and _is_check(worth, q))


def _lifting(
    worth: Worth, result: Evaluation, answers: Mapping[str, Answer], by_score: Iterable[str]
) -> list[str]:
    """Where chances are low enough for "non-bearing": what the gates in its way ask for.

    First what was looked at and keeps a gate up by what was found: it wants a better look.  Then
    the least effort first.
    """
    base = worth.base
    if result.measures["upper"] > base.guards.thresholds["non_bearing_at_most"]:
        return []
    gates = {gate.id: gate for gate in base.guards.gates}
    fired = {firing.rule for firing in result.fired("gate")}
    looks = _looks_wanted(worth, result)
    asked = [name for name in by_score if name in looks or worth.uses[name].other & fired]
    # What weighs more no longer matters here, and what is opened has to be mended.
    open_ones = sorted(asked, key=lambda name: looking_costs(base.questions[name]))
    again = [
        leaf.name
        for name in sorted(fired)
        for where, leaf in placed_leaves(gates[name].when)
        if leaf.family == "answer" and "not" in where and leaf.name in answers
        if answers[leaf.name].is_real and _is_check(worth, leaf.name)
        if not _easier(worth, leaf.name, (q for q in open_ones if name in worth.uses[q].other))
    ]
    return [*again, *open_ones]


def _looks_wanted(worth: Worth, result: Evaluation) -> set[str]:
    """The looks at the paths of which a gate says that nobody has seen anything against them."""
    gates = {gate.id: gate for gate in worth.base.guards.gates}
    tests = (leaf for f in result.fired("gate") for _, leaf in placed_leaves(gates[f.rule].when))
    unseen = {leaf.name for leaf in tests if leaf.family == "seen_against"}
    return {
        clue.question
        for path in unseen
        for clues in worth.base.paths[path].clues.values()
        for clue in clues
        if is_direct(worth.base, clue)
    }


def _easier(worth: Worth, told: str, others: Iterable[str]) -> bool:
    """Whether some other question costs no more than to look again at what was told."""
    effort = {name: question.entry.effort for name, question in worth.base.questions.items()}
    return any(effort[other] <= effort[told] for other in others)


def _close_look(worth: Worth, result: Evaluation, by_score: Iterable[str]) -> list[str]:
    """The best look that could show the likeliest way to bear, or clear it, and the best into an
    opening: what is seen there settles."""
    base = worth.base
    paths = {
        name: state.high
        for name, state in result.paths.items()
        if base.paths[name].entry.bears and state.status == "open"
    }
    if not paths:
        return []
    path = max(paths, key=lambda name: paths[name])
    seen = base.guards.seen_kinds
    looks = [
        name
        for name in by_score
        if base.questions[name].entry.kind in seen
        and path in worth.uses[name].clue_paths & worth.uses[name].sign_paths
    ]
    opened = [name for name in looks if base.questions[name].place == OPENED]
    return [*looks[:1], *opened[:1]]
