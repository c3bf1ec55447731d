"""Checks that the pieces fit each other: ids that exist, tables that are whole."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from walltriage.errors import Problem, QuantityError, did_you_mean
from walltriage.knowledge.base import AskedQuestion, KnowledgeBase
from walltriage.knowledge.leaf_references import leaf_problem
from walltriage.knowledge.path_references import path_problems
from walltriage.knowledge.relation_references import relation_problems
from walltriage.knowledge.schema import UNPUBLISHED
from walltriage.knowledge.shorthand import FILE_NAME, HOUSE
from walltriage.knowledge.terms import NO_ANSWER, TermError, branches
from walltriage.knowledge.unknown import answers_at, unknown, unknown_at
from walltriage.yamltree import KeyPath, Tree

NEEDED_THRESHOLDS = (
    "non_bearing_at_most",
    "bearing_at_least",
    "path_ruled_out_at_most",
    "path_established_at_least",
    "decisive_sign_at_least",
    "told_sign_at_least",
    "confirmed_sign_at_least",
    "contrary_answer_at_least",
)
_SURENESS = ("confirmed", "certain", "fairly", "guess")
_TERM_KEYS = ("when", "applies")


def check(base: KnowledgeBase, trees: list[Tree]) -> list[Problem]:
    """Every broken reference and every table that does not add up, with its place."""
    problems: list[Problem] = []
    houses: Mapping[str, Any] = next((t.data for t in trees if t.path.endswith(FILE_NAME)), {})
    for tree in trees:
        for where in list(tree.places):
            if where and where[-1] in _TERM_KEYS:
                problems += _term_problems(base, tree, where)
            elif where and where[-1] == "source" and len(where) > 1:
                problems += _source_problems(base, tree, where)
            elif len(where) > 2 and where[-2] in ("fires", "quiet"):
                problems += _case_problems(base, tree, where, houses)
    for tree in trees:
        if isinstance(tree.data, dict) and ("path" in tree.data or "adds_to" in tree.data):
            problems += path_problems(base, tree)
        elif isinstance(tree.data, dict) and "questions" in tree.data:
            problems += _question_problems(base, tree)
        elif isinstance(tree.data, dict) and "contradictions" in tree.data:
            problems += _contradiction_problems(base, tree)
        elif isinstance(tree.data, dict) and "thresholds" in tree.data:
            problems += _guard_problems(base, tree)
        elif isinstance(tree.data, dict) and "asked_for_numbers" in tree.data:
            problems += _measure_problems(base, tree)
        elif isinstance(tree.data, dict) and "barred_by" in tree.data:
            problems += _leaning_problems(base, tree)
        elif isinstance(tree.data, dict) and "sureness" in tree.data:
            problems += relation_problems(base, tree)
    return problems


def _term_problems(base: KnowledgeBase, tree: Tree, where: KeyPath) -> Iterator[Problem]:
    try:
        for leaf in dict.fromkeys(leaf for b in branches(tree.at(where)) for leaf in b):
            message = leaf_problem(base, leaf)
            if message:
                yield tree.problem(where, *message)
    except TermError as error:
        yield tree.problem((*where, *error.where), error.what, error.expected)


def _leaning_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    bars = [rule.id for rule in (*base.guards.gates, *base.cautions.referrals)]
    for index, name in enumerate(tree.at(("barred_by",))):
        yield from unknown_at(tree, ("barred_by", index), "gate or referral", name, bars)


def _source_problems(base: KnowledgeBase, tree: Tree, where: KeyPath) -> Iterator[Problem]:
    cited = tree.at(where)
    for source in [cited] if isinstance(cited, str) else cited:
        key = source.partition(":")[0].strip()
        if key not in base.sources and source not in UNPUBLISHED:
            near = did_you_mean(key, base.sources)
            yield tree.problem(
                where, f"unknown source '{key}'{near}",
                "expected 'key: clause' with a key of sources.yaml, or "
                + " or ".join(f"'{word}'" for word in UNPUBLISHED),
            )  # fmt: skip


def _case_problems(
    base: KnowledgeBase, tree: Tree, where: KeyPath, houses: Mapping[str, Any]
) -> Iterator[Problem]:
    for name, value in tree.at(where).items():
        if name == HOUSE:
            if value not in houses:
                near = did_you_mean(str(value), houses)
                what, expected = f"unknown house '{value}'{near}", f"expected a name in {FILE_NAME}"
                yield tree.problem((*where, name), what, expected)
            continue
        message = unknown("question", name, base.questions)
        if message:
            yield tree.problem((*where, name), *message)
            continue
        question = base.questions[name]
        if isinstance(value, dict):  # an answer with its sureness, as in a case file
            value = value.get("value")
        if question.entry.answer == "choice" or value in NO_ANSWER:
            accepted = (*question.values, *NO_ANSWER)
            if value not in accepted:
                what = f"'{value}' is not an answer to '{name}'{did_you_mean(str(value), accepted)}"
                yield tree.problem((*where, name), what, f"expected one of {', '.join(accepted)}")
        elif question.entry.answer != "text":
            try:
                question.number(value)
            except (QuantityError, ValueError, TypeError) as error:
                yield tree.problem((*where, name), str(error), "expected a measured value")


def _question_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    for index, raw in enumerate(tree.data["questions"]):
        where: KeyPath = ("questions", index)
        entry = base.questions[raw["id"]].entry
        if entry.answer == "choice" and len(entry.options) < 2:
            yield tree.problem(where, f"'{entry.id}' needs at least two options")
        if entry.answer != "choice" and entry.options:
            yield tree.problem((*where, "options"), f"'{entry.id}' is not a choice", "drop these")
        if entry.years and entry.answer != "number":
            yield tree.problem((*where, "years"), f"'{entry.id}' is not a number", "drop 'years'")
        if entry.answer in ("length", "number"):
            yield from _scale_problems(base.questions[entry.id], tree, where)
        names = base.questions[entry.id].values
        for double in sorted({name for name in names if names.count(name) > 1}):
            yield tree.problem(where, f"duplicate answer '{double}' in '{entry.id}'")
        for reserved in set(names) & set(NO_ANSWER):
            yield tree.problem(where, f"'{reserved}' is always accepted", "drop this option")
        yield from _simulated_problems(base.questions[entry.id], tree, (*where, "simulated"))
        yield from _opens_problems(base, base.questions[entry.id], tree, (*where, "opens"))


def _opens_problems(
    base: KnowledgeBase, question: AskedQuestion, tree: Tree, where: KeyPath
) -> Iterator[Problem]:
    for value, opened in question.entry.opens.items():
        yield from answers_at(tree, (*where, value), base.questions, question.id, [value])
        for index, name in enumerate(opened):
            yield from unknown_at(tree, (*where, value, index), "question", name, base.questions)


def _simulated_problems(question: AskedQuestion, tree: Tree, where: KeyPath) -> Iterator[Problem]:
    simulated = question.entry.simulated
    if simulated is None:
        return
    if question.entry.answer != "choice" or question.entry.kind == "computed":
        what = f"'{question.id}' is not a choice that somebody is asked"
        yield tree.problem(where, what, "drop 'simulated'")
        return
    for side in ("bearing", "not_bearing"):
        row = getattr(simulated, side)
        for name in row:
            yield from unknown_at(
                tree, (*where, side, name), f"answer of {question.id}", name, question.values
            )
        if sum(row.values()) > 100 + 1e-6:
            what = f"the row adds up to {sum(row.values()):g}"
            yield tree.problem((*where, side), what, "expected 100 or less")


def _scale_problems(question: AskedQuestion, tree: Tree, where: KeyPath) -> Iterator[Problem]:
    entry = question.entry
    if entry.least is None or entry.most is None:
        yield tree.problem(where, f"'{entry.id}' lacks least or most", "expected the usable range")
        return
    try:
        marks = [question.number(entry.least)]
        marks += [question.number(band.under) for band in entry.bands if band.under is not None]
        marks.append(question.number(entry.most))
    except (QuantityError, ValueError) as error:
        yield tree.problem(where, str(error), "expected marks in one unit")
        return
    if marks != sorted(set(marks)):
        yield tree.problem(where, f"the scale of '{entry.id}' does not rise", "least < ... < most")
    open_bands = [band.id for band in entry.bands if band.under is None]
    if entry.bands and open_bands != [entry.bands[-1].id]:
        yield tree.problem((*where, "bands"), "the last band alone stands without 'under'")


def _looks_taken_twice(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    for name in base.guards.twice_before_non_bearing:
        where = ("twice_before_non_bearing", name)
        yield from unknown_at(tree, where, "question", name, base.questions)
        question = base.questions.get(name)
        if question is not None and question.entry.kind not in base.guards.seen_kinds:
            yield tree.problem(
                where, f"'{name}' is not answered by looking",
                f"expected a question of kind {', '.join(base.guards.seen_kinds)}",
            )  # fmt: skip


def _guard_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    for index, name in enumerate(base.guards.sought_before_non_bearing):
        yield from unknown_at(
            tree, ("sought_before_non_bearing", index), "question", name, base.questions
        )
    yield from _looks_taken_twice(base, tree)
    for index, together in enumerate(base.guards.told_together):
        for key, told in (("after", together.after), ("looks", together.looks)):
            for name, options in told.items():
                place = ("told_together", index, key, name)
                yield from answers_at(tree, place, base.questions, name, options)
    kinds = {question.entry.kind for question in base.questions.values()}
    for where, needed, present in (
        (("thresholds",), NEEDED_THRESHOLDS, base.guards.thresholds),
        (("reliability", "kinds"), sorted(kinds), base.guards.reliability.kinds),
        (("reliability", "checked"), sorted(kinds), base.guards.reliability.checked),
        (("reliability", "sureness"), _SURENESS, base.guards.reliability.sureness),
    ):
        for name in needed:
            if name not in present:
                yield tree.problem(where, f"missing key '{name}'", "expected it beside the others")


def _contradiction_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    for index, rule in enumerate(base.contradictions):
        for name in rule.questions:
            yield from unknown_at(
                tree, ("contradictions", index, "questions"), "question", name, base.questions
            )


def _measure_problems(base: KnowledgeBase, tree: Tree) -> Iterator[Problem]:
    measures = base.measures
    named: list[tuple[KeyPath, str]] = [
        (("asked_for_numbers", index), name)
        for index, name in enumerate(measures.asked_for_numbers)
    ]
    named += [
        (("asked_with_a_tape", index), name)
        for index, name in enumerate(measures.asked_with_a_tape)
    ]
    named += [
        (("narrowed_by", about, index), name)
        for about, names in measures.narrowed_by.items()
        for index, name in enumerate(names)
    ]
    for key in ("span_need", "span_ratio"):
        if getattr(measures, key) is not None:
            named.append(((key,), getattr(measures, key)))
    for name, readings in measures.inputs.items():
        for index, reading in enumerate(readings):
            where: KeyPath = ("inputs", name, index)
            named += [((*where, "question"), reading.question)]
            named += [((*where, "only_with"), question) for question in reading.only_with]
            if reading.question in base.questions:
                known = base.questions[reading.question].values
                for value in reading.means or ():
                    yield from unknown_at(
                        tree,
                        (*where, "means", value),
                        f"answer of {reading.question}",
                        value,
                        known,
                    )
    for path, reports in measures.reports.items():
        yield from unknown_at(tree, ("reports", path), "load path", path, base.paths)
        for index, report in enumerate(reports):
            at: KeyPath = ("reports", path, index)
            named.append(((*at, "question"), report.question))
            if report.question in base.questions:
                known = base.questions[report.question].values
                for number, value in enumerate(report.answers):
                    yield from unknown_at(
                        tree, (*at, "answers", number), f"answer of {report.question}", value, known
                    )
    for where, name in named:
        yield from unknown_at(tree, where, "question", name, base.questions)
