"""Where numbers come from, and when not to trust them."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from walltriage.errors import Problem
from walltriage.knowledge.base import KnowledgeBase
from walltriage.knowledge.lints.model import at, lint
from walltriage.knowledge.lints.use import all_sources, cited
from walltriage.knowledge.schema import UNPUBLISHED, BaseRate, BeliefRule

_MEASURE = re.compile(
    r"\d+(?:[.,/]\d+)*\s*-?\s*(?:ft|feet|foot|inch(?:es)?|in(?=[.,;)]|$)|psf|plf|psi|lbs?|pounds?|mm|cm|"
    r"degrees?|percent|gauge|stor(?:e?y|ies))\b|\d+\s*%|\bR\d{3}",
    re.IGNORECASE,
)
_NO_LIMIT = re.compile(
    r"^(none( known)?|n/?a|no limits?|nothing|-+|unknown|tbd)\.?$", re.IGNORECASE
)
_BETTER_KINDS = [
    *((worse, better) for worse in ("recalled", "judged") for better in ("seen", "measured")),
    ("computed", "seen"),
]
_BETTER_SURENESS = (("certain", "confirmed"), ("fairly", "certain"), ("guess", "fairly"))
# Share of a kind's error that stays, at the least, once a photo was checked; judgment.
LEFT_WHEN_CHECKED = 0.4
LEAST_HIGH_IN_100 = 0.01  # the high end of a base rate: one house in 10,000


@lint("error", "tell it under 'threshold_notes'")
def threshold_note(base: KnowledgeBase) -> Iterator[Problem]:
    """Thresholds that nobody says where they come from, and notes on no threshold."""
    guards = base.guards
    first = guards.gates[0].id if guards.gates else guards.verdicts[0].id
    tree = base.anchors[first][0]
    for name in guards.thresholds:
        if name not in guards.threshold_notes:
            where = ("thresholds", name)
            yield tree.problem(where, f"nothing tells where the threshold '{name}' comes from")
    for name in guards.threshold_notes:
        if name not in guards.thresholds:
            yield tree.problem(("threshold_notes", name), f"a note on no threshold, '{name}'")


@lint("error", "trust what was seen or measured, and who is certain, at least as much")
def trust_order(base: KnowledgeBase) -> Iterator[Problem]:
    """Reports that are trusted more than better ones."""
    table = base.guards.reliability
    tree = base.anchors[base.guards.verdicts[0].id][0]
    groups: tuple[tuple[str, Mapping[Any, float], Iterable[tuple[str, str]]], ...] = (
        ("kinds", table.kinds, _BETTER_KINDS),
        ("sureness", table.sureness, _BETTER_SURENESS),
    )
    for group, trust, pairs in groups:
        for worse, better in pairs:
            if trust.get(worse, 0.0) > trust.get(better, 1.0):
                where = ("reliability", group, worse)
                yield tree.problem(where, f"'{worse}' is trusted more than '{better}'")
    for kind, share in table.checked.items():
        if share < table.kinds.get(kind, 0.0):
            where = ("reliability", "checked", kind)
            yield tree.problem(where, f"'{kind}' is trusted less when checked than unchecked")
        # a photo shows what stood before the camera, and no more of the top than was in sight
        most = 1 - LEFT_WHEN_CHECKED * (1 - table.kinds.get(kind, 0.0))
        if share > most:
            where = ("reliability", "checked", kind)
            yield tree.problem(
                where, f"'{kind}' is trusted too far when checked; expected {most:.3f} at most"
            )


@lint("warning", "lower it, or let the paths alone decide")
def idle_threshold(base: KnowledgeBase) -> Iterator[Problem]:
    """A mark for the whole wall that the marks of its paths already keep."""
    marks = base.guards.thresholds
    paths = sum(path.entry.bears for path in base.paths.values())
    whole, each = marks["non_bearing_at_most"], marks["path_ruled_out_at_most"]
    if whole > paths * each:
        tree = base.anchors[base.guards.verdicts[0].id][0]
        where = ("thresholds", "non_bearing_at_most")
        yield tree.problem(
            where, f"{paths} paths of at most {each:g} each never add up to {whole:g}"
        )


@lint("error", "nobody has counted so many houses: raise the high end")
def too_rare(base: KnowledgeBase) -> Iterator[Problem]:
    """Base rates whose high end is rarer than anybody could have counted."""
    for _, rate in base.base_rates():
        if rate.in_100[1] < LEAST_HIGH_IN_100:
            what = f"'{rate.id}' says fewer than 1 in 10,000"
            yield at(base, what, rate.id, "in_100")


@lint("warning", "cite where the measure stands, or say it without a number")
def uncited_number(base: KnowledgeBase) -> Iterator[Problem]:
    """Rules whose words give a measure though they cite no publication."""
    for _, rule in base.rules():
        found = _MEASURE.search(rule.says)
        published = [key for key, _ in cited(rule.source) if key not in UNPUBLISHED]
        if not isinstance(rule, BaseRate) and found and not published:
            what = f"'{rule.id}' gives a measure ({found[0].strip()}) and cites no publication"
            yield at(base, what, rule.id, "source")


@lint("warning", "write 'key: section, table or page'")
def source_without_clause(base: KnowledgeBase) -> Iterator[Problem]:
    """Publications cited without the place in them."""
    for name, sources in dict(all_sources(base)).items():
        for key, clause in cited(sources):
            if key not in UNPUBLISHED and not clause:
                yield at(base, f"'{name}' cites '{key}' without a clause", name, "source")


@lint("error", "tell in which house it would be wrong: every sign has one")
def missing_limits(base: KnowledgeBase) -> Iterator[Problem]:
    """Clues, signs, base rates and conditions that name no house in which they mislead."""
    entries = [(rule.id, rule.limits) for _, rule in base.rules() if isinstance(rule, BeliefRule)]
    entries += [(c.id, c.limits) for p in base.paths.values() for c in p.entry.conditions]
    for name, limits in entries:
        if all(_NO_LIMIT.match(limit) for limit in limits):
            yield at(base, f"'{name}' names no case in which it misleads", name, "limits")
