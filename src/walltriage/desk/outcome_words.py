"""The tallies in words, for a terminal and as data."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator, Sequence
from typing import Any

from walltriage.desk.outcomes import Record
from walltriage.desk.tallies import (
    ENOUGH,
    ClueRow,
    Share,
    brier,
    by_clue,
    by_verdict,
    calibration,
    fair,
    grouped,
)
from walltriage.knowledge.base import KnowledgeBase
from walltriage.language import say
from walltriage.report.words import capitalized

HEADINGS = {
    "likely_bearing": "called likely bearing",
    "likely_non_bearing": "called likely non-bearing",
    "cannot_tell": "called cannot tell",
}
CAUTION = (
    "Walls come here because someone looked, so they are not a fair sample of all walls. A small "
    "count proves little: read the bounds, not the share."
)


def share_words(share: Share) -> str:
    """A share with its bounds."""
    if not share.of:
        return say("none yet")
    low, high = share.bounds
    return say(
        "{count} of {of} ({low:.1f} to {high:.1f} %)",
        count=share.count,
        of=share.of,
        low=100 * low,
        high=100 * high,
    )


def clue_words(row: ClueRow) -> str:
    """What outcomes say of one clue, beside its table."""
    if row.odds is None:
        return say("not enough to compare")
    high = say("many") if math.isinf(row.odds[1]) else f"{row.odds[1]:.1f}"
    text = say(
        "{value:.1f} to {high} times as common where walls bear", value=row.odds[0], high=high
    )
    if row.table is not None:
        text += say("; table {low:.2f} to {high:.2f}", low=row.table[0], high=row.table[1])
    return text


def lines(records: Sequence[Record], base: KnowledgeBase) -> Iterator[str]:
    """The whole, for a terminal."""
    yield say("{count} outcomes.", count=len(records)) + " " + say(CAUTION)
    for title, some in grouped(records).items():
        yield ""
        heading = say(title)
        yield f"{capitalized(heading)}: {len(some)}"
        for row in by_verdict(some) if some else ():
            yield say(
                "  {headings}: bore {bears}",
                headings=say(HEADINGS[row.verdict]),
                bears=share_words(row.bears),
            )
        for item in calibration(some):
            yield say(
                "  believed {low:g} to {high:g} % (mean {mean:.1f}): bore {bears}",
                low=100 * item.low,
                high=100 * item.high,
                mean=100 * item.believed,
                bears=share_words(item.bears),
            )
        score = brier(some)
        if score is not None:
            yield say("  mean squared distance of belief and truth: {score:.4f}", score=score)
    apart = [row for row in by_clue(fair(records), base) if row.apart]
    if apart:
        yield ""
        yield say(
            "Answers that {enough} outcomes or more set apart from their tables. Nothing "
            "is changed by itself: --rules-diff writes a candidate, to be weighed and "
            "compared.",
            enough=ENOUGH,
        )
        for clue in apart:
            yield f"  {clue.question} = {clue.answer}: {clue_words(clue)}"


def data(records: Sequence[Record], base: KnowledgeBase) -> dict[str, Any]:
    """The whole as plain data."""
    return {
        "schema": "walltriage/tallies/1",
        "outcomes": len(records),
        "groups": {
            title: {
                "outcomes": len(some),
                "verdicts": {row.verdict: _share(row.bears) for row in by_verdict(some)},
                "calibration": [
                    {"from": b.low, "to": b.high, "believed": b.believed, "bears": _share(b.bears)}
                    for b in calibration(some)
                ],
                "brier": brier(some),
            }
            for title, some in grouped(records).items()
        },
        "clues": [
            {
                "question": row.question, "answer": row.answer, "bears": _share(row.bears),
                "odds": None if row.odds is None else [_finite(end) for end in row.odds],
                "table": row.table, "apart": row.apart,
            }
            for row in by_clue(fair(records), base)
        ],
    }  # fmt: skip


def _finite(number: float) -> float | None:
    return None if math.isinf(number) else number


def _share(share: Share) -> dict[str, Any]:
    return {"count": share.count, "of": share.of, "bounds": list(share.bounds)}


def json_line(records: Sequence[Record], base: KnowledgeBase) -> str:
    """:func:`data` in one line."""
    return json.dumps(data(records, base), ensure_ascii=True)
