"""The preliminary numbers of a wall as a section: results first, then all that came with them.

The numbers arrive as plain data.  Known keys have a place of their own; any other key is shown as
a table, so that nothing the arithmetic gives is lost to a reader who wants it all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from walltriage.report.blocks import Block, Figure, Item, Items, Paragraph, Section, Table
from walltriage.report.charts import span_sketch
from walltriage.report.subject import Subject

TITLE = "Preliminary numbers"
_TOLD_APART = ("note", "lines", "steps", "findings", "span")


def numbers(subject: Subject, steps: bool, sketch: bool = True) -> list[Section]:
    """Nothing without numbers; with ``steps`` also every table and every line of arithmetic.

    ``sketch`` draws the spans; a page that has to stay short does without.
    """
    found = subject.wall.numbers
    if found is None:
        return []
    blocks: list[Block] = [_list(found.get("lines", ()))]
    if found.get("findings"):
        blocks += [Paragraph("What the arithmetic noticed", "strong"), _list(found["findings"])]
    span = found.get("span")
    if (
        sketch
        and isinstance(span, Mapping)
        and span.get("span_without_in")
        and span.get("capacity_in")
    ):
        blocks.append(Figure(span_sketch(span)))
    if steps:
        for key, value in found.items():
            if key not in _TOLD_APART:
                blocks += _tables(_spoken(key), value)
        if found.get("steps"):
            blocks.append(Paragraph("Step by step, with assumptions", "strong"))
            blocks.append(_list(found["steps"], "numbers"))
    return [Section(TITLE, tuple(blocks))]


def _list(texts: Iterable[Any], style: Any = "dots") -> Items:
    return Items(tuple(Item(str(text)) for text in texts), style)


def _tables(name: str, value: Any) -> Iterator[Block]:
    """Records of one form as a table with a column for each key, anything else as two columns."""
    title = name[:1].upper() + name[1:]
    if _records(value):
        columns = tuple(_spoken(key) for key in value[0])
        rows = tuple(tuple(_value(record[key]) for key in value[0]) for record in value)
        yield Paragraph(title, "strong")
        yield Table(title, columns, rows, (1,) * len(columns))
        return
    pairs = tuple(_flat(name, value))
    if pairs:
        yield Paragraph(title, "strong")
        yield Table(title, ("What", "Value"), pairs, (40, 60))


def _records(value: Any) -> bool:
    return (
        isinstance(value, list)
        and bool(value)
        and all(isinstance(record, Mapping) and list(record) == list(value[0]) for record in value)
    )


def _flat(name: str, value: Any) -> Iterator[tuple[str, str]]:
    """Nested plain data as (what, value) rows."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            yield from _flat(f"{name}, {_spoken(key)}", inner)
    elif isinstance(value, list) and any(isinstance(v, Mapping | list | str) for v in value):
        for index, inner in enumerate(value, 1):
            yield from _flat(f"{name} {index}", inner)
    else:
        yield name, _value(value)


def _value(value: Any) -> str:
    """A value in words: a list of numbers is a range from its first to its last."""
    if isinstance(value, list | tuple) and value:
        low, *between, high = (
            [_value(v) for v in value] if len(value) > 1 else [_value(value[0])] * 2
        )
        usual = f", usually {between[0]}" if len(between) == 1 and low != high else ""
        return low if low == high else f"{low} to {high}{usual}"
    if isinstance(value, float):
        return f"{value:,.4g}"
    return "—" if value is None or value == [] else str(value)


def _spoken(key: object) -> str:
    return str(key).replace("_", " ")
