"""The preliminary numbers of a wall as a section: results first, then what each reader needs.

A buyer gets loads and spans, a trade also the class of work, a firm every beam with its checks and
the factors from published to adjusted value, and the arithmetic step by step.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import TYPE_CHECKING, Any

from walltriage.language import say
from walltriage.report.beam_words import member_names
from walltriage.report.blocks import Block, Figure, Item, Items, Paragraph, Section, Table
from walltriage.report.charts import between, span_sketch
from walltriage.report.girder_sketch import girder_sketch
from walltriage.report.number_words import LOAD_WORDS, number_findings, number_lines, number_steps
from walltriage.report.subject import Subject

if TYPE_CHECKING:
    from walltriage.inference.numbers.results import Sizing, WallNumbers
    from walltriage.structure.members import MemberResult
    from walltriage.structure.wall_load import WallLoad

TITLE = "Preliminary numbers"
NOTHING = "—"
FACTOR_WORDS = {
    "CF": "size", "Cr": "three or more plies share", "Cr of two plies": "two plies",
    "Cdepth": "depth", "CM": "dry inside a house", "Ci": "incised",
    "CL": "the joists hold the top", "CV": "volume",
}  # fmt: skip


def numbers(subject: Subject, sketch: bool = True) -> list[Section]:
    """Nothing without numbers; ``sketch`` draws the spans, a page that has to stay short not."""
    found, audience = subject.wall.numbers, subject.request.audience
    if found is None:
        return []
    blocks: list[Block] = [_list(number_lines(found, audience))]
    noticed = number_findings(found, audience)
    if noticed:
        blocks += [Paragraph(say("What the arithmetic noticed"), "strong"), _list(noticed)]
    if sketch and audience != "firm" and found.span is not None:
        blocks.append(Figure(span_sketch(found.span)))
    if audience == "firm":
        blocks += _for_engineers(found, subject.depth >= 3)
    return [Section(say(TITLE), tuple(blocks))]


def numbers_table(walls: Iterable[Subject]) -> list[Section]:
    """The walls with numbers in one table, each with its range; nothing where none has any."""
    told = (
        (wall.name, *_in_short(wall.wall.numbers))
        for wall in walls
        if wall.wall.numbers is not None
    )
    rows = tuple(row for row in told if set(row[1:]) != {NOTHING})
    columns = ("Wall", say("Spans without it"), say("Its joists reach"), say("Load if it bears"),
               "Usual", say("Beam over the whole of it"))  # fmt: skip
    table = Table(say("Numbers of all walls"), columns, rows, (20, 15, 15, 16, 12, 22))
    return [Section(say(TITLE), (table,))] if rows else []


def _in_short(found: WallNumbers) -> tuple[str, str, str, str, str]:
    spans = reach = load = usual = NOTHING
    beam = say("not sized") if found.not_sized else NOTHING
    if found.span is not None:
        need = found.span.need
        spans, reach = between(*need.span_without_in), between(
            need.capacity_in.low, need.capacity_in.high
        )  # fmt: skip
    if found.load is not None:
        plf = found.load.governing_plf
        load, usual = (
            say("{low:,.0f} to {high:,.0f} lb/ft", low=plf.low, high=plf.high),
            say("{usual:,.0f} lb/ft", usual=plf.usual),
        )
    if found.sizing is not None:
        beam = member_names(found.sizing.members[:2]) or say("none listed carries it")
    return spans, reach, load, usual, beam


def _for_engineers(found: WallNumbers, deep: bool) -> Iterator[Block]:
    """Tables; at depth 3 also factors and each step of the arithmetic, which JSON always has."""
    if found.load is not None:
        yield from _load_table(found.load)
    if found.sizing is not None:
        landing = girder_sketch(found.sizing.below)
        if landing is not None:
            yield Figure(landing)
        yield from _member_tables(found.sizing, deep)
    steps = number_steps(found) if deep else ()
    if steps:
        yield Paragraph(say("Step by step, with assumptions"), "strong")
        yield _list(steps, "numbers")


def _load_table(load: WallLoad) -> Iterator[Block]:
    title = say("Load on each foot of the wall")
    kinds = zip(load.low.kinds(), load.usual.kinds(), load.high.kinds(), strict=True)
    rows = [
        (say(LOAD_WORDS[kind]), *(f"{plf:,.0f} lb/ft" for plf in (low, usual, high)))
        for (kind, low), (_, usual), (_, high) in kinds
        if high > 0
    ]
    total = load.governing_plf
    governing = (say("{plf:,.0f} lb/ft", plf=plf) for plf in (total.low, total.usual, total.high))
    rows.append((say("governing ({combination})", combination=load.combination), *governing))
    yield Paragraph(title, "strong")
    yield Table(title, ("Kind", "Lowest", "Usual", "Highest"), tuple(rows), (40, 20, 20, 20))


def _member_tables(sizing: Sizing, deep: bool) -> Iterator[Block]:
    if not sizing.members:
        return
    title = say("Beams and their checks, demand over limit")
    yield Paragraph(title, "strong")
    names = [check.name for check in sizing.members[0].checks]
    rows = tuple(
        (one.member.label, *(_ratio(one, name) for name in names)) for one in sizing.members
    )
    yield Table(title, ("Beam", *names), rows, (30, *(10 for _ in names)))
    yield Paragraph(
        say("* for information only: a seat that can be made longer, a sag no code limits."),
        "quiet",
    )
    if not deep:
        return
    title = say("Bending value from published to adjusted")
    yield Paragraph(title, "strong")
    columns = ("Beam", "Published", "Factors", "Adjusted", "Source")
    yield Table(title, columns, tuple(_factors(m) for m in sizing.members), (28, 14, 30, 14, 14))


def _ratio(one: MemberResult, name: str) -> str:
    check = next(check for check in one.checks if check.name == name)
    return f"{check.ratio:.0%}" + ("" if check.decides else "*")


def _factors(one: MemberResult) -> tuple[str, ...]:
    """The factors that the bending check went by, each with its reason."""
    step = next(step for step in one.steps if step.symbol == "Fb'")
    bending = next(check for check in one.checks if check.name == "bending")
    why = FACTOR_WORDS | {
        "CD": say("load duration, {combination}", combination=bending.combination)
    }
    (_, *names), (published, *values) = (text.split(" x ") for text in (step.formula, step.numbers))
    factors = [
        f"{name} {value} ({say(why[name])})" for name, value in zip(names, values, strict=True)
    ]
    return (
        one.member.label, f"{float(published):,.0f} psi", " x ".join(factors),
        f"{step.result:,.0f} psi", one.member.source,
    )  # fmt: skip


def _list(texts: Iterable[Any], style: Any = "dots") -> Items:
    return Items(tuple(Item(str(text)) for text in texts), style)
